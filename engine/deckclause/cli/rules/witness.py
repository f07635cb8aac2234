"""Look clauses and tables up in a book of your own, and keep what you saw beside the rules.

Goes through what the rules have, clause by clause and row by row; one key answers. What you saw is
kept after every answer in rules/witness/RULESET/YOUR-NAME.yaml: figures and section numbers, no
sentence of the book. Figures read as shown become confirmed; figures read otherwise are told with
every answer until the rules are mended. Needs a rules folder that can be written (see --rules).
"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from deckclause.cli.shared import add_rules_options, open_catalogue, terminal_width, write_new_file
from deckclause.rulesets.problems import InputError, suggestion

if TYPE_CHECKING:
    from deckclause.answers.witness.sheet import Sheet
    from deckclause.rulesets.library import RuleLibrary


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("ruleset", metavar="RULESET", help="an edition or guide you have in hand")
    parser.add_argument("--part", default="", help="one part of the deck, topic or table")
    parser.add_argument("--by", default="", metavar="NAME", help="who is reading")
    parser.add_argument("--printing", default="", help="which printing, as the book says it")
    parser.add_argument("--on", default="", metavar="DATE", help="the day it is read (today)")
    parser.add_argument("--again", action="store_true", help="also what you have answered already")
    parser.add_argument("--sheet", type=Path, metavar="FILE",
                        help="write a tick sheet to print (.pdf, .docx, .html) instead")  # fmt: skip
    parser.add_argument("--take", type=Path, metavar="FILE",
                        help="take in a witness file somebody sent")  # fmt: skip
    parser.add_argument("--review", action="store_true", help="show what was found so far")
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command; return the exit status."""
    library = open_catalogue(options).library
    known = library.files.rulesets
    if options.ruleset not in known:
        raise InputError.single(
            options.ruleset, f"is no edition or guide.{suggestion(options.ruleset, known)}"
        )
    if options.take is not None:
        return _take(library, options.ruleset, options.take)
    if options.review:
        return _review(library, options.ruleset)
    from deckclause.answers.witness.sheet import make_sheet

    sheet = make_sheet(library.as_written(options.ruleset), library.vocabulary, options.part)
    if options.sheet is not None:
        return _print_sheet(sheet, options.sheet)
    return _read(library, sheet, options)


def _review(library: RuleLibrary, ruleset: str) -> int:
    from deckclause.answers.witness.tally import tally_of
    from deckclause.report.rule_sets.witness_text import review_lines

    tally = tally_of(library, ruleset)
    if tally is None:
        print(f"nobody has read {ruleset} in the book yet: deckclause rules witness {ruleset}")
        return 0
    print("\n".join(review_lines(tally, terminal_width())))
    return 1 if tally.otherwise or tally.disagree else 0


def _print_sheet(sheet: Sheet, path: Path) -> int:
    from deckclause.report.document.write import document_bytes
    from deckclause.report.rule_sets.witness_document import sheet_document

    formats = {".pdf": "pdf", ".docx": "docx", ".html": "html"}
    if path.suffix not in formats:
        raise InputError.single("--sheet", f"'{path.name}' should end in .pdf, .docx or .html")
    write_new_file(path, document_bytes(sheet_document(sheet), formats[path.suffix]))
    return 0


def _take(library: RuleLibrary, ruleset: str, path: Path) -> int:
    """Take a witness file in; readings of one person are joined, the later of each item kept."""
    from deckclause.rulesets.read_file import read_bytes
    from deckclause.rulesets.witness import read_record, with_reading
    from deckclause.rulesets.witness_files import keep_record, kept_record

    sent = read_record(read_bytes(path), str(path))
    if sent.ruleset != ruleset:
        raise InputError.single(str(path), f"holds readings of {sent.ruleset}, not of {ruleset}")
    record = kept_record(library.files, ruleset, sent.witness) or sent
    if record.printing != sent.printing:
        raise InputError.single(
            str(path),
            f"printing: '{sent.printing}'; what {record.witness} read before is from "
            f"'{record.printing}'. Two printings are two books: keep them under two names",
        )
    newer = [r for r in sent.readings if (old := record.of(r.item)) is None or old.day <= r.day]
    keep_record(library.files, with_reading(record, *newer))
    print(f"took in {len(newer)} readings of {ruleset} by {sent.witness}")
    return _review(library, ruleset)


def _read(library: RuleLibrary, sheet: Sheet, options: argparse.Namespace) -> int:
    from datetime import date

    from deckclause.cli.rules.witness_talk import Talk
    from deckclause.rulesets.witness_files import keep_record, kept_record, opened_record

    name = options.by or _asked("Who is reading? ")
    kept = kept_record(library.files, sheet.ruleset, name)
    printing = options.printing or (kept.printing if kept else _asked("Which printing? "))
    day = options.on or date.today().isoformat()
    try:
        date.fromisoformat(day)
    except ValueError:
        raise InputError.single("--on", f"'{day}' is no date; write it as 2024-05-01") from None
    record = opened_record(library.files, sheet.ruleset, name, printing)
    talk = Talk(record, day, lambda new: keep_record(library.files, new), terminal_width())
    talk.go_through(sheet, again=options.again)
    return 0


def _asked(question: str) -> str:
    try:
        answer = input(question).strip()
    except EOFError:
        answer = ""
    if len(answer) < 2:
        raise InputError.single(
            question.strip(), "an answer is needed; or give --by and --printing"
        )
    return answer
