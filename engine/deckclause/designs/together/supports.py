"""Which part carries which: joist ends, beams, posts and footings, from what a design states.

Each fact is yes where the support is stated, no where what is stated leaves it out or contradicts
it, and unknown where the design does not say. An unknown support is asked for, never assumed.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from deckclause.designs.design import Part
from deckclause.designs.dressed_sizes import dressed_size
from deckclause.designs.plan import Plan, length


def joists_stated(plan: Plan) -> bool | None:
    """Tell whether the deck has joists; None where the design says nothing of them."""
    fields = plan.stated("joists")
    return None if fields is None else bool(fields)


# --- both ends of a joist field -----------------------------------------------------------------


def outer_end_carried(plan: Plan, field: Part) -> bool | None:
    """Tell whether a beam of the deck carries the outer end of a joist field."""
    beams = plan.stated("beams")
    if beams is None:
        return None
    named = field.facts.get("joists.beam")
    if not isinstance(named, str):
        return (len(beams) == 1) or (None if beams else False)
    inner = field.facts.get("joists.inner_beam")
    return named in _names(beams) and named != inner


def inner_end_carried(plan: Plan, field: Part) -> bool | None:
    """Tell whether ledger or beam carries the inner end of a joist field.

    A deck that stands free on one beam leaves the inner ends of its joists with nothing.
    """
    beams = plan.stated("beams")
    named = field.facts.get("joists.inner_beam")
    if isinstance(named, str):
        return None if beams is None else named in _names(beams)
    attachment = plan.facts.get("deck.attachment")
    if attachment == "ledger":
        return True
    if attachment == "freestanding" and beams is not None and len(beams) < 2:
        return False
    return None


def outer_beam(plan: Plan, field: Part) -> Part | None:
    """Return the beam at the outer end of a joist field, where it is known."""
    beams = plan.stated("beams") or ()
    named = field.facts.get("joists.beam")
    if not isinstance(named, str):
        return beams[0] if len(beams) == 1 else None
    return next((beam for beam in beams if beam.name == named), None)


def outer_beam_position(plan: Plan, field: Part) -> str | None:
    """Tell whether the outer beam lies under the joists or they hang on its side."""
    beam = outer_beam(plan, field)
    position = None if beam is None else beam.facts.get("beams.position")
    return position if isinstance(position, str) else None


def inner_beam_position(plan: Plan, field: Part) -> str | None:
    """Tell whether the inner beam lies under the joists or they hang on its side."""
    named = field.facts.get("joists.inner_beam")
    beam = next((b for b in plan.stated("beams") or () if b.name == named), None)
    position = None if beam is None else beam.facts.get("beams.position")
    return position if isinstance(position, str) else None


# --- beams on posts -----------------------------------------------------------------------------


def posts_of(plan: Plan, beam: Part) -> tuple[Part, ...] | None:
    """Return the post entries of a beam: those that name it, or of an only beam all that name none.

    None where the design says nothing of posts.
    """
    posts, beams = plan.stated("posts"), plan.stated("beams") or ()
    if posts is None:
        return None
    alone = len(beams) == 1
    return tuple(
        post
        for post in posts
        if post.facts.get("posts.beam", beam.name if alone else None) == beam.name
    )


def _for_every_beam(plan: Plan) -> bool:
    """Tell whether an entry stands for the posts of every beam: it names none, among several."""
    beams, posts = plan.stated("beams") or (), plan.stated("posts") or ()
    return len(beams) > 1 and any("posts.beam" not in post.facts for post in posts)


def beam_on_two_posts(plan: Plan, beam: Part) -> bool | None:
    """Tell whether a beam stands on two posts or more."""
    own = posts_of(plan, beam)
    if own is None:
        return None
    places = _places(own)
    if places and len(set(places)) > 1:
        return True
    count = length(beam, "beams.post_count")
    if count is not None:
        return count >= 2 and (bool(own) or _for_every_beam(plan))
    if len(own) > 1 and len(places) < len(own):
        return True
    if _for_every_beam(plan):
        return None
    return False if not own or len(places) == len(own) else None


def posts_within_beam(plan: Plan, beam: Part) -> bool | None:
    """Tell whether every post stands under the beam, between its ends."""
    own, whole = posts_of(plan, beam), length(beam, "beams.length")
    if own is None or whole is None:
        return None
    places = _places(own)
    if places:
        return all(place <= whole for place in places)
    return _reaches(beam, whole)


def _reaches(beam: Part, whole: Fraction) -> bool | None:
    """Tell whether spans and cantilevers as stated can make up the beam's length."""
    span, reach = length(beam, "beams.span"), length(beam, "beams.cantilever")
    count = length(beam, "beams.post_count")
    if span is None or reach is None or count is None:
        return None
    return span + reach <= whole <= (count - 1) * span + 2 * reach


def beam_ends_balance(plan: Plan, beam: Part) -> bool | None:
    """Tell whether each end reaches past its post by no more than the span beside it, as stated.

    None where the places of some posts alone are stated: which post an end reaches past is open.
    """
    own, whole = posts_of(plan, beam) or (), length(beam, "beams.length")
    places = sorted(_places(own))
    if whole is None or len(places) < 2:
        return True
    if len(places) < len(own):
        return None
    left = places[0] <= places[1] - places[0]
    return left and whole - places[-1] <= places[-1] - places[-2]


def splices_carried(plan: Plan, beam: Part) -> bool | None:
    """Tell whether a beam has no splice, or every splice over a post between its end posts."""
    spliced = beam.facts.get("beams.spliced")
    over = beam.facts.get("beams.splices_over_posts")
    if spliced is False:
        return True
    if over is False and spliced is True:
        return False
    if spliced is not True or over is not True:
        return None
    own, count = posts_of(plan, beam) or (), length(beam, "beams.post_count")
    if count is None and not _listed(own):
        return None
    return (len(own) if count is None else count) >= 3


def posts_agree(plan: Plan, beam: Part) -> bool:
    """Tell whether the number of posts stated is that of the posts listed, where they are listed."""
    own, count = posts_of(plan, beam), length(beam, "beams.post_count")
    return count is None or not own or not _listed(own) or count == len(own)


def _listed(own: Sequence[Part]) -> bool:
    """Tell whether posts are listed one by one: a lone one without a place may stand for several."""
    return len(own) > 1 or bool(_places(own))


def posts_apart(plan: Plan, beam: Part) -> bool:
    """Tell whether no two posts of a beam stand at one place."""
    places = sorted(_places(posts_of(plan, beam) or ()))
    return all(left < right for left, right in pairwise(places))


def _places(posts: Sequence[Part]) -> list[Fraction]:
    found = [length(post, "posts.from_beam_end") for post in posts]
    return [place for place in found if place is not None]


# --- posts and footings -------------------------------------------------------------------------


def post_under_a_beam(plan: Plan, post: Part) -> bool | None:
    """Tell whether a post stands under a beam of the deck."""
    beams = plan.stated("beams")
    if beams is None:
        return None
    named = post.facts.get("posts.beam")
    return bool(beams) if not isinstance(named, str) else named in _names(beams)


def post_on_a_footing(plan: Plan, post: Part) -> bool | None:
    """Tell whether a footing is stated under a post; None where none is, though others are."""
    footings = plan.stated("footings")
    if footings is None:
        return None
    under = [footing.facts.get("footings.post", post.name) for footing in footings]
    return True if post.name in under else (None if footings else False)


def footing_under_a_post(plan: Plan, footing: Part) -> bool | None:
    """Tell whether what stands on a footing is stated: the post it names, and that it is one."""
    posts = plan.stated("posts")
    if posts is None:
        return None
    named = footing.facts.get("footings.post")
    carries = footing.facts.get("footings.carries", "post")
    if not isinstance(named, str):
        return bool(posts) or carries != "post"
    return named in _names(posts) and carries == "post"


def footing_as_wide_as_post(plan: Plan, footing: Part) -> bool | None:
    """Tell whether a footing is no narrower than the post on it, by the post's least dressed side.

    None where its width, or the size of a post it may carry, is not stated.
    """
    width = length(footing, "footings.side") or length(footing, "footings.diameter")
    named = footing.facts.get("footings.post")
    sizes = [
        p.facts.get("posts.size") for p in plan.stated("posts") or () if named in (None, p.name)
    ]
    dressed = [dressed_size(size) if isinstance(size, str) else None for size in sizes]
    sides = [min(size) for size in dressed if size is not None]
    if width is None:
        return None
    if any(side > width for side in sides):
        return False
    return True if len(sides) == len(dressed) else None


def band_joist_behind_ledger(plan: Plan) -> bool | None:
    """Tell whether the band joist's pieces, where they are stated, stand behind the whole ledger.

    None where one of their lengths, where they begin, or the ledger's length is not stated, and what
    is stated neither covers the ledger nor begins right of its left end. A design that speaks of no
    piece leaves nothing to hold against the ledger.
    """
    pieces = plan.stated("band_joist_pieces")
    if not pieces:
        return True
    lengths = [length(piece, "band_joist_pieces.length") for piece in pieces]
    known = [found for found in lengths if found is not None]
    left, ledger = (
        plan.facts.get(n) for n in ("band_joist.begins_left_of_ledger", "ledger.length")
    )
    if isinstance(left, Fraction) and left < 0:
        return False
    if not isinstance(left, Fraction) or not isinstance(ledger, Fraction):
        return None
    covered = sum(known, Fraction(0)) - left >= ledger
    return covered or (False if len(known) == len(lengths) else None)


def _names(parts: Sequence[Part]) -> set[str]:
    return {part.name for part in parts}
