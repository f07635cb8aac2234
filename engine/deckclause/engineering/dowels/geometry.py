"""Edge, end and spacing rules of bolts and lag screws, and the geometry factor.

NDS 2018 Tables 12.5.1A to D, from memory except the loaded and unloaded edges (4D, 1.5D),
which were seen quoted in public. End distance and spacing in a row trade strength for length
down to a hard least; edge distance and row spacing are hard minimums with no trade.
"""

from __future__ import annotations

from enum import Enum

from msgspec import Struct

from deckclause.engineering.inputs import inches
from deckclause.quantities import Quantity

GREATEST_ROW_SPREAD_IN = 5.0
"""Between outermost rows across the grain, without separate splice plates (NDS 12.5.1.3)."""

DRILLING_TOLERANCE_IN = 0.125
"""Drilling scatter on an edge distance that a result is flagged for."""


class EndLoad(Enum):
    """How the load bears towards an end of the member."""

    ALONG_TENSION_SOFTWOOD = "along the grain towards the end, softwood"
    ALONG_TENSION_HARDWOOD = "along the grain towards the end, hardwood"
    ALONG_COMPRESSION = "along the grain away from the end"
    ACROSS = "across the grain"


END_DIAMETERS: dict[EndLoad, tuple[float, float]] = {
    EndLoad.ALONG_TENSION_SOFTWOOD: (7.0, 3.5),
    EndLoad.ALONG_TENSION_HARDWOOD: (5.0, 2.5),
    EndLoad.ALONG_COMPRESSION: (4.0, 2.0),
    EndLoad.ACROSS: (4.0, 2.0),
}
"""End distance for the full value and the least one, in diameters (NDS Table 12.5.1A)."""


class GeometryRules(Struct, frozen=True):
    """Least distances of one member of a connection, inches, and what the wood needs."""

    end_full_in: float
    end_least_in: float
    loaded_edge_in: float
    unloaded_edge_in: float
    in_row_full_in: float
    in_row_least_in: float
    between_rows_in: float
    rows_spread_most_in: float


class GeometryResult(Struct, frozen=True):
    """The geometry factor with what set it; `permitted` false means no value at all."""

    factor: float
    governed_by: str
    permitted: bool
    violations: tuple[str, ...]
    near_edge: bool


def slenderness(main_length: Quantity, side_length_sum: Quantity, diameter: Quantity) -> float:
    """Return l/D, the lesser of main length and the sum of side lengths over the diameter.

    >>> from deckclause.quantities import parse_quantity as q
    >>> slenderness(q("3-1/2 in"), q("1-1/2 in"), q("1/2 in"))
    3.0
    """
    least = min(
        inches(main_length, "bearing length in the main member"),
        inches(side_length_sum, "bearing length in the side members"),
    )
    return least / inches(diameter, "fastener diameter")


def across_grain_rules(diameter: Quantity, l_over_d: float) -> GeometryRules:
    """Return the rules of a member loaded across its grain, as ledger and band joist are.

    In-row full spacing is what the attached member needs; 4D is used, the along-grain figure.

    >>> from deckclause.quantities import parse_quantity as q
    >>> rules = across_grain_rules(q("1/2 in"), 3.0)
    >>> rules.loaded_edge_in, rules.unloaded_edge_in, rules.end_full_in, rules.between_rows_in
    (2.0, 0.75, 2.0, 1.5625)
    """
    d = inches(diameter, "fastener diameter")
    full, least = END_DIAMETERS[EndLoad.ACROSS]
    return GeometryRules(
        full * d, least * d, 4 * d, 1.5 * d, 4 * d, 3 * d, row_spacing_across(d, l_over_d),
        GREATEST_ROW_SPREAD_IN,
    )  # fmt: skip


def along_grain_rules(
    diameter: Quantity, l_over_d: float, end_load: EndLoad, row_spacing: Quantity | None = None
) -> GeometryRules:
    """Return the rules of a member loaded along its grain.

    For l/D over 6 the edge distance is also at least half the row spacing; without
    `row_spacing` (one row) it stays 1.5D. ValueError for the across-grain end load.
    """
    if end_load is EndLoad.ACROSS:
        raise ValueError("use across_grain_rules for a member loaded across its grain")
    d = inches(diameter, "fastener diameter")
    full, least = END_DIAMETERS[end_load]
    edge = 1.5 * d
    if l_over_d > 6 and row_spacing is not None:
        edge = max(edge, inches(row_spacing, "row spacing") / 2)
    return GeometryRules(
        full * d, least * d, edge, edge, 4 * d, 3 * d, 1.5 * d, GREATEST_ROW_SPREAD_IN
    )


def row_spacing_across(diameter_in: float, l_over_d: float) -> float:
    """Return the least spacing between rows for load across the grain, inches.

    2.5D to l/D = 2, (5l + 10D)/8 between, 5D from l/D = 6 (NDS Table 12.5.1D).

    >>> row_spacing_across(0.5, 3.0)
    1.5625
    """
    if l_over_d <= 2:
        return 2.5 * diameter_in
    if l_over_d >= 6:
        return 5 * diameter_in
    return (5 * l_over_d * diameter_in + 10 * diameter_in) / 8


def geometry_factor(
    rules: GeometryRules,
    *,
    end: Quantity,
    loaded_edge: Quantity,
    unloaded_edge: Quantity,
    in_row: Quantity | None = None,
    between_rows: Quantity | None = None,
) -> GeometryResult:
    """Return the geometry factor C-delta and whether the layout is permitted at all.

    The smallest of end and in-row ratios holds for every fastener of the group (NDS 12.5.1).
    `in_row` and `between_rows` are None where there is one fastener, one row.
    """
    edges = (
        ("loaded edge", inches(loaded_edge, "loaded edge distance"), rules.loaded_edge_in),
        ("unloaded edge", inches(unloaded_edge, "unloaded edge distance"), rules.unloaded_edge_in),
    )
    broken = [f"{name} {got:g} in, at least {need:g}" for name, got, need in edges if got < need]
    if between_rows is not None:
        gap = inches(between_rows, "spacing between rows")
        if gap < rules.between_rows_in:
            broken.append(f"row spacing {gap:g} in, at least {rules.between_rows_in:g}")
        if gap > rules.rows_spread_most_in:
            broken.append(f"rows {gap:g} in apart, at most {rules.rows_spread_most_in:g}")
    traded = [("end distance", inches(end, "end distance"), rules.end_full_in, rules.end_least_in)]
    if in_row is not None:
        spacing = inches(in_row, "spacing in the row")
        traded.append(("spacing in the row", spacing, rules.in_row_full_in, rules.in_row_least_in))
    broken += [f"{name} {got:g} in, at least {low:g}" for name, got, _, low in traded if got < low]
    name, ratio = min(((n, got / full) for n, got, full, _ in traded), key=lambda item: item[1])
    factor = min(1.0, ratio)
    return GeometryResult(
        factor=0.0 if broken else factor,
        governed_by="not permitted" if broken else name if factor < 1 else "full value",
        permitted=not broken,
        violations=tuple(broken),
        near_edge=any(0 <= got - need <= DRILLING_TOLERANCE_IN for _, got, need in edges),
    )
