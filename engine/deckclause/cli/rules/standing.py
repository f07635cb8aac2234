"""Count how well the figures are founded: confirmed, derived, common practice, memory."""

from __future__ import annotations

import argparse

from deckclause.cli.shared import (
    ALL_EDITIONS,
    ALL_GUIDES,
    open_catalogue,
    rule_set_names,
    terminal_width,
)
from deckclause.report.rule_sets.standing_text import standing_lines, topic_lines


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("--under", action="append", default=[], metavar="RULESET")
    parser.add_argument(
        "--by-topic", action="store_true", help="a line for each topic, by part of the deck"
    )


def run(options: argparse.Namespace) -> int:
    """Print the counts."""
    catalogue = open_catalogue(options)
    names = rule_set_names(catalogue, options.under or [ALL_EDITIONS, ALL_GUIDES])
    rulesets = [catalogue.ruleset(name) for name in names]
    width = terminal_width()
    if options.by_topic:
        lines = topic_lines(rulesets, catalogue.vocabulary, width)
    else:
        lines = standing_lines(rulesets, width)
    print("\n".join(lines))
    return 0
