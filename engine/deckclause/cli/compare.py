"""Compare what several rule sets ask of one design, and say which clause drives each difference.

Where a day lets one choose between codes or paths, the exit status counts the best of them, kept whole.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from deckclause.answers.compare.build import compare_answer
from deckclause.cli.file_format import format_for
from deckclause.cli.shared import (
    add_rules_options,
    open_catalogue,
    refuse_existing,
    rule_set_names,
    show,
    terminal_width,
    write_new_file,
)
from deckclause.cli.topics import wanted_topics
from deckclause.cli.under import each_named
from deckclause.compare.comparison import Comparison, compare
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.rulesets.problems import InputError

DOCUMENTS = ("html", "pdf", "docx")


arranged = each_named
"""Rule sets may follow one `--under`."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("design", metavar="DESIGN", type=Path, help="the design file (YAML)")
    parser.add_argument(
        "other",
        metavar="OTHER",
        type=Path,
        nargs="?",
        help="a second design: what differs between the decks, and what that does",
    )
    parser.add_argument(
        "--under",
        action="append",
        default=[],
        metavar="RULESET",
        help="an edition or guide by id, Place@date, all-editions, all-guides, all-places@date or "
        "'towns of COUNTY@date'; more may follow",
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
    parser.add_argument(
        "--annex",
        action="store_true",
        help="html, pdf, docx: add every finding step by step and its sources, as --between does",
    )
    parser.add_argument(
        "--why",
        action="store_true",
        help="table: tell what drives every difference, not only where an outcome parts or fails",
    )
    parser.add_argument("--all", action="store_true", help="show topics alike everywhere too")
    parser.add_argument(
        "--format",
        choices=["table", "json", "csv", "markdown", "html", "pdf", "docx"],
        help="how to print (else as the ending of -o says, else a table); pdf and docx need -o",
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
    options.format = format_for(options.format, options.output)
    _refuse_what_does_nothing(options)
    names = rule_set_names(catalogue, under)
    if options.between and len(names) != 2:
        raise InputError.single("--between", "two different rule sets are needed")
    design = catalogue.design(options.design)
    topics = wanted_topics(catalogue, options.topic, options.part)
    if options.other is not None:
        return _two_designs(catalogue, options, names, topics)
    names, head = _folded(catalogue, design, names, topics, options)
    comparison = compare(catalogue, design, names, topics=topics)
    if options.format in DOCUMENTS:
        _write_document(catalogue, comparison, options)
    else:
        text = head + _report(catalogue, comparison, options)
        show(_on_terminal(text, options), options.output)
    return comparison.exit_status


def _folded(
    catalogue: Catalogue,
    design: PreparedDesign,
    names: list[str],
    topics: Sequence[str],
    options: argparse.Namespace,
) -> tuple[list[str], str]:
    """Return the rule sets to show and what they stand for: of many places alike, the first."""
    from deckclause.cli.many_places import FOLDED_FROM, folded_lines

    told = options.format in ("table", "markdown") and not (options.strictest or options.between)
    if not told or sum("@" in name for name in names) < FOLDED_FROM:
        return names, ""
    from deckclause.compare.fold import alike

    groups = alike(compare(catalogue, design, names, topics=topics, pairs=()))
    if len(groups) == len(names):
        return names, ""
    width = 10**6 if options.format == "markdown" else terminal_width()
    lines = folded_lines([[names[column] for column in group] for group in groups], width)
    return [names[group[0]] for group in groups], "\n".join(lines) + "\n"


def _two_designs(
    catalogue: Catalogue, options: argparse.Namespace, names: Sequence[str], topics: Sequence[str]
) -> int:
    """Compare two decks; the exit status is the second one's."""
    if options.format not in ("table", "json"):
        raise InputError.single("--format", "of two designs are table and json")
    if options.strictest or options.between or options.annex:
        raise InputError.single("OTHER", "goes with --under, --topic and --part alone")
    from deckclause.answers.compare.two_designs import two_designs_answer
    from deckclause.compare.designs import compare_designs
    from deckclause.report.comparison.two_designs import two_designs_json, two_designs_lines

    one, two = (catalogue.design(path) for path in (options.design, options.other))
    found = compare_designs(catalogue, one.design, two.design, names, topics)
    status = compare(catalogue, two, names, topics=topics, pairs=()).exit_status
    answer = two_designs_answer(found, catalogue.vocabulary, status, si=options.si)
    if options.format == "json":
        show(two_designs_json(answer), options.output)
    else:
        show("\n".join(two_designs_lines(answer, terminal_width())), options.output)
    return status


def _on_terminal(text: str, options: argparse.Namespace) -> str:
    """Colour a table that is shown on a terminal which has colour."""
    from deckclause.report.colour import coloured, has_colour

    table = options.format == "table" and options.output is None
    return coloured(text) if table and has_colour(sys.stdout) else text


def _write_document(
    catalogue: Catalogue, comparison: Comparison, options: argparse.Namespace
) -> None:
    if options.output is None and options.format != "html":
        raise InputError.single("--format", f"{options.format} is no text; name a file with -o")
    from deckclause.report.comparison.html import comparison_file
    from deckclause.report.document.write import lacks_drawings

    refuse_existing(options.output)
    if options.strictest:
        from deckclause.answers.compare.strictest import strictest_answer
        from deckclause.report.comparison.strictest_document import strictest_file

        words = strictest_answer(comparison, catalogue.vocabulary, si=options.si)
        content = strictest_file(words, options.format)
    else:
        from deckclause.answers.compare.drawn import drawn_answer
        from deckclause.report.drawing.comparison_drawings import comparison_drawings

        annex = bool(options.annex or options.between)
        content = comparison_file(
            compare_answer(comparison, catalogue.vocabulary, si=options.si, depth=annex),
            catalogue.vocabulary.sources,
            tuple(comparison_drawings(drawn_answer(comparison, catalogue.vocabulary))),
            options.format,
            only_differences=options.only == "differences",
            everything=_everything(options),
            annex=annex,
        )
    if options.output is None:
        print(content.decode(), end="")
    else:
        write_new_file(options.output, content)
        lack = lacks_drawings(options.format)
        if lack and not options.strictest:
            print(f"{options.output}: {lack}", file=sys.stderr)


def _refuse_what_does_nothing(options: argparse.Namespace) -> None:
    """Raise InputError for an option that would be ignored."""
    if options.strictest and options.format in ("json", "csv"):
        raise InputError.single(
            "--strictest",
            f"is not written as {options.format}; table, markdown, html, pdf and docx are",
        )
    if options.strictest and (options.only or options.between):
        other = "--only" if options.only else "--between"
        raise InputError.single("--strictest", f"and {other} do not go together; leave one out")
    if options.annex and (options.strictest or options.format not in DOCUMENTS):
        raise InputError.single(
            "--annex", "adds every finding to a comparison as html, pdf or docx; nowhere else"
        )


def _everything(options: argparse.Namespace) -> bool:
    return bool(options.all or options.between or options.topic or options.part)


def _report(catalogue: Catalogue, comparison: Comparison, options: argparse.Namespace) -> str:
    if options.strictest:
        return _strictest(catalogue, comparison, options)
    only = options.only == "differences"
    depth = bool(options.format == "json" or options.between)
    answer = compare_answer(comparison, catalogue.vocabulary, si=options.si, depth=depth)
    if options.format == "json":
        from deckclause.report.comparison.json import comparison_json

        return comparison_json(answer, only_differences=only)
    if options.format == "csv":
        from deckclause.report.comparison.csv import comparison_csv

        return comparison_csv(answer, only_differences=only)
    if options.format == "markdown":
        from deckclause.report.comparison.markdown import comparison_markdown

        return comparison_markdown(answer, only_differences=only)
    from deckclause.report.comparison.table import ComparisonText

    text = ComparisonText(
        answer,
        width=terminal_width(),
        only_differences=only,
        everything=_everything(options),
        narrowed=bool(options.between or options.topic or options.part),
        why=options.why,
    )
    if options.between:
        from deckclause.report.comparison.depth import depth_lines

        return "\n".join(text.lines(depth_lines(text)))
    return "\n".join(text.lines())


def _strictest(catalogue: Catalogue, comparison: Comparison, options: argparse.Namespace) -> str:
    from deckclause.answers.compare.strictest import strictest_answer

    words = strictest_answer(comparison, catalogue.vocabulary, si=options.si)
    if options.format == "markdown":
        from deckclause.report.comparison.strictest_document import strictest_markdown

        return strictest_markdown(words)
    from deckclause.report.comparison.strictest_text import strictest_lines

    return "\n".join(strictest_lines(words, terminal_width()))
