"""Whether the code's note on the lower row follows from the shear rule of the NDS: worked out.

The note asks for at least 5-1/2, 6-1/2, 7-1/2 in from the ledger's top to the lower row of a 2x8,
2x10, 2x12 (and 4-1/2 in for a 2x8 with lag screws, or bolts at the lag screws' spacing). That
measure is the effective depth de of NDS 3.4.3.3. Solved for de, the rule near an end

    V = 2/3 Fv' b de (de/d)^2    gives    de = (3 V d^2 / (2 Fv' b))^(1/3)

while the rule farther in has no d in it and would ask the same of every depth. No source seen gives
the note's derivation: what follows shows that the figures can be reproduced, not that they were
made so.
"""

from __future__ import annotations

import math
from fractions import Fraction

from msgspec import Struct

from deckclause.engineering.inputs import inches, pounds, psi
from deckclause.engineering.members.adjustment import LoadDuration, Service, adjust
from deckclause.engineering.members.sizes import dressed_section
from deckclause.engineering.members.species import design_values
from deckclause.engineering.tables.ledger import LedgerRow
from deckclause.quantities import FORCE, LENGTH, PRESSURE, Quantity

NOTE: tuple[tuple[str, LedgerRow, Fraction], ...] = (
    ("2x8", LedgerRow.THROUGH_BOLT, Fraction(11, 2)),
    ("2x10", LedgerRow.THROUGH_BOLT, Fraction(13, 2)),
    ("2x12", LedgerRow.THROUGH_BOLT, Fraction(15, 2)),
    ("2x8", LedgerRow.LAG_SCREW, Fraction(9, 2)),
)
"""The four figures of the note: ledger, fastener whose load it is for, inches."""
STEP = Fraction(1, 2)
"""The figures are whole half inches; a required depth is taken up to the next.

No source in print names this rounding: it is read off the figures (derived), and said wherever shown.
"""


class NoteFigure(Struct, frozen=True):
    """One figure of the note beside what the rule asks, inches, unrounded and to the half inch."""

    ledger: str
    fastener: str
    printed_in: Fraction
    asked_in: float
    to_half_inch: Fraction

    @property
    def is_met(self) -> bool:
        """Whether the rule, taken up to the half inch, gives the printed figure."""
        return self.to_half_inch == self.printed_in


class NoteFinding(Struct, frozen=True):
    """What one wood gives for the four figures."""

    wood: str
    strength_psi: float
    figures: tuple[NoteFigure, ...]

    @property
    def met(self) -> int:
        """How many of the figures come out."""
        return sum(f.is_met for f in self.figures)


def effective_depth_asked_in(
    *, shear: Quantity, strength: Quantity, width: Quantity, depth: Quantity
) -> float:
    """Return the effective depth the rule near an end asks for a shear, inches.

    >>> from deckclause.quantities import parse_quantity as q
    >>> asked = effective_depth_asked_in(shear=q("362.5 lb"), strength=q("116.4 psi"),
    ...     width=q("1.5 in"), depth=q("7.25 in"))
    >>> round(asked, 2)
    5.47
    """
    v, fv = pounds(shear, "shear"), psi(strength, "adjusted shear strength")
    b, d = inches(width, "member width"), inches(depth, "member depth")
    return float((3 * v * d * d / (2 * fv * b)) ** (1 / 3))


def strengths_that_fit(share: Fraction = Fraction(1, 2)) -> tuple[float, float]:
    """Return the shear strengths, psi (more than the first, up to the second), that give all four.

    The shear is `share` of the load the code's table implies for one fastener.

    >>> low, high = strengths_that_fit()
    >>> round(low, 1), round(high, 1)
    (114.8, 134.1)
    """
    low, high = 0.0, math.inf
    for ledger, row, printed in NOTE:
        section = dressed_section(ledger)
        b, d = section.width_in, section.depth_in
        k = 3 * float(share) * row.value * d * d / (2 * b)
        low = max(low, k / float(printed) ** 3)
        high = min(high, k / float(printed - STEP) ** 3)
    return low, high


def note_from_rule(
    species: str, *, incised: bool, wet: bool, share: Fraction = Fraction(1, 2)
) -> NoteFinding:
    """Return what the rule asks of each ledger in one wood, No.2, at a share of a fastener's load.

    >>> found = note_from_rule("hem-fir", incised=True, wet=True)
    >>> [str(f.to_half_inch) for f in found.figures], found.met
    (['11/2', '13/2', '15/2', '9/2'], 4)
    """
    figures = []
    strength = 0.0
    for ledger, row, printed in NOTE:
        section = dressed_section(ledger)
        service = Service(
            wet=wet, incised=incised, repetitive=False, load_duration=LoadDuration.OCCUPANCY
        )
        strength = adjust(design_values(species, "No.2", section), section, service).fv_psi
        asked = effective_depth_asked_in(
            shear=Quantity(share * row.value, FORCE),
            strength=Quantity(Fraction(strength), PRESSURE),
            width=Quantity(section.thickness, LENGTH),
            depth=Quantity(section.depth, LENGTH),
        )
        up = math.ceil(asked / float(STEP) - 1e-9) * STEP
        figures.append(NoteFigure(ledger, row.name.lower(), printed, asked, up))
    said = f"{species}{', incised' if incised else ''}{', wet' if wet else ', dry'}"
    return NoteFinding(said, strength, tuple(figures))


def note_says() -> tuple[str, ...]:
    """Say what was found, with its limits, in sentences a reader can check."""
    low, high = strengths_that_fit()
    tested = note_from_rule("hem-fir", incised=True, wet=True)
    asked = ", ".join(f"{f.asked_in:.2f}" for f in tested.figures)
    return (
        "The distance from the ledger's top to the lower row is the effective depth de of NDS "
        "3.4.3.3 (from memory), for the top is the ledger's loaded edge.",
        "With half of the load the code's table implies for one fastener as shear "
        f"(727 lb a bolt, 385 lb a lag screw) and wet, incised hem-fir ({tested.strength_psi:.1f} psi), "
        f"the rule near an end asks {asked} in for a 2x8, 2x10, 2x12 with bolts and a 2x8 with lag "
        "screws; taken up to the half inch (a rounding no source in print names: derived) that is 5-1/2, "
        "6-1/2, 7-1/2 and 4-1/2 in, the note's four figures.",
        f"Any shear strength from {low:.0f} to {high:.0f} psi gives all four: incised hem-fir and wet "
        "spruce-pine-fir lie in it; southern pine and Douglas fir-larch do not. The published tests "
        "behind the ledger table had ledgers of pressure-treated hem-fir; that they count as incised "
        "is our assumption.",
        "The rule farther than five depths from an end does not give them: it has no depth in it and "
        "would ask one figure of every ledger.",
        "That the figures come out so is our working (derived). No source seen says the note was made "
        "this way, and the two loads are themselves read back from the table.",
    )
