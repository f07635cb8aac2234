"""Table explanations, their checks, and the cautions they carry."""

from __future__ import annotations

import pytest

from deckclause.engineering.basis import Basis, Standing
from deckclause.engineering.cautions import ALWAYS, CAUTIONS, caution, for_topic
from deckclause.engineering.dowels.connections import WoodMember
from deckclause.engineering.sources import SOURCES, cite
from deckclause.engineering.tables.explain import FAMILIES, explain_cell
from deckclause.engineering.tables.explanation import UnknownCellError, check_cell, summarise
from deckclause.engineering.tables.ledger import compare_with_nds
from deckclause.quantities import QuantityError
from deckclause.quantities import parse_quantity as q

JOIST = {"species_group": "southern_pine", "size": "2x8", "spacing": "16 in"}
SAMPLES = {
    "joists": (JOIST, "11-10"),
    "joists_with_cantilever": (JOIST, "10-1"),
    "joist_overhangs": (JOIST, "2-3"),
    "guide_joist_overhangs": (JOIST, "2-0"),
    "joist_cantilevers": (
        {"species_group": "redwood", "size": "2x8", "back_span": "10 ft"}, "1-11"),
    "beams": ({"species_group": "southern_pine", "size": "2-2x8", "joist_span": "14 ft"}, "5-9"),
    "group_beams": (  # IRC 2021 Table R507.5(1), the row of one species group
        {"species_group": "hem_fir", "size": "3-2x10", "joist_span": "10 ft"}, "9-8"),
    "guide_beams": (
        {"species_group": "southern_pine", "size": "2-2x8", "joist_span": "14 ft"}, "5-6"),
    "posts": (
        {"species_group": "southern_pine", "size": "4x4", "tributary_area": "100 sq ft"}, "8-5"),
    "footings": (
        {"tributary_area": "80 sq ft", "soil_bearing": "1500 psf", "part": "square"}, "20"),
    "small_footings": (  # load over soil, 9.8 in, goes below the 2018 table's least of 12 in
        {"tributary_area": "20 sq ft", "soil_bearing": "1500 psf", "part": "square"}, "10"),
    "guide_footings": (
        {"beam_span": "18 ft", "joist_span": "18 ft", "part": "thickness"}, "19"),
    "ledger": ({"row": "through_bolt", "joist_span": "12 ft"}, "29"),
}  # fmt: skip


@pytest.mark.parametrize("family", FAMILIES)
def test_every_family_explains_a_cell(family):
    keys, cell = SAMPLES[family]
    explanation = explain_cell(family, keys)
    assert explanation.cell_text == cell
    text = "\n".join(explanation.lines())
    for part in (f"basis: {explanation.basis.value}", "governed by", "unrounded"):
        assert part in text
    assert {c.key for c in explanation.cautions} >= set(ALWAYS)


@pytest.mark.parametrize("family", FAMILIES)
def test_a_missing_key_is_no_answer(family):
    keys, _ = SAMPLES[family]
    for name in keys:
        rest = {key: value for key, value in keys.items() if key != name}
        with pytest.raises(UnknownCellError, match=name):
            explain_cell(family, rest)


def test_unknown_families_rows_groups_and_units_are_no_answer():
    with pytest.raises(UnknownCellError, match="no calculation for 'stairs'"):
        explain_cell("stairs", {})
    with pytest.raises(UnknownCellError, match="not a row"):
        explain_cell("ledger", {"row": "nail", "joist_span": "12 ft"})
    with pytest.raises(UnknownCellError, match="not a species group"):
        explain_cell("joists", {**JOIST, "species_group": "oak"})
    with pytest.raises(QuantityError):
        explain_cell("joists", {**JOIST, "spacing": "16"})
    with pytest.raises(UnknownCellError, match="only the 40 psf"):
        explain_cell("guide_beams", {**SAMPLES["guide_beams"][0], "ground_snow_load": "50 psf"})
    beam = SAMPLES["beams"][0]
    for size in ("4-2x8", "4x8"):
        with pytest.raises(UnknownCellError, match="no southern pine beam row"):
            explain_cell("beams", {**beam, "size": size})
    for size in ("4-2x8", "2-4x8", "2-2x4"):
        with pytest.raises(UnknownCellError, match="no beam row"):
            explain_cell("beams", {**beam, "species_group": "redwood", "size": size})


def test_the_ledger_table_ends_at_18_ft():
    with pytest.raises(ValueError, match="ends at 18 ft"):
        explain_cell("ledger", {"row": "lag_screw", "joist_span": "19 ft"})


def test_snow_governs_through_its_key():
    snow = explain_cell(
        "ledger", {"row": "lag_screw", "joist_span": "6 ft", "ground_snow_load": "70 psf"}
    )
    assert snow.cell_text == "22"
    assert snow.basis is Basis.IMPLIED


def test_a_back_span_over_the_size_permits_nothing():
    cell = explain_cell(
        "joist_cantilevers", {"species_group": "southern pine", "size": "2x6", "back_span": "10 ft"}
    )
    assert (cell.cell_text, cell.cell_in, cell.unrounded_in) == ("NP", None, None)


def test_fitted_cells_name_their_choices():
    for family in (
        "beams",
        "guide_beams",
        "guide_joist_overhangs",
        "guide_footings",
        "small_footings",
    ):
        explanation = explain_cell(family, SAMPLES[family][0])
        assert explanation.basis is Basis.FITTED
        assert explanation.fitted


def test_a_cell_that_rests_on_a_fitted_design_value_says_so():
    cedar = {"species_group": "redwood", "size": "2x10"}
    governed = explain_cell("joists", {**cedar, "spacing": "24 in"})
    assert governed.basis is Basis.FITTED
    assert "625 psi" in governed.fitted[0]
    assert explain_cell("joists", {**cedar, "spacing": "12 in"}).basis is Basis.CALCULATION


def test_the_three_2x6_cells_say_why_they_differ():
    cell = explain_cell(
        "joists", {"species_group": "douglas fir-larch", "size": "2x6", "spacing": "16 in"}
    )
    assert cell.cell_text == "8-4"
    assert "hem-fir's own" in cell.notes[0]
    assert "near_a_limit" in {c.key for c in cell.cautions}


def test_agreement_notes_and_disagreement_flags_remembered_cells():
    explanation = explain_cell("joists", JOIST)
    agree = check_cell(explanation, 142, Standing.MEMORY)
    assert (agree.agrees, agree.flag, agree.standing) == (True, None, Standing.MEMORY)
    assert "gives the same" in agree.note
    differ = check_cell(explanation, 141, Standing.MEMORY)
    assert (differ.agrees, differ.difference_in) == (False, 1)
    assert "memory cell differs" in (differ.flag or "")
    print_wins = check_cell(explanation, 141, Standing.CONFIRMED)
    assert print_wins.flag is None
    none = check_cell(explanation, None, Standing.CONFIRMED)
    assert (none.agrees, none.difference_in) == (False, None)
    summary = summarise([agree, differ])
    assert (summary.met, summary.total, summary.misses) == (1, 2, (differ,))


def test_the_ledger_comparison_is_context_not_a_verdict():
    spruce = WoodMember(0.42, q("1-1/2 in"), q("90 deg"))
    found = compare_with_nds(spruce, spruce, gap=q("1/2 in"))
    assert not found.calculation.within_nds
    assert "complies" in found.statement
    assert "fail" not in found.statement.lower()
    assert "not spare strength" in found.statement


def test_there_are_twelve_cautions():
    assert [c.number for c in CAUTIONS] == list(range(1, 13))
    assert len({c.key for c in CAUTIONS}) == 12
    assert caution("not_a_design").number == 12
    with pytest.raises(KeyError, match="the keys are"):
        caution("nothing")
    with pytest.raises(ValueError, match="the topics are"):
        for_topic("roof")
    with pytest.raises(KeyError):
        for_topic("joists", "nothing")


def test_every_caution_reaches_some_topic():
    topics = ("connection", "ledger", "joists", "beams", "posts", "footings")
    reached = {c.key for topic in topics for c in for_topic(topic)} | {"near_a_limit"}
    assert reached == {c.key for c in CAUTIONS}


def test_sources_are_held():
    assert all(cite(key) for key in SOURCES)
    with pytest.raises(KeyError):
        cite("nobody")


def test_a_value_on_a_rounding_tie_is_flagged():
    tie = explain_cell(
        "beams", {"species_group": "southern pine", "size": "1-2x10", "joist_span": "8 ft"}
    )
    assert tie.near_tie
    assert not explain_cell("ledger", SAMPLES["ledger"][0]).near_tie
