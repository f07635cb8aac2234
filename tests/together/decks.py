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
    }
    if free:
        facts["lateral.connection"] = random.choice(("engineered", "bracing_to_ground"))
    else:
        sizes = list(DEPTH)
        facts |= {
            "wall.structure": random.choice(("wood_frame", "wood_frame", "i_joist_floor")),
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


def _drop(group: str) -> Callable[[Deck, Random], str | None]:
    """Leave a part out, and name what then lacks it."""

    def does(deck: Deck, random: Random) -> str | None:
        members = deck["parts"][group]
        if not members:
            return None
        gone = members.pop(random.randrange(len(members)))
        if group == "footings":
            return str(gone["footings.post"])
        if group == "posts":
            return str(gone["name"])
        return str(gone["name"]) if group == "beams" else TITLES[group]

    return does


def _set(
    group: str, quantity: str, value: Any, named: str = ""
) -> Callable[[Deck, Random], str | None]:
    def does(deck: Deck, random: Random) -> str | None:
        members = deck["parts"][group]
        if not members:
            return None
        one = members[random.randrange(len(members))]
        one[quantity] = value(one, deck) if callable(value) else value
        return named or str(one["name"])

    return does


def _fact(
    quantity: str, value: Any, named: str, only: str = ""
) -> Callable[[Deck, Random], str | None]:
    def does(deck: Deck, random: Random) -> str | None:
        if only and deck["facts"]["deck.attachment"] != only:
            return None
        found = value(deck) if callable(value) else value
        if found is None:
            deck["facts"].pop(quantity, None)
        else:
            deck["facts"][quantity] = found
        return named

    return does


def _some(quantity: str, value: Any, group: str = "") -> Callable[[Deck, Random], str | None]:
    """State a heavy or unusual part of a deck that says nothing else of any."""

    def does(deck: Deck, random: Random) -> str | None:
        del deck["facts"]["unusual.parts"]
        if group:
            return _set(group, quantity, value)(deck, random)
        deck["facts"][quantity] = value
        return "Heavy or unusual parts"

    return does


def _forget(group: str, quantity: str, named: str = "") -> Callable[[Deck, Random], str | None]:
    def does(deck: Deck, random: Random) -> str | None:
        members = [p for p in deck["parts"][group] if quantity in p]
        if not members:
            return None
        one = members[random.randrange(len(members))]
        del one[quantity]
        return named or str(one["name"])

    return does


def _hang(quantity: str, value: Any) -> Callable[[Deck, Random], str | None]:
    """Change a field that hangs on the ledger."""

    def does(deck: Deck, random: Random) -> str | None:
        hung = [f for f in deck["parts"]["joists"] if "joists.at_ledger" in f]
        if not hung:
            return None
        hung[0][quantity] = value
        return str(hung[0]["name"])

    return does


def _hang_on(quantity: str, value: Any) -> Callable[[Deck, Random], str | None]:
    """Hang a field on the ledger in hangers that one thing is wrong with, or not said of."""

    def does(deck: Deck, random: Random) -> str | None:
        hung = [f for f in deck["parts"]["joists"] if f.get("joists.at_ledger")]
        if not hung:
            return None
        hung[0] |= {"joists.at_ledger": "hanger_fully_seated", quantity: value}
        if value is None:
            del hung[0][quantity]
        return str(hung[0]["name"])

    return does


def _one_post_left(deck: Deck, random: Random) -> str | None:
    beam = deck["parts"]["beams"][0]["name"]
    own = [p for p in deck["parts"]["posts"] if p["posts.beam"] == beam]
    for post in own[1:]:
        deck["parts"]["posts"].remove(post)
    kept = {p["name"] for p in deck["parts"]["posts"]}
    footings = deck["parts"]["footings"]
    deck["parts"]["footings"] = [f for f in footings if f["footings.post"] in kept]
    deck["parts"]["beams"][0].pop("beams.post_count", None)
    return str(beam)


def _stood_free(deck: Deck, random: Random) -> str | None:
    if deck["facts"]["deck.attachment"] != "ledger" or len(deck["parts"]["beams"]) > 1:
        return None
    deck["facts"]["deck.attachment"] = "freestanding"
    deck["facts"]["lateral.connection"] = "engineered"
    return "main"


def _same_place(deck: Deck, random: Random) -> str | None:
    beam = deck["parts"]["beams"][0]["name"]
    one, two = [p for p in deck["parts"]["posts"] if p["posts.beam"] == beam][:2]
    two["posts.from_beam_end"] = one["posts.from_beam_end"]
    return str(beam)


def _past_the_end(deck: Deck, random: Random) -> str | None:
    post = random.choice(deck["parts"]["posts"])
    post["posts.from_beam_end"] = Fraction(1200)
    return str(post.get("posts.beam") or deck["parts"]["beams"][0]["name"])


def _above_the_door(deck: Deck, random: Random) -> str | None:
    door = deck["parts"]["doors"][0]
    door["doors.step_down" if "doors.step_down" in door else "doors.threshold_above_floor"] = (
        Fraction(-9)
    )
    return str(door["name"])


def _edge_left_out(deck: Deck, random: Random) -> str | None:
    if deck["facts"]["deck.greatest_height_above_grade"] <= 30:
        return None
    deck["parts"]["guards"].pop()
    return "Open edges"


def _no_edge_said_open(deck: Deck, random: Random) -> str | None:
    if deck["facts"]["deck.greatest_height_above_grade"] <= 30:
        return None
    deck["facts"]["deck.open_edges"] = Fraction(0)
    deck["parts"]["guards"] = []
    return "Open edges"


def _risers(deck: Deck, random: Random) -> str | None:
    stair = deck["parts"]["stairs"][0]
    stair.pop("stairs.risers_even", None)
    stair["stairs.riser_variation"] = Fraction(0)
    stair["stairs.riser_height"], stair["stairs.lowest_riser"] = Fraction(10), Fraction(6)
    return str(stair["name"])


def _treads(deck: Deck, random: Random) -> str | None:
    stair = deck["parts"]["stairs"][0]
    stair["stairs.tread_variation"] = Fraction(0)
    stair["stairs.deepest_tread"], stair["stairs.tread_depth"] = Fraction(12), Fraction(10)
    return str(stair["name"])


def _all_posts_at_one_end(deck: Deck, random: Random) -> str | None:
    """Crowd the last posts: the end then reaches farther than the span beside it."""
    beam = deck["parts"]["beams"][0]
    own = [p for p in deck["parts"]["posts"] if p["posts.beam"] == beam["name"]]
    reach = beam["beams.length"] - own[-2]["posts.from_beam_end"]
    own[-1]["posts.from_beam_end"] = own[-2]["posts.from_beam_end"] + reach / 4
    return str(beam["name"])


def _splice_over_no_post(deck: Deck, random: Random) -> str | None:
    beam = deck["parts"]["beams"][0]
    beam |= {"beams.spliced": True, "beams.splices_over_posts": False}
    return str(beam["name"])


def _spliced_on_two_posts(deck: Deck, random: Random) -> str | None:
    beam = deck["parts"]["beams"][0]
    own = [p for p in deck["parts"]["posts"] if p["posts.beam"] == beam["name"]]
    if len(own) != 2:
        return None
    beam |= {"beams.spliced": True, "beams.splices_over_posts": True}
    return str(beam["name"])


def _flush(quantity: str, value: Any, group: str) -> Callable[[Deck, Random], str | None]:
    """Hang joists on the side of a beam, with one thing of it wrong."""

    def does(deck: Deck, random: Random) -> str | None:
        beam, field = deck["parts"]["beams"][-1], deck["parts"]["joists"][-1]
        beam |= {"beams.position": "flush", "beams.size": "2-2x12"}
        field |= {"joists.cantilever": Fraction(0), "joists.bearing_on": "hanger"}
        one = {"beams": beam, "joists": field}[group]
        one[quantity] = value
        return str(one["name"])

    return does


def _pieces_short(deck: Deck, random: Random) -> str | None:
    if deck["facts"]["deck.attachment"] != "ledger":
        return None
    deck["facts"]["band_joist.begins_left_of_ledger"] = Fraction(0)
    deck["parts"]["band_joist_pieces"] = [{"name": "one", "band_joist_pieces.length": 6 * FT}]
    return "Ledger on the house"


def _pieces_unmeasured(deck: Deck, random: Random) -> str | None:
    """Two pieces, the length of one not stated: what stands behind the ledger is not known."""
    if _pieces_short(deck, random) is None:
        return None
    deck["parts"]["band_joist_pieces"].append({"name": "two"})
    return "Ledger on the house"


def _pieces_begin_nowhere(deck: Deck, random: Random) -> str | None:
    if _pieces_short(deck, random) is None:
        return None
    del deck["facts"]["band_joist.begins_left_of_ledger"]
    return "Ledger on the house"


def _reach_of(stated: Any, **facts: Any) -> Callable[[Deck, Random], str | None]:
    """Give a stair of one flight rise and run, and the reach stated of its stringers, or none."""

    def does(deck: Deck, random: Random) -> str | None:
        stair = deck["parts"]["stairs"][0]
        for name in ("stringer_run", "deepest_tread", "tread_variation"):
            stair.pop(f"stairs.{name}", None)
        risers = Fraction(-(-stair["stairs.total_rise"] // 7))
        stair |= {"stairs.flights": Fraction(1), "stairs.riser_count": risers}
        stair |= {f"stairs.{name}": value for name, value in facts.items()}
        if stated is not None:
            stair["stairs.stringer_run"] = stated
        return str(stair["name"])

    return does


def _strip_with_no_room(deck: Deck, random: Random) -> str | None:
    field = deck["parts"]["joists"][0]
    if "joists.at_ledger" not in field:
        return None
    field["joists.at_ledger"] = "ledger_strip"
    room = DEPTH[deck["facts"]["ledger.size"]] - DEPTH[field["joists.size"]]
    field["joists.below_ledger_top"] = room
    return str(field["name"])


def _longer_inner_reach(deck: Deck, random: Random) -> str | None:
    field = deck["parts"]["joists"][0]
    if "joists.inner_cantilever" not in field:
        return None
    field["joists.inner_cantilever"] = field["joists.cantilever"] + 9 * FT
    return str(field["name"])


def _past_hangers(deck: Deck, random: Random) -> str | None:
    deck["parts"]["beams"][-1]["beams.position"] = "flush"
    deck["parts"]["joists"][-1]["joists.cantilever"] = Fraction(12)
    return str(deck["parts"]["joists"][-1]["name"])


def _none_of(group: str) -> Callable[[Deck, Random], str | None]:
    def does(deck: Deck, random: Random) -> str | None:
        above = {"posts": "beams", "footings": "posts"}.get(group)
        deck["parts"][group] = []
        return str(deck["parts"][above][0]["name"]) if above else "Decking on its joists"

    return does


TITLES = {"joists": "Both ends of the joists", "guards": "Open edges", "stairs": "", "doors": ""}
FT = Fraction(12)
LEDGER, DECKING = "Ledger on the house", "Decking on its joists"

BREAKS: tuple[Break, ...] = (
    Break("a footing left out", _drop("footings"), on_the_load_path=True),
    Break("a beam left out", _drop("beams"), on_the_load_path=True),
    Break(
        "a way to hang not stated",
        _fact("deck.attachment", None, "main", "ledger"),
        on_the_load_path=True,
    ),
    Break("one post under a beam", _one_post_left, on_the_load_path=True),
    Break(
        "a post under no beam", _set("posts", "posts.beam", "no such beam"), on_the_load_path=True
    ),
    Break(
        "a footing under no post",
        _set("footings", "footings.post", "no such post"),
        on_the_load_path=True,
    ),
    Break(
        "joists on no beam", _set("joists", "joists.beam", "no such beam"), on_the_load_path=True
    ),
    Break(
        "an inner beam that is none",
        _set("joists", "joists.inner_beam", "no such beam"),
        on_the_load_path=True,
    ),
    Break("a post past the beam's end", _past_the_end, on_the_load_path=True),
    Break(
        "a beam ending before its posts",
        _set("beams", "beams.length", 3 * FT),
        on_the_load_path=True,
    ),
    Break("two posts at one place", _same_place),
    Break("stood free on one beam", _stood_free, on_the_load_path=True),
    Break(
        "a ledger nailed",
        _fact("fasteners.kind", "nail", "Ledger on the house", "ledger"),
        on_the_load_path=True,
    ),
    Break(
        "no ledger board",
        _fact("ledger.size", None, "Ledger on the house", "ledger"),
        on_the_load_path=True,
    ),
    Break(
        "a band joist on nothing",
        _fact("band_joist.directly_supported_by", "nothing", "Ledger on the house", "ledger"),
        on_the_load_path=True,
    ),
    Break(
        "a bearing not stated",
        _fact("band_joist.directly_supported_by", None, "Ledger on the house", "ledger"),
        on_the_load_path=True,
    ),
    Break(
        "a hollow masonry wall",
        _fact("wall.structure", "hollow_masonry", "Ledger on the house", "ledger"),
        on_the_load_path=True,
    ),
    Break(
        "a concrete wall",
        _fact("wall.structure", "concrete", "Ledger on the house", "ledger"),
        on_the_load_path=True,
    ),
    Break(
        "a truss floor",
        _fact("wall.structure", "truss_floor", "Ledger on the house", "ledger"),
        on_the_load_path=True,
    ),
    Break(
        "a wall not stated",
        _fact("wall.structure", None, "Ledger on the house", "ledger"),
        on_the_load_path=True,
    ),
    Break("joists held by nails", _hang("joists.at_ledger", "nails_only"), on_the_load_path=True),
    Break("joists hung low", _hang("joists.below_ledger_top", Fraction(6)), on_the_load_path=False),
    Break(
        "joists deeper than the ledger",
        _fact("ledger.size", "2x6", "Joists against the ledger", "ledger"),
    ),
    Break(
        "a hanger deeper than the joists", _set("joists", "joists.restraint_depth", Fraction(14))
    ),
    Break(
        "a ledger short of the joists",
        _fact("ledger.length", 4 * FT, "Ledger and beams along the joists", "ledger"),
    ),
    Break(
        "a ledger's length not stated",
        _fact("ledger.length", None, "Ledger and beams along the joists", "ledger"),
    ),
    Break(
        "a field wider than ledger and beam",
        _set("joists", "joists.field_width", 60 * FT, "Ledger and beams along the joists"),
    ),
    Break(
        "a field's width not stated",
        _forget("joists", "joists.field_width", "Ledger and beams along the joists"),
    ),
    Break("a beam's length not stated", _forget("beams", "beams.length")),
    Break(
        "a post 9 ft too tall",
        _set("posts", "posts.height", lambda p, d: p["posts.height"] + 9 * FT),
    ),
    Break("a post's height not stated", _forget("posts", "posts.height", "Heights")),
    Break(
        "a deck 9 ft higher than its posts",
        _fact(
            "deck.greatest_height_above_grade",
            lambda d: d["facts"]["deck.greatest_height_above_grade"] + 9 * FT,
            "Heights",
        ),
    ),
    Break("a height not stated", _fact("deck.greatest_height_above_grade", None, "Heights")),
    Break(
        "an edge that drops below the deck's height",
        _set(
            "guards",
            "guards.drop_straight_down",
            lambda g, d: d["facts"]["deck.greatest_height_above_grade"] + 3 * FT,
        ),
    ),
    Break(
        "a stair that rises past the deck",
        _set(
            "stairs",
            "stairs.total_rise",
            lambda s, d: d["facts"]["deck.greatest_height_above_grade"] + 4 * FT,
        ),
    ),
    Break("a stair whose rise is not stated", _forget("stairs", "stairs.total_rise")),
    Break("a deck above the door", _above_the_door),
    Break("an edge left out", _edge_left_out),
    Break("a raised deck said to have no open edge", _no_edge_said_open),
    Break("posts counted otherwise", _set("beams", "beams.post_count", Fraction(9))),
    Break("a span stated otherwise", _set("beams", "beams.span", FT)),
    Break("a reach stated otherwise", _set("beams", "beams.cantilever", 7 * FT)),
    Break("a post's area stated otherwise", _set("posts", "posts.tributary_area", Fraction(144))),
    Break(
        "a band joist 14 in deep called 2x12",
        _fact("band_joist.depth", Fraction(14), "Boards", "ledger"),
    ),
    Break(
        "decking 2-1/2 in thick called 5/4", _fact("decking.thickness", Fraction(5, 2), "Boards")
    ),
    Break(
        "end distances that cannot be",
        _fact("fasteners.end_distance_on_ledger", Fraction(30), "Measures", "ledger"),
    ),
    Break("risers that cannot differ so little", _risers),
    Break("treads that cannot differ so little", _treads),
    Break("nine open sides", _set("stairs", "stairs.open_sides", Fraction(9))),
    Break("nine handrails", _set("stairs", "stairs.handrail_sides", Fraction(9))),
    Break("joists reaching past hangers", _past_hangers),
    Break("joists that tip up", _set("joists", "joists.cantilever", 40 * FT)),
    Break(
        "nothing against racking",
        _fact("lateral.connection", "none", "Kept from racking", "freestanding"),
    ),
    Break(
        "hold-downs on a deck with no house",
        _fact("lateral.connection", "hold_down_devices", "Kept from racking", "freestanding"),
    ),
    Break(
        "a hot tub on a deck said to have none",
        _fact("unusual.heavy_area", "hot_tub", "Heavy or unusual parts"),
    ),
    Break("unusual parts not said", _fact("unusual.parts", None, "Heavy or unusual parts")),
    Break("unusual parts not named", _fact("unusual.parts", "some", "Heavy or unusual parts")),
    Break("a hot tub", _some("unusual.heavy_area", "hot_tub")),
    Break("a tub weighed", _some("unusual.heavy_area_load", Fraction(150, 144))),
    Break("a roof on the deck", _some("unusual.heavy_area", "roof")),
    Break("wind that lifts", _some("unusual.wind_uplift", True)),
    Break("a level on another", _some("unusual.levels", "one_on_another")),
    Break("two levels", _some("unusual.levels", "each_on_its_own_posts")),
    Break("an angled corner", _some("unusual.corners", "angled")),
    Break("a helical pile", _set("footings", "footings.kind", "helical_pile")),
    Break("a slab that was there", _set("footings", "footings.kind", "existing_slab")),
    Break("a footing not said what", _forget("footings", "footings.kind")),
    Break("a footing in the backfill", _some("footings.ground", "fill", "footings")),
    Break("guard posts far apart", _set("guards", "guards.post_spacing", 8 * FT)),
    Break("guard posts not said how far apart", _forget("guards", "guards.post_spacing")),
    Break("a guard of glass", _some("guards.infill", "glass", "guards")),
    Break("a guard of cable", _some("guards.infill", "cable", "guards")),
    Break("stringers nailed", _set("stairs", "stairs.stringer_head", "nails_only")),
    Break("stringers on nothing", _set("stairs", "stairs.stringer_foot", "nothing")),
    Break("stringers on bare ground", _set("stairs", "stairs.stringer_foot", "bare_ground")),
    Break("a stringer's foot not said", _forget("stairs", "stairs.stringer_foot")),
    Break("stringers of another kind", _set("stairs", "stairs.stringers", "other")),
    Break("stringers too long", _set("stairs", "stairs.stringer_run", 14 * FT)),
    Break("a deepest tread not stated", _reach_of(None, tread_depth=Fraction(10))),
    Break(
        "a stair of more treads than cut stringers reach",
        _reach_of(None, riser_count=Fraction(12), deepest_tread=Fraction(10), stringers="cut_2x12"),
    ),
    Break(
        "stringers stated shorter than rise and run",
        _reach_of(
            3 * FT,
            riser_count=Fraction(9),
            tread_depth=Fraction(10),
            stringers_held_between=False,
        ),
    ),
    Break("stringers far apart", _set("stairs", "stairs.stringer_spacing", 4 * FT)),
    Break("a hanger too weak", _hang_on("joists.hanger_capacity", Fraction(60))),
    Break("a hanger's load not stated", _hang_on("joists.hanger_capacity", None)),
    Break("boards held by less", _fact("decking.fastening", "less", DECKING)),
    Break("boards held by what is not said", _fact("decking.fastening", None, DECKING)),
    Break("posts crowded at one end", _all_posts_at_one_end),
    Break("a splice over no post", _splice_over_no_post),
    Break("a splice on two posts", _spliced_on_two_posts),
    Break("a splice not spoken of", _forget("beams", "beams.spliced")),
    Break("hung on a beam without hangers", _flush("joists.bearing_on", "wood", "joists")),
    Break("hung on a shallow beam", _flush("beams.size", "2-2x6", "beams")),
    Break("on top of a ledger level with it", _hang("joists.at_ledger", "bears_on_top")),
    Break("a strip with no room", _strip_with_no_room),
    Break("a slender post", _set("posts", "posts.height", 30 * FT)),
    Break("a footing's width not stated", _forget("footings", "footings.diameter")),
    Break("a footing narrower than its post", _set("footings", "footings.diameter", Fraction(4))),
    Break("a band joist shorter than the ledger", _pieces_short),
    Break("a piece of the band joist not measured", _pieces_unmeasured),
    Break("a band joist that begins nowhere said", _pieces_begin_nowhere),
    Break(
        "a ledger end no bolt holds",
        _fact("fasteners.first_from_ledger_end", 4 * FT, LEDGER, "ledger"),
    ),
    Break(
        "a ledger far off the wall", _fact("wall.gap_to_sheathing", Fraction(3), LEDGER, "ledger")
    ),
    Break("an inner reach past the cantilever", _longer_inner_reach),
    Break(
        "a first joist far from the field's end",
        _set("joists", "joists.first_from_field_end", 9 * FT),
    ),
    Break("joists left out", _none_of("joists")),
    Break("posts left out", _none_of("posts"), on_the_load_path=True),
    Break("footings left out", _none_of("footings"), on_the_load_path=True),
)
