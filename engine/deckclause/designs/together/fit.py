"""Whether parts fit each other: lengths along the house, depths at the ledger, heights above grade."""

from __future__ import annotations

from fractions import Fraction

from deckclause.designs.derive.plan import carried_fields
from deckclause.designs.design import Part
from deckclause.designs.plan import Plan, greatest, length
from deckclause.designs.together.supports import posts_of


def bottom_below_ledger_bottom(plan: Plan, field: Part) -> Fraction | None:
    """Give how far the joists' bottoms hang below the ledger's bottom (inch; less than 0: above)."""
    below, depth = length(field, "joists.below_ledger_top"), length(field, "joists.depth")
    ledger = plan.facts.get("ledger.depth")
    if below is None or depth is None or not isinstance(ledger, Fraction):
        return None
    return below + depth - ledger


def fields_on_ledger(plan: Plan) -> Fraction | None:
    """Add up the widths of the joist fields that hang on the ledger (inch)."""
    fields = plan.stated("joists")
    if fields is None:
        return None
    return _sum([length(f, "joists.field_width") for f in fields if _on_ledger(f)])


def _on_ledger(field: Part) -> bool:
    return field.facts.get("joists.inner_support") == "ledger"


def fields_on_beam(plan: Plan, beam: Part) -> Fraction | None:
    """Give the width of the joists on a beam, from the side that has more (inch); 0 on one with none."""
    fields = plan.stated("joists")
    if fields is None:
        return None
    found = carried_fields(plan, beam)
    if found is None:
        named = [f.facts.get(q) for f in fields for q in ("joists.beam", "joists.inner_beam")]
        every = all("joists.beam" in f.facts for f in fields)
        return Fraction(0) if every and beam.name not in named else None
    return greatest([_sum([length(f, "joists.field_width") for f in side]) for side in found])


def _sum(lengths: list[Fraction | None]) -> Fraction | None:
    known = [found for found in lengths if found is not None]
    return sum(known, Fraction(0)) if len(known) == len(lengths) else None


LEAST_LIVE, DEAD = Fraction(40, 144), Fraction(10, 144)
"""What every edition asks of a deck at the least: 40 psf live, and 10 dead (pounds a square inch)."""


def load_on_area(plan: Plan) -> Fraction:
    """Give the load to carry (pounds a square inch): dead, and 40 psf live or a heavier snow stated.

    Not both at once, as the span tables of the editions take them.
    """
    snow = plan.facts.get("site.ground_snow_load")
    return DEAD + (max(LEAST_LIVE, snow) if isinstance(snow, Fraction) else LEAST_LIVE)


def hanger_load(plan: Plan, field: Part) -> Fraction | None:
    """Give the load of a joist's end on its hanger (lb): half its span, one spacing wide.

    The reaction of a simple beam; a cantilever at the other end only lessens it.
    """
    span, spacing = length(field, "joists.span"), length(field, "joists.spacing")
    return None if span is None or spacing is None else span / 2 * spacing * load_on_area(plan)


def foot_below_surface(plan: Plan, post: Part) -> Fraction | None:
    """Give how far the foot of a post, where it leaves the ground, lies below the decking (inch).

    Post, beam, joists where they lie on the beam, and decking; of several beams the deepest.
    """
    height, decking = length(post, "posts.height"), plan.facts.get("decking.thickness")
    framing = [
        _framing(plan, beam)
        for beam in plan.stated("beams") or ()
        if post in (posts_of(plan, beam) or ()) or "posts.beam" not in post.facts
    ]
    depth = greatest(framing)
    buried = _buried(post)
    if height is None or depth is None or buried is None or not isinstance(decking, Fraction):
        return None
    return height + depth + decking - buried


def _buried(post: Part) -> Fraction | None:
    """Give what of an embedded post stands in the ground; its height counts from its own end."""
    if post.facts.get("posts.base") != "embedded":
        return Fraction(0)
    return length(post, "posts.embedment")


def _framing(plan: Plan, beam: Part) -> Fraction | None:
    beam_depth, joist_depth = length(beam, "beams.depth"), length(beam, "beams.joist_depth")
    if joist_depth is None and fields_on_beam(plan, beam) == 0:
        joist_depth = Fraction(0)
    position = beam.facts.get("beams.position")
    if beam_depth is None or joist_depth is None or position is None:
        return None
    if position == "flush":
        return max(beam_depth, joist_depth)
    return beam_depth + joist_depth


def deepest_foot(plan: Plan) -> Fraction | None:
    """Give the greatest distance from decking to the foot of a post (inch)."""
    return greatest([foot_below_surface(plan, post) for post in plan.stated("posts") or ()])


def least_foot(plan: Plan) -> Fraction | None:
    """Give the least distance from decking to the foot of a post (inch); None where one is unknown."""
    found = [foot_below_surface(plan, post) for post in plan.stated("posts") or ()]
    known = [foot for foot in found if foot is not None]
    return min(known) if known and len(known) == len(found) else None


EDGES = {"ledger": 3, "freestanding": 4}
"""The fewest edges of a deck besides that along its ledger: no outline has fewer corners."""


def edges_accounted(plan: Plan) -> bool | None:
    """Tell whether open edges and those along a wall are as many as a deck has at the least."""
    attachment = plan.facts.get("deck.attachment")
    least = EDGES.get(attachment) if isinstance(attachment, str) else None
    open_edges = plan.facts.get("deck.open_edges")
    closed = plan.facts.get("deck.closed_edges")
    if least is None or not isinstance(open_edges, Fraction):
        return None
    if open_edges >= least:
        return True
    return open_edges + closed >= least if isinstance(closed, Fraction) else None


def least_edge_drop(plan: Plan) -> Fraction | None:
    """Give the least drop straight down of the open edges stated (inch); 0 where there are none."""
    guards = plan.stated("guards")
    if guards is None:
        return None
    drops = [length(guard, "guards.drop_straight_down") for guard in guards]
    known = [drop for drop in drops if drop is not None]
    if len(known) < len(drops):
        return None
    return min(known, default=Fraction(0))


def edges_listed(plan: Plan) -> Fraction | None:
    """Count the open edges that are stated, each with its guard or without one."""
    guards = plan.stated("guards")
    return None if guards is None else Fraction(len(guards))
