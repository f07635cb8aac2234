"""A second, plain check of the load path, written without the engine: reach the soil or the house.

Statics: a joist field needs both ends carried, a beam two supports within its length, a post a
footing; what a part rests on must itself be carried down to soil or house.
"""

from __future__ import annotations

from typing import Any

Deck = dict[str, Any]
WOOD = {"wood_frame", "i_joist_floor", "floor_joists_parallel_to_ledger"}
SEATS = {"hanger_fully_seated", "ledger_strip", "bears_on_top"}
HOLDS = {"lag_screw", "through_bolt", "structural_screw", "adhesive_anchor"}


def is_closed(deck: Deck) -> bool:
    """Tell whether every part stated is carried, link by link, down to soil or house."""
    rests_on = _rests_on(deck)

    def carried(part: tuple[str, str], above: tuple[tuple[str, str], ...] = ()) -> bool:
        if part in (("soil", ""), ("house", "")):
            return True
        below = rests_on.get(part)
        if not below or part in above:
            return False
        return all(carried(one, (*above, part)) for one in below)

    parts = deck["parts"]
    every = [(g, p["name"]) for g in ("joists", "beams", "posts", "footings") for p in parts[g]]
    return bool(parts["joists"]) and all(map(carried, every))


def _rests_on(deck: Deck) -> dict[tuple[str, str], list[tuple[str, str]]]:
    facts, parts = deck["facts"], deck["parts"]
    links: dict[tuple[str, str], list[tuple[str, str]]] = {}
    beams = {b["name"]: b for b in parts["beams"]}
    posts = {p["name"]: p for p in parts["posts"]}
    if _ledger_holds(facts):
        links["ledger", ""] = [("house", "")]
    for footing in parts["footings"]:
        if footing.get("footings.post") in posts:
            links["footing", footing["footings.post"]] = [("soil", "")]
            links["footings", footing["name"]] = [("soil", "")]
    for name, post in posts.items():
        if _beam_of(post, beams) in beams:
            links["posts", name] = [("footing", name)]
    for name, beam in beams.items():
        own = [p for p in posts.values() if _beam_of(p, beams) == name]
        places = [p["posts.from_beam_end"] for p in own]
        if len(set(places)) > 1 and max(places) <= beam.get("beams.length", -1):
            links["beams", name] = [("posts", p["name"]) for p in own]
    for field in parts["joists"]:
        outer, inner = field.get("joists.beam"), field.get("joists.inner_beam")
        if outer is None and len(beams) == 1:
            outer = next(iter(beams))
        if inner is not None:
            below = [("beams", inner), ("beams", outer)] if inner != outer else []
        elif facts.get("deck.attachment") == "ledger" and field.get("joists.at_ledger") in SEATS:
            below = [("ledger", ""), ("beams", outer)]
        else:
            below = []
        links["joists", field["name"]] = below
    return links


def _beam_of(post: dict[str, Any], beams: dict[str, Any]) -> Any:
    return post.get("posts.beam") or (next(iter(beams)) if len(beams) == 1 else None)


def _ledger_holds(facts: dict[str, Any]) -> bool:
    bearing = facts.get("band_joist.directly_supported_by")
    return (
        facts.get("ledger.size") is not None
        and facts.get("fasteners.kind") in HOLDS
        and facts.get("wall.structure") in WOOD
        and bearing is not None
        and bearing != "nothing"
    )
