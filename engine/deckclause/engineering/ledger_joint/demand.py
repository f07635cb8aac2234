"""The load on one fastener: tributary width, live or snow with dead, and which case governs.

Half the joist span is carried by the ledger (the overhang past the beam, which would relieve it,
is left out, on the safe side). Load is taken evenly spread along the ledger, as the code's table
takes it; each fastener carries its own spacing.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from deckclause.engineering.basis import Factor, Standing
from deckclause.engineering.dowels.factors import duration_factor
from deckclause.engineering.ledger_joint.joint import Arrangement, Input, LedgerJoint, Result, Step
from deckclause.engineering.members.adjustment import LoadDuration
from deckclause.engineering.tables.loads import PSF
from deckclause.quantities import FORCE, Quantity, length_text


class LoadCase(Struct, frozen=True):
    """One combination of loads on the deck, with its duration factor."""

    name: str
    duration: LoadDuration
    per_area: Quantity
    joist_span: Quantity

    def on_fastener(self, spacing: Quantity) -> Quantity:
        """Return the load on one fastener at a spacing, exactly."""
        force = self.per_area * self.joist_span * Fraction(1, 2) * spacing
        force.need(FORCE, "load on one fastener")
        return force

    def pounds(self, arrangement: Arrangement) -> float:
        """Return the load on one fastener of an arrangement, pounds."""
        return float(self.on_fastener(arrangement.spacing).value)

    @property
    def at_normal_duration(self) -> float:
        """Load over its duration factor: what the cases are ranked by."""
        return float(self.per_area.value) / self.duration.value

    @property
    def factor(self) -> Factor:
        """CD of the case."""
        return duration_factor(self.duration)


def load_cases(joint: LedgerJoint) -> tuple[LoadCase, ...]:
    """Return the combinations of ASCE 7 section 2.4.1 that bear on a ledger, greatest first.

    D + L, and with a known snow load D + S and D + 0.75 L + 0.75 S. Ranked by load over CD.
    """
    live, dead, snow = joint.live, joint.dead, joint.snow
    combos = [("dead + live", LoadDuration.OCCUPANCY, dead + live)]
    if snow is not None and snow.value > 0:
        share = Fraction(3, 4)
        combos.append(("dead + snow", LoadDuration.SNOW, dead + snow))
        combos.append(
            ("dead + 0.75 live + 0.75 snow", LoadDuration.SNOW, dead + live * share + snow * share)
        )
    cases = [LoadCase(name, cd, load, joint.joist_span) for name, cd, load in combos]
    return tuple(sorted(cases, key=lambda case: -case.at_normal_duration))


def demand_step(
    joint: LedgerJoint, cases: tuple[LoadCase, ...], arrangements: tuple[Arrangement, ...]
) -> Step:
    """Return the step that works out the load on one fastener."""
    inputs = (
        Input("L", length_text(joint.joist_span.value, "ft"), "joist span, design"),
        Input("live", _psf(joint.live), "deck live load, rule set or design"),
        Input("dead", _psf(joint.dead), "dead load, assumed as the code's tables do"),
        Input("snow", "not known" if joint.snow is None else _psf(joint.snow), "ground snow load"),
    )
    return Step(
        "demand", "Load on one fastener", "ASCE 7 section 2.4.1 (combinations)",
        "P = (D + variable load) x L/2 x s", Standing.MEMORY, "calculation", inputs,
        (cases[0].factor,), tuple(Result(a.name, _sums(cases, a)) for a in arrangements),
        "Load evenly spread along the ledger, in phase with the fasteners; no point loads.",
    )  # fmt: skip


def _sums(cases: tuple[LoadCase, ...], arrangement: Arrangement) -> str:
    lines = "; ".join(
        f"{c.name}: {_psf(c.per_area)} x {_feet(c.joist_span, 2)} ft x "
        f"{_feet(arrangement.spacing)} ft = {c.pounds(arrangement):.0f} lb (CD {c.duration.value:g})"
        for c in cases
    )
    return f"{lines}. Governing: {cases[0].name}, {cases[0].pounds(arrangement):.0f} lb"


def _psf(load: Quantity) -> str:
    return f"{float(load.value / PSF):g} psf"


def _feet(length: Quantity, parts: int = 1) -> str:
    return f"{float(length.value) / 12 / parts:.4g}"
