"""Make an amendment's papers: the ordinance with strike and insert, the council's page, the handout.

All are made from the amendment's own file; what it does not say stays visibly empty.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from deckclause.cli.amend.shared import shown_path
from deckclause.cli.shared import open_catalogue
from deckclause.rulesets.problems import InputError

if TYPE_CHECKING:
    from deckclause.answers.ordinance import Ordinance
    from deckclause.evaluate.catalogue import Catalogue
    from deckclause.evaluate.evaluator import Evaluator
    from deckclause.evaluate.prepare import PreparedDesign
    from deckclause.report.document import Document
    from deckclause.report.ordinance.handout import HandoutDrawing
    from deckclause.rulesets.vocabulary import Vocabulary

LEDGER_EXAMPLE, WHOLE_EXAMPLE = "complies-everywhere.yaml", "whole-deck-12x16.yaml"
"""The decks the handout draws where none is named: a ledger that complies, a deck with all parts."""
FORMATS = ("docx", "pdf", "html")


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("amendment", metavar="AMENDMENT", help="the amendment's id, or its file")
    parser.add_argument(
        "-o", "--output", metavar="FOLDER", type=Path, required=True, help="where they are written"
    )
    parser.add_argument(
        "--format", action="append", choices=FORMATS, help="only this one; repeat for more"
    )
    parser.add_argument(
        "--example", type=Path, metavar="DESIGN", help="the deck the handout draws (a shipped one)"
    )


def run(options: argparse.Namespace) -> int:
    """Write the papers; return 0 where nothing is left empty, 1 where something is."""
    from deckclause.answers.ordinance import ordinance_of
    from deckclause.report.document.write import document_bytes, lacks_drawings
    from deckclause.rulesets.drafts import amendment_named
    from deckclause.rulesets.write_file import refuse_existing, write_together

    catalogue = open_catalogue(options)
    name = amendment_named(catalogue.files, options.amendment)
    if not name:
        catalogue.files.amendment_path(options.amendment)
        raise InputError.single(options.amendment, "is not an amendment")
    told = ordinance_of(catalogue.library, name)
    documents = _documents(catalogue, told, options.example)
    formats = options.format or FORMATS
    paths = {
        options.output / f"{name}-{kind}.{f}": (d, f) for kind, d in documents for f in formats
    }
    for path in paths:
        refuse_existing(path)
    contents = {path: document_bytes(document, f) for path, (document, f) in paths.items()}
    try:
        options.output.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise InputError.single(
            str(options.output), f"cannot be written to ({fault.strerror})"
        ) from None
    write_together(dict(contents))
    for path in contents:
        print(f"{shown_path(path)}: written.")
    for lack in dict.fromkeys(filter(None, map(lacks_drawings, formats))):
        print(lack, file=sys.stderr)
    return _tell_empty(told)


def _documents(
    catalogue: Catalogue, told: Ordinance, example: Path | None
) -> tuple[tuple[str, Document], ...]:
    from deckclause.compare.rule_diff.clauses import rule_diff
    from deckclause.report.ordinance.council import council_document
    from deckclause.report.ordinance.handout import handout_document
    from deckclause.report.ordinance.ordinance import ordinance_document
    from deckclause.report.rule_diff.document import rule_diff_document

    difference = rule_diff(told.before, told.after, catalogue.vocabulary)
    changes = rule_diff_document(difference, catalogue.vocabulary, {}, "")
    return (
        ("ordinance", ordinance_document(told)),
        ("council", council_document(told, changes)),
        ("handout", handout_document(told, _drawings(catalogue, told, example))),
    )


def _drawings(
    catalogue: Catalogue, told: Ordinance, example: Path | None
) -> tuple[HandoutDrawing, ...]:
    """Return the section at the ledger, and guard, stair and footing, as the ordinance has them."""
    from deckclause.evaluate.compile import compile_ruleset
    from deckclause.evaluate.ready import make_ready

    folder = catalogue.files.found("examples")
    paths = [example] * 2 if example else [folder / LEDGER_EXAMPLE, folder / WHOLE_EXAMPLE]
    if not all(path.is_file() for path in paths) and example is None:
        return ()
    vocabulary = catalogue.vocabulary
    compiled = compile_ruleset(told.after, vocabulary.quantities)
    evaluator = make_ready(compiled, vocabulary.quantities)
    ledger, whole = map(catalogue.design, paths)
    return (*_section(ledger, evaluator, vocabulary), _figures(whole, evaluator, vocabulary))


def _section(
    design: PreparedDesign, evaluator: Evaluator, vocabulary: Vocabulary
) -> Iterator[HandoutDrawing]:
    from deckclause.answers.sections import sections_answer
    from deckclause.report.drawing.draw_section import numbered
    from deckclause.report.drawing.handout_drawings import HATCHES, section_across
    from deckclause.report.ordinance.handout import HandoutDrawing

    name = design.design.name
    for scene in sections_answer(design, [evaluator], vocabulary).scenes[:1]:
        limits = tuple(
            f"{number}: {item.bounds_text()}, {item.label} ({item.cites or 'no section cited'}, "
            f"{item.standing or 'standing not stated'})"
            for item, number in numbered(scene.drawing.clauses).items()
        )
        caption = f"Where the ledger's fasteners may go on one deck ({name}); other boards differ. {HATCHES}"
        yield HandoutDrawing(section_across(scene), caption, limits)


def _figures(
    design: PreparedDesign, evaluator: Evaluator, vocabulary: Vocabulary
) -> HandoutDrawing:
    from deckclause.answers.key_figures import key_figures
    from deckclause.evaluate.findings import evaluate
    from deckclause.report.drawing.handout_drawings import figures_across
    from deckclause.report.ordinance.handout import HandoutDrawing
    from deckclause.rulesets.names import rule_set_titles

    figures = key_figures(evaluate(design, evaluator, vocabulary), vocabulary)
    caption = (
        f"Guard, stair and footing, not to scale, as asked of one deck ({design.design.name})."
    )
    drawn = figures_across(rule_set_titles([evaluator.ruleset.name]), figures)
    return HandoutDrawing(drawn, caption)


def _tell_empty(told: Ordinance) -> int:
    """Print what is still to be written; return 1 where anything is."""
    from deckclause.report.ordinance.ordinance import ASKS

    empty = [asks for name, asks in ASKS.items() if not getattr(told, name)]
    if told.findings_asked and not told.findings:
        empty.append(f"findings, which {told.findings_asked}")
    if not told.contact:
        empty.append("whom a builder asks")
    if empty:
        print(
            "Still to be written, under `papers:` in the amendment's file (or its register line):"
        )
        print("\n".join(f"  {asks}" for asks in empty))
    return 1 if empty else 0
