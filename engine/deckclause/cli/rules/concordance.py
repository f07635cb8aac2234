"""Line up the editions topic by topic: where each says it, and with what figure."""

from __future__ import annotations

import argparse

from tabulate import tabulate

from deckclause.cli.shared import ALL_EDITIONS, open_catalogue, rule_set_names, terminal_width
from deckclause.evaluate.words import ClauseWords
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.problems import InputError, suggestion


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("topic", metavar="TOPIC", nargs="?", help="one topic: with its figures")
    parser.add_argument("--under", action="append", default=[], metavar="RULESET")


def run(options: argparse.Namespace) -> int:
    """Print the concordance."""
    catalogue = open_catalogue(options)
    vocabulary = catalogue.vocabulary
    names = rule_set_names(catalogue, options.under or [ALL_EDITIONS])
    sets = [catalogue.ruleset(name) for name in names]
    width = terminal_width()
    if options.topic is None:
        each = max(9, (width - 30) // max(len(sets), 1) - 2)
        rows = [
            [topic.title, *("; ".join(c.cites for c in s.topic_clauses(name)) or "-" for s in sets)]
            for name, topic in vocabulary.topics.items()
        ]
        headers = ["topic", *(rule_set_title(name) for name in names)]
        print(
            tabulate(rows, headers, maxcolwidths=[28, *([each] * len(sets))], disable_numparse=True)
        )
        return 0
    if options.topic not in vocabulary.topics:
        near = suggestion(options.topic, vocabulary.topics)
        raise InputError.single("TOPIC", f"'{options.topic}' is not a topic.{near}")
    words = ClauseWords(vocabulary)
    print(vocabulary.topics[options.topic].question)
    rows = []
    for ruleset in sets:
        clauses = ruleset.topic_clauses(options.topic)
        for clause in clauses:
            asks = words.requirement(clause.requirement)
            unless = "; ".join(words.requirement(e.requirement) for e in clause.exceptions)
            rows.append([ruleset.name, clause.cites, asks, unless, clause.standing])
        if not clauses:
            practice = dict(ruleset.practice).get(options.topic, "")
            note = f"common practice, no requirement: {practice}" if practice else "not regulated"
            rows.append([ruleset.name, "-", note, "", ""])
    each = max(14, (width - 40) // 3)
    headers = ["rule set", "where", "asks", "unless", "standing"]
    print(
        tabulate(
            rows, headers, maxcolwidths=[16, each // 2 + 6, each, each, 12], disable_numparse=True
        )
    )
    return 0
