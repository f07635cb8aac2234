"""A second, plain implementation of the guard, stair and door clauses of 2009, 2012 and 2018.

Written from the published sources named beside each clause, without the engine or its rule files.
`evaluate_general(edition, parts)` returns, for every topic, `(status, limit)`; `parts` holds the
facts of each open edge (`guards`), stair (`stairs`) and door (`doors`), as the ledger oracle reads
facts. Where a topic is asked of several parts, or by several clauses, the worst status counts and
the limit is that of the first clause of that status.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from oracle.conditions import (
    COMPLIES,
    ENGINEERING,
    FAILS,
    MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
    Facts,
    Finding,
)
from oracle.door_clauses import landing, landing_size, landing_slope, step_down, step_down_other
from oracle.guard_clauses import (
    guard_height_2009,
    guard_height_2018,
    guard_opening,
    guard_required,
    stair_guard_height,
    stair_guard_opening,
    stair_guard_required,
    stair_guard_triangle,
)
from oracle.stair_clauses import (
    flight_rise_2009,
    flight_rise_2018,
    handrail_clearance,
    handrail_grip,
    handrail_height,
    handrail_required,
    headroom,
    light,
    light_control,
    nosing,
    open_riser_2012,
    open_riser_2018,
    riser_height,
    riser_slope,
    riser_variation,
    stair_landing,
    surface_slope,
    tread_depth,
    tread_variation,
    width,
    width_at_handrail,
)

Parts = Mapping[str, Sequence[Facts]]
Rule = Callable[[Facts], list[Finding]]
BADNESS = (NOT_REGULATED, NOT_APPLICABLE, COMPLIES, MISSING, ENGINEERING, FAILS)

RULES_2009: dict[str, tuple[str, Rule]] = {
    "guard_required": ("guards", guard_required),
    "guard_height": ("guards", guard_height_2009),
    "guard_opening": ("guards", guard_opening),
    "stair_guard_required": ("stairs", stair_guard_required),
    "stair_guard_height": ("stairs", stair_guard_height),
    "stair_guard_opening": ("stairs", stair_guard_opening),
    "stair_guard_triangle": ("stairs", stair_guard_triangle),
    "stair_width": ("stairs", width),
    "stair_width_at_handrail": ("stairs", width_at_handrail),
    "stair_headroom": ("stairs", headroom),
    "stair_riser_height": ("stairs", riser_height),
    "stair_riser_variation": ("stairs", riser_variation),
    "stair_riser_slope": ("stairs", riser_slope),
    "stair_open_riser": ("stairs", open_riser_2012),
    "stair_tread_depth": ("stairs", tread_depth),
    "stair_tread_variation": ("stairs", tread_variation),
    "stair_nosing": ("stairs", nosing),
    "stair_flight_rise": ("stairs", flight_rise_2009),
    "stair_landing": ("stairs", stair_landing),
    "stair_surface_slope": ("stairs", surface_slope),
    "handrail_required": ("stairs", handrail_required),
    "handrail_height": ("stairs", handrail_height),
    "handrail_grip": ("stairs", handrail_grip),
    "handrail_clearance": ("stairs", handrail_clearance),
    "stair_light": ("stairs", light),
    "stair_light_control": ("stairs", light_control),
    "door_landing": ("doors", landing),
    "door_landing_size": ("doors", landing_size),
    "door_landing_slope": ("doors", landing_slope),
    "door_step_down_egress": ("doors", step_down),
    "door_step_down_other": ("doors", step_down_other),
}
RULES_2012 = RULES_2009
RULES_2018 = RULES_2012 | {
    "guard_height": ("guards", guard_height_2018),
    "stair_open_riser": ("stairs", open_riser_2018),
    "stair_flight_rise": ("stairs", flight_rise_2018),
}
EDITIONS = {"irc-2009": RULES_2009, "irc-2012": RULES_2012, "irc-2018": RULES_2018}


def evaluate_general(edition: str, parts: Parts) -> dict[str, Finding]:
    """Return (status, limit) of every topic; KeyError for an edition not here."""
    findings: dict[str, Finding] = {}
    for topic, (group, rule) in EDITIONS[edition].items():
        found = [finding for facts in parts[group] for finding in rule(facts)]
        findings[topic] = max(found, key=lambda finding: BADNESS.index(finding[0]))
    return findings
