"""What a person states so that a derived fact becomes known: what to ask for in its place."""

from __future__ import annotations

from collections.abc import Container

RESTS_ON: dict[str, tuple[str, ...]] = {
    "ledger.depth": ("ledger.size",),
    "joists.depth": ("joists.size",),
    "joists.species_group": ("joists.species",),
    "joists.inner_support": ("deck.attachment",),
    "joists.cantilever_ratio": ("joists.span", "joists.cantilever"),
    "beams.plies": ("beams.size",),
    "beams.depth": ("beams.size",),
    "beams.species_group": ("beams.species",),
    "beams.joist_reach": ("joists.span", "joists.cantilever"),
    "posts.species_group": ("posts.species",),
    "unusual.heavier_than_tables": (
        "unusual.heavy_area",
        "unusual.heavy_area_load",
        "unusual.levels",
        "unusual.snow_from_roof",
    ),
    "design.joist_top_below_band_joist_top": ("ledger.below_band_joist", "joists.below_ledger_top"),
}


def to_state(quantity: str, stated: Container[str]) -> str:
    """Return the quantity to ask a person for, so that another becomes known.

    >>> to_state("joists.cantilever_ratio", {"joists.span"})
    'joists.cantilever'
    >>> to_state("ledger.size", set())
    'ledger.size'
    """
    inputs = RESTS_ON.get(quantity, (quantity,))
    return next((name for name in inputs if name not in stated), inputs[0])
