"""Every field an applicant writes, with the question it answers; read off the request's model."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

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


@dataclass(frozen=True, slots=True)
class Field:
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
    'Equivalence: strength'
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


def _title(name: str) -> str:
    words = name.removeprefix(ITEMS).replace("_", " ").split(".")
    head, *rest = words
    return ": ".join([head[0].upper() + head[1:], *rest])
