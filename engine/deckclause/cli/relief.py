"""Say what would make a failing design comply: changes first, then the least relief, precedents."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from deckclause.cli.shared import add_rules_options, open_catalogue, terminal_width
from deckclause.evaluate.status import DOES_NOT_COMPLY, SEVERITY
from deckclause.rulesets.problems import InputError


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("design", metavar="DESIGN", type=Path, help="the design file (YAML)")
    parser.add_argument(
        "--under", required=True, metavar="RULESET", help="Place@date, an edition or a guide"
    )
    parser.add_argument(
        "--most", type=int, default=8, metavar="N", help="show at most so many changes (8)"
    )
    parser.add_argument("--format", choices=["text", "json"], default="text", help="how to print")
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Print the report; return 0 where nothing fails, 1 where something does, 3 undecided."""
    from deckclause.report.relief_data import relief_data
    from deckclause.report.relief_text import relief_lines
    from deckclause.variance.relief import relief_report

    if options.most < 1:
        raise InputError.single("--most", f"{options.most} is none; give 1 or more")
    catalogue = open_catalogue(options)
    design = catalogue.design(options.design)
    report = relief_report(catalogue, design, options.under)
    data = relief_data(report, most_options=options.most)
    if options.format == "json":
        print(json.dumps(data, indent=1, ensure_ascii=False))
    else:
        print("\n".join(relief_lines(data, terminal_width())))
    status = report.case.evaluation.status
    if status == DOES_NOT_COMPLY:
        return 1
    return 0 if SEVERITY[status] <= 1 else 3
