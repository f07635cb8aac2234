"""Contradictions planted in a request's own fields, for any kind and form, and held against its check."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path

from deckclause.answers.request.new import new_request
from deckclause.report.request.template import request_template
from deckclause.variance.relief import ReliefReport, relief_report
from deckclause.variance.request.build import read_request
from deckclause.variance.request.check import check_request, written_texts
from variance.decks import catalogue, read
from variance.papers import GROUNDS, rules
from variance.requests import EXAMPLE, fill

UNDER = "Quillmere County@2019-08-01"
DESIGN = (
    EXAMPLE.read_text()
    .replace("below_band_joist: 3 in", "below_band_joist: 2-1/2 in")
    .replace("lower_row_below_ledger_top: 6-1/2 in", "lower_row_below_ledger_top: 6 in")
)


@cache
def report() -> ReliefReport:
    return relief_report(catalogue(), read(DESIGN), UNDER)


def missed_and_claimed(
    folder: Path, kind: str, form: str, wrong: Sequence[str], clean: Sequence[str]
) -> tuple[list[str], list[str]]:
    """Write sentences into the free fields of a request; return wrong ones not found, and clean ones named."""
    missed, claimed = [], []
    for told in _written(folder, kind, form, wrong):
        missed += [words for field, words in told.items() if not _named(field, folder)]
    for told in _written(folder, kind, form, clean):
        claimed += [words for field, words in told.items() if _named(field, folder)]
    return missed, claimed


def _written(
    folder: Path, kind: str, form: str, sentences: Sequence[str]
) -> Iterator[dict[str, str]]:
    """Write so many sentences at a time as the form has fields for; yield them by field."""
    left = list(sentences)
    while left:
        path = blank(folder, kind, form)
        words = fill(path, ground=GROUNDS.get(kind, ""))
        free = dict.fromkeys(name for name, _, _ in written_texts(read_request(catalogue(), path)))
        told: dict[str, str] = {}
        text = path.read_text()
        for field in free:
            if left and field in words and words[field].startswith("Words on"):
                told[field] = left.pop(0)
                text = text.replace(f'"{words[field]}"', json.dumps(told[field]))
        assert told, "a form without a free field"
        path.write_text(text)
        yield told


def blank(folder: Path, kind: str, form: str) -> Path:
    """A request of a kind and form as it is begun, with its design beside it."""
    (folder / "deck.yaml").write_text(DESIGN)
    path = folder / "request.yaml"
    found = report()
    assert found.as_drawn is not None
    new = new_request(
        found, rules().kinds[kind], rules().forms[form], None, "deck.yaml", found.as_drawn
    )
    path.write_text(request_template(new))
    return path


@cache
def _differs(path: Path, stamp: str) -> tuple[str, ...]:
    return check_request(read_request(catalogue(), path)).differs


def _named(field: str, folder: Path) -> bool:
    path = folder / "request.yaml"
    leaf = field.removeprefix("items.")
    heads = (f"{field} says", f"].{leaf} says")
    return any(h in words for words in _differs(path, path.read_text()) for h in heads)
