"""Invented decks as plain facts: sound ones drawn at random, and ones broken in one place.

A deck is `{"facts": {quantity: value}, "parts": {group: [{"name": ..., quantity: value}]}}`, lengths
in inches. A sound deck is framed as a carpenter would: every joist end on a ledger or a beam, every
beam on posts within its ends, every post on a footing, heights that add up.
"""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from dataclasses import dataclass
from fractions import Fraction
from random import Random
from typing import Any

from deckclause.designs.design import Design, Part

Deck = dict[str, Any]
DEPTH = {
    "2x6": Fraction(11, 2),
    "2x8": Fraction(29, 4),
    "2x10": Fraction(37, 4),
    "2x12": Fraction(45, 4),
}
"""Dressed depths, PS 20, typed again here."""


def as_design(deck: Deck) -> Design:
    """Return the deck as the engine reads it."""
    parts = {
        group: tuple(Part(p["name"], {k: v for k, v in p.items() if k != "name"}) for p in members)
        for group, members in deck["parts"].items()
    }
    return Design("drawn", "", dict(deck["facts"]), parts, "drawn.yaml", "drawn")


def sound_deck(seed: int) -> Deck:
    """Draw a deck that stands: on a ledger or free, with one field of joists or two."""
    random = Random(seed)
    free = random.random() < 0.3
    width = Fraction(12 * random.randint(8, 24))
    joist = random.choice(("2x8", "2x10", "2x12"))
    deck = _empty(random, free, joist)
    height = Fraction(random.randint(20, 140))
    names = ["inner beam", "front beam"] if free else ["front beam"]
    wing = not free and random.random() < 0.25
    if wing:
        names.append("far beam")
    position = dict.fromkeys(names, "dropped")
    if wing:
        position["front beam"] = "flush"
    deck["parts"]["joists"].append(_field(random, "main", width, joist, free, wing, deck))
    if wing:
        field = _field(random, "wing", width / 2, joist, False, False, deck)
        field |= {"joists.inner_beam": "front beam", "joists.beam": "far beam"}
        field |= {"joists.hung_at_inner_beam": True, "joists.inner_cantilever": Fraction(0)}
        field["joists.below_ledger_top"] = deck["parts"]["joists"][0]["joists.below_ledger_top"]
        field.pop("joists.at_ledger", None)
        deck["parts"]["joists"].append(field)
    for name in names:
        _beam(
            random, deck, name, width / 2 if name == "far beam" else width, position[name], height
        )
    _edges_and_stairs(random, deck, height, 4 if free else 3)
    return deck


def _empty(random: Random, free: bool, joist: str) -> Deck:
    facts: dict[str, Any] = {
        "deck.attachment": "freestanding" if free else "ledger",
        "decking.board": "five_quarter_wood",
        "decking.thickness": Fraction(1),
        "decking.fastening": "two_at_each_joist",
        "unusual.parts": "none",
        "materials.framing_treatment": "pressure_treated",
        "materials.post_treatment": "pressure_treated",
        "materials.wood_in_ground": False,
    }
    if free:
        facts["lateral.connection"] = random.choice(("engineered", "bracing_to_ground"))
    else:
        sizes = list(DEPTH)
        facts |= {
            "wall.structure": random.choice(("wood_frame", "wood_frame", "i_joist_floor")),
            "wall.cladding_removed": True,
            "ledger.treatment": "pressure_treated",
            "ledger.size": random.choice(sizes[sizes.index(joist) :]),
            "fasteners.kind": random.choice(("lag_screw", "through_bolt")),
            "fasteners.end_distance_on_ledger": Fraction(2),
            "fasteners.first_from_ledger_end": Fraction(random.choice((2, 3, 5))),
            "fasteners.spacing": Fraction(random.choice((8, 12, 16))),
            "wall.gap_to_sheathing": random.choice((Fraction(0), Fraction(1, 2))),
            "band_joist.kind": "sawn_lumber",
            "band_joist.size": "2x12",
            "band_joist.directly_supported_by": random.choice(("mudsill", "double_top_plate")),
            "ledger.below_band_joist": Fraction(random.choice((0, 1, 2))),
            "floor.subfloor_thickness": Fraction(3, 4),
            "floor.finish_thickness": Fraction(3, 4),
            "lateral.connection": "hold_down_devices",
        }
    return {
        "facts": facts,
        "parts": {
            g: [] for g in ("joists", "beams", "posts", "footings", "guards", "stairs", "doors")
        },
    }


def _field(
    random: Random, name: str, width: Fraction, joist: str, free: bool, wing: bool, deck: Deck
) -> dict[str, Any]:
    span = Fraction(12 * random.randint(6, 14))
    field: dict[str, Any] = {
        "name": name,
        "joists.size": joist,
        "joists.spacing": Fraction(random.choice((12, 16, 24))),
        "joists.span": span,
        "joists.cantilever": Fraction(0) if wing else Fraction(random.randint(0, int(span) // 4)),
        "joists.field_width": width,
        "joists.beam": "front beam",
        "joists.bearing_on": "hanger" if wing else "wood",
        "joists.hanger_capacity": Fraction(random.choice((1200, 1500))),
        "joists.hanger_fits": True,
        "joists.blocking_apart": Fraction(random.choice((48, 72, 96))),
        "joists.restraint": "blocking",
        "joists.restraint_depth": DEPTH[joist],
    }
    if free:
        field |= {"joists.inner_beam": "inner beam", "joists.inner_cantilever": Fraction(0)}
    else:
        room = DEPTH[deck["facts"]["ledger.size"]] - DEPTH[joist]
        below = min(room, Fraction(random.choice((0, 0, 1))))
        seats = ("hanger_fully_seated", "ledger_strip")
        field |= {
            "joists.at_ledger": random.choice(seats if room - below >= 2 else seats[:1]),
            "joists.below_ledger_top": below,
            "joists.notched": False,
        }
        deck["facts"].setdefault("ledger.length", width + random.choice((0, 0, 12)))
    return field


def _beam(
    random: Random, deck: Deck, name: str, width: Fraction, position: str, height: Fraction
) -> None:
    size = random.choice(("2-2x10", "2-2x12", "3-2x12")[position == "flush" :])
    whole = width + random.choice((0, 0, 6))
    reach = Fraction(random.choice((0, 6, 12)))
    count = max(2, -(-int(whole - 2 * reach) // 96) + 1)
    deck["parts"]["beams"].append(
        {"name": name, "beams.size": size, "beams.length": whole, "beams.position": position}
    )
    spliced = count > 2 and random.random() < 0.3
    deck["parts"]["beams"][-1]["beams.spliced"] = spliced
    if spliced:
        deck["parts"]["beams"][-1]["beams.splices_over_posts"] = True
    if random.random() < 0.5:
        deck["parts"]["beams"][-1]["beams.post_count"] = Fraction(count)
    depth = DEPTH[size.split("-")[1]]
    joist = DEPTH[deck["parts"]["joists"][0]["joists.size"]]
    framing = max(depth, joist) if position == "flush" else depth + joist
    for number in range(count):
        post = f"{name} post {number + 1}"
        place = reach + (whole - 2 * reach) * Fraction(number, count - 1)
        deck["parts"]["posts"].append(
            {
                "name": post,
                "posts.beam": name,
                "posts.from_beam_end": place,
                "posts.size": "6x6",
                "posts.height": max(height - framing - 1 - random.randint(0, 6), Fraction(3)),
                "posts.base": "manufactured_connector",
                "posts.beam_connection": "manufactured_connector",
            }
        )
        deck["parts"]["footings"].append(
            {
                "name": f"{post} footing",
                "footings.post": post,
                "footings.carries": "post",
                "footings.kind": "cast_concrete",
                "footings.diameter": Fraction(random.choice((12, 18, 24))),
            }
        )


def _edges_and_stairs(random: Random, deck: Deck, height: Fraction, edges: int) -> None:
    posts = deck["parts"]["posts"]
    lowest = max(p["posts.height"] for p in posts)
    deck["facts"]["deck.greatest_height_above_grade"] = max(height, lowest + 16)
    deck["facts"]["deck.open_edges"] = Fraction(edges)
    for number in range(edges):
        drop = height - random.randint(0, 12)
        deck["parts"]["guards"].append(
            {
                "name": f"edge {number + 1}",
                "guards.installed": True,
                "guards.post_spacing": Fraction(random.choice((48, 60, 72))),
                "guards.drop_straight_down": drop,
                "guards.load_path_to_joists": True,
                "guards.held_by_end_grain_withdrawal_only": False,
                "guards.mount": "side",
                "guards.edge_joist_restrained": True,
                "guards.post_size": random.choice(("4x4", "6x6")),
                "guards.post_notched": False,
                "guards.post_fastening": random.choice(("bolts_and_blocking", "as_report_shows")),
            }
        )
    deck["parts"]["stairs"].append(
        {
            "name": "stair",
            "stairs.total_rise": height - random.randint(0, 4),
            "stairs.serves_basement": False,
            "stairs.stringers": random.choice(("cut_2x12", "solid_2x12")),
            "stairs.stringer_head": random.choice(("connectors", "rests_on_framing")),
            "stairs.stringer_foot": random.choice(("footing", "concrete_slab")),
            "stairs.stringer_run": Fraction(random.randint(20, 72)),
            "stairs.stringer_spacing": Fraction(random.choice((12, 16, 18))),
            "stairs.open_sides": Fraction(random.randint(0, 2)),
            "stairs.handrail_sides": Fraction(1),
            "stairs.guard_installed": True,
        }
    )
    door: dict[str, Any] = {"name": "door", "doors.opens_onto": "deck"}
    if deck["facts"]["deck.attachment"] == "ledger":
        door["doors.threshold_above_floor"] = Fraction(1)
    else:
        door["doors.step_down"] = Fraction(random.choice((0, 1, 4)))
    deck["parts"]["doors"].append(door)


# --- one place broken ---------------------------------------------------------------------------


@dataclass(frozen=True)
class Break:
    """One thing done to a sound deck, and what the message must name: a part, or a topic's word."""

    name: str
    does: Callable[[Deck, Random], str | None]
    """Breaks the deck in place; returns what must be named, None where the deck has no such thing."""
    on_the_load_path: bool = False


def broken(deck: Deck, how: Break, seed: int) -> tuple[Deck, str] | None:
    """Return the deck broken, and what must be named; None where it cannot be broken so."""
    found = deepcopy(deck)
    named = how.does(found, Random(seed))
    return None if named is None else (found, named)
