"""A second, plain implementation of the ledger clauses of 2009, 2012 and 2018.

Written from published sources alone, without a look at the engine or its rule files, so that the
two can be held against each other. `evaluate(edition, facts)` returns, for every topic,
`(status, limit)`.

Facts map quantity names to values: Fraction (inches, psf, lb), int (counts), str (choices), bool
(yes or no). A missing name is unknown. Conditions have three values: True, False and None
(unknown). Nothing unknown ever counts as compliance.

How a clause is read:

- applies: surely false, not applicable; unknown, information missing;
- scope: surely false, engineering required; unknown, information missing;
- requirement: holds, complies; surely fails, does not comply; unknown, information missing;
- a condition joined by "and" is surely false when one part is, whatever the others are.

`limit` is the governing figure (inches; psf for snow; a pair for least and most), given wherever
the clause applies, its scope holds and the figure is known, even where the value held against it
is not. The two clauses that are nothing but a bound of scope (snow basis, fastener diameter) show
their bound wherever they apply.
"""

from __future__ import annotations

from collections.abc import Callable

from oracle.conditions import (
    COMPLIES,
    ENGINEERING,
    MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
    Facts,
    Finding,
    Value,
)
from oracle.connection_clauses import (
    assembly_topic_2009,
    assembly_topic_2018,
    band_joist_bearing,
    band_joist_material,
    concentrated_load,
    connection_inspection,
    corrosion,
    engineered_rim_2009,
    engineered_rim_2012,
    fastener_diameter,
    fastener_kind,
    flashing,
    flashing_material_2018,
    grade,
    lag_screw_tip,
    lateral_connection,
    lateral_devices_2009,
    lateral_devices_2018,
    material_2009,
    material_2018,
    on_veneer,
    positive_anchorage,
    size,
    snow_basis_2018,
    spacing_2009,
    spacing_2018,
    uplift,
)
from oracle.placement_clauses import (
    band_bottom_2012,
    band_bottom_2018,
    band_end,
    band_first,
    band_top,
    bottom_edge_2009,
    bottom_edge_2012,
    ledger_end,
    ledger_first,
    lower_row_2012,
    lower_row_2018,
    row_spacing,
    stagger,
    top_edge_2009,
    top_edge_2012,
)

Rule = Callable[[Facts], Finding]

RULES_2009: dict[str, Rule | None] = {
    "snow_basis": None,
    "ledger_positive_anchorage": positive_anchorage,
    "connection_inspection": connection_inspection,
    "ledger_uplift": uplift,
    "ledger_on_veneer": on_veneer,
    "ledger_concentrated_load": concentrated_load,
    "ledger_size": size,
    "ledger_material": material_2009,
    "ledger_grade": grade,
    "band_joist_material": band_joist_material,
    "band_joist_bearing": band_joist_bearing,
    "engineered_rim": engineered_rim_2009,
    "ledger_fastener_kind": fastener_kind,
    "ledger_fastener_diameter": fastener_diameter,
    "ledger_assembly": assembly_topic_2009,
    "ledger_fastener_spacing": spacing_2009,
    "lag_screw_tip": lag_screw_tip,
    "ledger_stagger": stagger,
    "ledger_top_edge_distance": top_edge_2009,
    "ledger_bottom_edge_distance": bottom_edge_2009,
    "ledger_lower_row_below_ledger_top": None,
    "ledger_row_spacing": None,
    "ledger_end_distance": ledger_end,
    "ledger_first_fastener": ledger_first,
    "band_joist_top_edge_distance": None,
    "band_joist_bottom_edge_distance": None,
    "band_joist_end_distance": None,
    "band_joist_first_fastener": None,
    "lateral_connection": lateral_connection,
    "lateral_devices": lateral_devices_2009,
    "ledger_flashing": flashing,
    "ledger_flashing_material": None,
    "fastener_corrosion": corrosion,
}
RULES_2012 = RULES_2009 | {
    "engineered_rim": engineered_rim_2012,
    "ledger_top_edge_distance": top_edge_2012,
    "ledger_bottom_edge_distance": bottom_edge_2012,
    "ledger_lower_row_below_ledger_top": lower_row_2012,
    "ledger_row_spacing": row_spacing,
    "band_joist_top_edge_distance": band_top,
    "band_joist_bottom_edge_distance": band_bottom_2012,
    "band_joist_end_distance": band_end,
    "band_joist_first_fastener": band_first,
}
RULES_2018 = RULES_2012 | {
    "snow_basis": snow_basis_2018,
    "ledger_material": material_2018,
    "ledger_assembly": assembly_topic_2018,
    "ledger_fastener_spacing": spacing_2018,
    "ledger_lower_row_below_ledger_top": lower_row_2018,
    "band_joist_bottom_edge_distance": band_bottom_2018,
    "lateral_devices": lateral_devices_2018,
    "ledger_flashing_material": flashing_material_2018,
}
EDITIONS = {"irc-2009": RULES_2009, "irc-2012": RULES_2012, "irc-2018": RULES_2018}


MADE_FOR_A_BAND_JOIST = frozenset(
    {
        *("band_joist_material", "ledger_fastener_kind", "ledger_fastener_diameter"),
        *("ledger_assembly", "ledger_fastener_spacing", "lag_screw_tip", "ledger_stagger"),
        *("ledger_top_edge_distance", "ledger_bottom_edge_distance", "ledger_row_spacing"),
        *("ledger_lower_row_below_ledger_top", "ledger_end_distance", "ledger_first_fastener"),
        *("band_joist_top_edge_distance", "band_joist_bottom_edge_distance"),
        *("band_joist_end_distance", "band_joist_first_fastener", "lateral_devices"),
    }
)
"""What the editions say of a ledger on a wood band joist; another wall is for an engineer."""


def freestanding_lateral(connection: Value | None) -> Finding:
    """Ask for engineering unless someone has engineered it already."""
    if connection is None:
        return MISSING, None
    return (COMPLIES if connection == "engineered" else ENGINEERING), None


ASKED_FIRST = frozenset(
    {"band_joist_material", "ledger_fastener_spacing", "lag_screw_tip", "lateral_devices"}
)
"""Of these, those that apply to some fasteners or band joists only, which is asked before the wall."""

BOUNDED_BESIDES = frozenset(
    {"ledger_fastener_kind", "ledger_fastener_diameter", "ledger_fastener_spacing"}
)
"""Of these, those with another bound of scope, which may be left whatever the wall is."""


def on_its_wall(topic: str, finding: Finding, wall: Value | None) -> Finding:
    """Read a clause made for a wood band joist where the wall is another one, or unknown."""
    if finding[0] == NOT_APPLICABLE or wall == "wood_frame":
        return finding
    if wall is None:
        surely = finding[0] == ENGINEERING and topic in BOUNDED_BESIDES
        return finding if surely else (MISSING, finding[1])
    return finding if finding[0] == MISSING and topic in ASKED_FIRST else (ENGINEERING, None)


def evaluate(edition: str, facts: Facts) -> dict[str, Finding]:
    """Return (status, limit) of every topic under one edition; KeyError for an edition not here.

    Nearly every clause here is about a deck hung on the house by a ledger: a freestanding deck makes
    them not applicable, and an unknown attachment leaves open all that nothing else rules out. Of
    lateral load the editions prescribe nothing for a freestanding deck: it is engineered.
    """
    attachment = facts.get("deck.attachment")
    findings: dict[str, Finding] = {}
    for topic, rule in EDITIONS[edition].items():
        if rule is None:
            findings[topic] = NOT_REGULATED, None
        elif attachment == "freestanding" and topic == "lateral_connection":
            engineered = facts.get("lateral.connection")
            findings[topic] = freestanding_lateral(engineered)
        elif attachment == "freestanding":
            findings[topic] = NOT_APPLICABLE, None
        else:
            finding = rule(facts)
            if topic in MADE_FOR_A_BAND_JOIST:
                finding = on_its_wall(topic, finding, facts.get("wall.structure"))
            if attachment is None and finding[0] != NOT_APPLICABLE:
                finding = MISSING, None
            findings[topic] = finding
    return findings
