"""More of them, as an engineer would look for: what is stated of a part, and what practice asks of it."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from random import Random
from typing import Any

from together.breaking import (
    FT,
    LEDGER,
    change,
    fact,
    forget,
    hang_on,
    on_a_beam,
    state,
    unusual,
)
from together.decks import Break, Deck


def _narrow_post(deck: Deck, random: Random) -> str | None:
    deck["parts"]["posts"][0]["posts.size"] = "4x4"
    deck["parts"]["beams"][0]["beams.size"] = "3-2x12"
    return str(deck["parts"]["posts"][0]["name"])


def _ledger_of_stubs(deck: Deck, random: Random) -> str | None:
    if deck["facts"]["deck.attachment"] != "ledger":
        return None
    whole = deck["facts"]["ledger.length"]
    pieces = [("stub", Fraction(6)), ("rest", whole - 6)]
    deck["parts"]["ledger_pieces"] = [{"name": n, "ledger_pieces.length": x} for n, x in pieces]
    return LEDGER


def _called_durable(
    treated: str, group: str, species: str = "southern_pine"
) -> Callable[[Deck, Random], str | None]:
    """Call a wood naturally durable that is not, or of which it is not known.

    Southern pine is not (IRC R202 names redwood and cedars).
    """

    def does(deck: Deck, random: Random) -> str | None:
        if group == "ledger" and deck["facts"]["deck.attachment"] != "ledger":
            return None
        deck["facts"][treated] = "naturally_durable"
        for one in [deck["facts"]] if group == "ledger" else deck["parts"][group]:
            one[f"{group}.species"] = species
        return "Boards"

    return does


def _edges_neither_open_nor_closed(deck: Deck, random: Random) -> str | None:
    if deck["facts"]["deck.greatest_height_above_grade"] <= 30:
        return None
    deck["facts"] |= {"deck.open_edges": Fraction(1), "deck.closed_edges": Fraction(0)}
    del deck["parts"]["guards"][1:]
    return "Open edges"


def _edge_said_low(deck: Deck, random: Random) -> str | None:
    """An edge without its guard, said to drop 20 in beside posts whose feet lie far deeper."""
    if min(p["posts.height"] for p in deck["parts"]["posts"]) < 40:
        return None
    facts = {"installed": False, "drop_straight_down": Fraction(20)}
    return state("guards", **facts)(deck, random)


def _stair_side_said_low(deck: Deck, random: Random) -> str | None:
    if deck["parts"]["stairs"][0]["stairs.total_rise"] < 60:
        return None
    facts = {"open_sides": 2, "riser_height": 7, "open_side_drop_within_36_in": 20}
    numbers = {name: Fraction(value) for name, value in facts.items()}
    return state("stairs", **numbers, guard_installed=False, ground_falls_along=False)(deck, random)


def _inner_flush(**facts: Any) -> Callable[[Deck, Random], str | None]:
    """Hang a free deck's joists on the side of their inner beam, with one thing wrong."""

    def does(deck: Deck, random: Random) -> str | None:
        if deck["facts"]["deck.attachment"] != "freestanding":
            return None
        inner = next(b for b in deck["parts"]["beams"] if b["name"] == "inner beam")
        inner |= {"beams.position": "flush", "beams.size": "2-2x12"}
        field = deck["parts"]["joists"][0]
        field |= {"joists.hung_at_inner_beam": True, "joists.cantilever": FT}
        field |= {f"joists.{name}": value for name, value in facts.items()}
        if field["joists.hung_at_inner_beam"] is None:
            del field["joists.hung_at_inner_beam"]
        return str(field["name"])

    return does


def _deep_joists(apart: Fraction | None) -> Callable[[Deck, Random], str | None]:
    facts = {"size": "2x12", "span": 12 * FT, "blocking_apart": apart}
    return state("joists", "Blocking between deep joists", **facts)


FURTHER: tuple[Break, ...] = (
    Break("joists far above the ledger", hang_on("joists.below_ledger_top", Fraction(-5))),
    Break("hangers on a beam below", on_a_beam("joists.bearing_on", "hanger")),
    Break("hung on an inner beam by nothing", _inner_flush(hung_at_inner_beam=False)),
    Break("hung on an inner beam, how not said", _inner_flush(hung_at_inner_beam=None)),
    Break("reaching past an inner beam's hangers", _inner_flush(inner_cantilever=FT)),
    Break("free to roll on a beam", on_a_beam("joists.restraint", "hanger")),
    Break("hangers made for other joists", hang_on("joists.hanger_fits", False)),
    Break("deep joists without blocking", _deep_joists(12 * FT)),
    Break("blocking not spoken of", _deep_joists(None)),
    Break("a post narrower than its beam", _narrow_post),
    Break(
        "a notch and more left than the post has",
        state("posts", beam_connection="notched_post_bolted", notch_remaining=Fraction(5)),
    ),
    Break("a post embedded in no ground", state("posts", base="embedded", embedment=FT)),
    Break("a ledger of stubs", _ledger_of_stubs),
    Break("siding left", fact("wall.cladding_removed", False, LEDGER, "ledger")),
    Break("siding not spoken of", fact("wall.cladding_removed", None, LEDGER, "ledger")),
    Break("pine joists that last", _called_durable("materials.framing_treatment", "joists")),
    Break("pine beams that last", _called_durable("materials.framing_treatment", "beams")),
    Break("pine posts that last", _called_durable("materials.post_treatment", "posts")),
    Break("some wood that lasts", _called_durable("materials.post_treatment", "posts", "other")),
    Break("a pine ledger that lasts", _called_durable("ledger.treatment", "ledger")),
    Break(
        "a block at grade under a post",
        state("footings", kind="precast_pier_block_at_grade", depth=Fraction(0)),
    ),
    Break(
        "a block at grade 42 in down",
        state("footings", kind="precast_pier_block_at_grade", depth=Fraction(42)),
    ),
    Break("a pile of no capacity said", state("footings", kind="helical_pile", diameter=None)),
    Break(
        "a pile too weak",
        state("footings", kind="helical_pile", diameter=None, capacity=Fraction(20)),
    ),
    Break(
        "a pile 24 in wide",
        state("footings", kind="helical_pile", diameter=2 * FT, capacity=Fraction(90000)),
    ),
    Break(
        "a footing on a slope", unusual("footings.ground", "slope_or_retaining_wall", "footings")
    ),
    Break("snow from a roof", unusual("unusual.snow_from_roof", True)),
    Break("a ledger around a chimney", unusual("unusual.ledger", "interrupted")),
    Break("ledgers on two walls", unusual("unusual.ledger", "on_two_walls")),
    Break("a tree through the deck", unusual("unusual.framing_opening", True)),
    Break("a beam of two kinds", unusual("unusual.members", "other")),
    Break("a gate in a guard", unusual("guards.gate", True, "guards")),
    Break("a guard that ends at the rim", change("guards", "guards.load_path_to_joists", False)),
    Break("a guard's path not said", forget("guards", "guards.load_path_to_joists")),
    Break("nails in end grain", change("guards", "guards.held_by_end_grain_withdrawal_only", True)),
    Break("an edge joist that rolls", change("guards", "guards.edge_joist_restrained", False)),
    Break("notched guard posts", change("guards", "guards.post_notched", True)),
    Break("bolts alone", change("guards", "guards.post_fastening", "bolts_alone")),
    Break("guard posts nailed", change("guards", "guards.post_fastening", "screws_or_nails")),
    Break("guard posts held by what is not said", forget("guards", "guards.post_fastening")),
    Break(
        "a weak tie",
        state(
            "guards",
            post_fastening="bolts_and_tension_tie",
            tie_capacity=Fraction(1500),
            height=Fraction(36),
        ),
    ),
    Break(
        "a tie for a lower guard",
        state(
            "guards",
            post_fastening="bolts_and_tension_tie",
            tie_capacity=Fraction(1800),
            height=Fraction(42),
        ),
    ),
    Break(
        "posts on top, fastened otherwise",
        state("guards", mount="top", maker_instructions_followed=False),
    ),
    Break("edges neither open nor walled", _edges_neither_open_nor_closed),
    Break("an open edge said to be low", _edge_said_low),
    Break("an open stair side said to be low", _stair_side_said_low),
)
