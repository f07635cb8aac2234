"""Lay the fewest fasteners along a design's ledger, with a schedule and a count to buy."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import Any

from deckclause.cli.place.shared import add_under, exit_status, rules_for
from deckclause.cli.shared import open_catalogue, terminal_width
from deckclause.rulesets.problems import InputError


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("design", metavar="DESIGN", type=Path, help="the design file (YAML)")
    add_under(parser)
    parser.add_argument(
        "--splices-unknown",
        action="store_true",
        help="band joist splices are not known: take every floor joist line for a possible end",
    )
    parser.add_argument(
        "--format", choices=["table", "csv", "json"], default="table", help="how to print"
    )


def run(options: argparse.Namespace) -> int:
    """Print the layouts; 0 where each rule set has one, 1 where one has none, 3 undecided."""
    from deckclause.placement.boards import SectionError
    from deckclause.placement.layout_answer import layout_of
    from deckclause.placement.ledger_line import LayoutError
    from deckclause.report.placing.layout_text import caution_lines, layout_lines

    catalogue = open_catalogue(options)
    design = catalogue.design(options.design)
    try:
        answers = [
            layout_of(design, rules, splices_unknown=options.splices_unknown)
            for rules in rules_for(catalogue, options)
        ]
    except (LayoutError, SectionError) as fault:
        raise InputError.single(str(options.design), str(fault)) from None
    if options.format == "table":
        width = terminal_width()
        for answer in answers:
            print("\n".join(layout_lines(design.design.name, answer, catalogue.vocabulary, width)))
            print()
        print("\n".join(caution_lines(width)))
    else:
        print(_data(design.design.name, answers, options.format))
    return exit_status(a.status for a in answers)


def _data(name: str, answers: list[Any], form: str) -> str:
    from deckclause.report.placing.layout_data import layouts_csv, layouts_data

    if form == "csv":
        return layouts_csv(answers)
    return json.dumps(layouts_data(name, answers), indent=1, ensure_ascii=False)
