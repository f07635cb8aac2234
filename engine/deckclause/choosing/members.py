"""What is chosen: the members of a deck, and the sizes the trade buys for each."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

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
REPEATED = ("joists", "beams", "posts", "footings")
"""Parts a deck may have several of."""
FASTENER_KINDS = ("lag_screw", "through_bolt")
"""The two kinds the ledger tables are made for."""


class Variable(Struct, frozen=True):
    """One thing to choose: a quantity of the design, and what it may be, in the trade's order."""

    quantity: str
    words: str
    options: tuple[Scalar, ...]


Choice = Mapping[str, Scalar]
"""By quantity: the value chosen."""

GRADES = ("no_2", "no_1", "select_structural", "no_3", "ungraded")
"""Grades of dimension lumber, what yards stock first; trade practice."""
HALF_FEET = tuple(Fraction(6 * n) for n in range(7))
"""Cantilevers in half feet to 3 ft."""


def marks(first: int, last: int, parts: int) -> tuple[Scalar, ...]:
    """Return the marks of a tape from one inch to another, each inch in so many parts.

    >>> [str(mark) for mark in marks(1, 2, 4)]
    ['1', '5/4', '3/2', '7/4', '2']
    """
    return tuple(Fraction(n, parts) for n in range(parts * first, parts * last + 1))


class Choosable(Struct, frozen=True):
    """What can be chosen: in the trade's words, what it may be, and the topics that decide it.

    No `options` means the vocabulary's own. It is chosen `always`, else only where the design
    leaves it open, or on request. A size that no rule set decides on one of `topics` is not chosen.
    """

    quantity: str
    words: str
    options: tuple[Scalar, ...]
    topics: tuple[str, ...]
    always: bool = False


JOISTS, BEAMS, POSTS = ("joist_span",), ("beam_span",), ("post_height",)
CHOOSABLE: tuple[Choosable, ...] = (
    Choosable("joists.species", "joist species", (), JOISTS),
    Choosable("joists.grade", "joist grade", GRADES, (*JOISTS, "joist_grade")),
    Choosable("joists.size", "joist size", (), JOISTS, always=True),
    Choosable("joists.spacing", "joist spacing", JOIST_SPACINGS, JOISTS, always=True),
    Choosable("joists.cantilever", "joist cantilever", HALF_FEET, ("joist_cantilever",)),
    Choosable("beams.species", "beam species", (), BEAMS),
    Choosable("beams.grade", "beam grade", GRADES, (*BEAMS, "beam_grade")),
    Choosable("beams.size", "beam", (), BEAMS, always=True),
    Choosable("posts.species", "post species", (), POSTS),
    Choosable("posts.size", "post size", (), POSTS, always=True),
    Choosable("footings.diameter", "footing diameter", FOOTING_WIDTHS, ("footing_size",), always=True),
    Choosable("footings.side", "footing side", FOOTING_WIDTHS, ("footing_size",), always=True),
    Choosable("ledger.species", "ledger species", (), ("ledger_material",)),
    Choosable("ledger.grade", "ledger grade", GRADES, ("ledger_grade",)),
    Choosable("ledger.size", "ledger size", (), ("ledger_size",), always=True),
    Choosable("fasteners.kind", "ledger fastener", FASTENER_KINDS, ("ledger_fastener_spacing",), always=True),
    Choosable("fasteners.spacing", "fastener spacing", FASTENER_SPACINGS, ("ledger_fastener_spacing",), always=True),
    Choosable(
        "ledger.below_band_joist", "ledger below band joist top", marks(0, 6, 2),
        ("band_joist_bottom_edge_distance", "band_joist_top_edge_distance"),
    ),
    Choosable(
        "fasteners.upper_row_below_ledger_top", "upper row below ledger top", marks(1, 6, 2),
        ("ledger_top_edge_distance", "ledger_row_spacing"),
    ),
    Choosable(
        "fasteners.lower_row_below_ledger_top", "lower row below ledger top", marks(2, 10, 2),
        ("ledger_lower_row_below_ledger_top", "ledger_bottom_edge_distance"),
    ),
)  # fmt: skip
"""All that can be chosen, in the order in which it is told."""
BY_QUANTITY: Mapping[str, Choosable] = {c.quantity: c for c in CHOOSABLE}
ROWS = ("fasteners.upper_row_below_ledger_top", "fasteners.lower_row_below_ledger_top")
DROP = "ledger.below_band_joist"


def variables(
    design: Design,
    vocabulary: Vocabulary,
    *,
    keep: Sequence[str] = (),
    opened: Mapping[str, Sequence[str]] | None = None,
) -> tuple[Variable, ...]:
    """Return what is to be chosen for a design.

    What every deck is built of is chosen always; the step down, the rows of ledger fasteners, the
    cantilever, species and grade where the design leaves them open. `keep` names quantities or
    parts (`ledger`) that stay as the design states them; `opened` gives values to try for a
    quantity, or none for the trade's own. Raises InputError for a name or value that is none.
    """
    asked = {quantity_meant(name): values for name, values in (opened or {}).items()}
    keep = [quantity_meant(name) for name in keep]
    found = []
    for one in CHOOSABLE:
        options = one.options or tuple(vocabulary.quantities[one.quantity].choices)
        if one.quantity in asked:
            definition = vocabulary.quantities[one.quantity]
            options = tuple(_value(t, definition) for t in asked[one.quantity]) or options
        elif (
            _kept(one.quantity, keep)
            or not _stands(design, one.quantity)
            or (not one.always and stated(design, one.quantity))
        ):
            continue
        found.append(Variable(one.quantity, one.words, options))
    return tuple(found)


def quantity_meant(name: str) -> str:
    """Return the quantity or part a person names, by its key or in the words it is told in.

    Raises InputError, with a suggestion, for a name that is none.

    >>> quantity_meant("joist cantilever"), quantity_meant("ledger")
    ('joists.cantilever', 'ledger')
    """
    plain = " ".join(name.split()).casefold()
    groups = {quantity.split(".")[0] for quantity in BY_QUANTITY}
    by_words = {one.words.casefold(): one.quantity for one in CHOOSABLE}
    if plain in BY_QUANTITY or plain in groups:
        return plain
    if plain in by_words:
        return by_words[plain]
    near = suggestion(name, [*BY_QUANTITY, *groups, *by_words])
    raise InputError.single(name, f"is nothing that can be chosen.{near}")


def drawn(design: Design, quantity: str) -> tuple[Scalar | None, ...]:
    """Return what a design states for a quantity, once for each part that has it; None where it does not."""
    group = quantity.split(".", maxsplit=1)[0]
    if group in REPEATED:
        return tuple(part.facts.get(quantity) for part in design.values(group))
    return (design.facts.get(quantity),)


def as_drawn(design: Design, some: Iterable[Variable]) -> Choice | None:
    """Return the options that a design states for some choices; None where it states others, or none."""
    found: dict[str, Scalar] = {}
    for variable in some:
        values = set(drawn(design, variable.quantity))
        if len(values) != 1 or not values <= set(variable.options):
            return None
        found[variable.quantity] = next(o for o in variable.options if o in values)
    return found


def stated(design: Design, quantity: str) -> bool:
    """Tell whether a design states a quantity, for one of its parts at the least."""
    return any(value is not None for value in drawn(design, quantity))


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
    if group in ("beams", "posts", "footings") and group not in design.parts:
        return False
    if quantity in ("footings.diameter", "footings.side"):
        shapes = {p.facts.get("footings.shape") for p in design.parts.get("footings", ())}
        return shapes == {"round" if quantity.endswith("diameter") else "square"}
    return True


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
        elif group in REPEATED:
            parts[group] = tuple(
                replace(part, facts={**part.facts, quantity: value})
                for part in design.values(group)
            )
        else:
            facts[quantity] = value
    return replace(design, facts=facts, parts=parts)
