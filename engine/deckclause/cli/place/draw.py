"""Draw a design: section, ledger elevation, two rule sets side by side, or the chart of sizes."""

from __future__ import annotations

import argparse
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from deckclause.cli.place.shared import add_under, rules_for
from deckclause.cli.place.steps import add_step_options, steps_report
from deckclause.cli.shared import open_catalogue
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.write_file import refuse_existing, write_new

if TYPE_CHECKING:
    from deckclause.evaluate.catalogue import Catalogue

SHEETS = ("section", "elevation", "two", "steps", "plan", "ledger", "stairs")
AS_STATED = ("plan", "ledger", "stairs")
"""Sheets of the deck as it is stated, unknown members dashed: no rule set decides them."""
UNDECIDED = 3


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("design", metavar="DESIGN", type=Path, help="the design file (YAML)")
    add_under(parser)
    parser.add_argument(
        "-o",
        "--output",
        metavar="FILE",
        type=Path,
        required=True,
        help="FILE.svg, FILE.png or FILE.pdf",
    )
    parser.add_argument(
        "--sheet",
        choices=SHEETS,
        help="what to draw (section; two where two rule sets are named); plan, ledger and stairs show "
        "the deck as stated, elevation the ledger with its fasteners laid out; a section or an "
        "elevation whose limits are not known is drawn as stated",
    )
    parser.add_argument("--date", default="", help="the date on the sheet (today)")
    parser.add_argument(
        "--splices-unknown", action="store_true", help="as for layout: for the elevation"
    )
    add_step_options(parser)


def run(options: argparse.Namespace) -> int:
    """Write the drawing; 0 where it is written, 3 where there is nothing honest to draw.

    An existing file is never overwritten.
    """
    from deckclause.answers.sections import NothingToDraw
    from deckclause.placement.boards import SectionError
    from deckclause.placement.ledger_line import LayoutError
    from deckclause.report.drawing.rendered import FORMS

    path: Path = options.output
    if path.suffix.lower() not in FORMS:
        raise InputError.single(str(path), "a drawing is FILE.svg, FILE.png or FILE.pdf")
    refuse_existing(path)
    if not options.under and options.sheet not in AS_STATED:
        raise InputError.single("--under", "name the rule set to draw: --under irc-2015")
    catalogue = open_catalogue(options)
    try:
        svg = _drawing(catalogue, options)
    except NothingToDraw as reason:
        print(f"deckclause: nothing to draw; {reason}", file=sys.stderr)
        return UNDECIDED
    except (SectionError, LayoutError) as fault:
        raise InputError.single(str(options.design), str(fault)) from None
    _write(path, svg)
    print(f"wrote {path}")
    return 0


def _drawing(catalogue: Catalogue, options: argparse.Namespace) -> str:
    from deckclause.answers.outlines.views import stated_view
    from deckclause.answers.section_board import section_board
    from deckclause.answers.section_scene import scene
    from deckclause.answers.sections import NothingToDraw, section_drawing
    from deckclause.placement.layout_answer import layout_of
    from deckclause.placement.place import place
    from deckclause.report.drawing import draw_from_design as source
    from deckclause.report.drawing.draw_elevation import draw_elevation
    from deckclause.report.drawing.draw_section import draw_section
    from deckclause.report.drawing.draw_steps import draw_steps
    from deckclause.report.drawing.draw_two_sections import draw_two_sections
    from deckclause.report.drawing.stated_drawings import outline_as_stated, section_as_stated
    from deckclause.rulesets.names import rule_set_title

    if options.sheet in AS_STATED:
        return _as_stated(catalogue, options)
    day = options.date or date.today().isoformat()
    rules = rules_for(catalogue, options)
    sheet = options.sheet or ("two" if len(rules) == 2 else "section")
    _counted(sheet, len(rules))
    if sheet == "steps":
        return draw_steps(source.step_chart(steps_report(catalogue, options), day))
    design = catalogue.design(options.design)
    name = design.design.name
    words = catalogue.vocabulary
    try:
        if sheet == "elevation":
            answer = layout_of(design, rules[0], splices_unknown=options.splices_unknown)
            return draw_elevation(source.elevation_drawing(name, answer, day))
        scenes = [scene(section_drawing(name, place(design, r), words, day)) for r in rules]
    except NothingToDraw as reason:
        if sheet == "two":
            raise
        why = f"No limit of {rule_set_title(rules[0].ruleset.name)} is drawn: {reason}."
        print(f"deckclause: drawn as stated. {why}", file=sys.stderr)
        if sheet == "elevation":
            return outline_as_stated(stated_view("elevation", design), (why,)).svg
        board = section_board(design, [rules[0].evaluator], words)
        return section_as_stated(board, (why,)).svg
    if sheet == "two":
        return draw_two_sections(scenes[0], scenes[1])
    return draw_section(scenes[0])


def _as_stated(catalogue: Catalogue, options: argparse.Namespace) -> str:
    from deckclause.answers.outlines.views import stated_view
    from deckclause.report.drawing.stated_drawings import outline_as_stated

    view = "elevation" if options.sheet == "ledger" else options.sheet
    return outline_as_stated(stated_view(view, catalogue.design(options.design))).svg


def _counted(sheet: str, count: int) -> None:
    wanted = 2 if sheet == "two" else 1
    if count != wanted:
        words = "two rule sets" if wanted == 2 else "one rule set"
        raise InputError.single("--under", f"the {sheet} sheet shows {words}; {count} are named")


def _write(path: Path, svg: str) -> None:
    """Write the drawing to a new file, whole or not at all."""
    from deckclause.report.drawing.rendered import NoRendererError, drawing_bytes

    try:
        content = drawing_bytes(svg, path.suffix.lower())
    except NoRendererError as fault:
        raise InputError.single(str(path), str(fault)) from None
    write_new(path, content)
