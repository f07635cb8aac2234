"""Real places against what was read of their law, typed again here with its source beside it."""

from __future__ import annotations

from fractions import Fraction

import pytest

from deckclause.cli.main import run
from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.clauses import Fixed, Limit, Provides, Unmodelled
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.walk import condition_tests
from deckclause.variance.precedents import rule_set_names

LIBRARY = RuleLibrary.open()
UTAH = "Utah@2024-09-10"

SITE_VALUES = (
    # snohomishwa.gov/667/8834/Building-Code-Information
    ("Snohomish@2021-02-01", "irc-2018", 25, 18),
    # cityofmissourivalley.com/departments/building-division/resources/
    ("Missouri Valley@2026-11-28", "irc-2009", 30, 42),
    # wentzvillemo.gov/departments/community-development/building-codes/, section 500.070
    ("Wentzville@2026-11-28", "irc-2021", 20, 30),
)


@pytest.mark.parametrize(("name", "edition", "snow_psf", "frost_in"), SITE_VALUES)
def test_site_values(name: str, edition: str, snow_psf: int, frost_in: int) -> None:
    ruleset = LIBRARY.ruleset(name)
    values = {s.quantity: s.value for s in ruleset.settings}
    assert ruleset.edition == edition
    assert values["site.frost_depth"] == frost_in
    assert values["site.ground_snow_load"] == Fraction(snow_psf, 144)
    assert any("Check with the office" in words for words in ruleset.left_out)


def test_utah_stairs() -> None:
    """Utah Code 15A-3-202(26): risers at most 8 in, treads at least 9 in, 3/8 in variation."""
    ruleset = LIBRARY.ruleset(UTAH)
    for key, bound, figure in (
        ("stair_riser_height", "most", Fraction(8)),
        ("stair_tread_depth", "least", Fraction(9)),
        ("stair_riser_variation", "most", Fraction(3, 8)),
        ("stair_tread_variation", "most", Fraction(3, 8)),
    ):
        clause = ruleset.clause(key)
        assert clause is not None
        assert isinstance(clause.requirement, Limit)
        assert getattr(clause.requirement, bound) == Fixed(figure)
        assert (clause.standing, clause.sources) == ("confirmed", ("utah-code-15a",))


@pytest.mark.parametrize("key", ["stair_riser_slope", "stair_open_riser", "stair_nosing"])
def test_what_stood_in_the_range_utah_replaced_is_not_silently_kept(key: str) -> None:
    clause = LIBRARY.ruleset(UTAH).clause(key)
    assert clause is not None
    assert isinstance(clause.requirement, Unmodelled)


@pytest.mark.parametrize("name", ["Mt. Crested Butte@2026-11-28", "Waukee@2026-11-28"])
def test_every_deck_needs_a_permit_where_item_10_is_struck(name: str) -> None:
    """Mt. Crested Butte Ordinance 19-12 of 2020-01-21; Waukee R105.2 items 2, 4, 5 and 10."""
    clause = LIBRARY.ruleset(name).clause("permit_exemption")
    assert clause is not None
    assert clause.requirement == Provides("deck.permit_exempt", Fixed(False))
    assert clause.says.startswith("Every deck needs a permit")


def test_the_days_as_far_as_they_are_known() -> None:
    register = LIBRARY.register
    assert register.resolve("Utah@2023-07-01").edition == "irc-2021"
    with pytest.raises(InputError, match="nothing is in force in Utah on 2023-06-30"):
        register.resolve("Utah@2023-06-30")
    with pytest.raises(InputError, match="is not known"):
        register.resolve("Mt. Crested Butte@2022-01-01")


def test_invented_places_are_no_precedents_for_a_real_design() -> None:
    catalogue = Catalogue.open()
    real = rule_set_names(catalogue, invented=False)
    assert "Utah@2023-07-01" in real
    assert not [name for name in real if "Tarn Hollow" in name or "Ellavane" in name]
    assert set(real) < set(rule_set_names(catalogue, invented=True))


# --- Wisconsin: a code of its own, three ways to comply that may not be mixed ---------------------

WISCONSIN = "Wisconsin@2024-01-01"


def wisconsin(way: str, key: str) -> object:
    clause = LIBRARY.ruleset(f"{WISCONSIN}/{way}").clause(key)
    assert clause is not None
    return clause.requirement


def test_wisconsin_has_three_ways_that_may_not_be_mixed() -> None:
    """dsps.wi.gov/pages/Programs/UDC/Default.aspx: in force from 2016-01-01."""
    ways = tuple(f"{WISCONSIN}/{w}" for w in ("chapter", "appendix-b", "deck-guide-2012"))
    assert LIBRARY.register.ways(WISCONSIN) == ways
    assert LIBRARY.register.place("Wisconsin").local == "with approval"  # SPS 320.06 (1) (a) 3.
    for name in ways:
        told = " ".join(LIBRARY.register.resolve(name).told)
        assert "they may not be mixed" in told
        assert "Check with the office" in told
    with pytest.raises(InputError, match="nothing is in force in Wisconsin on 2015-12-31"):
        LIBRARY.register.resolve("Wisconsin@2015-12-31")


@pytest.mark.parametrize(
    ("way", "key", "bound", "figure"),
    [
        # SPS 321.04 (3) (c): 36 in high, a 4-3/8 in sphere; (4) (a) 2.: landing 36 in
        ("chapter", "guard_height", "least", Fraction(36)),
        ("chapter", "guard_opening", "most", Fraction(35, 8)),
        ("chapter", "stair_landing.depth", "least", Fraction(36)),
        # Appendix B section 13 no. 1: 4 in on the level; section 14: handrail 30 to 38 in
        ("appendix-b", "guard_opening", "most", Fraction(4)),
        ("appendix-b", "handrail_height", "least", Fraction(30)),
        ("appendix-b", "handrail_height", "most", Fraction(38)),
    ],
)
def test_wisconsin_figures_as_read(way: str, key: str, bound: str, figure: Fraction) -> None:
    limit = wisconsin(way, key)
    assert isinstance(limit, Limit)
    assert getattr(limit, bound) == Fixed(figure)


@pytest.mark.parametrize("way", ["chapter", "appendix-b"])
def test_guards_begin_at_24_in_in_wisconsin(way: str) -> None:
    """SPS 321.04 (3) (c) 1. a. and Appendix B section 13: more than 24 in."""
    trigger = wisconsin(way, "guard_required.trigger")
    assert trigger == Provides("deck.guard_trigger_height", Fixed(Fraction(24)))


DRAFT_BEAMS = (
    # CR 15-043 as put to a hearing, June 2015, Tables 3A and 3B: joist spans 6 to 18 ft by 2 ft
    ("beam_spans_other_species", "2-2x6", "6 ft", "5 ft 5 in"),
    ("beam_spans_other_species", "4x12", "8 ft", "9 ft 11 in"),
    ("beam_spans_other_species", "3-2x12", "6 ft", "13 ft 11 in"),
    ("beam_spans_other_species", "3-2x12", "12 ft", "9 ft 10 in"),
    ("beam_spans_other_species", "2-2x10", "10 ft", "6 ft 6 in"),
)
DRAFT_LEDGER = (
    # the same, Table 6: lag screws and bolts of 1/2 in; engineered rims of 1 and 1-1/8 in
    ("ledger_spacing", ("lag_screw",), "6 ft", "30 in"),
    ("ledger_spacing", ("through_bolt",), "18 ft", "19 in"),
    ("ledger_spacing", ("through_bolt_thick_assembly",), "10 ft", "29 in"),
    ("ledger_spacing_engineered_rim", ("engineered_rim_1_in", "lag_screw"), "18 ft", "8 in"),
    ("ledger_spacing_engineered_rim", ("engineered_rim_1_1_8_in", "through_bolt"), "6 ft", "28 in"),
)


def test_wisconsins_draft_tables_are_from_memory_until_the_adopted_ones_are_read() -> None:
    loaded = LIBRARY.load("wi-appendix-b")
    for table, size, span, figure in DRAFT_BEAMS:
        raw = loaded.raw_tables[table]
        assert raw["cells"][size][raw["columns"].index(span)] == figure, (table, size, span)
    for table, rows, span, figure in DRAFT_LEDGER:
        raw = loaded.raw_tables[table]
        cells = raw["cells"]
        for row in rows:
            cells = cells[row]
        assert cells[raw["columns"].index(span)] == figure, (table, rows, span)
    assert {raw["standing"] for raw in loaded.raw_tables.values()} == {"memory"}


@pytest.mark.parametrize("way", ["chapter", "appendix-b"])
def test_what_was_not_read_of_wisconsin_is_never_silent(way: str) -> None:
    ruleset = LIBRARY.ruleset(f"{WISCONSIN}/{way}")
    for topic in ("footing_depth", "joist_span", "lateral_connection", "stair_riser_height"):
        clauses = ruleset.topic_clauses(topic)
        assert clauses, topic
        assert all(isinstance(c.requirement, Unmodelled) for c in clauses), topic
    assert ruleset.warns


READ_IN_PART = {
    # what the sources of each way were seen to say, without all that it hangs on
    "chapter": {"footing_size": "2 ft by 2 ft"},
    "appendix-b": {
        "lateral_devices": "750 lb",
        "ledger_flashing_material": "0.019 in",
        "guard_load": "200 lb",
        "guard_infill_load": "50 lb",
        "stair_guard_required": "three risers",
        "stair_guard_opening": "4-3/8 in",
        "stair_guard_triangle": "6 in",
    },
}


@pytest.mark.parametrize("way", READ_IN_PART)
def test_what_was_read_in_part_of_wisconsin_is_not_told_as_not_read(way: str) -> None:
    ruleset = LIBRARY.ruleset(f"{WISCONSIN}/{way}")
    for topic, figure in READ_IN_PART[way].items():
        (clause,) = ruleset.topic_clauses(topic)
        (source,) = clause.sources
        assert isinstance(clause.requirement, Unmodelled), topic
        assert figure in clause.requirement.reason, topic
        assert figure in LIBRARY.vocabulary.sources[source].seen, topic
        assert "not read" not in f"{clause.says} {clause.requirement.reason}", topic


SPECIES_SEEN = {
    "southern_pine": "southern pine",
    "douglas_fir_larch": "DF-L",
    "hem_fir": "hem-fir",
    "spruce_pine_fir": "SPF",
    "western_cedar": "western cedar",
    "ponderosa_pine": "ponderosa",
    "red_pine": "red pine",
}


def test_wisconsins_beam_tables_serve_the_species_seen_in_them_alone() -> None:
    """CR 15-043 Tables 3A and 3B as read: redwood, which the model code groups with cedar, is not there."""
    clause = LIBRARY.ruleset(f"{WISCONSIN}/appendix-b").clause("beam_span")
    assert clause is not None
    (source,) = clause.sources
    seen = LIBRARY.vocabulary.sources[source].seen
    (species,) = (t.options for t in condition_tests(clause.scope) if t.quantity == "beams.species")
    assert species is not None
    assert set(species) == set(SPECIES_SEEN)
    assert all(words in seen for words in SPECIES_SEEN.values())
    assert "redwood" not in seen


REAL = {
    # place and day: its edition, what the sources of test_site_values and of the amendments say
    "Utah@2024-01-01": ("irc-2021", "at most 8 in"),
    "Snohomish@2022-01-01": ("irc-2018", "25 psf"),
    "Mt. Crested Butte@2026-11-28": ("irc-2015", "Every deck needs a permit"),
}


@pytest.mark.parametrize("name", REAL)
def test_a_real_place_is_told_to_be_checked_with_its_office_wherever_it_is_answered(
    name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    edition, figure = REAL[name]
    deck = str(LIBRARY.files.root / "examples" / "whole-deck-12x16.yaml")
    asked = {
        "compare": ["compare", deck, "--under", name, "--all"],
        "diff": ["diff", edition, name],
        "standing": ["rules", "standing", "--under", name],
        "show": ["rules", "show", name],
        "steps": ["place", "steps", deck, "--under", name],
    }
    for way, command in asked.items():
        assert run(command) in (0, 1, 3)
        printed = capsys.readouterr()
        told = " ".join(f"{printed.err} {printed.out}".split())
        assert "is a real place, its law held as far as it was read" in told, way
        assert "Check with the office" in told, way
        if way == "diff":
            assert figure in told
