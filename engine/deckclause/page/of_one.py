"""Drawings and sheets that show one rule set: each as the command writes it, or why there is none."""

from __future__ import annotations

from collections.abc import Callable
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
    """Return the section, as stated where no limit may honestly be drawn.

    Raises InputError for a deck without a ledger, or with boards that cannot stand.
    """
    from deckclause.answers.section_board import SectionError, section_board
    from deckclause.answers.sections import NothingToDraw, sections_answer
    from deckclause.report.drawing.design_drawings import section_drawings
    from deckclause.report.drawing.stated_drawings import section_as_stated

    catalogue = bench.catalogue
    design = catalogue.prepare(bench.file_design(asked)[1])
    one = [catalogue.evaluator(the_one(bench, asked))]
    drawn = section_drawings(sections_answer(design, one, catalogue.vocabulary))
    if drawn.drawings:
        return drawn.drawings[0].svg
    try:
        board = section_board(design, one, catalogue.vocabulary)
        return section_as_stated(board, (drawn.missing,)).svg
    except (NothingToDraw, SectionError) as reason:
        raise InputError.single("the section", str(reason)) from None


def elevation_svg(bench: Bench, asked: ToDownload) -> str:
    """Return the ledger's elevation, as stated where no fasteners can be laid out.

    Raises InputError for a deck without a ledger, or with boards that cannot stand.
    """
    from deckclause.answers.sections import NothingToDraw
    from deckclause.report.drawing.draw_elevation import draw_elevation
    from deckclause.report.drawing.draw_from_design import elevation_drawing

    one = asked.model_copy(update={"under": [the_one(bench, asked)]})
    today = date.today().isoformat()
    (answer,) = layouts(bench, one)
    try:
        return draw_elevation(elevation_drawing(asked.design.name, answer, today))
    except NothingToDraw as reason:
        return stated_svg("elevation", f"No layout of the fasteners is drawn: {reason}.")(
            bench, asked
        )


def stated_svg(view: str, *notes: str) -> Callable[[Bench, ToDownload], str]:
    """Return what draws one view of the deck as stated. It raises InputError where there is none."""

    def svg(bench: Bench, asked: ToDownload) -> str:
        from deckclause.answers.outlines.views import stated_view
        from deckclause.answers.sections import NothingToDraw
        from deckclause.report.drawing.stated_drawings import outline_as_stated

        design = bench.catalogue.prepare(bench.file_design(asked)[1])
        try:
            return outline_as_stated(stated_view(view, design), notes).svg
        except NothingToDraw as reason:
            raise InputError.single(f"the {view}", str(reason)) from None

    return svg


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


DRAWINGS: dict[str, tuple[str, bool, Callable[[Bench, ToDownload], str]]] = {
    "section": ("The section", True, section_svg),
    "elevation": ("The ledger's elevation", True, elevation_svg),
    "plan": ("The plan", False, stated_svg("plan")),
    "stairs": ("The stairs", False, stated_svg("stairs")),
    "sizes": ("How far down each size may step", True, sizes_svg),
}
"""Each drawing that may be taken away: what it is called, whether one rule set decides it, its maker."""


def drawing_file(name: str, ending: str) -> Callable[[Bench, ToDownload], bytes]:
    """Return what writes one drawing as SVG, PNG or PDF.

    It raises InputError where nothing can be drawn, or no renderer is installed.
    """

    def write(bench: Bench, asked: ToDownload) -> bytes:
        from deckclause.report.drawing.rendered import NoRendererError, drawing_bytes

        svg = DRAWINGS[name][2](bench, asked)
        try:
            return drawing_bytes(svg, ending)
        except NoRendererError as fault:
            raise InputError.single(ending[1:].upper(), str(fault)) from None

    return write


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
