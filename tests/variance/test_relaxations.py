"""The least relaxation: exact, enough, and not a hair more than enough."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from msgspec.structs import replace

from deckclause.placement.from_design import ROWS, section_facts, stated_distances
from deckclause.placement.from_findings import clause_limits
from deckclause.placement.solve import solve
from deckclause.variance.relax import find_relief
from deckclause.variance.search import find_changes
from variance.decks import case, replaced

DROPS = ("1-1/4 in", "1-3/4 in", "2 in", "2-1/4 in", "3 in")
EDITIONS = ("irc-2012", "irc-2015", "irc-2018", "irc-2021", "irc-2024")
FREE = ("directly_supported_by: mudsill", "directly_supported_by: single_top_plate")
PROOF_STEP = F(1, 64)


def _relaxed_system(asked, relaxations, less: F):
    """The section with each relaxed limit let out by its amount less `less`."""
    facts = section_facts(asked.design)
    amounts = {(r.finding.key, r.bound): r.amount - less for r in relaxations}
    kept = list(stated_distances(facts, ROWS))
    for limit in clause_limits(asked.evaluation, asked.vocabulary):
        d = limit.distance
        least = None if d.least is None else d.least - amounts.get((limit.finding.key, "least"), 0)
        most = None if d.most is None else d.most + amounts.get((limit.finding.key, "most"), 0)
        kept.append(replace(d, least=least, most=most))
    return kept


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("drop", DROPS)
def test_each_set_is_enough_and_none_of_its_amounts_can_be_less(edition: str, drop: str) -> None:
    asked = case(replaced(("below_band_joist: 3 in", f"below_band_joist: {drop}"), FREE), edition)
    relief = find_relief(asked)
    assert asked.failing
    assert relief.sets
    for found in relief.sets:
        assert solve(_relaxed_system(asked, found.relaxations, F(0))).is_feasible
        short = _relaxed_system(asked, found.relaxations, PROOF_STEP)
        assert not solve(short).is_feasible


def test_band_joist_edge_from_2_in_to_1_in_gains_an_inch_of_drop() -> None:
    """2012: 9-1/4 - 6-1/2 - 2 = 3/4 in of drop; with 1 in at the edge 1-3/4 in."""
    asked = case(
        replaced(("below_band_joist: 3 in", "below_band_joist: 1-3/4 in"), FREE), "irc-2012"
    )
    relief = find_relief(asked)
    edge = next(
        s.relaxations[0] for s in relief.sets
        if [r.finding.key for r in s.relaxations] == ["band_joist_bottom_edge_distance"]
    )  # fmt: skip
    assert (edge.limit, edge.value, edge.amount) == (F(2), F(1), F(1))
    assert edge.gain is not None
    assert edge.gain.drop_now == F(3, 4)
    assert edge.gain.most is not None
    assert edge.gain.most >= 1


def test_no_relaxation_of_the_edge_repairs_a_row_that_misses_the_board() -> None:
    """At 3 in of drop the lower row stands 1/4 in below a 2x10 band joist: no edge rule helps."""
    relief = find_relief(case(replaced(), "irc-2012"))
    keys = [[r.finding.key for r in s.relaxations] for s in relief.sets]
    assert ["band_joist_bottom_edge_distance"] not in keys
    assert ["ledger_lower_row_below_ledger_top"] in keys


def test_rows_that_only_need_moving_need_no_relief() -> None:
    design = replaced(
        ("below_band_joist: 3 in", "below_band_joist: 1/2 in"),
        ("lower_row_below_ledger_top: 6-1/2 in", "lower_row_below_ledger_top: 7 in"),
        FREE,
    )
    relief = find_relief(case(design, "irc-2012"))
    assert relief.rows_alone
    assert not relief.sets
    assert [r.amount for r in relief.as_drawn] == [F(1, 4)]


def test_a_measure_apart_from_the_section_is_relaxed_by_what_it_misses() -> None:
    design = replaced(
        ("below_band_joist: 3 in", "below_band_joist: 0 in"), ("spacing: 16 in", "spacing: 31 in")
    )
    relief = find_relief(case(design, "irc-2018"))
    assert [(r.finding.key, r.limit, r.amount) for r in relief.others] == [
        ("ledger_fastener_spacing", F(29), F(2))
    ]


@pytest.mark.parametrize("edition", EDITIONS)
def test_life_safety_is_never_relaxed(edition: str) -> None:
    guard = "\nguards: {name: edge, drop_straight_down: 40 in, ground_fall_within_36_in: 0 in, installed: yes, height: 30 in, fixed_seat_height: 0 in}\n"
    design = replaced(
        ("below_band_joist: 3 in", "below_band_joist: 0 in"), ("\ndecking:", f"{guard}decking:")
    )
    asked = case(design, edition)
    assert any(f.topic == "guard_height" for f in asked.failing)
    relief = find_relief(asked)
    offered = [r.finding.topic for r in (*relief.as_drawn, *relief.others)]
    assert "guard_height" not in offered
    higher = [o.changes for o in find_changes(asked).options if len(o.changes) == 1]
    assert [(c.quantity, c.after) for (c,) in higher] == [("guards.height", F(36))]
    assert any(r.life_safety and r.finding.topic == "guard_height" for r in relief.refused)


def test_every_clause_marked_never_relax_has_a_topic_on_the_list() -> None:
    """A place may restate such a clause: the topic's own entry keeps it off the table."""
    for edition in EDITIONS:
        asked = case(replaced(), edition)
        for clause in asked.evaluator.ruleset.clauses:
            if clause.never_relax:
                assert clause.topic in asked.rules.life_safety, clause.key
