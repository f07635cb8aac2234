"""Facts that follow from what a design states, each by a named rule; unknown stays unknown."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from msgspec import Struct

from deckclause.designs.derive import framing as derive_framing
from deckclause.designs.derive import stairs as derive_stairs
from deckclause.designs.derive.heavy import heavier_than_tables
from deckclause.designs.design import Facts
from deckclause.designs.dressed_sizes import dressed_size


class Derivation(Struct, frozen=True):
    """A derived fact: its quantity, the function, and the rule in words."""

    quantity: str
    compute: Callable[[Facts], Fraction | str | bool | None]
    rule: str
    from_silence: bool = False
    """Whether it follows where nothing is stated as well; then never from the facts of one part alone."""


def _dressed(quantity: str, which: int) -> Callable[[Facts], Fraction | None]:
    def compute(facts: Facts) -> Fraction | None:
        nominal = facts.get(quantity)
        size = dressed_size(nominal) if isinstance(nominal, str) else None
        return size[which] if size else None

    return compute


def sawn_band_joist_measure(which: int) -> Callable[[Facts], Fraction | None]:
    """Give the dressed thickness (0) or depth (1) of a sawn band joist."""

    def compute(facts: Facts) -> Fraction | None:
        if facts.get("band_joist.kind") != "sawn_lumber":
            return None
        return _dressed("band_joist.size", which)(facts)

    return compute


def no_sheathing_has_no_thickness(facts: Facts) -> Fraction | None:
    """Give 0 in for the sheathing's thickness where there is none."""
    return Fraction(0) if facts.get("wall.sheathing_kind") == "none" else None


def joist_top_below_band_joist_top(facts: Facts) -> Fraction | None:
    """Add the ledger's drop and the joists' drop below the ledger's top."""
    drop = facts.get("ledger.below_band_joist")
    joists = facts.get("joists.below_ledger_top")
    if isinstance(drop, Fraction) and isinstance(joists, Fraction):
        return drop + joists
    return None


DRESSED = "dressed size, PS 20"
DERIVATIONS: tuple[Derivation, ...] = (
    Derivation("band_joist.thickness", sawn_band_joist_measure(0), DRESSED),
    Derivation("band_joist.depth", sawn_band_joist_measure(1), DRESSED),
    Derivation("ledger.depth", _dressed("ledger.size", 1), DRESSED),
    Derivation("joists.depth", _dressed("joists.size", 1), DRESSED),
    *(
        Derivation(
            f"{group}.species_group",
            derive_framing.species_group(f"{group}.species"),
            "species group of the span tables",
        )
        for group in ("joists", "beams", "posts")
    ),
    Derivation(
        "joists.cantilever_ratio", derive_framing.cantilever_ratio, "cantilever by joist span"
    ),
    Derivation("beams.plies", derive_framing.beam_plies, "plies named in the beam's size"),
    Derivation("beams.depth", derive_framing.beam_depth, DRESSED),
    Derivation(
        "wall.sheathing_thickness", no_sheathing_has_no_thickness, "no sheathing, no thickness"
    ),
    Derivation(
        "design.joist_top_below_band_joist_top",
        joist_top_below_band_joist_top,
        "ledger's drop plus how far the joists' tops lie below the ledger's",
    ),
    Derivation(
        "unusual.heavier_than_tables",
        heavier_than_tables,
        "heavy areas and levels as stated",
        from_silence=True,
    ),
    Derivation(
        "guards.drop_within_36_in",
        derive_stairs.drop_within_36_in,
        "height straight above grade plus the ground's fall within 36 in",
    ),
    Derivation(
        "stairs.riser_height",
        derive_stairs.even_riser_height,
        "total rise by the number of even risers",
    ),
    Derivation(
        "stairs.total_rise",
        derive_stairs.total_rise_of_even_risers,
        "riser height times the number of even risers",
    ),
    Derivation(
        "stairs.lowest_riser", derive_stairs.lowest_of_even_risers, "even risers are all alike"
    ),
    Derivation(
        "stairs.riser_variation", derive_stairs.riser_variation, "tallest less lowest riser"
    ),
    Derivation(
        "stairs.tread_variation", derive_stairs.tread_variation, "deepest less shallowest tread"
    ),
    Derivation(
        "stairs.tallest_flight_rise",
        derive_stairs.rise_of_the_only_flight,
        "one flight rises as far as the stair",
    ),
    Derivation(
        "stairs.most_risers_in_flight",
        derive_stairs.risers_of_the_only_flight,
        "one flight has all the stair's risers",
    ),
)


def derived_facts(facts: Facts) -> Facts:
    """Return `facts` with everything that follows from them; a stated fact is never replaced."""
    return _derived(facts, DERIVATIONS)


def derived_of_part(own: Facts) -> Facts:
    """Return a part's own facts with what follows from them, without those of the whole deck."""
    return _derived(own, OF_PARTS)


OF_PARTS = tuple(derivation for derivation in DERIVATIONS if not derivation.from_silence)


def _derived(facts: Facts, derivations: tuple[Derivation, ...]) -> Facts:
    full = dict(facts)
    for derivation in derivations:
        if derivation.quantity not in full:
            value = derivation.compute(full)
            if value is not None:
                full[derivation.quantity] = value
    return full
