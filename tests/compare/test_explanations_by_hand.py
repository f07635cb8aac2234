"""Explanations written by hand from the rule files, before the tool was asked.

Each case names two rule sets, a topic and a deck, and what a reader who holds both rule files side
by side would say: which clauses (or values of a place) must be exchanged to turn either outcome
into the other, the figures and citations that must be in the sentence, and what must never be.
The deck is the shipped whole deck: 2x8 southern pine joists at 16 in, span 10 ft, cantilever 2 ft;
beam 2-2x10; 6x6 posts; 2x8 ledger at 1/2 in lag screws; ground snow 30 psf, with the changes named.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest

from deckclause.choosing.members import with_choice
from deckclause.compare.comparison import compare
from deckclause.compare.words import ChangeWords
from deckclause.evaluate.catalogue import Catalogue
from support.designs import EXAMPLES

SNOW_60 = {"site.ground_snow_load": Fraction(60, 144)}
NO_CANTILEVER = {"joists.cantilever": Fraction(0)}
SEAT_17 = {"guards.fixed_seat_height": Fraction(17)}
SKERRYVANE, DUNMARROW = "Skerryvane@2024-05-01", "Dunmarrow@2020-01-01"
TARN_HOLLOW = "Tarn Hollow@2025-03-01"


@dataclass(frozen=True)
class Case:
    """What is asked of one explanation. `drivers` empty: the two do not differ."""

    one: str
    two: str
    topic: str
    drivers: tuple[str, ...]
    says: tuple[str, ...] = ()
    never: tuple[str, ...] = ()
    deck: dict[str, Any] = field(default_factory=dict)


CASES = (
    # -- 2006 to 2009 --
    Case("irc-2006", "irc-2009", "guard_drop", ("guard_required.measured",),
         ("IRC 2009 gives 54-1/2 in", "within 36 in of the edge", "IRC 2006 gives 53-1/2 in", "R312.1")),
    Case("irc-2006", "irc-2009", "guard_height", ("guard_height.measured",),
         ("from a fixed seat", "R312.2", "19 in", "36 in"), ("no rule", "no such"), SEAT_17),
    Case("irc-2006", "irc-2009", "guard_height", ("guard_height.measured",),
         ("18 in", "35 in", "R312.2"), (), {**SEAT_17, "guards.height": Fraction(35)}),
    Case("irc-2006", "irc-2009", "guard_height", ()),  # no seat: measured alike
    Case("irc-2006", "irc-2009", "deck_live_load", ("deck_live_load", "deck_live_load.exterior_balcony"),
         ("60 psf", "40 psf", "Exterior balconies"), (), {"deck.use": "exterior_balcony"}),
    Case("irc-2006", "irc-2009", "deck_live_load", ()),  # a deck: 40 psf in both
    Case("irc-2006", "irc-2009", "permit_exemption", ("permit_exemption",),
         ("R105.2 item 10", "IRC 2006 has no rule on this")),
    Case("irc-2006", "irc-2009", "ledger_stagger", ("ledger_stagger",),
         ("R502.2.2.1.1", "alternate high and low", "IRC 2006 has no rule on this")),
    Case("irc-2006", "irc-2009", "band_joist_bearing", ("band_joist_bearing",), ("R502.2.2.1",)),
    # -- 2009 to 2012 --
    Case("irc-2009", "irc-2012", "ledger_top_edge_distance", ("ledger_top_edge_distance",),
         ("at least 2 in", "exactly 2 in", "Table R507.2.1", "R502.2.2.1.1")),
    Case("irc-2009", "irc-2012", "ledger_bottom_edge_distance", ("ledger_bottom_edge_distance",),
         ("at least 3/4 in", "2 in", "Table R507.2.1", "R502.2.2.1.1")),
    Case("irc-2009", "irc-2012", "band_joist_top_edge_distance", ("band_joist_top_edge_distance",),
         ("at least 3/4 in", "Table R507.2.1", "IRC 2009 has no rule on this")),
    Case("irc-2009", "irc-2012", "band_joist_bottom_edge_distance", ("band_joist_bottom_edge_distance",),
         ("at least 2 in", "Table R507.2.1", "IRC 2009 has no rule on this")),
    Case("irc-2009", "irc-2012", "ledger_lower_row_below_ledger_top", ("ledger_lower_row_below_ledger_top",),
         ("at least 5-1/2 in", "Table R507.2.1 note d", "IRC 2009 has no rule on this")),
    Case("irc-2009", "irc-2012", "ledger_row_spacing", ("ledger_row_spacing",),
         ("1-5/8 in to 5 in", "Table R507.2.1 note b")),
    Case("irc-2009", "irc-2012", "engineered_rim", ("engineered_rim",),
         ("leaves it to an engineer", "Table R502.2.2.1 note f", "Table R507.2.1 note c"), (),
         {"band_joist.kind": "engineered_rim_board"}),
    Case("irc-2009", "irc-2012", "ledger_size", ()),
    Case("irc-2009", "irc-2012", "ledger_fastener_spacing", ()),
    # -- 2012 to 2015 --
    Case("irc-2012", "irc-2015", "band_joist_bottom_edge_distance", ("band_joist_bottom_edge_distance",),
         ("Table R507.2.1 note e", "at least 3/4 in", "at least 2 in", "no such exception"), ("has no rule",)),
    Case("irc-2012", "irc-2015", "ledger_greatest_drop", ("band_joist_bottom_edge_distance",),
         ("note e", "3/4 in", "2 in"), ("has no rule",)),
    Case("irc-2012", "irc-2015", "greatest_step_down", ("band_joist_bottom_edge_distance",),
         ("note e", "3/4 in", "2 in"), ("has no rule",)),
    Case("irc-2012", "irc-2015", "joist_span", ("joist_span", "joist_span.columns"),
         ("Table R507.5", "10 ft 1 in", "There is no deck joist table"), ("has no rule on this",)),
    Case("irc-2012", "irc-2015", "joist_span", ("joist_span", "joist_span.columns"),
         ("Table R507.5", "11 ft 10 in", "without cantilever"), (), NO_CANTILEVER),
    Case("irc-2012", "irc-2015", "joist_cantilever", ("joist_cantilever",),
         ("at most 2 ft 6 in", "R507.5", "a quarter of the actual joist span", "R502.3.3")),
    Case("irc-2012", "irc-2015", "beam_span", ("beam_span",),
         ("Table R507.6", "2-2x10", "10 ft: 8 ft", "R502.5")),
    Case("irc-2012", "irc-2015", "post_height", ("post_height",),
         ("Table R507.8", "6x6: 14 ft", "R407.3")),
    Case("irc-2012", "irc-2015", "stair_flight_rise", ("stair_flight_rise",),
         ("at most 12 ft 3 in", "at most 12 ft", "R311.7.3"), ("147 in (", "144 in (")),
    Case("irc-2012", "irc-2015", "lateral_devices", ("lateral_devices",),
         ("within 24 in of each deck end", "R507.2.4", "R507.2.3")),
    Case("irc-2012", "irc-2015", "ledger_material", ("ledger_material",),
         ("R507.2.1", "hem-fir", "incised")),
    Case("irc-2012", "irc-2015", "post_base", ("post_base",),
         ("12 in of embedment", "R507.8.1", "R407.3")),
    Case("irc-2012", "irc-2015", "post_beam_connection", ("post_beam_connection",),
         ("2-1/2 in of post", "R507.7.1", "R502.9")),
    Case("irc-2012", "irc-2015", "joist_restraint", ("joist_restraint",),
         ("60 percent of the joist depth", "R507.5.1", "R502.7")),
    Case("irc-2012", "irc-2015", "guard_height", ("guard_height.measured",),
         ("19 in", "36 in", "R312.1.2", "from the walking surface"), (), SEAT_17),
    Case("irc-2012", "irc-2015", "framing_table_load", ("framing_table_load",),
         ("at most 40 psf", "IRC 2012 has no rule on this")),
    Case("irc-2012", "irc-2015", "decking_joist_spacing", ("decking_joist_spacing",),
         ("Table R507.4", "16 in", "IRC 2012 has no rule on this")),
    Case("irc-2012", "irc-2015", "beam_splices", ("beam_splices",), ("over interior posts", "R507.6")),
    # -- 2015 to 2018 --
    Case("irc-2015", "irc-2018", "joist_span", ("joist_span", "joist_span.columns"),
         ("Table R507.6", "11 ft 10 in", "Table R507.5", "10 ft 1 in", "with cantilever")),
    Case("irc-2015", "irc-2018", "joist_span", (), deck=NO_CANTILEVER),
    Case("irc-2015", "irc-2018", "framing_table_load", ()),
    Case("irc-2015", "irc-2018", "joist_cantilever", ("joist_cantilever",),
         ("Table R507.6", "16 in", "2 ft 3 in", "R507.5", "2 ft 6 in")),
    Case("irc-2015", "irc-2018", "footing_size", ("footing_size", "footing_size.round", "framing_table_load.footing_rows"),
         ("Table R507.3.1", "R301.1.3, R403.1", "A round footing"), ("snow load 60",)),
    Case("irc-2015", "irc-2018", "footing_thickness", ("footing_thickness", "framing_table_load.footing_rows"),
         ("Table R507.3.1", "There is no footing table")),
    Case("irc-2015", "irc-2018", "stair_flight_rise", ("stair_flight_rise",),
         ("at most 12 ft 7 in", "at most 12 ft 3 in")),
    Case("irc-2015", "irc-2018", "joist_at_ledger", ("joist_at_ledger",), ("R507.6.1", "IRC 2015 has no rule on this")),
    Case("irc-2015", "irc-2018", "ledger_flashing_material", ("ledger_flashing_material",), ("0.019 in", "R507.2.4")),
    Case("irc-2015", "irc-2018", "fastener_corrosion", ("fastener_corrosion.deck_table",),
         ("Table R507.2.3", "IRC 2015 has no rule to this effect beside R317.3")),
    Case("irc-2015", "irc-2018", "deck_fastener_finish", ("deck_fastener_finish.deck_table",), ("Table R507.2.3",)),
    Case("irc-2015", "irc-2018", "post_height", ("post_height",),
         ("Table R507.4", "4x4: 6 ft 9 in*", "Table R507.8", "4x4: 8 ft"), (),
         {"posts.size": "4x4", "beams.size": "3-2x10", "posts.height": Fraction(84)}),
    # 8 ft in both under a two-ply beam: the table's figure, and the exception's
    Case("irc-2015", "irc-2018", "post_height", (), deck={"posts.size": "4x4"}),
    # -- 2018 to 2021 --
    Case("irc-2018", "irc-2021", "snow_basis", ("snow_basis.table_scope",),
         ("at most 70 psf", "at most 40 psf", "Table R507.9.1.3(1)")),
    Case("irc-2018", "irc-2021", "guard_load_direction", ("guard_load_direction",),
         ("outward and downward", "any direction", "Table R301.5")),
    Case("irc-2018", "irc-2021", "framing_table_load", ("framing_table_load",),
         ("at most 70 psf", "at most 40 psf"), ("footing table",)),
    Case("irc-2018", "irc-2021", "joist_cantilever", ("joist_cantilever",),
         ("joist", "10 ft", "2 ft 6 in*", "16 in", "2 ft 3 in*")),
    Case("irc-2018", "irc-2021", "effective_joist_span", ("effective_joist_span", "joist_span_factor"),
         ("Table R507.5", "10 ft", "IRC 2018 has no rule on this")),
    Case("irc-2018", "irc-2021", "beam_span", ("beam_span", "beam_span.snow"),
         ("60 psf", "R507.5(2)", "have not been seen"), ("footing table",), SNOW_60),
    Case("irc-2018", "irc-2021", "joist_cantilever", ("joist_cantilever", "joist_cantilever.snow"),
         ("60 psf", "have not been seen"), ("footing table",), SNOW_60),
    Case("irc-2018", "irc-2021", "post_height", ("post_height", "post_height.snow"),
         ("60 psf", "Table R507.4"), ("footing table",), SNOW_60),
    Case("irc-2018", "irc-2021", "joist_span", ("joist_span",),
         ("60 psf", "Table R507.6", "southern pine", "10 ft 4 in*"), ("footing table",), SNOW_60),
    Case("irc-2018", "irc-2021", "footing_size", ("footing_size.round", "footing_size.snow"),
         ("Table R507.3.1", "have not been seen"), (), SNOW_60),
    Case("irc-2018", "irc-2021", "ledger_fastener_spacing", ("ledger_fastener_spacing", "snow_basis.table_rows"),
         ("60 psf", "Table R507.9.1.3(1)"), (), SNOW_60),
    Case("irc-2018", "irc-2021", "guard_post_notch", ("guard_post_notch",), ("R507.10.2", "4x4")),
    Case("irc-2018", "irc-2021", "guard_post_load_path", ("guard_post_load_path",), ("R507.10.1",)),
    Case("irc-2018", "irc-2021", "footing_frost", ("footing_frost",),
         ("has an exception that holds here", "R507.3.3", "at least 36 in"), (),
         {"footings.frost_protection": "other_approved_method", "footings.depth": Fraction(12)}),
    Case("irc-2018", "irc-2021", "stair_flight_rise", ()),
    # -- places --
    Case(SKERRYVANE, DUNMARROW, "deck_live_load", ("set:loads.deck_live_load",),
         ("60 psf", "Rule 15-401 subpart 1", "Dunmarrow, 2020-01-01 keeps the deck live load at 40 psf"), ("sets no",)),
    Case(TARN_HOLLOW, SKERRYVANE, "footing_frost", ("set:site.frost_depth",),
         ("48 in", "1412.3", "42 in", "4.02(a)")),
    Case(TARN_HOLLOW, SKERRYVANE, "ledger_bottom_edge_distance", ("ledger_bottom_edge_distance",),
         ("at least 3/4 in", "at least 1-1/2 in", "4.05(b)")),
    Case(TARN_HOLLOW, SKERRYVANE, "guard_drop", ("guard_required.measured",),
         ("straight down", "Rule 15-401 subpart 2", "53-1/2 in", "54-1/2 in")),
    Case(TARN_HOLLOW, SKERRYVANE, "permit_exemption", ("permit_exemption",), ("strikes it", "1412.5")),
    Case(SKERRYVANE, DUNMARROW, "footing_frost", ("set:site.frost_depth",), ("48 in", "24 in", "9-2-1")),
    Case(SKERRYVANE, DUNMARROW, "joist_span",
         ("framing_table_load.rows", "joist_span", "joist_span.columns", "set:loads.deck_live_load"),
         ("60 psf", "9 ft 9 in*", "10 ft 1 in", "keeps the deck live load at 40 psf")),
)  # fmt: skip


def name_of(case: Case) -> str:
    changes = "-".join(f"{k.split('.')[-1]}" for k in case.deck)
    return f"{case.one}-{case.two}-{case.topic}{'-' + changes if changes else ''}"


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


@pytest.mark.parametrize("case", CASES, ids=name_of)
@pytest.mark.parametrize("swapped", [False, True], ids=["", "swapped"])
def test_the_tool_says_what_a_reader_of_both_rule_files_would(
    catalogue: Catalogue, case: Case, swapped: bool
) -> None:
    deck = with_choice(catalogue.design(EXAMPLES / "whole-deck-12x16.yaml").design, case.deck)
    names = (case.two, case.one) if swapped else (case.one, case.two)
    comparison = compare(catalogue, catalogue.prepare(deck), names, topics=[case.topic])
    (row,) = comparison.rows
    if not case.drivers:
        assert not row.differs
        assert not row.changes
        return
    (change,) = row.changes
    assert [d.keys for d in change.drivers.drivers] == [case.drivers]
    words = ChangeWords(comparison, catalogue.vocabulary)
    told = " ".join(words.because(change))
    missing = [s for s in case.says if s not in told]
    assert not missing, told
    assert not [s for s in case.never if s in told], told
    before, after = words.outcomes(row, change)
    assert before != after, before


def test_there_are_enough_cases_over_every_pair_of_neighbours_and_of_towns() -> None:
    assert len(CASES) >= 60
    pairs = {(c.one, c.two) for c in CASES}
    years = ("2006", "2009", "2012", "2015", "2018", "2021")
    assert {(f"irc-{a}", f"irc-{b}") for a, b in pairwise(years)} <= pairs
