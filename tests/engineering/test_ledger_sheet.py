"""The calculation sheet of a ledger, against published numbers and a second plain working.

Published:
- engineers' mailing list, April 2006 (seaintarchive.org 2006b msg00402): 12 ft joists, 50 psf in
  all, lag screws at 15 in carry 375 lb, bolts at 29 in carry 725 lb;
- splitting by EN 1995-1-1 Eq. (8.4): a public assessment that works from Swedish Wood's Glulam
  Handbook volume 2, pages 202 and 203, gives 9756.20 N for b = 38.1, h = 139.7, he = 98.5481 mm, and
  6003.81 N with 0.8 over 1.3;
- AWC's NDS table 12A figures for a 1/2 in bolt stand in tests/published.
No published worked number was found for NDS 3.4.3.3; it is held to the second working only.
"""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import product

import pytest
from msgspec.structs import replace

from deckclause.engineering.dowels.member_shear import characteristic_splitting_lb
from deckclause.engineering.ledger_joint.demand import load_cases
from deckclause.engineering.ledger_joint.joint import (
    Arrangement,
    Board,
    CalculationSheet,
    Fastener,
    LedgerJoint,
)
from deckclause.engineering.ledger_joint.placement_note import (
    NOTE,
    note_from_rule,
    strengths_that_fit,
)
from deckclause.engineering.ledger_joint.sheet import calculation_sheet
from deckclause.engineering.members.species import UnknownLumberError
from deckclause.quantities import LENGTH, Quantity
from deckclause.quantities import parse_quantity as q

DEPTH = {"2x8": 7.25, "2x10": 9.25, "2x12": 11.25}
WOOD = {  # G, Fv psi: NDS Supplement Tables 4A and 4B, NDS Table 12.3.3A
    "southern pine": (0.55, 175),
    "hem-fir": (0.43, 150),
    "spruce-pine-fir": (0.42, 135),
    "douglas fir-larch": (0.50, 180),
}
ROWS = tuple(
    Arrangement(name, q("2 in"), q(lower), q("4-1/2 in"), q(below), q("16 in"), q("2 in"), in_table)
    for name, lower, below, in_table in (
        ("as prescribed", "5-1/2 in", "2 in", True),
        ("as asked", "4-3/4 in", "1-1/4 in", False),
    )
)


def board(size: str, species: str, *, wet: bool, incised: bool) -> Board:
    depth = Quantity(Fraction(DEPTH[size]), LENGTH)
    return Board(size, depth, q("1-1/2 in"), species, "No.2", wet, incised)


def joint(**changes: object) -> LedgerJoint:
    plain = LedgerJoint(
        ledger=board("2x8", "southern pine", wet=True, incised=False),
        band=board("2x10", "spruce-pine-fir", wet=False, incised=False),
        fastener=Fastener.BOLT, diameter=q("1/2 in"), joist_span=q("10 ft"),
        joist_spacing=q("16 in"), live=q("40 psf"), dead=q("10 psf"), snow=q("25 psf"),
        between=q("7/16 in"), borne_directly=True, table_capacity_lb=727,
        table_capacity_says="bolt row",
    )  # fmt: skip
    return replace(plain, **changes)  # type: ignore[arg-type]


@pytest.mark.parametrize(("spacing", "pounds"), [("15 in", 375), ("29 in", 725), ("7.2 in", 180)])
def test_load_on_one_fastener_as_published(spacing: str, pounds: int) -> None:
    cases = load_cases(joint(joist_span=q("12 ft"), snow=None))
    assert [c.name for c in cases] == ["dead + live"]
    assert cases[0].on_fastener(q(spacing)) == q(f"{pounds} lb")


def test_splitting_as_published() -> None:
    newtons = 4.4482216152605 * characteristic_splitting_lb(
        width=q("1.5 in"), depth=q("5.5 in"), loaded_edge=Quantity(Fraction("98.5481") / Fraction("25.4"), LENGTH)
    )  # fmt: skip
    assert newtons == pytest.approx(9756.20, abs=0.05)
    assert 0.8 / 1.3 * newtons == pytest.approx(6003.81, abs=0.05)


def plain_bolt(g_main: float, g_side: float, gap: float, d: float, t: float) -> float:
    """A second working of TR12: the equilibrium of the dowel solved for P by bisection."""

    def bearing(g: float) -> float:
        return 50 * math.floor(6100 * g**1.45 / math.sqrt(d) / 50 + 0.5)

    qm, qs = bearing(g_main) * d, bearing(g_side) * d
    plastic = 45000 * d**3 / 6
    turn = 1.25

    def positive_root(a: float, b: float, c: float) -> float:
        low, high = 0.0, 1e6
        for _ in range(200):
            middle = (low + high) / 2
            low, high = (middle, high) if a * middle**2 + b * middle + c < 0 else (low, middle)
        return low

    modes = (
        qm * t / (4 * turn),
        qs * t / (4 * turn),
        positive_root(1 / (4 * qs) + 1 / (4 * qm), t / 2 + gap + t / 2,
                      -qs * t * t / 4 - qm * t * t / 4) / (3.6 * turn),
        positive_root(1 / (2 * qs) + 1 / (4 * qm), gap + t / 2, -plastic - qm * t * t / 4) / (3.2 * turn),
        positive_root(1 / (4 * qs) + 1 / (2 * qm), t / 2 + gap, -qs * t * t / 4 - plastic) / (3.2 * turn),
        positive_root(1 / (2 * qs) + 1 / (2 * qm), gap, -2 * plastic) / (3.2 * turn),
    )  # fmt: skip
    return min(modes)


def plain_sheet(
    ledger: str, species: str, band: str, lower: float, snow: float, gap: float, *, incised: bool
) -> dict[str, tuple[float, float]]:
    """Demand and capacity of each step, written from the standards' words alone."""
    area = 10 / 2 * 16 / 12
    combos = {1.0: [50.0], 1.15: [10 + snow, 10 + 0.75 * 40 + 0.75 * snow] if snow else []}
    load, cd = max(
        ((w * area, cd) for cd, loads in combos.items() for w in loads), key=lambda x: x[0] / x[1]
    )
    fv = WOOD[species][1] * cd * 0.97 * (0.8 if incised else 1)
    d = DEPTH[ledger]
    shear = 2 / 3 * fv * 1.5 * lower * (lower / d) ** 2
    h, he = d * 25.4, lower * 25.4
    split = 0.65 / 1.3 * 14 * 38.1 * math.sqrt(he / (1 - he / h)) / 4.4482216152605
    factored = area * (13.5 + 1.5 * max(40 + 0.5 * snow, snow + 28))
    bolt = plain_bolt(WOOD[band][0], WOOD[species][0], gap, 0.5, 1.5) * cd * 0.7
    return {
        "yield": (load, bolt),
        "ledger_shear": (load / 2, shear),
        "splitting": (factored / 2, split),
        "table": (load, 727 * cd),
    }


@pytest.mark.parametrize(
    ("ledger", "species", "band", "snow", "gap", "incised"),
    [
        (ledger, species, band, snow, gap, incised)
        for (ledger, species), (band, snow), (gap, incised) in product(
            [("2x8", "southern pine"), ("2x10", "hem-fir"), ("2x12", "douglas fir-larch")],
            [("spruce-pine-fir", 0.0), ("hem-fir", 25.0), ("southern pine", 70.0)],
            [(0.0, False), (0.4375, True), (1.0, False)],
        )
    ],
)
def test_against_a_second_working(
    ledger: str, species: str, band: str, snow: float, gap: float, incised: bool
) -> None:
    sheet = calculation_sheet(
        joint(
            ledger=board(ledger, species, wet=True, incised=incised),
            band=board("2x10", band, wet=False, incised=False),
            snow=q(f"{snow} psf") if snow else None,
            between=q(f"{gap} in"),
        ),
        ROWS,
    )
    for rows, lower in (("as prescribed", 5.5), ("as asked", 4.75)):
        plain = plain_sheet(ledger, species, band, lower, snow, gap, incised=incised)
        for key, (demand, capacity) in plain.items():
            if key == "table" and rows == "as asked":
                assert sheet.step(key).result(rows).capacity_lb is None
                continue
            found = sheet.step(key).result(rows)
            assert found.demand_lb == pytest.approx(demand, rel=1e-9), key
            assert found.capacity_lb == pytest.approx(capacity, rel=1e-6), key
            assert found.ratio == pytest.approx(demand / capacity, rel=1e-6), key


def test_edges_give_no_value_below_the_standard() -> None:
    sheet = calculation_sheet(joint(), ROWS)
    assert sheet.no_value("as prescribed") == ()
    (why,) = sheet.no_value("as asked")
    assert "band joist, loaded bottom edge to the lower row: 1-1/4 in, at least 2 in" in why


def test_a_nearer_lower_row_is_weaker_in_shear_and_splitting() -> None:
    sheet = calculation_sheet(joint(), ROWS)
    for key in ("ledger_shear", "splitting"):
        before = sheet.step(key).result("as prescribed").capacity_lb
        after = sheet.step(key).result("as asked").capacity_lb
        assert before is not None
        assert after is not None
        assert after < before
    shear = [sheet.step("ledger_shear").result(r.name).capacity_lb or 0 for r in ROWS]
    assert shear[1] / shear[0] == pytest.approx((4.75 / 5.5) ** 3)


def test_unknown_wood_gives_no_sheet() -> None:
    unknown = board("2x8", "southern pine", wet=True, incised=False)
    with pytest.raises(UnknownLumberError):
        calculation_sheet(joint(ledger=replace(unknown, species="other")), ROWS)


def test_a_band_joist_on_nothing_is_a_beam() -> None:
    def band(sheet: CalculationSheet) -> float | None:
        return sheet.step("band_shear").result("as asked").capacity_lb

    assert band(calculation_sheet(joint(borne_directly=True), ROWS)) is None
    unsure = calculation_sheet(joint(borne_directly=None), ROWS)
    assert band(unsure) == pytest.approx(2 / 3 * 135 * 1.15 * 1.5 * 4.75 * (4.75 / 9.25) ** 2)
    assert "not known" in unsure.step("band_shear").limits


def test_the_placement_note_and_the_effective_depth() -> None:
    """The four figures of the note, solved a second way: the depth grown until the shear is carried."""
    assert [str(printed) for _, _, printed in NOTE] == ["11/2", "13/2", "15/2", "9/2"]
    fv = 150 * 0.97 * 0.8
    for (ledger, row, printed), figure in zip(
        NOTE, note_from_rule("hem-fir", incised=True, wet=True).figures, strict=True
    ):
        depth, shear = DEPTH[ledger], row.value / 2
        carried = [
            k / 2 for k in range(1, 24) if 2 / 3 * fv * 1.5 * (k / 2) ** 3 / depth**2 >= shear
        ]
        assert carried[0] == printed == figure.to_half_inch
    low, high = strengths_that_fit()
    for species, incised, fits in (
        ("hem-fir", True, True), ("spruce-pine-fir", False, True), ("southern pine", False, False),
        ("douglas fir-larch", True, False), ("hem-fir", False, False),
    ):  # fmt: skip
        found = note_from_rule(species, incised=incised, wet=True)
        assert (found.met == len(NOTE)) is fits
        assert (low <= found.strength_psi <= high) is fits
