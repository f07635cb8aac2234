"""Say what one rule set changes of another, clause by clause, figures side by side."""

from __future__ import annotations

import argparse

from deckclause.cli.compare import wanted_topics
from deckclause.cli.shared import add_rules_options, open_catalogue, terminal_width


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument(
        "one", metavar="A", help="an edition, guide or draft amendment by id, or Place@date"
    )
    parser.add_argument("two", metavar="B", help="what it is compared with")
    parser.add_argument(
        "--topic", action="append", default=[], help="only this topic; repeat for more"
    )
    parser.add_argument("--part", action="append", default=[], help="only this part of the deck")
    parser.add_argument(
        "--format",
        choices=["text", "markdown", "json", "html"],
        default="text",
        help="how to print",
    )
    parser.add_argument("--si", action="store_true", help="print in SI units")
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command; 0 always: a difference is no fault."""
    from deckclause.compare.rule_diff import rule_diff

    catalogue = open_catalogue(options)
    vocabulary = catalogue.vocabulary
    one, two = (catalogue.ruleset(name) for name in (options.one, options.two))
    topics = tuple(wanted_topics(catalogue, options.topic, options.part))
    diff = rule_diff(one, two, vocabulary, topics=topics, si=options.si)
    if options.format == "json":
        from deckclause.report.rule_diff_data import rule_diff_json

        print(rule_diff_json(diff, vocabulary))
    elif options.format == "markdown":
        from deckclause.report.rule_diff_markdown import rule_diff_markdown

        print(rule_diff_markdown(diff, vocabulary), end="")
    elif options.format == "html":
        from deckclause.report.rule_diff_html import rule_diff_html

        print(rule_diff_html(diff, vocabulary), end="")
    else:
        from deckclause.report.rule_diff_text import rule_diff_text

        print(rule_diff_text(diff, vocabulary, terminal_width()))
    return 0
