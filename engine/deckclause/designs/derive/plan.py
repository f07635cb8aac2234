"""Facts known from the plan: joist span on a beam, tributary areas, spans from post positions.

What loads a support is its reaction under a load spread evenly over the member, or the trade's
simple measure where that is more: half of each span and the whole of a cantilever. Joists past a beam
load it with (L + c)^2 / 2L, as the code's beam tables take a quarter-span cantilever; a beam in one
piece over its posts loads an inner one with up to a quarter more than half of each span. Where the
plan leaves something open, the larger load is taken; where even that is not sure, it is unknown.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise

from deckclause.designs.derive.reactions import (
    halves,
    in_one_piece,
    parted_over_supports,
    under_cantilever,
)
from deckclause.designs.design import Part
from deckclause.designs.plan import Plan, PlanDerivation, greatest, length

HALF = Fraction(1, 2)
INNER_POST = Fraction(5, 4)
"""What the middle one of three posts carries of a beam in one piece over two like spans, in spans."""


def inner_support(plan: Plan, field: Part) -> str | None:
    """Tell what carries the inner end: the beam named, else the ledger of a deck that has one."""
    if "joists.inner_beam" in field.facts:
        return "beam"
    attachment = plan.facts.get("deck.attachment")
    return {"ledger": "ledger", "freestanding": "beam"}.get(str(attachment))


# --- which joists a beam carries ----------------------------------------------------------------


def _beam_of(plan: Plan, field: Part) -> str | None:
    """Name the beam at the outer end of a joist field; "*" where every beam must count with it.

    Not stated, it is the only beam, or, for the only field of a deck, any of its beams; else
    it is unknown.
    """
    named = field.facts.get("joists.beam")
    if isinstance(named, str):
        return named
    beams, fields = plan.stated("beams"), plan.stated("joists")
    if beams is not None and len(beams) == 1:
        return beams[0].name
    return "*" if fields is not None and len(fields) == 1 else None


def carried_fields(plan: Plan, beam: Part) -> tuple[list[Part], list[Part]] | None:
    """Return the joist fields whose outer end, and those whose inner end, a beam carries.

    None where a field does not say which of several beams carries it, where it names a beam
    the deck does not have, or where the beam carries none.
    """
    fields = plan.stated("joists")
    beams = {other.name for other in plan.stated("beams") or ()}
    if not fields:
        return None
    outer: list[Part] = []
    inner: list[Part] = []
    for field in fields:
        carries = _beam_of(plan, field)
        second = field.facts.get("joists.inner_beam")
        if carries is None or not {carries, second or "*"} <= {*beams, "*"}:
            return None
        if carries in ("*", beam.name):
            outer.append(field)
        if second == beam.name and carries != "*":
            inner.append(field)
    return (outer, inner) if outer or inner else None


def _inner_reach(field: Part) -> Fraction | None:
    """Give the cantilever past the inner beam; the stated (longer) one where it is not given."""
    own = length(field, "joists.inner_cantilever")
    return own if own is not None else length(field, "joists.cantilever")


def beam_joist_span(plan: Plan, beam: Part) -> Fraction | None:
    """Give the longest span of the joist fields the beam carries."""
    found = carried_fields(plan, beam)
    if found is None:
        return None
    return greatest([length(field, "joists.span") for side in found for field in side])


def beam_joist_sides(plan: Plan, beam: Part) -> Fraction | None:
    """Count the sides of the beam that joists come from."""
    found = carried_fields(plan, beam)
    return None if found is None else Fraction(sum(1 for side in found if side))


def beam_joist_depth(plan: Plan, beam: Part) -> Fraction | None:
    """Give the greatest depth of the joists the beam carries."""
    found = carried_fields(plan, beam)
    if found is None:
        return None
    return greatest([length(field, "joists.depth") for side in found for field in side])


def beam_joist_cantilever_ratio(plan: Plan, beam: Part) -> Fraction | None:
    """Give the greatest cantilever past the beam as a share of its field's span."""
    found = carried_fields(plan, beam)
    if found is None:
        return None
    outer, inner = found
    pairs = [(length(f, "joists.cantilever"), length(f, "joists.span")) for f in outer]
    pairs += [(_inner_reach(f), length(f, "joists.span")) for f in inner]
    return greatest([c / s if c is not None and s else None for c, s in pairs])


def joist_reach(plan: Plan, beam: Part) -> Fraction | None:
    """Add what the joists on each side of the beam lay on it (inch of joist)."""
    return _joist_reach(plan, beam, under_cantilever)


def _joist_reach(
    plan: Plan, beam: Part, laid: Callable[[Fraction, Fraction], Fraction]
) -> Fraction | None:
    found = carried_fields(plan, beam)
    if found is None:
        return None
    outer, inner = found
    sides = [
        [_laid(laid, length(f, "joists.span"), length(f, "joists.cantilever")) for f in outer],
        [_laid(laid, length(f, "joists.span"), _inner_reach(f)) for f in inner],
    ]
    worst = [greatest(side) for side in sides if side]
    known = [reach for reach in worst if reach is not None]
    return sum(known, Fraction(0)) if len(known) == len(worst) else None


def _laid(
    laid: Callable[[Fraction, Fraction], Fraction],
    span: Fraction | None,
    cantilever: Fraction | None,
) -> Fraction | None:
    return laid(span, cantilever) if span is not None and cantilever is not None else None


def _simply_laid(span: Fraction, cantilever: Fraction) -> Fraction:
    """Give half the span and the whole cantilever: the trade's simple measure."""
    return span * HALF + cantilever


# --- posts under a beam -------------------------------------------------------------------------


def post_positions(plan: Plan, beam: str) -> tuple[Fraction, ...] | None:
    """Return the places of the posts of a beam from its left end (inch), in order.

    None where a post of the deck does not name its beam (in a deck of several beams) or does
    not give its place.
    """
    beams, posts = plan.stated("beams"), plan.stated("posts")
    if not beams or not posts:
        return None
    places = []
    for post in posts:
        named = post.facts.get("posts.beam")
        if not isinstance(named, str) and len(beams) > 1:
            return None
        if not isinstance(named, str) or named == beam:
            place = length(post, "posts.from_beam_end")
            if place is None:
                return None
            places.append(place)
    return tuple(sorted(places)) or None


def beam_span_from_posts(plan: Plan, beam: Part) -> Fraction | None:
    """Give the greatest distance between neighbouring posts of the beam."""
    places = post_positions(plan, beam.name)
    if places is None or len(places) < 2:
        return None
    return max(right - left for left, right in pairwise(places))


def beam_cantilever_from_posts(plan: Plan, beam: Part) -> Fraction | None:
    """Give the greater reach of the beam past its end posts, each measured from the post's centre."""
    places, whole = post_positions(plan, beam.name), length(beam, "beams.length")
    if places is None or whole is None or whole < places[-1]:
        return None
    return max(places[0], whole - places[-1])


def _beams_of(plan: Plan, post: Part) -> tuple[Part, ...] | None:
    """Return the beams a post entry stands for: the one it names, or every beam."""
    beams = plan.stated("beams")
    if not beams:
        return None
    named = post.facts.get("posts.beam")
    if not isinstance(named, str):
        return beams
    return tuple(beam for beam in beams if beam.name == named) or None


def _greatest_of_beams(plan: Plan, post: Part, quantity: str) -> Fraction | None:
    beams = _beams_of(plan, post)
    return None if beams is None else greatest([length(beam, quantity) for beam in beams])


def post_beam_plies(plan: Plan, post: Part) -> Fraction | None:
    """Give the plies of the post's beam."""
    return _greatest_of_beams(plan, post, "beams.plies")


def post_beam_span(plan: Plan, post: Part) -> Fraction | None:
    """Give the span of the post's beam."""
    return _greatest_of_beams(plan, post, "beams.span")


def post_joist_span(plan: Plan, post: Part) -> Fraction | None:
    """Give the joist span on the post's beam."""
    return _greatest_of_beams(plan, post, "beams.joist_span")


def parted_over_posts(beam: Part) -> bool:
    """Tell whether a beam is known to be parted over its posts, so that each span stands by itself."""
    return bool(beam.facts.get("beams.spliced")) and bool(
        beam.facts.get("beams.splices_over_posts")
    )


def tributary_length(
    plan: Plan, post: Part, beam: Part, *, simple: bool = False
) -> Fraction | None:
    """Give the length of beam that loads a post (inch): its reaction, or half of each span if more.

    From the posts' places where all are known; else the most that any post of the beam carries,
    its spans being alike (none under a quarter of the longest); unknown where the beam reaches past
    an end post by more than half a span. `simple` gives the trade's measure.
    """
    places, place = post_positions(plan, beam.name), length(post, "posts.from_beam_end")
    whole = length(beam, "beams.length")
    if places is not None and place in places and whole is not None and whole >= places[-1]:
        apart = [places[0], *(after for here, after in pairwise(places) if here != after)]
        index = apart.index(place)
        half = halves(apart, whole)[index]
        if simple:
            return half
        laid = parted_over_supports if parted_over_posts(beam) else in_one_piece
        return max(half, laid(apart, whole)[index])
    return _greatest_tributary_length(beam, simple=simple)


def _greatest_tributary_length(beam: Part, *, simple: bool) -> Fraction | None:
    span, cantilever = length(beam, "beams.span"), length(beam, "beams.cantilever")
    count = length(beam, "beams.post_count")
    if span is None or cantilever is None or (count is not None and count < 2):
        return None
    at_end = (_simply_laid if simple else under_cantilever)(span, cantilever)
    if count == 2:
        return at_end
    if cantilever > span * HALF and not simple:
        return None
    inner = span if simple or parted_over_posts(beam) else span * INNER_POST
    return max(inner, at_end)


def post_tributary_area(plan: Plan, post: Part) -> Fraction | None:
    """Multiply the length of beam that loads the post by the joists' reach on it (square inches)."""
    return _tributary_area(plan, post, simple=False)


def simple_tributary_area(plan: Plan, post: Part) -> Fraction | None:
    """Give a post's area by the trade's simple measure: half of each span, the whole of a cantilever."""
    return _tributary_area(plan, post, simple=True)


def _tributary_area(plan: Plan, post: Part, *, simple: bool) -> Fraction | None:
    beams = _beams_of(plan, post)
    if beams is None:
        return None
    areas: list[Fraction | None] = []
    for beam in beams:
        along = tributary_length(plan, post, beam, simple=simple)
        across = (
            _joist_reach(plan, beam, _simply_laid) if simple else length(beam, "beams.joist_reach")
        )
        areas.append(along * across if along is not None and across is not None else None)
    return greatest(areas)


# --- footings -----------------------------------------------------------------------------------


def simple_footing_area(plan: Plan, footing: Part) -> Fraction | None:
    """Give a footing's area by the trade's simple measure; the greatest of its posts'."""
    posts = _posts_on(plan, footing)
    return None if posts is None else greatest([simple_tributary_area(plan, p) for p in posts])


def _posts_on(plan: Plan, footing: Part) -> tuple[Part, ...] | None:
    posts = plan.stated("posts")
    if not posts:
        return None
    named = footing.facts.get("footings.post")
    if isinstance(named, str):
        return tuple(post for post in posts if post.name == named)
    return posts


def _greatest_of_posts(plan: Plan, footing: Part, quantity: str) -> Fraction | None:
    posts = _posts_on(plan, footing)
    return None if posts is None else greatest([length(post, quantity) for post in posts])


def footing_tributary_area(plan: Plan, footing: Part) -> Fraction | None:
    """Give the area that loads the post on the footing; the greatest where none is named."""
    return _greatest_of_posts(plan, footing, "posts.tributary_area")


def footing_beam_span(plan: Plan, footing: Part) -> Fraction | None:
    """Give the span of the beam above the footing."""
    return _greatest_of_posts(plan, footing, "posts.beam_span")


def footing_joist_span(plan: Plan, footing: Part) -> Fraction | None:
    """Give the joist span that loads the footing."""
    return _greatest_of_posts(plan, footing, "posts.joist_span")


# --- the deck as a whole ------------------------------------------------------------------------


def deck_area(plan: Plan) -> Fraction | None:
    """Add up width times span and cantilevers of every joist field (square inches)."""
    fields = plan.stated("joists")
    if not fields:
        return None
    total = Fraction(0)
    for field in fields:
        width, span = length(field, "joists.field_width"), length(field, "joists.span")
        outer = length(field, "joists.cantilever")
        inner: Fraction | None = Fraction(0)
        if "joists.inner_beam" in field.facts or plan.facts.get("deck.attachment") != "ledger":
            inner = length(field, "joists.inner_cantilever")
        if width is None or span is None or outer is None or inner is None:
            return None
        total += width * (span + outer + inner)
    return total


FRAMING_ORDER = ("joists", "beams", "posts", "footings")
FRAMING: dict[str, tuple[PlanDerivation, ...]] = {
    "joists": (
        PlanDerivation("joists.inner_support", inner_support, "inner beam, else the ledger"),
    ),
    "beams": (
        PlanDerivation("beams.joist_span", beam_joist_span, "longest joist span on the beam"),
        PlanDerivation("beams.joist_sides", beam_joist_sides, "sides the joists come from"),
        PlanDerivation("beams.joist_depth", beam_joist_depth, "deepest joists on the beam"),
        PlanDerivation(
            "beams.joist_cantilever_ratio",
            beam_joist_cantilever_ratio,
            "greatest cantilever past the beam by its joist span",
        ),
        PlanDerivation(
            "beams.joist_reach", joist_reach, "(span + cantilever)^2 / (2 x span), a side"
        ),
        PlanDerivation("beams.span", beam_span_from_posts, "greatest distance between posts"),
        PlanDerivation(
            "beams.cantilever", beam_cantilever_from_posts, "greater reach past an end post"
        ),
    ),
    "posts": (
        PlanDerivation("posts.beam_plies", post_beam_plies, "plies of the beam"),
        PlanDerivation("posts.beam_span", post_beam_span, "span of the beam"),
        PlanDerivation("posts.joist_span", post_joist_span, "joist span on the beam"),
        PlanDerivation(
            "posts.tributary_area",
            post_tributary_area,
            "what the beam lays on the post, times the joists' reach",
            simple_tributary_area,
        ),
    ),
    "footings": (
        PlanDerivation(
            "footings.tributary_area",
            footing_tributary_area,
            "the post's area",
            simple_footing_area,
        ),
        PlanDerivation("footings.beam_span", footing_beam_span, "span of the beam"),
        PlanDerivation("footings.joist_span", footing_joist_span, "joist span on the beam"),
    ),
}
