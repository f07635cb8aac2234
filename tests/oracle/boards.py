"""The boards, what lies between them and the spacing table: what several oracle clauses read."""

from __future__ import annotations

from fractions import Fraction

from oracle.conditions import (
    Facts,
    Truth,
    Value,
    all_of,
    any_of,
    at_least,
    at_most,
    equals,
    negated,
    one_of,
    plus,
)

THREE_QUARTERS = Fraction(3, 4)
ONE_HALF = Fraction(1, 2)
ONE_INCH = Fraction(1)
TWO = Fraction(2)
FIVE = Fraction(5)

# Wisconsin CR 15-043, App. B Table 6 (mirrors the IRC table at 40 live and 10 dead): greatest
# spacing in inches for joist spans up to each column, spans in inches.
SPANS = tuple(12 * feet for feet in (6, 8, 10, 12, 14, 16, 18))
SPACING = {
    "lag_screw": tuple(map(Fraction, (30, 23, 18, 15, 13, 11, 10))),
    "through_bolt": tuple(map(Fraction, (36, 36, 34, 29, 24, 21, 19))),
    "through_bolt_thick_assembly": tuple(map(Fraction, (36, 36, 29, 24, 21, 18, 16))),
}

# PS 20, American Softwood Lumber Standard: dressed depth and thickness of two-by lumber.
DRESSED_DEPTH = {
    "2x6": Fraction(11, 2),
    "2x8": Fraction(29, 4),
    "2x10": Fraction(37, 4),
    "2x12": Fraction(45, 4),
}
TWO_BY_THICKNESS = Fraction(3, 2)


def band_joist_depth(facts: Facts) -> Value | None:
    depth = facts.get("band_joist.depth")
    if depth is None and facts.get("band_joist.kind") == "sawn_lumber":
        depth = DRESSED_DEPTH.get(facts.get("band_joist.size"))  # type: ignore[arg-type]
    return depth


def band_joist_thickness(facts: Facts) -> Value | None:
    thickness = facts.get("band_joist.thickness")
    sawn = facts.get("band_joist.kind") == "sawn_lumber"
    if thickness is None and sawn and "band_joist.size" in facts:
        return TWO_BY_THICKNESS
    return thickness


def ledger_depth(facts: Facts) -> Fraction | None:
    return DRESSED_DEPTH.get(facts.get("ledger.size"))  # type: ignore[arg-type]


def spacing_cell(row: str, span: Value | None) -> Fraction | None:
    """Return the cell of the next larger tabulated span; None beyond 18 ft or where unknown."""
    if span is None:
        return None
    for column, greatest in enumerate(SPANS):
        if span <= greatest:  # type: ignore[operator]
            return SPACING[row][column]
    return None


def assembly_2009(facts: Facts) -> str | None:
    """Return the row of the spacing table, "outside" or None (unknown), for 2009 and 2012.

    City of San Diego bulletin 211 (2010 California code, based on 2009): sheathing to 15/32 in for
    all rows. The Journal of Light Construction on the 2009 table: a third row for bolts with 1/2 in
    of stacked washers. From memory: the 1/2 in gap, and sheathing to 1 in as the third row's other
    form with no more than 1 in from ledger to band joist.
    """
    get = facts.get
    kind, sheathing = get("fasteners.kind"), get("wall.sheathing_thickness")
    stack, gap = get("wall.drainage_washer_stack"), get("wall.gap_to_sheathing")
    thin, no_stack = at_most(sheathing, Fraction(15, 32)), equals(stack, 0)
    tight = at_most(gap, ONE_HALF)
    bolt = equals(kind, "through_bolt")
    thick = any_of(
        all_of(negated(no_stack), at_most(stack, ONE_HALF), thin),
        all_of(
            no_stack,
            negated(thin),
            at_most(sheathing, ONE_INCH),
            at_most(plus(sheathing, gap), ONE_INCH),
        ),
    )
    return _first_row(
        all_of(equals(kind, "lag_screw"), thin, tight, no_stack),
        all_of(bolt, thin, tight, no_stack),
        all_of(bolt, tight, thick),
    )


def assembly_2018(facts: Facts) -> str | None:
    """Return the row of the spacing table, "outside" or None (unknown), for 2018.

    City of Everett document 1911710 (2015 form of the table): 1/2 in of structural panel or lumber
    for the first two rows, 1 in of any listed sheathing for the third; washers may stand in for up
    to 1/2 in of it, with structural panel or lumber only.
    """
    get = facts.get
    kind, sheathing_kind = get("fasteners.kind"), get("wall.sheathing_kind")
    stack = get("wall.drainage_washer_stack")
    between = plus(get("wall.sheathing_thickness"), stack)
    firm = one_of(sheathing_kind, ("none", "wood_structural_panel", "lumber"))
    listed = one_of(
        sheathing_kind,
        ("none", "wood_structural_panel", "gypsum", "fiberboard", "lumber", "foam"),
    )
    sheathing_thin = at_most(get("wall.sheathing_thickness"), ONE_HALF)
    thin = all_of(sheathing_thin, at_most(between, ONE_HALF), firm)
    bolt = equals(kind, "through_bolt")
    thick = all_of(
        at_most(stack, ONE_HALF),
        at_most(between, ONE_INCH),
        listed,
        any_of(equals(stack, 0), firm),
    )
    return _first_row(
        all_of(equals(kind, "lag_screw"), thin), all_of(bolt, thin), all_of(bolt, thick)
    )


def _first_row(lag: Truth, bolt: Truth, thick: Truth) -> str | None:
    """Try the rows in order; one that is neither surely false nor surely true leaves all open."""
    for row, holds in zip(SPACING, (lag, bolt, thick), strict=True):
        if holds is None:
            return None
        if holds:
            return row
    return "outside"


def band_joist_is_covered(facts: Facts) -> Truth:
    """Two-by lumber of a known species, or 1 x 9-1/2 in laminated veneer lumber.

    Trade page on the 2009 changes (homeimprovement411.org) for the veneer lumber; the table's
    title, from memory, for the sawn band joist.
    """
    kind, thickness = facts.get("band_joist.kind"), band_joist_thickness(facts)
    sawn = all_of(
        equals(kind, "sawn_lumber"),
        negated(equals(facts.get("band_joist.species"), "other")),
        at_least(thickness, TWO_BY_THICKNESS),
    )
    veneer_lumber = all_of(
        equals(kind, "laminated_veneer_lumber"),
        at_least(thickness, ONE_INCH),
        at_least(band_joist_depth(facts), Fraction(19, 2)),
    )
    return any_of(sawn, veneer_lumber)
