"""Whether what a design states of one thing agrees with what it states of another.

Each answer is no only where two stated facts cannot both be so. What is not stated contradicts
nothing: it is asked for where it is needed.
"""

from __future__ import annotations

from fractions import Fraction

from deckclause.designs.consistency.stated_otherwise import StatedOtherwise
from deckclause.designs.design import Facts
from deckclause.designs.dressed_sizes import dressed_size

READ_TO = Fraction(1, 16)
"""A tape is read to this (inch)."""
WORN = Fraction(1, 4)
"""What an old board may have lost of its dressed size (inch)."""
ROUNDED = Fraction(1, 50)
"""A stated measure may differ by this share from what the plan gives: areas are rounded."""
TWO_INCH_WOOD, FIVE_QUARTER = Fraction(3, 2), Fraction(5, 4)


def _number(facts: Facts, name: str) -> Fraction | None:
    value = facts.get(name)
    return value if isinstance(value, Fraction) else None


def ends_agree(facts: Facts) -> bool:
    """Tell whether no fastener nearest an end stands nearer to it than the least of all."""
    return all(
        least is None or nearest is None or least <= nearest
        for least, nearest in (
            (_number(facts, f"fasteners.{one}"), _number(facts, f"fasteners.{other}"))
            for one, other in (
                ("end_distance_on_ledger", "first_from_ledger_end"),
                ("end_distance_on_band_joist", "first_from_band_joist_end"),
            )
        )
    )


def ledger_ends_reached(facts: Facts) -> bool:
    """Tell whether the first fastener is no farther from a ledger end than the fasteners are apart."""
    first, apart = (_number(facts, f"fasteners.{n}") for n in ("first_from_ledger_end", "spacing"))
    return first is None or apart is None or first <= apart


def joists_agree(facts: Facts) -> bool:
    """Tell whether first joist, spacing and reaches of a field can all be so.

    The longer of two reaches is the cantilever; no field begins with more than one bay of nothing.
    """
    return all(
        less is None or more is None or less <= more
        for less, more in (
            (_number(facts, f"joists.{one}"), _number(facts, f"joists.{other}"))
            for one, other in (
                ("first_from_field_end", "spacing"),
                ("inner_cantilever", "cantilever"),
            )
        )
    )


def band_joist_agrees(facts: Facts) -> bool:
    """Tell whether a sawn band joist has the depth and thickness its size may have.

    From the dressed size, a little worn, up to the nominal one of an old full-sawn board.
    """
    size = facts.get("band_joist.size")
    dressed = dressed_size(size) if isinstance(size, str) else None
    if (
        facts.get("band_joist.kind") != "sawn_lumber"
        or dressed is None
        or not isinstance(size, str)
    ):
        return True
    nominal = [Fraction(number) for number in size.split("x")]
    return all(
        found is None or least - WORN <= found <= most
        for found, least, most in (
            (_number(facts, "band_joist.thickness"), dressed[0], nominal[0]),
            (_number(facts, "band_joist.depth"), dressed[1], nominal[1]),
        )
    )


def decking_agrees(facts: Facts) -> bool:
    """Tell whether wood decking has a thickness its name may have."""
    board, thickness = facts.get("decking.board"), _number(facts, "decking.thickness")
    if thickness is None:
        return True
    if board == "five_quarter_wood":
        return Fraction(3, 4) <= thickness <= FIVE_QUARTER
    return board != "two_inch_wood" or TWO_INCH_WOOD - READ_TO <= thickness <= 2


def variations_agree(facts: Facts) -> bool:
    """Tell whether the stated variation of risers and treads covers the ones stated."""
    return all(
        spread is None or high is None or low is None or high - low <= spread + READ_TO
        for spread, high, low in (
            tuple(_number(facts, f"stairs.{name}") for name in names)
            for names in (
                ("riser_variation", "riser_height", "lowest_riser"),
                ("tread_variation", "deepest_tread", "tread_depth"),
            )
        )
    )


def sides_agree(facts: Facts) -> bool:
    """Tell whether a stair has no more open sides, and sides with a handrail, than two."""
    counts = (_number(facts, f"stairs.{name}") for name in ("open_sides", "handrail_sides"))
    return all(count is None or count <= 2 for count in counts)


def contradicts_plan(found: StatedOtherwise) -> bool:
    """Tell whether a stated fact is farther from what the plan gives than rounding explains.

    Between what the plan gives and the trade's own measure of it nothing is contradicted.
    """
    stated, worked_out, customary = found.stated, found.worked_out, found.customary
    if not isinstance(stated, Fraction) or not isinstance(worked_out, Fraction):
        return True
    if isinstance(customary, Fraction) and min(customary, worked_out) <= stated <= max(
        customary, worked_out
    ):
        return False
    near = [worked_out, *([customary] if isinstance(customary, Fraction) else [])]
    return all(abs(stated - one) > ROUNDED * max(abs(stated), abs(one)) for one in near)
