"""Invented permits with their whole plan: every post, footing, open edge and stair of one deck.

A table has one part of a kind in a row, so of a permit in a table it is never known whether its deck
holds together. Permits are filed with drawings; these are written as design files, part by part.
Every share here is made up, not counted anywhere.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

from deckclause.designs.invented.permits import feet_and_inches
from deckclause.quantities import length_text

Groups = dict[str, Any]
"""By group, its facts as typed, or a list of parts."""
WIDTHS_FT, SPANS_IN, CANTILEVERS_IN = (10, 12, 14, 16), (72, 84, 96, 108, 120), (0, 12, 18, 24)
HEIGHTS_IN = (36, 42, 48, 51, 54, 72)
JOISTS = {72: "2x8", 84: "2x8", 96: "2x8", 108: "2x8", 120: "2x10"}
DEPTHS = {"2x8": Fraction(29, 4), "2x10": Fraction(37, 4)}
LOWER_ROW = {"2x8": "5-1/2 in", "2x10": "6-1/2 in"}
BEAM, BEAM_IN, DECKING_IN, POST_OVER_GROUND_IN = "2-2x10", Fraction(37, 4), Fraction(1), 1
MOST_BETWEEN_POSTS_IN = 84
FLAWED, UNSAID = 0.2, 0.15
"""Shares of permits with a part that does not fit, and with one that is not told."""


def plan_of(random: Any, groups: Mapping[str, object]) -> Groups:
    """Draw one permit's plan; only groups the rules know are told."""
    found = _sound(random)
    drawn = random.random()
    if drawn < FLAWED:
        FLAWS[int(random.integers(len(FLAWS)))](found)
    elif drawn < FLAWED + UNSAID:
        OMISSIONS[int(random.integers(len(OMISSIONS)))](found)
    return {name: found[name] for name in groups if name in found}


def plan_text(name: str, plan: Groups) -> str:
    """Write a permit's plan as a design file."""
    lines = ["design: 1", f"name: {name}", "invented: yes"]
    for group, facts in plan.items():
        parts = facts if isinstance(facts, list) else None
        shown = [_flow(part) for part in parts] if parts is not None else None
        lines += (
            [f"{group}:", *(f"  - {s}" for s in shown)] if shown else [f"{group}: {_flow(facts)}"]
        )
    return "\n".join(lines) + "\n"


def _flow(facts: Mapping[str, str]) -> str:
    return "{" + ", ".join(f"{key}: {value}" for key, value in facts.items()) + "}"


def _inches(value: int | Fraction) -> str:
    whole = Fraction(value)
    return feet_and_inches(int(whole)) if whole.denominator == 1 else length_text(whole, "in")


def _sound(random: Any) -> Groups:
    """Draw a deck whose parts carry each other and add up."""
    width = 12 * int(random.choice(WIDTHS_FT))
    span = int(random.choice(SPANS_IN))
    past = min(int(random.choice(CANTILEVERS_IN)), span // 4)
    height = int(random.choice(HEIGHTS_IN))
    joists = JOISTS[span]
    rise = height - POST_OVER_GROUND_IN
    post = height - DECKING_IN - DEPTHS[joists] - BEAM_IN - POST_OVER_GROUND_IN
    between = width - 24
    posts = -(-between // MOST_BETWEEN_POSTS_IN) + 1
    names = [f"post {number + 1}" for number in range(posts)]
    at = [12 + Fraction(between * number, posts - 1) for number in range(posts)]
    wood = {"species": "southern_pine", "grade": "no_2"}
    return {
        "site": {"ground_snow_load": "30 psf", "frost_depth": "36 in", "soil_bearing": "1500 psf"},
        "deck": {
            "use": "deck",
            "attachment": "ledger",
            "connection_can_be_inspected": "yes",
            "greatest_height_above_grade": _inches(height),
            "open_edges": "3",
        },
        "unusual": {"parts": "none"},
        "wall": {
            "structure": "wood_frame",
            "veneer": "none",
            "sheathing_kind": "wood_structural_panel",
            "sheathing_thickness": "7/16 in",
            "gap_to_sheathing": "0 in",
            "drainage_washer_stack": "0 in",
            "cladding_removed": "yes",
        },
        "floor": {"subfloor_thickness": "3/4 in", "finish_thickness": "3/4 in"},
        "band_joist": {
            "kind": "sawn_lumber",
            "size": "2x10",
            "species": "spruce_pine_fir",
            "directly_supported_by": "mudsill",
        },
        "ledger": {
            "length": _inches(width),
            "size": joists,
            **wood,
            "treatment": "pressure_treated",
            "carries_beam": "no",
            "resists_uplift": "yes",
            "flashed": "yes",
            "below_band_joist": "0 in",
        },
        "fasteners": {
            "kind": "lag_screw",
            "diameter": "1/2 in",
            "spacing": "12 in",
            "finish": "hot_dip_galvanized",
            "staggered": "yes",
            "tip_past_band_joist": "yes",
            "upper_row_below_ledger_top": "2 in",
            "lower_row_below_ledger_top": LOWER_ROW[joists],
        },
        "lateral": {"connection": "hold_down_devices", "post_bracing": "yes", "device_count": "2",
                    "device_capacity": "1500 lb"},
        "joists": {
            "size": joists,
            **wood,
            "spacing": "16 in",
            "span": _inches(span),
            "cantilever": _inches(past),
            "field_width": _inches(width),
            "below_ledger_top": "0 in",
            "at_ledger": "hanger_fully_seated",
            "hanger_capacity": "900 lb",
            "bearing_on": "wood",
            "bearing_length": "3 in",
            "restraint": "blocking",
            "restraint_depth": _inches(DEPTHS[joists]),
            "hanger_fits": "yes",
            "notched": "no",
            "bored": "no",
        },
        "beams": {
            "name": "front beam",
            "size": BEAM,
            **wood,
            "length": _inches(width),
            "position": "dropped",
            "spliced": "no",
            "bearing_on": "wood",
            "bearing_length": "5-1/2 in",
        },
        "posts": [
            {"name": name, "beam": "front beam", "from_beam_end": _inches(place), "size": "6x6",
             "species": "southern_pine", "height": _inches(post),
             "beam_connection": "manufactured_connector", "base": "manufactured_connector"}
            for name, place in zip(names, at, strict=True)
        ],
        "footings": [
            {"name": f"footing of {name}", "post": name, "kind": "cast_concrete", "carries": "post",
             "shape": "round", "diameter": "24 in", "thickness": "10 in", "depth": "42 in",
             "frost_protection": "depth"}
            for name in names
        ],
        "decking": {"board": "five_quarter_wood", "thickness": "1 in", "direction": "perpendicular",
                    "spans": "multiple_span", "fastening": "two_at_each_joist"},
        "guards": [
            {"name": f"{edge} edge", "installed": "yes", "ground_fall_within_36_in": "0 in",
             "drop_straight_down": _inches(rise), "height": "36 in", "opening": "3-1/2 in",
             "infill": "balusters_or_boards", "mount": "side", "edge_joist_restrained": "yes",
             "held_by_end_grain_withdrawal_only": "no", "post_spacing": "5 ft", "post_size": "4x4", "post_fastening": "bolts_and_blocking", "top_load_capacity": "200 lb",
             "load_path_to_joists": "yes", "post_notched": "no"}
            for edge in ("left", "front", "right")
        ],
        "doors": {
            "role": "required_egress",
            "opens_onto": "deck",
            "swings_over_landing": "no",
            "threshold_above_floor": "1/2 in",
            "width": "36 in",
        },
        "stairs": {
            "form": "straight",
            "width": "42 in",
            "total_rise": _inches(rise),
            "riser_count": str(-(-rise * 4 // 31)),
            "risers_even": "yes",
            "risers": "closed",
            "tread_depth": "10-1/4 in",
            "deepest_tread": "10-1/4 in",
            "flights": "1",
            "stringers": "cut_2x12",
            "stringer_head": "connectors",
            "stringer_foot": "footing",
            "stringer_spacing": "16 in",
            "serves_basement": "no",
            "open_sides": "2",
            "guard_installed": "yes",
            "guard_height": "36 in",
        },
        "materials": {"framing_treatment": "pressure_treated", "post_treatment": "pressure_treated",
                      "wood_in_ground": "no", "fastener_kind": "nail",
                      "fastener_finish": "hot_dip_galvanized", "connector_coating": "g185"},
    }  # fmt: skip


def _post_off_the_beam(plan: Groups) -> None:
    plan["posts"][-1]["from_beam_end"] = "30 ft"


def _short_ledger(plan: Groups) -> None:
    plan["ledger"]["length"] = "6 ft"


def _toenailed_joists(plan: Groups) -> None:
    plan["joists"]["at_ledger"] = "nails_only"


def _no_footing_told(plan: Groups) -> None:
    del plan["footings"][-1]


def _no_hangers_told(plan: Groups) -> None:
    del plan["joists"]["hanger_capacity"]


def _no_edges_told(plan: Groups) -> None:
    del plan["deck"]["open_edges"]


def _no_post_place_told(plan: Groups) -> None:
    del plan["posts"][-1]["from_beam_end"]


FLAWS: tuple[Callable[[Groups], None], ...] = (
    _post_off_the_beam,
    _short_ledger,
    _toenailed_joists,
)
OMISSIONS: tuple[Callable[[Groups], None], ...] = (
    _no_footing_told,
    _no_hangers_told,
    _no_edges_told,
    _no_post_place_told,
)
