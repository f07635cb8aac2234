"""Line up the editions topic by topic: where each says it, and with what figure."""

from __future__ import annotations

import argparse
from pathlib import Path

from tabulate import tabulate

from deckclause.cli.file_format import format_for
from deckclause.cli.shared import (
    ALL_EDITIONS,
    date_option,
    open_catalogue,
    refuse_existing,
    rule_set_names,
    terminal_width,
    write_new_file,
)
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.words import ClauseWords
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.problems import InputError, suggestion
from deckclause.rulesets.vocabulary import Vocabulary

SHEETS = {".csv": "csv", ".html": "html", ".htm": "html", ".pdf": "pdf", ".docx": "docx"}


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("topic", metavar="TOPIC", nargs="?", help="one topic: with its figures")
    parser.add_argument("--under", action="append", default=[], metavar="RULESET")
    parser.add_argument(
        "--places",
        metavar="DATE",
        help="what each place asks on TOPIC that day: a sheet of a state",
    )
    parser.add_argument("--within", metavar="PLACE", help="with --places: it and the places within")
    parser.add_argument(
        "-o",
        "--output",
        type=Path,
        metavar="FILE",
        help="with --places: write the sheet there, as .csv, .html, .pdf or .docx",
    )


def run(options: argparse.Namespace) -> int:
    """Print the concordance."""
    catalogue = open_catalogue(options)
    vocabulary = catalogue.vocabulary
    if options.places:
        return _of_places(catalogue, options)
    if options.within or options.output:
        raise InputError.single("--within and -o", "belong to --places DATE")
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
    _check_topic(options.topic, vocabulary)
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


def _check_topic(topic: str, vocabulary: Vocabulary) -> None:
    if topic not in vocabulary.topics:
        near = suggestion(topic, vocabulary.topics)
        raise InputError.single("TOPIC", f"'{topic}' is not a topic.{near}")


def _of_places(catalogue: Catalogue, options: argparse.Namespace) -> int:
    """Print or write what each place asks on a topic on a day."""
    from deckclause.answers.places_sheet import places_sheet
    from deckclause.cli.many_places import in_force, places_to_ask
    from deckclause.report.document.write import document_bytes
    from deckclause.report.rule_sets import places_document

    if options.topic is None or options.under:
        raise InputError.single("--places", "needs a TOPIC, and goes without --under")
    _check_topic(options.topic, catalogue.vocabulary)
    day = date_option("--places", options.places).isoformat()
    file_format = format_for(None, options.output, endings=SHEETS)
    refuse_existing(options.output)
    register = catalogue.register
    places = places_to_ask(register, "--places")
    if options.within:
        larger = register.place(options.within)
        places = [p for p in places if p is larger or larger in register.outer(p)]
    names, without = in_force(catalogue, [p.name for p in places], day)
    if not names:
        raise InputError.single("--places", f"nothing is in force on {day} in any of the places")
    sheet = places_sheet(catalogue, options.topic, day, names, without)
    if options.output is None:
        print("\n".join(places_document.sheet_lines(sheet, terminal_width())))
    elif file_format == "csv":
        write_new_file(options.output, places_document.sheet_csv(sheet).encode())
    else:
        document = places_document.sheet_document(sheet)
        write_new_file(options.output, document_bytes(document, file_format))
    return 0
