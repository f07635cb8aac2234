"""Show one rule set: its clauses in our own words, its tables as the book lays them out."""

from __future__ import annotations

import argparse

from deckclause.cli.shared import open_catalogue, tell_real_places, terminal_width
from deckclause.report.rule_sets.ruleset_text import ruleset_lines
from deckclause.rulesets.problems import InputError, suggestion


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("ruleset", metavar="RULESET", help="an edition, a guide or Place@date")
    parser.add_argument(
        "topic", metavar="TOPIC", nargs="?", help="one topic, part of the deck or table name"
    )
    parser.add_argument("--si", action="store_true", help="print in SI units")


def run(options: argparse.Namespace) -> int:
    """Print the rule set."""
    catalogue = open_catalogue(options)
    vocabulary = catalogue.vocabulary
    ruleset = catalogue.ruleset(options.ruleset)
    tell_real_places(catalogue, [ruleset.name])
    wanted = options.topic
    tables = {t.name for t in ruleset.tables}
    known = [*vocabulary.topics, *vocabulary.parts, *tables]
    if wanted and wanted not in known:
        raise InputError.single(
            "TOPIC", f"'{wanted}' is no topic, part or table.{suggestion(wanted, known)}"
        )
    lines = ruleset_lines(ruleset, vocabulary, wanted or "", terminal_width(), si=options.si)
    print("\n".join(lines))
    return 0
