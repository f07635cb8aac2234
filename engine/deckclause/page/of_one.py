"""Drawings and sheets that show one rule set: each as the command writes it, or why there is none."""

from __future__ import annotations

from datetime import date

from deckclause.page.bench import Bench
from deckclause.page.tools import layouts
from deckclause.page.typed import ToDownload
from deckclause.rulesets.problems import InputError


def the_one(bench: Bench, asked: ToDownload) -> str:
    """Return the rule set shown: the one named, or else the last."""
    names = bench.rule_sets(asked.under)
    return asked.one if asked.one in names else names[-1]


def section_svg(bench: Bench, asked: ToDownload) -> str:
    """Return the section. Raises InputError where there is nothing honest to draw."""
    from deckclause.answers.sections import sections_answer
    from deckclause.report.drawing.design_drawings import section_drawings

    catalogue = bench.catalogue
    _, design = bench.file_design(asked)
    one = [catalogue.evaluator(the_one(bench, asked))]
    drawn = section_drawings(sections_answer(catalogue.prepare(design), one, catalogue.vocabulary))
    if not drawn.drawings:
        raise InputError.single("the section", drawn.missing)
    return drawn.drawings[0].svg


def elevation_svg(bench: Bench, asked: ToDownload) -> str:
    """Return the ledger's elevation. Raises InputError where there is nothing honest to draw."""
    from deckclause.answers.sections import NothingToDraw
    from deckclause.report.drawing.draw_elevation import draw_elevation
    from deckclause.report.drawing.draw_from_design import elevation_drawing

    one = asked.model_copy(update={"under": [the_one(bench, asked)]})
    (answer,) = layouts(bench, one)
    today = date.today().isoformat()
    try:
        return draw_elevation(elevation_drawing(asked.design.name, answer, today))
    except NothingToDraw as reason:
        raise InputError.single("the elevation", str(reason)) from None


def sizes_svg(bench: Bench, asked: ToDownload) -> str:
    """Return the chart of how far down each size may step. Raises InputError for a bad value."""
    from deckclause.answers.steps import steps_report
    from deckclause.placement.from_rules import PlacementRules
    from deckclause.report.drawing.draw_from_design import step_chart
    from deckclause.report.drawing.draw_steps import draw_steps

    catalogue = bench.catalogue
    _, design = bench.file_design(asked)
    rules = PlacementRules(catalogue.evaluator(the_one(bench, asked)), catalogue.vocabulary)
    report = steps_report(catalogue.prepare(design), catalogue.vocabulary, [rules], "bottom")
    return draw_steps(step_chart(report, date.today().isoformat()))


def as_png(svg: str) -> bytes:
    """Return a drawing as a picture. Raises InputError where no renderer is installed."""
    from deckclause.report.drawing.png import NoRendererError, png_of

    try:
        return png_of(svg)
    except NoRendererError as fault:
        raise InputError.single("PNG", str(fault)) from None


def tick_sheet(bench: Bench, asked: ToDownload) -> bytes:
    """Return the sheet to look a rule set's figures up in the book with.

    Raises InputError for a place, whose book is its edition's.
    """
    from deckclause.answers.witness.sheet import make_sheet
    from deckclause.report.document.write import document_bytes
    from deckclause.report.rule_sets.witness_document import sheet_document

    name, library = the_one(bench, asked), bench.catalogue.library
    if name not in library.files.rulesets:
        raise InputError.single(name, "is a place on a day; look its edition up instead")
    sheet = make_sheet(library.as_written(name), library.vocabulary)
    return document_bytes(sheet_document(sheet), "pdf")
