"""Facts of one joist field, beam or post that follow from its own: groups, plies, depths."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from deckclause.designs.design import Facts
from deckclause.designs.dressed_sizes import dressed_size

SPECIES_GROUP: dict[str, str] = {
    "southern_pine": "southern_pine",
    "douglas_fir_larch": "douglas_fir_larch_hem_fir_spruce_pine_fir",
    "hem_fir": "douglas_fir_larch_hem_fir_spruce_pine_fir",
    "spruce_pine_fir": "douglas_fir_larch_hem_fir_spruce_pine_fir",
    "redwood": "redwood_western_cedar_ponderosa_red_pine",
    "western_cedar": "redwood_western_cedar_ponderosa_red_pine",
    "ponderosa_pine": "redwood_western_cedar_ponderosa_red_pine",
    "red_pine": "redwood_western_cedar_ponderosa_red_pine",
}
"""The species groups in which the deck span tables are printed."""
NOT_LISTED = "not_listed"


def species_group(quantity: str) -> Callable[[Facts], str | None]:
    """Give the group of the span tables a species belongs to; `not_listed` for any other."""

    def compute(facts: Facts) -> str | None:
        species = facts.get(quantity)
        return SPECIES_GROUP.get(species, NOT_LISTED) if isinstance(species, str) else None

    return compute


def cantilever_ratio(facts: Facts) -> Fraction | None:
    """Divide the joists' cantilever by their span; unknown for a span of nothing."""
    span, cantilever = facts.get("joists.span"), facts.get("joists.cantilever")
    if isinstance(span, Fraction) and isinstance(cantilever, Fraction) and span > 0:
        return cantilever / span
    return None


def split_beam_size(size: str) -> tuple[int, str]:
    """Split a built-up size into plies and member.

    >>> split_beam_size("2-2x10"), split_beam_size("4x10")
    ((2, '2x10'), (1, '4x10'))
    """
    first, dash, member = size.partition("-")
    return (int(first), member) if dash and first.isdigit() else (1, size)


def beam_plies(facts: Facts) -> Fraction | None:
    """Count the plies of the beam from its size; one solid piece is one ply."""
    size = facts.get("beams.size")
    return Fraction(split_beam_size(size)[0]) if isinstance(size, str) else None


def beam_depth(facts: Facts) -> Fraction | None:
    """Give the dressed depth of the beam in inches (PS 20)."""
    size = facts.get("beams.size")
    dressed = dressed_size(split_beam_size(size)[1]) if isinstance(size, str) else None
    return dressed[1] if dressed else None
