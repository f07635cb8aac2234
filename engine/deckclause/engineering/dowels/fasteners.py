"""Bolts and lag screws: diameters, bending yield strength, tips and lead holes.

Lag data are NDS Appendix L2 and Table I1 from memory. For 1/4 to 3/8 in they reproduce every
legible cell of the published lag table with steel plates; the larger sizes have no such check.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from deckclause.engineering.basis import Standing
from deckclause.engineering.inputs import inches, number
from deckclause.quantities import Quantity

BOLT_YIELD_PSI = 45000.0
"""Bending yield strength of a common (A307) bolt, NDS Table I1."""


class LagScrew(Struct, frozen=True):
    """A full-body lag screw: nominal and root diameter, tip length and bending yield."""

    nominal_in: float
    root_in: float
    tip_in: float
    bending_yield_psi: float
    standing: Standing
    reproduces_table: bool
    """Whether a published table comes out with these figures (it does not make them seen)."""


class LeadHoles(Struct, frozen=True):
    """Hole diameters for a lag screw, inches; the thread hole is a range (NDS 12.1.4)."""

    shank_in: float
    thread_least_in: float
    thread_most_in: float
    may_omit_in_withdrawal: bool


_LARGEST_CHECKED = Fraction(3, 8)

_LAGS: dict[Fraction, tuple[float, float, float]] = {
    Fraction(1, 4): (0.173, 5 / 32, 70000.0),
    Fraction(5, 16): (0.227, 3 / 16, 60000.0),
    Fraction(3, 8): (0.265, 7 / 32, 45000.0),
    Fraction(7, 16): (0.328, 9 / 32, 45000.0),
    Fraction(1, 2): (0.371, 5 / 16, 45000.0),
    Fraction(5, 8): (0.471, 13 / 32, 45000.0),
    Fraction(3, 4): (0.579, 1 / 2, 45000.0),
    Fraction(7, 8): (0.683, 19 / 32, 45000.0),
    Fraction(1): (0.780, 11 / 16, 45000.0),
    Fraction(9, 8): (0.887, 25 / 32, 45000.0),
    Fraction(5, 4): (1.012, 7 / 8, 45000.0),
}


def lag_screw(nominal: Quantity) -> LagScrew:
    """Return the lag screw of a nominal diameter; ValueError naming the sizes if none.

    >>> from deckclause.quantities import parse_quantity as q
    >>> lag_screw(q("1/2 in")).root_in
    0.371
    """
    inches(nominal, "lag screw diameter")
    if nominal.value not in _LAGS:
        sizes = ", ".join(str(size) for size in _LAGS)
        raise ValueError(f"no lag screw of {nominal.value} in; the sizes are {sizes} in")
    root, tip, bending_yield = _LAGS[nominal.value]
    checked = nominal.value <= _LARGEST_CHECKED
    return LagScrew(float(nominal.value), root, tip, bending_yield, Standing.MEMORY, checked)


def lead_holes(nominal: Quantity, gravity: float) -> LeadHoles:
    """Return lead hole diameters for a lag screw in wood of a specific gravity (NDS 12.1.4).

    >>> from deckclause.quantities import parse_quantity as q
    >>> holes = lead_holes(q("1/2 in"), 0.42)
    >>> holes.thread_least_in, holes.thread_most_in
    (0.2, 0.35)
    """
    d = inches(nominal, "lag screw diameter")
    g = number(gravity, "specific gravity", 0.2, 0.9)
    least, most = (0.65, 0.85) if g > 0.6 else (0.60, 0.75) if g > 0.5 else (0.40, 0.70)
    return LeadHoles(d, least * d, most * d, d <= 0.375 and g <= 0.5)
