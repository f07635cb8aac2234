"""Sixteen ledger clauses, fixed here so that the benchmarks measure the same work every year.

They are of the kind the 2012 to 2018 editions have: choices, limits, distances, a table, two
quantities one clause gives another, and an exception.
"""

from __future__ import annotations

from fractions import Fraction as F

from deckclause.rulesets.clauses import (
    ALWAYS,
    AllOf,
    AnyOf,
    Arithmetic,
    Axis,
    ByChoice,
    Cases,
    Clause,
    ClauseException,
    Condition,
    Distance,
    Fixed,
    Limit,
    Lookup,
    MustBe,
    NotPermitted,
    Origin,
    Provides,
    Reads,
    Requirement,
    Table,
    Test,
    Value,
)
from deckclause.rulesets.ruleset import RuleSet

HERE = Origin("sixteen", "sixteen_clauses.py", 1)
SPANS = tuple(F(12 * feet) for feet in (6, 8, 10, 12, 14, 16, 18))
SPACINGS = {
    "lag_screw": (30, 23, 18, 15, 13, 11, 10),
    "through_bolt": (36, 36, 34, 29, 24, 21, 19),
    "through_bolt_thick_assembly": (36, 36, 29, 24, 21, 18, 16),
}
SPACING_TABLE = Table(
    "ledger_spacing",
    "Greatest spacing",
    (
        Axis("fasteners.assembly", tuple(SPACINGS)),
        Axis("joists.span", SPANS, "next_larger"),
    ),
    tuple(F(cell) for row in SPACINGS.values() for cell in row),
)
WOOD_SHEATHING = ("none", "wood_structural_panel", "lumber")
LUMBER_SPECIES = ("spruce_pine_fir", "hem_fir", "douglas_fir_larch", "southern_pine", "douglas_fir")


def _is(quantity: str, *options: str | bool) -> Test:
    return Test(quantity, options=options)


def _at_least(quantity: str, value: Value) -> Test:
    return Test(quantity, low=value)


def _at_most(quantity: str, value: Value) -> Test:
    return Test(quantity, high=value)


def _exactly(quantity: str, value: F) -> Test:
    return Test(quantity, low=Fixed(value), high=Fixed(value))


def _less_washers(inches: F) -> Value:
    stack = Arithmetic("product", (Fixed(F(-1)), Reads("wall.drainage_washer_stack")))
    return Arithmetic("sum", (Fixed(inches), stack))


LEDGER = _is("deck.attachment", "ledger")
BOLTED = _is("fasteners.kind", "lag_screw", "through_bolt")
WOOD = _is("wall.sheathing_kind", *WOOD_SHEATHING)
THIN = _at_most("wall.sheathing_thickness", _less_washers(F(1, 2)))
THICK = _at_most("wall.sheathing_thickness", _less_washers(F(1)))
UPPER = Distance("ledger.top_edge", "fasteners.upper_row")
LOWER = Distance("ledger.top_edge", "fasteners.lower_row")
BOTTOM = Distance("fasteners.lower_row", "ledger.bottom_edge")
ROWS = Distance("fasteners.upper_row", "fasteners.lower_row")

COVERED = Cases(
    (
        (
            AllOf(
                (
                    _is("band_joist.kind", "sawn_lumber"),
                    _at_least("band_joist.thickness", Fixed(F(3, 2))),
                    _is("band_joist.species", *LUMBER_SPECIES),
                )
            ),
            Fixed(True),
        ),
        (
            AllOf(
                (
                    _is("band_joist.kind", "laminated_veneer_lumber"),
                    _at_least("band_joist.thickness", Fixed(F(1))),
                    _at_least("band_joist.depth", Fixed(F(19, 2))),
                )
            ),
            Fixed(True),
        ),
    )
)
ASSEMBLY = Cases(
    (
        (AllOf((_is("fasteners.kind", "lag_screw"), WOOD, THIN)), Fixed("lag_screw")),
        (AllOf((_is("fasteners.kind", "through_bolt"), WOOD, THIN)), Fixed("through_bolt")),
        (
            AllOf(
                (
                    _is("fasteners.kind", "through_bolt"),
                    _at_most("wall.drainage_washer_stack", Fixed(F(1, 2))),
                    THICK,
                    AnyOf((_exactly("wall.drainage_washer_stack", F(0)), WOOD)),
                )
            ),
            Fixed("through_bolt_thick_assembly"),
        ),
    )
)
LOWER_BY_SIZE = ByChoice(
    "ledger.size",
    (("2x8", Fixed(F(11, 2))), ("2x10", Fixed(F(13, 2))), ("2x12", Fixed(F(15, 2)))),
)
SMALL_BAND = ClauseException(
    AllOf(
        (
            _is("ledger.size", "2x8"),
            _is("band_joist.kind", "sawn_lumber"),
            _is("band_joist.size", "2x8"),
            _is("fasteners.kind", "lag_screw"),
        )
    ),
    Limit(LOWER, least=Fixed(F(9, 2))),
    "",
    "",
    "memory",
    (),
    1,
)
SPACING_SCOPE = AllOf(
    (
        _exactly("fasteners.diameter", F(1, 2)),
        _is("band_joist.kind", "sawn_lumber", "laminated_veneer_lumber"),
        _is("band_joist.covered_by_table", True),
        _at_most("site.ground_snow_load", Fixed(F(40, 144))),
    )
)


def _clause(
    key: str,
    requirement: Requirement,
    applies: Condition = LEDGER,
    scope: Condition = ALWAYS,
    exceptions: tuple[ClauseException, ...] = (),
) -> Clause:
    return Clause(key, key, "", "", requirement, "memory", (), HERE, applies, scope, "", exceptions)


CLAUSES = (
    _clause("positive_anchorage", NotPermitted(_is("fasteners.kind", "toenail", "nail"))),
    _clause("inspection", MustBe(_is("deck.connection_can_be_inspected", True))),
    _clause("veneer", MustBe(_is("wall.veneer", "none"))),
    _clause("concentrated_load", MustBe(_is("ledger.carries_beam", False))),
    _clause("size", Limit("ledger.size", one_of=("2x8", "2x10", "2x12"))),
    _clause("grade", Limit("ledger.grade", one_of=("select_structural", "no_1", "no_2"))),
    _clause("fastener_kind", MustBe(ALWAYS), scope=BOLTED),
    _clause(
        "diameter",
        Limit("fasteners.diameter", exactly=Fixed(F(1, 2))),
        AllOf((LEDGER, BOLTED)),
        _exactly("fasteners.diameter", F(1, 2)),
    ),
    _clause(
        "band_joist",
        Provides("band_joist.covered_by_table", COVERED),
        AllOf((LEDGER, _is("band_joist.kind", "sawn_lumber", "laminated_veneer_lumber"))),
    ),
    _clause("assembly", Provides("fasteners.assembly", ASSEMBLY), AllOf((LEDGER, BOLTED))),
    _clause(
        "spacing",
        Limit("fasteners.spacing", most=Lookup(SPACING_TABLE)),
        AllOf((LEDGER, BOLTED)),
        SPACING_SCOPE,
    ),
    _clause("stagger", MustBe(_is("fasteners.staggered", True))),
    _clause("top_edge", Limit(UPPER, least=Fixed(F(2)))),
    _clause("bottom_edge", Limit(BOTTOM, least=Fixed(F(3, 4)))),
    _clause("lower_row", Limit(LOWER, least=LOWER_BY_SIZE), exceptions=(SMALL_BAND,)),
    _clause("row_spacing", Limit(ROWS, least=Fixed(F(13, 8)), most=Fixed(F(5)))),
)
SIXTEEN = RuleSet(
    "sixteen",
    "Sixteen ledger clauses",
    "edition",
    "sixteen",
    2018,
    (),
    CLAUSES,
    (),
    (),
    (SPACING_TABLE,),
    "",
    "sixteen",
)
