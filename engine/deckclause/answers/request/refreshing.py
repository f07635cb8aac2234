"""A request taken up anew, decided: the relief it still asks for, worked out from design and rules of today."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from msgspec import Struct

from deckclause.answers.request.new import NewRequest, must_choose, new_request
from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.read_file import read_bytes
from deckclause.variance.case import places
from deckclause.variance.relief import Choice, ReliefReport, relief_report
from deckclause.variance.request.build import Request, read_request

Place = tuple[str, str]
"""(clause key, part)."""


class TakenUp(Struct, frozen=True):
    """A request's file as it stands, and the same request as it would be begun today."""

    file: str
    text: str
    fresh: NewRequest


def take_up(catalogue: Catalogue, path: Path) -> TakenUp:
    """Work a request out anew. Raises InputError where the design needs no relief any more."""
    request = read_request(catalogue, path)
    text = read_bytes(path).decode("utf-8-sig")
    design = path.parent / request.tree.data["design"]
    report = relief_report(catalogue, catalogue.design(design), request.tree.data["under"])
    must_choose(report, str(design))
    choice = _same_relief(report, request)
    if choice is None:
        raise InputError.single(
            str(path),
            "the relief asked for would no longer do for the design as it is now; deckclause relief "
            "numbers those that would, and request new --relief N begins anew with one of them",
        )
    fresh = new_request(
        report, request.kind, request.form, request.local, request.tree.data["design"], choice
    )
    return TakenUp(request.file, text, fresh)


def _same_relief(report: ReliefReport, request: Request) -> Choice | None:
    """Return the relief nearest to what the request asks: the same clauses, the same things moved.

    None where no relief that would do lets out any clause the request has an item on.
    """
    asked = {place_of(item.words) for item in request.items}
    moved = set(request.tree.data.get("with_changes") or {})

    def lets_out(choice: Choice) -> frozenset[Place]:
        return places(tuple(r.finding for r in choice.relaxations))

    def far(choice: Choice) -> tuple[int, int]:
        others = len(lets_out(choice) ^ asked)
        return others, len(moved ^ {name for name, _ in choice.moved})

    return min((c for c in report.choices if asked & lets_out(c)), key=far, default=None)


def place_of(words: dict[str, Any]) -> Place:
    """Return the clause and the part that an item of a request stands for."""
    return str(words["clause"]), str(words.get("part") or "")
