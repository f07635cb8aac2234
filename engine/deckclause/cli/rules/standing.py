"""Count how well the figures are founded: confirmed, derived, common practice, memory."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from deckclause.cli.shared import (
    ALL_EDITIONS,
    ALL_GUIDES,
    open_catalogue,
    rule_set_names,
    terminal_width,
)
from deckclause.report.rule_sets.standing_text import standing_lines, topic_lines
from deckclause.report.rule_sets.witness_text import tally_lines

if TYPE_CHECKING:
    from deckclause.answers.witness.tally import Tally
    from deckclause.evaluate.catalogue import Catalogue
    from deckclause.rulesets.ruleset import RuleSet


def _tallies(catalogue: Catalogue, rulesets: list[RuleSet]) -> list[Tally]:
    """Return what was read in the book of each edition, once; none costs nothing."""
    editions = dict.fromkeys(ruleset.edition for ruleset in rulesets)
    read = [name for name in editions if catalogue.files.witness_paths(name)]
    if not read:
        return []
    from deckclause.answers.witness.tally import tally_of

    return [tally for name in read if (tally := tally_of(catalogue.library, name)) is not None]


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
        lines = list(topic_lines(rulesets, catalogue.vocabulary, width))
    else:
        lines = [
            *standing_lines(rulesets, catalogue.vocabulary, width),
            *tally_lines(_tallies(catalogue, rulesets), width),
        ]
    print("\n".join(lines))
    return 0
