"""Compare what several rule sets ask of one design, and say which clause drives each difference."""

from __future__ import annotations

import argparse
from pathlib import Path

from deckclause.cli.shared import (
    add_rules_options,
    open_catalogue,
    refuse_existing,
    rule_set_names,
    show,
    terminal_width,
    write_new_file,
)
from deckclause.compare.comparison import Comparison, compare
from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.problems import InputError, suggestion


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("design", metavar="DESIGN", type=Path, help="the design file (YAML)")
    parser.add_argument(
        "--under",
        action="append",
        default=[],
        metavar="RULESET",
        help="an edition or guide by id, Place@date, all-editions or all-guides; repeat for more",
    )
    parser.add_argument(
        "--between",
        nargs=2,
        metavar=("A", "B"),
        help="explain one pair in depth: every finding with its steps",
    )
    parser.add_argument(
        "--topic", action="append", default=[], help="only this topic; repeat for more"
    )
    parser.add_argument("--part", action="append", default=[], help="only this part of the deck")
    parser.add_argument(
        "--strictest",
        action="store_true",
        help="what must change to build the same deck under all: the strictest limit of each topic",
    )
    parser.add_argument("--only", choices=["differences"], help="only topics on which they differ")
    parser.add_argument("--all", action="store_true", help="show topics alike everywhere too")
    parser.add_argument(
        "--format",
        choices=["table", "json", "csv", "markdown", "html", "pdf", "docx"],
        default="table",
        help="how to print; pdf and docx need -o",
    )
    parser.add_argument(
        "-o", "--output", metavar="FILE", type=Path, help="write there; nothing is overwritten"
    )
    parser.add_argument("--si", action="store_true", help="print in SI units")
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command; return the exit status."""
    catalogue = open_catalogue(options)
    under = list(options.between) if options.between else (options.under or ["all-editions"])
    names = rule_set_names(catalogue, under)
    if options.between and len(names) != 2:
        raise InputError.single("--between", "two different rule sets are needed")
    design = catalogue.design(options.design)
    topics = wanted_topics(catalogue, options.topic, options.part)
    comparison = compare(catalogue, design, names, topics=topics)
    if options.format in ("html", "pdf", "docx"):
        _write_document(catalogue, comparison, options)
    else:
        show(_report(catalogue, comparison, options), options.output)
    return comparison.exit_status


def _write_document(
    catalogue: Catalogue, comparison: Comparison, options: argparse.Namespace
) -> None:
    if options.output is None and options.format != "html":
        raise InputError.single("--format", f"{options.format} is no text; name a file with -o")
    from deckclause.report.compare_html import comparison_file

    refuse_existing(options.output)
    only = options.only == "differences"
    content = comparison_file(
        catalogue, comparison, options.format, only_differences=only, si=options.si
    )
    if options.output is None:
        print(content.decode(), end="")
    else:
        write_new_file(options.output, content)


def wanted_topics(catalogue: Catalogue, topics: list[str], parts: list[str]) -> list[str]:
    """Return the topics asked for, by name or by part of the deck. Raises InputError."""
    vocabulary = catalogue.vocabulary
    chosen: list[str] = []
    for topic in topics:
        if topic not in vocabulary.topics:
            near = suggestion(topic, vocabulary.topics)
            raise InputError.single("--topic", f"'{topic}' is not a topic.{near}")
        chosen.append(topic)
    for part in parts:
        if part not in vocabulary.parts:
            near = suggestion(part, vocabulary.parts)
            raise InputError.single("--part", f"'{part}' is not a part of the deck.{near}")
        chosen += [t.name for t in vocabulary.topics.values() if t.part == part]
    return chosen


def _report(catalogue: Catalogue, comparison: Comparison, options: argparse.Namespace) -> str:
    only = options.only == "differences"
    vocabulary = catalogue.vocabulary
    if options.format == "json":
        from deckclause.report.compare_json import comparison_json

        return comparison_json(catalogue, comparison, only_differences=only)
    if options.format == "csv":
        from deckclause.report.compare_csv import comparison_csv

        return comparison_csv(comparison, vocabulary, si=options.si, only_differences=only)
    if options.format == "markdown":
        from deckclause.report.compare_markdown import comparison_markdown

        return comparison_markdown(comparison, vocabulary, si=options.si, only_differences=only)
    if options.strictest:
        from deckclause.report.strictest_text import strictest_lines

        return "\n".join(strictest_lines(comparison, vocabulary, terminal_width(), si=options.si))
    from deckclause.report.compare_table import ComparisonText

    text = ComparisonText(
        comparison,
        vocabulary,
        width=terminal_width(),
        si=options.si,
        only_differences=only,
        everything=bool(options.all or options.between or options.topic or options.part),
    )
    if options.between:
        from deckclause.report.compare_depth import depth_lines

        return "\n".join(text.lines(depth_lines(text)))
    return "\n".join(text.lines())
