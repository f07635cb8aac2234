"""Say which clauses, exceptions and table cells the shipped designs exercise, on both sides.

A side no design can come to is named with the reason. Exit status: 0 every clause, exception, cell
and reachable side is exercised, 1 some are not.
"""

from __future__ import annotations

import argparse

from deckclause.cli.shared import add_rules_options, open_catalogue, rule_set_names


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument(
        "--under", action="append", default=[], metavar="RULESET", help="only this rule set; repeat"
    )
    parser.add_argument("--format", choices=["text", "json"], default="text", help="how to print")
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command; return the exit status."""
    from deckclause.report.rule_sets.coverage_text import coverage_json, coverage_lines
    from deckclause.upkeep.coverage.shipped import shipped_coverage

    catalogue = open_catalogue(options)
    names = rule_set_names(catalogue, options.under)
    found = shipped_coverage(catalogue, tuple(names))
    vocabulary = catalogue.vocabulary
    if options.format == "json":
        print(coverage_json(found, vocabulary))
    else:
        print("\n".join(coverage_lines(found, vocabulary)))
    return 0 if all(c.complete for c in found) else 1
