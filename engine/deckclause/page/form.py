"""The form, generated from the vocabulary: a group a part of the deck, a field a question."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from deckclause.report.design_template import LEDGER_GROUPS
from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary

EXAMPLES: dict[str, str] = {
    "length": "6-1/2 in",
    "area": "192 sq ft",
    "load": "40 psf",
    "force": "1500 lb",
    "line_load": "50 plf",
    "angle": "30 deg",
    "count": "2",
    "ratio": "1/2",
    "date": "2024-05-01",
}
"""How a value of each kind is typed."""


class Field(Struct, frozen=True):
    """One question of the form. `kind` is `choice`, `yes_no`, `text` or `measure`."""

    quantity: str
    key: str
    question: str
    says: str
    kind: str
    example: str
    choices: tuple[tuple[str, str], ...]
    fixed_by_place: bool


class FieldGroup(Struct, frozen=True):
    """The questions on one part of the deck; `many` where a deck may have several such parts."""

    name: str
    title: str
    many: bool
    read_for_ledger: bool
    fields: tuple[Field, ...]


def stated_quantities(vocabulary: Vocabulary, group: str) -> Iterator[str]:
    """Yield the quantities of a group that a design states: not derived, not provided."""
    for definition in vocabulary.quantities.values():
        if definition.name.startswith(f"{group}.") and not (
            definition.derived or definition.provided
        ):
            yield definition.name


IN_ORDER_OF_WORK = (
    *("site", "deck", "floor", "wall", "band_joist", "ledger", "fasteners", "lateral"),
    *("footings", "posts", "beams", "joists", "decking", "guards", "stairs", "doors"),
)
"""The parts of a deck as they are settled and built; what the vocabulary has besides stands after."""


def form_of(vocabulary: Vocabulary) -> tuple[FieldGroup, ...]:
    """Return the form's groups, in the order of the work; a group with no question is left out."""
    groups = []
    known = vocabulary.groups
    ordered = dict.fromkeys((*(n for n in IN_ORDER_OF_WORK if n in known), *known))
    for group in (known[name] for name in ordered):
        names = () if group.name == "design" else tuple(stated_quantities(vocabulary, group.name))
        if names:
            fields = tuple(_field(vocabulary.quantities[name]) for name in names)
            ledger = group.name in LEDGER_GROUPS
            groups.append(FieldGroup(group.name, group.title, group.many, ledger, fields))
    return tuple(groups)


def _field(definition: QuantityDefinition) -> Field:
    kind = definition.kind if definition.kind in ("choice", "yes_no", "text") else "measure"
    return Field(
        definition.name,
        definition.name.split(".", 1)[1],
        definition.ask,
        definition.says,
        kind,
        _example(definition),
        tuple((choice, choice.replace("_", " ")) for choice in definition.choices),
        definition.fixed_by_place,
    )


def _example(definition: QuantityDefinition) -> str:
    if definition.kind == "length" and definition.unit == "ft":
        return "11 ft 10 in"
    if definition.unit == "%":
        return "2%"
    return EXAMPLES.get(definition.kind, "")
