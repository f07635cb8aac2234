"""The ledger part of the AWC deck guides (DCA 6) against the prints of its Table 5.

Wisconsin's table (SPS 320-325 Appendix B, Table 6) mirrors it; single cells of the guide itself were
seen on inspectors' forums.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from deckclause.designs.design import Design, Facts, Part
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import evaluate
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
)
from published import ledger_table as printed
from published.rule_tables import cell, note

GUIDES = ("awc-dca6-2009", "awc-dca6-2012", "awc-dca6-2015")
RIMS = {
    "engineered_rim_1_in": printed.ENGINEERED_BAND_1_IN_SPACING_IN,
    "engineered_rim_1_1_8_in": printed.ENGINEERED_BAND_1_1_8_IN_SPACING_IN,
}
PSF = Fraction(1, 144)
CATALOGUE = Catalogue.open(cached=False)


@pytest.mark.parametrize("guide", GUIDES)
def test_lumber_rows_of_table_5(guide):
    for row, span, spacing in printed.SPACING_CELLS:
        assert cell(guide, "ledger_spacing", row, f"{span} ft") == spacing


@pytest.mark.parametrize("guide", GUIDES)
@pytest.mark.parametrize("rim", RIMS)
def test_engineered_rim_rows_of_table_5(guide, rim):
    for span, spacing in zip(printed.JOIST_SPANS_FT, RIMS[rim], strict=True):
        for fastener in ("lag_screw", "through_bolt"):
            found = cell(guide, "ledger_spacing_engineered_rim", rim, fastener, f"{span} ft")
            assert found == spacing


def test_cells_seen_in_the_guide_itself():
    """Forum nachi.org 127790: 14 ft, lag 13 and bolt 24 in; inspectorsjournal.com 15755: 10 ft, 14 in."""
    for guide in ("awc-dca6-2012", "awc-dca6-2015"):
        for fastener, spacing in (("lag_screw", 13), ("through_bolt", 24)):
            assert cell(guide, "ledger_spacing", fastener, "14 ft") == spacing
            assert "nachi-127790" in note(guide, "ledger_spacing", fastener, "14 ft").sources
    at = ("engineered_rim_1_in", "lag_screw", "10 ft")
    assert cell("awc-dca6-2012", "ledger_spacing_engineered_rim", *at) == 14


WHOLE: Facts = {
    "deck.attachment": "ledger",
    "site.ground_snow_load": 20 * PSF,
    "wall.veneer": "none",
    "wall.structure": "wood_frame",
    "wall.sheathing_thickness": Fraction(7, 16),
    "wall.drainage_washer_stack": Fraction(0),
    "band_joist.directly_supported_by": "mudsill",
    "fasteners.kind": "lag_screw",
    "fasteners.diameter": Fraction(1, 2),
}


def status(topic: str, guide: str = "awc-dca6-2012", **changes) -> int:
    facts = {**WHOLE, **{k.replace("__", "."): v for k, v in changes.items()}}
    joists: Facts = {"joists.span": Fraction(118)}
    design = Design("guide", "", facts, {"joists": (Part("", joists),)}, "guide", "guide")
    found = evaluate(CATALOGUE.prepare(design), CATALOGUE.evaluator(guide), CATALOGUE.vocabulary)
    return found.outcome(topic).status


@pytest.mark.parametrize("guide", GUIDES)
@pytest.mark.parametrize(
    ("thickness", "most"), [(Fraction(1), 14), (Fraction(9, 8), 16), (Fraction(5, 4), 16)]
)
def test_engineered_rims_have_spacings_of_their_own(guide, thickness, most):
    rim = {"band_joist__kind": "engineered_rim_board", "band_joist__thickness": thickness}
    at, beyond = Fraction(most), Fraction(most) + Fraction(1, 64)
    assert status("ledger_fastener_spacing", guide, fasteners__spacing=at, **rim) == COMPLIES
    found = status("ledger_fastener_spacing", guide, fasteners__spacing=beyond, **rim)
    assert found == DOES_NOT_COMPLY


def test_a_thinner_rim_or_washers_at_a_rim_are_outside_the_table():
    rim = {"band_joist__kind": "engineered_rim_board", "fasteners__spacing": Fraction(6)}
    thin = status("ledger_fastener_spacing", band_joist__thickness=Fraction(15, 16), **rim)
    assert thin == ENGINEERING_REQUIRED
    stacked = status(
        "ledger_fastener_spacing",
        band_joist__thickness=Fraction(9, 8),
        fasteners__kind="through_bolt",
        wall__drainage_washer_stack=Fraction(1, 2),
        **rim,
    )
    assert stacked == ENGINEERING_REQUIRED


@pytest.mark.parametrize("guide", GUIDES)
def test_prohibited_attachments(guide):
    """Inspectors Journal 15755: veneer, hollow masonry, cantilevered overhangs, bay windows."""
    assert status("prohibited_attachment", guide) == COMPLIES
    assert status("ledger_on_veneer", guide, wall__veneer="brick") == DOES_NOT_COMPLY
    hollow = status("prohibited_attachment", guide, wall__structure="hollow_masonry")
    assert hollow == DOES_NOT_COMPLY
    overhang = status("prohibited_attachment", guide, band_joist__directly_supported_by="nothing")
    assert overhang == DOES_NOT_COMPLY


def test_what_has_not_been_read_is_never_a_pass():
    assert status("lateral_connection") == INFORMATION_MISSING
    assert status("ledger_stagger", "awc-dca6-2009", fasteners__staggered=True) == (
        INFORMATION_MISSING
    )
