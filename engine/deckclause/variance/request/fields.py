"""Every field an applicant writes, with the question it answers; read off the request's model."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct
from pydantic import BaseModel

from deckclause.variance.request.model import Item, RequestFile

ITEMS = "items."
NOT_ASKED = frozenset(
    {
        "request", "kind", "form", "local", "under", "design", "design_digest", "rule_set_digest",
        "state", "with_changes", "look_again", "conditions", "expires", "office_log", "why_not", "items", "items.clause", "items.part",
    }
)  # fmt: skip
"""Settings of the file itself, and answers by change of the design, which no form asks for."""
FILLED_LATER = frozenset({"number", "fee.paid"})


class Field(Struct, frozen=True):
    """One field: its dotted name, a title for readers, the question it answers."""

    name: str
    title: str
    asks: str

    @property
    def in_item(self) -> bool:
        """Whether it is written once for each item."""
        return self.name.startswith(ITEMS)


def fields() -> dict[str, Field]:
    """Return every field an applicant writes, in the order of the file.

    >>> fields()["items.equivalence.strength"].title
    'As good in strength'
    """
    found = [*_walk(RequestFile, ""), *_walk(Item, ITEMS)]
    return {f.name: f for f in found if f.name not in NOT_ASKED}


def _walk(model: type[BaseModel], prefix: str) -> Iterator[Field]:
    for name, info in model.model_fields.items():
        inner = info.annotation
        if isinstance(inner, type) and issubclass(inner, BaseModel):
            yield from _walk(inner, f"{prefix}{name}.")
            continue
        full = f"{prefix}{name}"
        yield Field(full, _title(full), info.description or "")


TITLES = {
    "number": "The office's number",
    "case_type": "Kind of case",
    "owner.name": "Owner",
    "owner.contact": "Owner's contact",
    "applicant.name": "Applicant",
    "applicant.role": "Applicant's role",
    "applicant.contact": "Applicant's contact",
    "designer.name": "Designer",
    "designer.licence": "Designer's licence",
    "designer.contact": "Designer's contact",
    "official.name": "Official",
    "official.contact": "Official's contact",
    "project.new_or_existing": "New or existing",
    "project.description": "What is built",
    "project.occupancy": "Occupancy",
    "project.building_history": "History of the building",
    "drawing.drawn_by": "Drawing: drawn by",
    "drawing.checked_by": "Drawing: checked by",
    "drawing.date": "Drawing: its date",
    "drawing.revisions": "Drawing: revisions",
    "fee.basis": "Basis of the fee",
    "fee.paid": "Fee paid",
    "declarations.owner_consent": "Owner's consent",
    "declarations.statement_of_truth": "Statement of truth",
    "items.how_code_applies": "How the code applies",
    "items.why_impractical": "Why the letter of the code is impractical",
    "items.special_condition": "What is special to this case",
    "items.intent": "How the intent is kept",
    "items.mitigation": "What protects instead",
    "items.ground_argument": "Argument on the ground",
}
"""Titles a reader of the papers would give these fields; others are titled by their own names."""


def _title(name: str) -> str:
    if name in TITLES:
        return TITLES[name]
    words = name.removeprefix(ITEMS).replace("_", " ").split(".")
    if words[0] == "equivalence":
        return f"As good in {words[-1]}"
    return " ".join([words[0][0].upper() + words[0][1:], *words[1:]])
