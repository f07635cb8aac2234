"""Say what one rule set changes of another, clause by clause, figures side by side.

A summary comes first, then what truly changes by topic, then the tables.
"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from deckclause.cli.file_format import format_for
from deckclause.cli.shared import (
    add_rules_options,
    open_catalogue,
    refuse_existing,
    show,
    terminal_width,
    write_new_file,
)
from deckclause.cli.topics import wanted_topics
from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.problems import InputError

if TYPE_CHECKING:
    from deckclause.compare.felt_figures import Felt
    from deckclause.compare.rule_diff.clauses import RuleDiff

EXAMPLE = "whole-deck-12x16.yaml"
"""The example deck whose figures stand for tables in the summary."""
ENDINGS = {
    ".txt": "text",
    ".md": "markdown",
    ".json": "json",
    ".html": "html",
    ".pdf": "pdf",
    ".docx": "docx",
}
"""The format each ending of -o means."""


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
        "--example",
        type=Path,
        metavar="DESIGN",
        help="the deck whose figures stand for tables in the summary (a shipped example)",
    )
    parser.add_argument(
        "--format",
        choices=["text", "markdown", "json", "html", "pdf", "docx"],
        help="how to print (else as the ending of -o says, else text); pdf and docx need -o",
    )
    parser.add_argument(
        "-o", "--output", metavar="FILE", type=Path, help="write there; nothing is overwritten"
    )
    parser.add_argument("--si", action="store_true", help="print in SI units")
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command; 0 always: a difference is no fault."""
    from deckclause.compare.rule_diff.clauses import rule_diff

    kind = format_for(options.format, options.output, default="text", endings=ENDINGS)
    if kind in ("pdf", "docx") and options.output is None:
        raise InputError.single("--format", f"{kind} is no text; name a file with -o")
    refuse_existing(options.output)
    catalogue = open_catalogue(options)
    one, two = (catalogue.ruleset(name) for name in (options.one, options.two))
    topics = tuple(wanted_topics(catalogue, options.topic, options.part))
    diff = rule_diff(one, two, catalogue.vocabulary, topics=topics, si=options.si)
    felt, example = _felt(catalogue, diff, options)
    if kind in ("pdf", "docx"):
        from deckclause.report.rule_diff.document import rule_diff_file

        content = rule_diff_file(diff, catalogue.vocabulary, felt, example, kind)
        write_new_file(options.output, content)
    else:
        show(_report(catalogue, diff, felt, example, kind), options.output)
    return 0


def _felt(catalogue: Catalogue, diff: RuleDiff, options: argparse.Namespace) -> tuple[Felt, str]:
    """Return what the example deck meets under both, and its name; nothing where there is none."""
    from deckclause.compare.felt_figures import felt_figures

    path = options.example or catalogue.files.found("examples") / EXAMPLE
    if options.example is None and not path.is_file():
        return {}, ""
    design = catalogue.design(path)
    evaluators = catalogue.evaluator(options.one), catalogue.evaluator(options.two)
    felt = felt_figures(diff, evaluators, design, catalogue.vocabulary, si=options.si)
    return felt, f"{design.design.name} ({path.name})"


def _report(catalogue: Catalogue, diff: RuleDiff, felt: Felt, example: str, kind: str) -> str:
    vocabulary = catalogue.vocabulary
    if kind == "json":
        from deckclause.report.rule_diff.data import rule_diff_json

        return rule_diff_json(diff, vocabulary, felt, example)
    if kind == "markdown":
        from deckclause.report.rule_diff.markdown import rule_diff_markdown

        return rule_diff_markdown(diff, vocabulary, felt, example).rstrip("\n")
    if kind == "html":
        from deckclause.report.rule_diff.html import rule_diff_html

        return rule_diff_html(diff, vocabulary, felt, example).rstrip("\n")
    from deckclause.report.rule_diff.text import rule_diff_text

    return rule_diff_text(diff, vocabulary, terminal_width(), felt, example)
