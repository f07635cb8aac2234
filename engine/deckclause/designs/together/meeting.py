"""Whether members that meet fit each other: post and beam, ledger pieces and fasteners, pile and load."""

from __future__ import annotations

from fractions import Fraction

from deckclause.designs.design import Part
from deckclause.designs.dressed_sizes import dressed_size
from deckclause.designs.plan import Plan, length
from deckclause.designs.together.fit import load_on_area

PLY = Fraction(3, 2)
"""The dressed thickness of one ply of a beam, PS 20 (inch)."""


def post_as_wide_as_beam(plan: Plan, post: Part) -> bool | None:
    """Tell whether a post is as wide, by its greater side, as the widest beam it may carry."""
    widths = _beam_widths(plan, post)
    sides = _sides(post)
    return None if widths is None or sides is None else max(widths) <= max(sides)


def notch_fits(plan: Plan, post: Part) -> bool | None:
    """Tell whether the beam in its notch and the wood left beside it make up no more than the post."""
    widths, sides = _beam_widths(plan, post), _sides(post)
    left = length(post, "posts.notch_remaining")
    if widths is None or sides is None or left is None:
        return None
    return max(widths) + left <= max(sides)


def _beam_widths(plan: Plan, post: Part) -> list[Fraction] | None:
    """Return the widths of the beams a post may carry (inch); None where one is not known."""
    named = post.facts.get("posts.beam")
    beams = [b for b in plan.stated("beams") or () if named in (None, b.name)]
    found = [_beam_width(beam) for beam in beams]
    known = [width for width in found if width is not None]
    return known if known and len(known) == len(found) else None


def _beam_width(beam: Part) -> Fraction | None:
    size = beam.facts.get("beams.size")
    if not isinstance(size, str):
        return None
    plies, dash, _ = size.partition("-")
    if dash:
        return int(plies) * PLY
    dressed = dressed_size(size)
    return min(dressed) if dressed is not None else None


def _sides(post: Part) -> tuple[Fraction, Fraction] | None:
    size = post.facts.get("posts.size")
    return dressed_size(size) if isinstance(size, str) else None


def pieces_held_twice(plan: Plan) -> bool | None:
    """Tell whether each ledger piece stated is as long as one spacing and two end distances."""
    pieces = plan.stated("ledger_pieces")
    if not pieces:
        return True
    spacing, end = (plan.facts.get(f"fasteners.{n}") for n in ("spacing", "end_distance_on_ledger"))
    lengths = [length(piece, "ledger_pieces.length") for piece in pieces]
    known = [found for found in lengths if found is not None]
    if not isinstance(spacing, Fraction) or not isinstance(end, Fraction):
        return None
    if any(found < spacing + 2 * end for found in known):
        return False
    return True if len(known) == len(lengths) else None


def footing_load(plan: Plan, footing: Part) -> Fraction | None:
    """Give the load of the area above a footing (lb)."""
    area = length(footing, "footings.tributary_area")
    return None if area is None else area * load_on_area(plan)


def pile_states_no_concrete(plan: Plan, footing: Part) -> bool:
    """Tell whether a pile states no width and no thickness, which are those of concrete."""
    concrete = ("side", "diameter", "thickness")
    return footing.facts.get("footings.kind") != "helical_pile" or not any(
        f"footings.{name}" in footing.facts for name in concrete
    )
