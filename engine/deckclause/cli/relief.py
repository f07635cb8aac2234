"""Say what would make a failing design comply: changes first, then the least relief, precedents."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from deckclause.cli.shared import (
    add_rules_options,
    open_catalogue,
    rule_set_names,
    tell_real_places,
    terminal_width,
)
from deckclause.cli.under import each_named
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY
from deckclause.rulesets.problems import InputError

arranged = each_named
"""Rule sets may follow one `--under`."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("design", metavar="DESIGN", type=Path, help="the design file (YAML)")
    parser.add_argument(
        "--under", required=True, action="append", metavar="RULESET",
        help="Place@date, an edition or a guide; repeat for more, each is worked out by itself",
    )  # fmt: skip
    parser.add_argument(
        "--most", type=int, default=8, metavar="N", help="show at most so many changes (8)"
    )
    parser.add_argument("--format", choices=["text", "json"], default="text", help="how to print")
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Print a report for each rule set; return 0 where nothing fails, 1 where something does.

    3 is returned where something is undecided and nothing fails.
    """
    from deckclause.answers.relief.build import relief_answer
    from deckclause.report.relief.data import relief_data
    from deckclause.report.relief.text import relief_lines
    from deckclause.variance.relief import relief_report

    if options.most < 1:
        raise InputError.single("--most", f"{options.most} is none; give 1 or more")
    catalogue = open_catalogue(options)
    design = catalogue.design(options.design)
    names = rule_set_names(catalogue, options.under)
    tell_real_places(catalogue, names)
    reports = [relief_report(catalogue, design, name) for name in names]
    answers = [relief_answer(report, most_options=options.most) for report in reports]
    if options.format == "json":
        found = [relief_data(answer) for answer in answers]
        # one rule set: its object; several: a list, in the order asked for
        print(json.dumps(found if len(found) > 1 else found[0], indent=1, ensure_ascii=False))
    else:
        for number, answer in enumerate(answers):
            if number:
                print("\n" + "=" * 20 + "\n")
            print("\n".join(relief_lines(answer, terminal_width())))
    return _status([report.case.status for report in reports])


def _status(statuses: list[int]) -> int:
    if DOES_NOT_COMPLY in statuses:
        return 1
    return 0 if all(status <= COMPLIES for status in statuses) else 3
