"""Framing clauses on whole decks: what is asked, what needs engineering, and no pass by a worse deck."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from deckclause.designs.design import Design, Facts, Part
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import Evaluation, evaluate
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
)
from deckclause.rulesets.files import default_root

PSF = Fraction(1, 144)
FOOT, SQUARE_FOOT = 12, 144
WITH_TABLES = ("irc-2015", "irc-2018", "irc-2021", "irc-2024")
BEFORE_TABLES = ("irc-2006", "irc-2009", "irc-2012")
GUIDES = ("awc-dca6-2009", "awc-dca6-2012", "awc-dca6-2015")
FRAMING_TOPICS = ("joist_span", "beam_span", "post_height", "footing_size", "footing_thickness")


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


_SHARED = Catalogue.open(cached=False)


def under(ruleset: str, facts: Facts, catalogue: Catalogue = _SHARED, **parts: Facts) -> Evaluation:
    one_each = {group: (Part("", own),) for group, own in parts.items()}
    design = Design("framing", "", facts, one_each, "framing", "framing")
    return evaluate(catalogue.prepare(design), catalogue.evaluator(ruleset), catalogue.vocabulary)


def whole_deck(catalogue: Catalogue, ruleset: str) -> Evaluation:
    path = Path(default_root()) / "examples" / "whole-deck-12x16.yaml"
    return evaluate(catalogue.design(path), catalogue.evaluator(ruleset), catalogue.vocabulary)


# --- the whole-deck example ---------------------------------------------------------------------


@pytest.mark.parametrize("ruleset", BEFORE_TABLES)
@pytest.mark.parametrize("topic", FRAMING_TOPICS)
def test_editions_without_deck_tables_never_pass_framing(catalogue, ruleset, topic):
    assert whole_deck(catalogue, ruleset).outcome(topic).status == ENGINEERING_REQUIRED


@pytest.mark.parametrize("ruleset", WITH_TABLES)
def test_the_whole_deck_example_is_framed_by_the_tables(catalogue, ruleset):
    found = whole_deck(catalogue, ruleset)
    topics = [t for t in FRAMING_TOPICS if not (ruleset == "irc-2015" and "footing" in t)]
    for topic in (*topics, "joist_cantilever", "beam_cantilever", "decking_joist_spacing"):
        assert found.outcome(topic).status == COMPLIES, topic
    if ruleset == "irc-2015":
        assert found.outcome("footing_size").status == ENGINEERING_REQUIRED


def test_limits_of_the_whole_deck_example_read_from_the_printed_tables(catalogue):
    """Southern pine: 2x8 at 16 in (docslib handout), 2-2x10 under 10 ft joists (the same)."""
    found = whole_deck(catalogue, "irc-2015")
    assert found.outcome("joist_span").governing.most == 10 * FOOT + 1
    assert found.outcome("beam_span").governing.most == 8 * FOOT
    guide = whole_deck(catalogue, "awc-dca6-2012")
    assert guide.outcome("joist_span").governing.most == 11 * FOOT + 10
    assert guide.outcome("beam_span").governing.most == 7 * FOOT + 9
    # Table 4: beam span 7 read at 8, joist span 10: round 20 in, 8 in thick
    sizes = [f for f in guide.findings if f.key == "footing_size.round"]
    assert {f.least for f in sizes} == {20}


# --- a start with ten values --------------------------------------------------------------------

TEN: tuple[Facts, dict[str, Facts]] = (
    {
        "site.ground_snow_load": 30 * PSF,
        "site.soil_bearing": 1500 * PSF,
        "deck.attachment": "ledger",
    },
    {
        "joists": {
            "joists.size": "2x8",
            "joists.species": "southern_pine",
            "joists.spacing": Fraction(16),
            "joists.span": Fraction(120),
            "joists.cantilever": Fraction(0),
        },
        "beams": {"beams.size": "2-2x10", "beams.species": "southern_pine"},
    },
)


@pytest.mark.parametrize("ruleset", WITH_TABLES)
def test_ten_values_answer_the_joists_and_the_rest_is_asked(ruleset):
    facts, parts = TEN
    assert len(facts) + sum(len(own) for own in parts.values()) == 10
    found = under(ruleset, facts, **parts)
    assert found.outcome("joist_span").status == COMPLIES
    beam = found.outcome("beam_span")
    assert beam.status == INFORMATION_MISSING
    assert {name for finding in beam.findings for name in finding.missing} == {"beams.span"}
    assert found.outcome("post_height").status == INFORMATION_MISSING


def test_no_fact_at_all_is_never_a_pass():
    for ruleset in (*BEFORE_TABLES, *WITH_TABLES, *GUIDES):
        found = under(ruleset, {})
        for topic in (*FRAMING_TOPICS, "joist_cantilever", "footing_depth", "footing_frost"):
            assert found.outcome(topic).status in (
                INFORMATION_MISSING,
                ENGINEERING_REQUIRED,
                NOT_REGULATED,
            ), (ruleset, topic)


# --- loads outside the tables -------------------------------------------------------------------


def loaded(ruleset: str, snow: int) -> Evaluation:
    facts, parts = TEN
    return under(ruleset, {**facts, "site.ground_snow_load": snow * PSF}, **parts)


@pytest.mark.parametrize("ruleset", ["irc-2015", "irc-2018", "awc-dca6-2012"])
def test_snow_above_40_psf_is_outside_the_older_tables(ruleset):
    assert loaded(ruleset, 40).outcome("joist_span").status == COMPLIES
    assert loaded(ruleset, 41).outcome("joist_span").status == ENGINEERING_REQUIRED


@pytest.mark.parametrize("ruleset", ["irc-2021", "irc-2024"])
def test_snow_rows_from_2021(ruleset):
    # 2x8 at 16 in southern pine spans 11-0, 10-4 and 9-9 under 50, 60 and 70 psf (from memory)
    for snow, status in ((40, COMPLIES), (50, COMPLIES), (60, COMPLIES), (61, DOES_NOT_COMPLY)):
        assert loaded(ruleset, snow).outcome("joist_span").status == status, snow
    assert loaded(ruleset, 71).outcome("joist_span").status == ENGINEERING_REQUIRED
    for topic in ("beam_span", "post_height", "footing_size"):
        assert loaded(ruleset, 50).outcome(topic).status == INFORMATION_MISSING


def test_joists_from_both_sides_are_outside_the_beam_table():
    facts, parts = TEN
    both = {**parts["beams"], "beams.span": Fraction(72), "beams.joist_sides": Fraction(2)}
    for ruleset in WITH_TABLES:
        found = under(ruleset, facts, **{**parts, "beams": both})
        assert found.outcome("beam_span").status == ENGINEERING_REQUIRED
        assert found.outcome("beam_joist_sides").status == ENGINEERING_REQUIRED


# --- footings, frost and piers ------------------------------------------------------------------

FOOTING: Facts = {
    "footings.depth": Fraction(14),
    "footings.frost_protection": "depth",
    "footings.kind": "cast_concrete",
    "footings.carries": "post",
}


def frost(ruleset: str, attachment: str, **changes) -> Evaluation:
    own = {**FOOTING, **{f"footings.{k}": v for k, v in changes.items()}}
    facts: Facts = {
        "deck.attachment": attachment,
        "site.frost_depth": Fraction(36),
        "deck.area": Fraction(150 * SQUARE_FOOT),
        "deck.greatest_height_above_grade": Fraction(18),
    }
    return under(ruleset, facts, footings=own)


@pytest.mark.parametrize("ruleset", [*BEFORE_TABLES, *WITH_TABLES])
def test_frost_is_for_decks_on_the_house(ruleset):
    """2006 R403.1.4.1 exception 3 as quoted; 2018 R507.3.2 as adopted in Minnesota."""
    assert frost(ruleset, "ledger").outcome("footing_frost").status == DOES_NOT_COMPLY
    assert frost(ruleset, "ledger", depth=Fraction(36)).outcome("footing_frost").status == COMPLIES
    assert frost(ruleset, "freestanding").outcome("footing_frost").status != DOES_NOT_COMPLY
    shallow = frost(ruleset, "ledger", frost_protection="frost_protected_shallow_foundation")
    assert shallow.outcome("footing_frost").status != DOES_NOT_COMPLY


def test_other_approved_methods_came_in_2021():
    for ruleset, status in (("irc-2018", True), ("irc-2021", False)):
        found = frost(ruleset, "ledger", frost_protection="other_approved_method")
        assert (found.outcome("footing_frost").status == DOES_NOT_COMPLY) is status


@pytest.mark.parametrize(
    ("ruleset", "status"), [("irc-2015", DOES_NOT_COMPLY), ("irc-2018", None), ("irc-2021", None)]
)
def test_pier_blocks_at_grade(ruleset, status):
    """2018 R507.3.2 as adopted in Minnesota: 200 sq ft, 20 in, joists directly on the blocks."""
    blocks = {"kind": "precast_pier_block_at_grade", "carries": "joists_directly"}
    found = frost(ruleset, "freestanding", depth=Fraction(0), **blocks).outcome("footing_depth")
    assert (found.status == DOES_NOT_COMPLY) is (status == DOES_NOT_COMPLY)
    with_beam = frost(ruleset, "freestanding", depth=Fraction(0), **{**blocks, "carries": "beam"})
    assert with_beam.outcome("footing_depth").status == DOES_NOT_COMPLY


# --- a worse deck never passes where a better one does not --------------------------------------

SPECIES = (
    "southern_pine", "douglas_fir_larch", "hem_fir", "spruce_pine_fir", "redwood", "western_cedar",
    "ponderosa_pine", "red_pine", "other",
)  # fmt: skip
RULESETS = (*WITH_TABLES, *GUIDES)
quarter_feet = st.integers(8, 80).map(lambda n: Fraction(n * 3))


shares = st.fractions(0, 1, max_denominator=8)


@settings(max_examples=150)
@given(
    st.sampled_from(RULESETS),
    st.sampled_from(SPECIES),
    st.sampled_from(["2x6", "2x8", "2x10", "2x12"]),
    st.integers(8, 24),
    quarter_feet,
    st.integers(0, 80),
    st.tuples(shares, shares, shares),
)
def test_joists_closer_shorter_or_under_less_snow_stay_good(
    ruleset, species, size, spacing, span, snow, better
):
    def joists(spacing: Fraction, span: Fraction, snow: Fraction) -> int:
        own: Facts = {
            "joists.species": species,
            "joists.size": size,
            "joists.spacing": spacing,
            "joists.span": span,
            "joists.cantilever": Fraction(0),
        }
        return (
            under(ruleset, {"site.ground_snow_load": snow}, joists=own).outcome("joist_span").status
        )

    if joists(Fraction(spacing), span, snow * PSF) == COMPLIES:
        closer, shorter, less = better
        lighter = joists(spacing * closer, span * shorter, snow * PSF * less)
        assert lighter == COMPLIES


@settings(max_examples=150)
@given(
    st.sampled_from(RULESETS),
    st.sampled_from(SPECIES),
    st.sampled_from(["1-2x10", "2-2x6", "2-2x8", "2-2x12", "3-2x8", "3-2x12", "4x10", "3x12"]),
    quarter_feet,
    quarter_feet,
    st.integers(0, 24),
    st.tuples(shares, shares, shares),
)
def test_beams_shorter_or_under_shorter_joists_stay_good(
    ruleset, species, size, span, joist_span, past, better
):
    def beam(span: Fraction, joist_span: Fraction, past: Fraction) -> int:
        own: Facts = {"beams.species": species, "beams.size": size, "beams.span": span}
        joists: Facts = {"joists.span": joist_span, "joists.cantilever": past}
        facts: Facts = {"site.ground_snow_load": 20 * PSF, "deck.attachment": "ledger"}
        return under(ruleset, facts, beams=own, joists=joists).outcome("beam_span").status

    if beam(span, joist_span, joist_span * past / 96) == COMPLIES:
        shorter, less, nearer = (max(share, Fraction(1, 8)) for share in better)
        assert beam(span * shorter, joist_span * less, joist_span * less * past / 96 * nearer) == (
            COMPLIES
        )


@settings(max_examples=150)
@given(
    st.sampled_from(["irc-2018", "irc-2021", "irc-2024"]),
    st.sampled_from(["square", "round"]),
    st.integers(1, 170),
    st.integers(1000, 4000),
    st.integers(0, 75),
    st.integers(6, 48),
    st.tuples(shares, shares),
)
def test_footings_larger_on_better_soil_under_less_deck_stay_good(
    ruleset, shape, area, soil, snow, size, better
):
    def footing(area: Fraction, soil: Fraction, snow: Fraction, size: Fraction) -> int:
        facts: Facts = {"site.ground_snow_load": snow * PSF, "site.soil_bearing": soil * PSF}
        own: Facts = {
            "footings.shape": shape,
            "footings.side": size,
            "footings.diameter": size,
            "footings.tributary_area": area * SQUARE_FOOT,
        }
        return under(ruleset, facts, footings=own).outcome("footing_size").status

    if footing(Fraction(area), Fraction(soil), Fraction(snow), Fraction(size)) == COMPLIES:
        less, lighter = better
        assert footing(area * less, soil * (2 - less), snow * lighter, size * (2 - lighter)) == (
            COMPLIES
        )


@settings(max_examples=100)
@given(
    st.sampled_from(["irc-2015", "irc-2018", "irc-2021", "irc-2024"]),
    st.sampled_from(SPECIES),
    st.sampled_from(["4x4", "4x6", "6x6", "8x8"]),
    quarter_feet,
    st.integers(1, 170),
    st.integers(1, 3),
    st.tuples(shares, shares),
)
def test_posts_shorter_under_less_deck_stay_good(
    ruleset, species, size, height, area, plies, better
):
    def post(height: Fraction, area: Fraction) -> int:
        own: Facts = {
            "posts.species": species,
            "posts.size": size,
            "posts.height": height,
            "posts.tributary_area": area * SQUARE_FOOT,
            "posts.beam_plies": Fraction(plies),
        }
        return (
            under(ruleset, {"site.ground_snow_load": 20 * PSF}, posts=own)
            .outcome("post_height")
            .status
        )

    if post(height, Fraction(area)) == COMPLIES:
        shorter, less = better
        assert post(height * shorter, area * less) == COMPLIES


# --- several fields, several beams --------------------------------------------------------------


def test_the_l_shaped_example(catalogue):
    """Near beam: 10/2 + 7/2 = 8.5 ft of joists from two sides; far: (7 + 1)^2 / 14 = 32/7 ft."""
    path = Path(default_root()) / "examples" / "l-shaped-two-fields.yaml"
    design = catalogue.design(path)
    areas = {
        name: design.facts("posts", name)["posts.tributary_area"] / SQUARE_FOOT
        for name in ("near left", "near middle", "far left")
    }
    assert areas == {
        "near left": Fraction(119, 4),  # 3.5 x 8.5
        "near middle": Fraction(595, 8),  # in one piece over two spans of 7 ft: 5/4 x 7 x 8.5
        "far left": Fraction(96, 7),  # (1 + 2) x 32/7
    }
    assert design.facts()["deck.area"] == (14 * 10 + 6 * 8) * SQUARE_FOOT
    found = evaluate(design, catalogue.evaluator("irc-2018"), catalogue.vocabulary)
    beams = {f.part: f.status for f in found.findings if f.key == "beam_span"}
    assert beams == {"near beam": ENGINEERING_REQUIRED, "far beam": COMPLIES}
    ledger = {f.part: f.status for f in found.findings if f.key == "joist_at_ledger"}
    assert ledger["wing"] == NOT_APPLICABLE
    sizes = {f.part: f.least for f in found.findings if f.key == "footing_size.square"}
    assert sizes["under the near middle post"] == 17  # 74.4 sq ft on 2,000 psf, read at 80


# --- no design makes two clauses or exceptions contradict one another ---------------------------

_FRAMING_QUANTITIES = [
    q
    for q in _SHARED.vocabulary.quantities.values()
    if q.of in ("joists", "beams", "posts", "footings", "")
    and q.name.split(".")[0] in ("joists", "beams", "posts", "footings", "decking", "site", "deck")
    and not (q.provided or q.derived)
]


@st.composite
def framing_designs(draw) -> Design:
    whole: Facts = {}
    parts: dict[str, tuple[Part, ...]] = {}
    for group in ("", "joists", "beams", "posts", "footings"):
        own: Facts = {}
        for quantity in (q for q in _FRAMING_QUANTITIES if q.of == group):
            if not draw(st.booleans()):
                continue
            if quantity.kind == "choice":
                own[quantity.name] = draw(st.sampled_from(quantity.choices))
            elif quantity.kind == "yes_no":
                own[quantity.name] = draw(st.booleans())
            elif quantity.kind in ("count", "ratio"):
                own[quantity.name] = Fraction(draw(st.integers(0, 4)))
            elif quantity.kind == "load":
                own[quantity.name] = draw(st.integers(0, 4000)) * PSF
            elif quantity.kind == "area":
                own[quantity.name] = Fraction(draw(st.integers(0, 300)) * SQUARE_FOOT)
            elif quantity.kind == "length":
                own[quantity.name] = Fraction(draw(st.integers(0, 250)))
        if group:
            parts[group] = (Part("", own),)
        else:
            whole = own
    return Design("any", "", whole, parts, "any", "any")


@settings(max_examples=40)
@given(framing_designs())
def test_any_deck_can_be_evaluated_under_every_rule_set(design):
    prepared = _SHARED.prepare(design)
    for ruleset in (*BEFORE_TABLES, *WITH_TABLES, *GUIDES):
        evaluate(prepared, _SHARED.evaluator(ruleset), _SHARED.vocabulary)
