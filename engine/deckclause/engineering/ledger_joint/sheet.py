"""Put the steps of one ledger connection together: the calculation sheet."""

from __future__ import annotations

from deckclause.engineering.cautions import for_topic
from deckclause.engineering.ledger_joint.boards import (
    band_shear_step,
    ledger_shear_step,
    splitting_step,
)
from deckclause.engineering.ledger_joint.demand import demand_step, load_cases
from deckclause.engineering.ledger_joint.fastener import (
    edges_step,
    table_step,
    yield_step,
)
from deckclause.engineering.ledger_joint.joint import (
    Arrangement,
    CalculationSheet,
    LedgerJoint,
    Step,
)
from deckclause.engineering.ledger_joint.placement_note import note_says

TO_JUDGE = (
    "whether the tests behind the code's ledger table cover the arrangement asked for",
    "the state of the wood: decay, checks, splits, wane, holes already drilled, the band joist's own load",
    "splitting at the lower row and at ends, where wood dries after it is drilled",
    "drilling scatter: 1/8 in on every edge distance",
    "lateral load, uplift from cantilevers, guards, stairs, wind and earthquake",
    "corrosion, washers, tightening, and whether the fasteners can be inspected again",
)


def calculation_sheet(
    joint: LedgerJoint, arrangements: tuple[Arrangement, ...]
) -> CalculationSheet:
    """Return the sheet of a joint for one or more arrangements of its rows.

    Raises ValueError without an arrangement or for a size not held, UnknownLumberError for wood
    whose values are not held: then there is no sheet, and no answer.
    """
    if not arrangements:
        raise ValueError("a calculation sheet needs at least one arrangement of the rows")
    cases = load_cases(joint)
    case = cases[0]
    found: tuple[Step | None, ...] = (
        demand_step(joint, cases, arrangements),
        table_step(joint, case, arrangements),
        edges_step(joint, arrangements),
        yield_step(joint, case, arrangements),
        ledger_shear_step(joint, case, arrangements),
        band_shear_step(joint, case, arrangements),
        splitting_step(joint, arrangements),
    )
    steps = tuple(step for step in found if step is not None)
    cautions = tuple(c.text for c in for_topic("ledger", "unverified_values"))
    return CalculationSheet(
        arrangements,
        steps,
        _assumptions(joint, arrangements),
        _left_out(joint, arrangements),
        TO_JUDGE,
        cautions,
    )


def _assumptions(joint: LedgerJoint, arrangements: tuple[Arrangement, ...]) -> tuple[str, ...]:
    ledger, band = joint.ledger, joint.band
    said = [
        "the ledger carries half of the joist span; an overhang past the beam would relieve it and is left out",
        "load is evenly spread along the ledger; each fastener carries its own spacing",
        f"ledger: {ledger.species} {ledger.grade}, {'wet' if ledger.wet else 'dry'} in service, "
        f"{'incised' if ledger.incised else 'not incised'}",
        f"band joist: {band.species} {band.grade}, {'wet' if band.wet else 'dry'} in service",
        "temperatures to 100 F; one fastener in line with the load, so no group reduction",
        "NDS values and factors are from memory unless a step says otherwise",
    ]
    between = joint.joist_spacing
    if between is not None and any(between.value > a.spacing.value for a in arrangements):
        said.append(
            "joists stand farther apart than fasteners: a fastener below a joist carries more than its share"
        )
    return (*said, *note_says())


def _left_out(joint: LedgerJoint, arrangements: tuple[Arrangement, ...]) -> tuple[str, ...]:
    left = [
        "bending of the ledger between fasteners",
        "bearing of the band joist on what is below it",
    ]
    if joint.snow is None:
        left.append("every snow case: no ground snow load is known")
    if joint.table_capacity_lb is None:
        left.append("the load the code's table implies: the assembly is none of its rows")
    if any(a.end_distance is None for a in arrangements):
        left.append("the end distance: it is not stated")
    return tuple(left)
