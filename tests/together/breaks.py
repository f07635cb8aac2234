"""Sound decks broken in one place each: what carries what, what fits, what is not said."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from random import Random
from typing import Any

from together.breaking import (
    DECKING,
    FT,
    LEDGER,
    change,
    drop,
    fact,
    flush,
    forget,
    hang,
    hang_on,
    none_of,
    unusual,
)
from together.decks import DEPTH, Break, Deck
from together.further_breaks import FURTHER


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


def _places(beam: dict[str, Any], deck: Deck) -> list[Fraction]:
    posts = deck["parts"]["posts"]
    return [p["posts.from_beam_end"] for p in posts if p["posts.beam"] == beam["name"]]


def _past_hangers(deck: Deck, random: Random) -> str | None:
    deck["parts"]["beams"][-1]["beams.position"] = "flush"
    deck["parts"]["joists"][-1]["joists.cantilever"] = Fraction(12)
    return str(deck["parts"]["joists"][-1]["name"])


BREAKS: tuple[Break, ...] = (
    *FURTHER,
    Break("a footing left out", drop("footings"), on_the_load_path=True),
    Break("a beam left out", drop("beams"), on_the_load_path=True),
    Break(
        "a way to hang not stated",
        fact("deck.attachment", None, "main", "ledger"),
        on_the_load_path=True,
    ),
    Break("one post under a beam", _one_post_left, on_the_load_path=True),
    Break(
        "a post under no beam", change("posts", "posts.beam", "no such beam"), on_the_load_path=True
    ),
    Break(
        "a footing under no post",
        change("footings", "footings.post", "no such post"),
        on_the_load_path=True,
    ),
    Break(
        "joists on no beam", change("joists", "joists.beam", "no such beam"), on_the_load_path=True
    ),
    Break(
        "an inner beam that is none",
        change("joists", "joists.inner_beam", "no such beam"),
        on_the_load_path=True,
    ),
    Break("a post past the beam's end", _past_the_end, on_the_load_path=True),
    Break(
        "a beam ending before its posts",
        change("beams", "beams.length", lambda beam, deck: max(_places(beam, deck)) - 1),
        on_the_load_path=True,
    ),
    Break("two posts at one place", _same_place),
    Break("stood free on one beam", _stood_free, on_the_load_path=True),
    Break(
        "a ledger nailed",
        fact("fasteners.kind", "nail", "Ledger on the house", "ledger"),
        on_the_load_path=True,
    ),
    Break(
        "no ledger board",
        fact("ledger.size", None, "Ledger on the house", "ledger"),
        on_the_load_path=True,
    ),
    Break(
        "a band joist on nothing",
        fact("band_joist.directly_supported_by", "nothing", "Ledger on the house", "ledger"),
        on_the_load_path=True,
    ),
    Break(
        "a bearing not stated",
        fact("band_joist.directly_supported_by", None, "Ledger on the house", "ledger"),
        on_the_load_path=True,
    ),
    Break(
        "a hollow masonry wall",
        fact("wall.structure", "hollow_masonry", "Ledger on the house", "ledger"),
        on_the_load_path=True,
    ),
    Break(
        "a concrete wall",
        fact("wall.structure", "concrete", "Ledger on the house", "ledger"),
        on_the_load_path=True,
    ),
    Break(
        "a truss floor",
        fact("wall.structure", "truss_floor", "Ledger on the house", "ledger"),
        on_the_load_path=True,
    ),
    Break(
        "a wall not stated",
        fact("wall.structure", None, "Ledger on the house", "ledger"),
        on_the_load_path=True,
    ),
    Break("joists held by nails", hang("joists.at_ledger", "nails_only"), on_the_load_path=True),
    Break("joists hung low", hang("joists.below_ledger_top", Fraction(6)), on_the_load_path=False),
    Break(
        "joists deeper than the ledger",
        fact("ledger.size", "2x6", "Joists against the ledger", "ledger"),
    ),
    Break(
        "a hanger deeper than the joists", change("joists", "joists.restraint_depth", Fraction(14))
    ),
    Break(
        "a ledger short of the joists",
        fact("ledger.length", 4 * FT, "Ledger and beams along the joists", "ledger"),
    ),
    Break(
        "a ledger's length not stated",
        fact("ledger.length", None, "Ledger and beams along the joists", "ledger"),
    ),
    Break(
        "a field wider than ledger and beam",
        change("joists", "joists.field_width", 60 * FT, "Ledger and beams along the joists"),
    ),
    Break(
        "a field's width not stated",
        forget("joists", "joists.field_width", "Ledger and beams along the joists"),
    ),
    Break("a beam's length not stated", forget("beams", "beams.length")),
    Break(
        "a post 9 ft too tall",
        change("posts", "posts.height", lambda p, d: p["posts.height"] + 9 * FT),
    ),
    Break("a post's height not stated", forget("posts", "posts.height", "Heights")),
    Break(
        "a deck 9 ft higher than its posts",
        fact(
            "deck.greatest_height_above_grade",
            lambda d: d["facts"]["deck.greatest_height_above_grade"] + 9 * FT,
            "Heights",
        ),
    ),
    Break("a height not stated", fact("deck.greatest_height_above_grade", None, "Heights")),
    Break(
        "an edge that drops below the deck's height",
        change(
            "guards",
            "guards.drop_straight_down",
            lambda g, d: d["facts"]["deck.greatest_height_above_grade"] + 3 * FT,
        ),
    ),
    Break(
        "a stair that rises past the deck",
        change(
            "stairs",
            "stairs.total_rise",
            lambda s, d: d["facts"]["deck.greatest_height_above_grade"] + 4 * FT,
        ),
    ),
    Break("a stair whose rise is not stated", forget("stairs", "stairs.total_rise")),
    Break("a deck above the door", _above_the_door),
    Break("an edge left out", _edge_left_out),
    Break("a raised deck said to have no open edge", _no_edge_said_open),
    Break("posts counted otherwise", change("beams", "beams.post_count", Fraction(9))),
    Break("a span stated otherwise", change("beams", "beams.span", FT)),
    Break("a reach stated otherwise", change("beams", "beams.cantilever", 7 * FT)),
    Break("a post's area stated otherwise", change("posts", "posts.tributary_area", Fraction(144))),
    Break(
        "a band joist 14 in deep called 2x12",
        fact("band_joist.depth", Fraction(14), "Boards", "ledger"),
    ),
    Break("decking 2-1/2 in thick called 5/4", fact("decking.thickness", Fraction(5, 2), "Boards")),
    Break(
        "end distances that cannot be",
        fact("fasteners.end_distance_on_ledger", Fraction(30), "Measures", "ledger"),
    ),
    Break("risers that cannot differ so little", _risers),
    Break("treads that cannot differ so little", _treads),
    Break("nine open sides", change("stairs", "stairs.open_sides", Fraction(9))),
    Break("nine handrails", change("stairs", "stairs.handrail_sides", Fraction(9))),
    Break("joists reaching past hangers", _past_hangers),
    Break("joists that tip up", change("joists", "joists.cantilever", 40 * FT)),
    Break(
        "nothing against racking",
        fact("lateral.connection", "none", "Kept from racking", "freestanding"),
    ),
    Break(
        "hold-downs on a deck with no house",
        fact("lateral.connection", "hold_down_devices", "Kept from racking", "freestanding"),
    ),
    Break(
        "a hot tub on a deck said to have none",
        fact("unusual.heavy_area", "hot_tub", "Heavy or unusual parts"),
    ),
    Break("unusual parts not said", fact("unusual.parts", None, "Heavy or unusual parts")),
    Break("unusual parts not named", fact("unusual.parts", "some", "Heavy or unusual parts")),
    Break("a hot tub", unusual("unusual.heavy_area", "hot_tub")),
    Break("a tub weighed", unusual("unusual.heavy_area_load", Fraction(150, 144))),
    Break("a roof on the deck", unusual("unusual.heavy_area", "roof")),
    Break("wind that lifts", unusual("unusual.wind_uplift", True)),
    Break("a level on another", unusual("unusual.levels", "one_on_another")),
    Break("two levels", unusual("unusual.levels", "each_on_its_own_posts")),
    Break("an angled corner", unusual("unusual.corners", "angled")),
    Break("a helical pile", change("footings", "footings.kind", "helical_pile")),
    Break("a slab that was there", change("footings", "footings.kind", "existing_slab")),
    Break("a footing not said what", forget("footings", "footings.kind")),
    Break("a footing in the backfill", unusual("footings.ground", "fill", "footings")),
    Break("guard posts far apart", change("guards", "guards.post_spacing", 8 * FT)),
    Break("guard posts not said how far apart", forget("guards", "guards.post_spacing")),
    Break("a guard of glass", unusual("guards.infill", "glass", "guards")),
    Break("a guard of cable", unusual("guards.infill", "cable", "guards")),
    Break("stringers nailed", change("stairs", "stairs.stringer_head", "nails_only")),
    Break("stringers on nothing", change("stairs", "stairs.stringer_foot", "nothing")),
    Break("stringers on bare ground", change("stairs", "stairs.stringer_foot", "bare_ground")),
    Break("a stringer's foot not said", forget("stairs", "stairs.stringer_foot")),
    Break("stringers of another kind", change("stairs", "stairs.stringers", "other")),
    Break("stringers too long", change("stairs", "stairs.stringer_run", 14 * FT)),
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
    Break("stringers far apart", change("stairs", "stairs.stringer_spacing", 4 * FT)),
    Break("a hanger too weak", hang_on("joists.hanger_capacity", Fraction(60))),
    Break("a hanger's load not stated", hang_on("joists.hanger_capacity", None)),
    Break("boards held by less", fact("decking.fastening", "less", DECKING)),
    Break("boards held by what is not said", fact("decking.fastening", None, DECKING)),
    Break("posts crowded at one end", _all_posts_at_one_end),
    Break("a splice over no post", _splice_over_no_post),
    Break("a splice on two posts", _spliced_on_two_posts),
    Break("a splice not spoken of", forget("beams", "beams.spliced")),
    Break("hung on a beam without hangers", flush("joists.bearing_on", "wood", "joists")),
    Break("hung on a shallow beam", flush("beams.size", "2-2x6", "beams")),
    Break("on top of a ledger level with it", hang("joists.at_ledger", "bears_on_top")),
    Break("a strip with no room", _strip_with_no_room),
    Break("a slender post", change("posts", "posts.height", 30 * FT)),
    Break("a footing's width not stated", forget("footings", "footings.diameter")),
    Break("a footing narrower than its post", change("footings", "footings.diameter", Fraction(4))),
    Break("a band joist shorter than the ledger", _pieces_short),
    Break("a piece of the band joist not measured", _pieces_unmeasured),
    Break("a band joist that begins nowhere said", _pieces_begin_nowhere),
    Break(
        "a ledger end no bolt holds",
        fact("fasteners.first_from_ledger_end", 4 * FT, LEDGER, "ledger"),
    ),
    Break(
        "a ledger far off the wall", fact("wall.gap_to_sheathing", Fraction(3), LEDGER, "ledger")
    ),
    Break("an inner reach past the cantilever", _longer_inner_reach),
    Break(
        "a first joist far from the field's end",
        change("joists", "joists.first_from_field_end", 9 * FT),
    ),
    Break("joists left out", none_of("joists")),
    Break("posts left out", none_of("posts"), on_the_load_path=True),
    Break("footings left out", none_of("footings"), on_the_load_path=True),
)
