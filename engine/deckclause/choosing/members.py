"""What is chosen: the members of a deck, and the sizes the trade buys for each."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from deckclause.designs.design import Design, Facts
from deckclause.quantities import parse_quantity
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.problems import InputError, suggestion
from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary

JOIST_SPACINGS = (Fraction(24), Fraction(16), Fraction(12))
"""On-center spacings that decking and tape measures are made for; trade practice."""
FOOTING_WIDTHS = tuple(Fraction(n) for n in range(8, 50, 2))
"""Diameters and sides of footings, in 2 in steps; trade practice."""
FASTENER_SPACINGS = tuple(Fraction(n) for n in range(36, 5, -1))
"""Whole inches, as the ledger tables print them."""
FASTENER_KINDS = ("lag_screw", "through_bolt")
"""The two kinds the ledger tables are made for."""


@dataclass(frozen=True, slots=True)
class Variable:
    """One thing to choose: a quantity of the design, and what it may be, in the trade's order."""

    quantity: str
    words: str
    options: tuple[Scalar, ...]


Choice = Mapping[str, Scalar]
"""By quantity: the value chosen."""

DEFAULTS: tuple[tuple[str, str, tuple[Scalar, ...]], ...] = (
    ("joists.size", "joist size", ()),
    ("joists.spacing", "joist spacing", JOIST_SPACINGS),
    ("beams.size", "beam", ()),
    ("posts.size", "post size", ()),
    ("footings.diameter", "footing diameter", FOOTING_WIDTHS),
    ("footings.side", "footing side", FOOTING_WIDTHS),
    ("ledger.size", "ledger size", ()),
    ("fasteners.kind", "ledger fastener", FASTENER_KINDS),
    ("fasteners.spacing", "fastener spacing", FASTENER_SPACINGS),
)
"""What is chosen unless it is kept; an empty list of options means the vocabulary's own choices."""

ON_REQUEST: tuple[tuple[str, str], ...] = (
    ("joists.cantilever", "joist cantilever"),
    ("joists.species", "joist species"),
    ("joists.grade", "joist grade"),
    ("beams.species", "beam species"),
    ("beams.grade", "beam grade"),
    ("posts.species", "post species"),
    ("ledger.species", "ledger species"),
    ("ledger.below_band_joist", "ledger below the band joist's top"),
    ("fasteners.upper_row_below_ledger_top", "upper row below the ledger's top"),
    ("fasteners.lower_row_below_ledger_top", "lower row below the ledger's top"),
)
"""What may be opened by name, with the values to try."""


def variables(
    design: Design,
    vocabulary: Vocabulary,
    *,
    keep: Sequence[str] = (),
    opened: Mapping[str, Sequence[str]] | None = None,
) -> tuple[Variable, ...]:
    """Return what is to be chosen for a design.

    `keep` names quantities or parts (`ledger`) that stay as the design states them; `opened` gives
    values to try for a quantity. Raises InputError for a name or value that is none.
    """
    asked = dict(opened or {})
    words = {q: w for q, w, _ in DEFAULTS} | dict(ON_REQUEST)
    _check_names([*keep, *asked], words)
    found = []
    for quantity, said, options in DEFAULTS:
        if quantity in asked or _kept(quantity, keep) or not _stands(design, quantity):
            continue
        found.append(Variable(quantity, said, options or _choices(vocabulary, quantity)))
    for quantity, texts in asked.items():
        definition = vocabulary.quantities[quantity]
        values = tuple(_value(text, definition) for text in texts) or _choices(vocabulary, quantity)
        found.append(Variable(quantity, words[quantity], values))
    order = list(words)
    return tuple(sorted(found, key=lambda v: order.index(v.quantity)))


def _check_names(names: Iterable[str], words: Mapping[str, str]) -> None:
    groups = {quantity.split(".")[0] for quantity in words}
    for name in names:
        if name not in words and name not in groups:
            near = suggestion(name, [*words, *groups])
            raise InputError.single(name, f"is nothing that can be chosen.{near}")


def _kept(quantity: str, keep: Sequence[str]) -> bool:
    return quantity in keep or quantity.split(".", maxsplit=1)[0] in keep


def _stands(design: Design, quantity: str) -> bool:
    """Tell whether the deck has the member: no beams stated means none to choose.

    A footing is round or square; what its shape is not has no size.
    """
    group = quantity.split(".", maxsplit=1)[0]
    attachment = design.facts.get("deck.attachment")
    if group in ("ledger", "fasteners"):
        return attachment != "freestanding"
    if group in design.parts and not design.parts[group]:
        return False
    if (
        group not in ("joists",)
        and group in ("beams", "posts", "footings")
        and group not in design.parts
    ):
        return False
    if quantity in ("footings.diameter", "footings.side"):
        shapes = {p.facts.get("footings.shape") for p in design.parts.get("footings", ())}
        return shapes == {"round" if quantity.endswith("diameter") else "square"}
    return True


def _choices(vocabulary: Vocabulary, quantity: str) -> tuple[Scalar, ...]:
    return tuple(vocabulary.quantities[quantity].choices)


def _value(text: str, definition: QuantityDefinition) -> Scalar:
    if definition.choices:
        if text not in definition.choices:
            near = suggestion(text, definition.choices)
            raise InputError.single(definition.name, f"'{text}' is not a choice.{near}")
        return text
    assert definition.dimension is not None
    return parse_quantity(text, definition.dimension).value


def with_choice(design: Design, choice: Choice) -> Design:
    """Return the design with the members chosen; every part of a group gets the same size."""
    facts: Facts = dict(design.facts)
    parts = dict(design.parts)
    for quantity, value in choice.items():
        group = quantity.split(".")[0]
        if group in parts:
            parts[group] = tuple(
                replace(part, facts={**part.facts, quantity: value}) for part in parts[group]
            )
        elif group in ("joists", "beams", "posts", "footings"):
            parts[group] = tuple(
                replace(part, facts={**part.facts, quantity: value})
                for part in design.values(group)
            )
        else:
            facts[quantity] = value
    return replace(design, facts=facts, parts=parts)
