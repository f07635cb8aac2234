"""Count how well the figures are founded: confirmed, derived, common practice, memory."""

from __future__ import annotations

import argparse

from tabulate import tabulate

from deckclause.cli.shared import ALL_EDITIONS, ALL_GUIDES, open_catalogue, rule_set_names
from deckclause.evaluate.explain import RANK
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.standing import count_standings


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("--under", action="append", default=[], metavar="RULESET")
    parser.add_argument("--by-topic", action="store_true", help="a line for each topic too")


def run(options: argparse.Namespace) -> int:
    """Print the counts."""
    catalogue = open_catalogue(options)
    names = rule_set_names(catalogue, options.under or [ALL_EDITIONS, ALL_GUIDES])
    rows: list[list[str]] = []
    for name in names:
        ruleset = catalogue.ruleset(name)
        rows.append([name, "all", *_cells(ruleset, None)])
        if options.by_topic:
            topics = dict.fromkeys(c.topic for c in ruleset.clauses)
            rows += [["", topic, *_cells(ruleset, topic)] for topic in topics]
    print(
        tabulate(
            rows,
            ["rule set", "topic", *RANK],
            disable_numparse=True,
            colalign=["left"] * 2 + ["right"] * 4,
        )
    )
    print(
        "Counted: clauses, exceptions, other readings and table cells, each with its own standing."
    )
    return 0


def _cells(ruleset: RuleSet, topic: str | None) -> list[str]:
    counts = count_standings(ruleset, topic)
    return [str(counts.get(rank, 0)) for rank in RANK]
