"""Changes that avoid relief: each evaluated, least first, none overlooked within its bounds."""

from __future__ import annotations

from fractions import Fraction as F
from functools import cache
from itertools import combinations, product

import pytest

from deckclause.evaluate.status import DOES_NOT_COMPLY
from deckclause.variance.case import with_status
from deckclause.variance.changing import changed
from deckclause.variance.options import Option, order
from deckclause.variance.search import find_changes
from variance.decks import case, catalogue, replaced

EDITIONS = ("irc-2009", "irc-2012", "irc-2015", "irc-2018", "irc-2021", "irc-2024")


@cache
def _searched(edition: str) -> tuple[Option, ...]:
    """What is found for the shipped design, once for each edition."""
    return find_changes(case(replaced(), edition)).options


def _names(option) -> frozenset[str]:
    return frozenset(c.quantity for c in option.changes)


@pytest.mark.parametrize("edition", EDITIONS)
def test_nothing_fails_after_any_option_and_each_is_re_evaluated(edition: str) -> None:
    asked = case(replaced(), edition)
    for option in _searched(edition):
        values = {c.quantity: c.after for c in option.changes}
        again = asked.evaluate(changed(asked.design.design, values, asked.vocabulary))
        assert not with_status(again, DOES_NOT_COMPLY)
        assert [f.status for f in again.findings] == [f.status for f in option.evaluation.findings]


@pytest.mark.parametrize("edition", EDITIONS)
def test_options_stand_in_the_documented_order(edition: str) -> None:
    options = _searched(edition)
    assert [order(o) for o in options] == sorted(order(o) for o in options)


def test_smaller_joists_on_the_same_ledger_keep_the_step() -> None:
    """2x8 joists hung 1 in lower let the ledger rise 1 in: 3 + 0 - 1 = 2 + 1 - 1."""
    options = _searched("irc-2021")
    wanted = {"joists.below_ledger_top", "joists.size", "ledger.below_band_joist"}
    found = next(o for o in options if _names(o) == wanted)
    values = {c.quantity: c.after for c in found.changes}
    assert values == {
        "joists.below_ledger_top": F(1), "joists.size": "2x8", "ledger.below_band_joist": F(2),
    }  # fmt: skip
    assert found.keeps_step


def test_the_least_drop_given_up_is_exact() -> None:
    """9-1/4 (2x10 band) - 2 - 6-1/2 = 3/4 in of drop under the 2012 table."""
    first = _searched("irc-2012")[0]
    assert _names(first) == {"ledger.below_band_joist"}
    assert first.changes[0].after == F(3, 4)


def test_closer_spacing_or_bolts_for_lag_screws_too_far_apart() -> None:
    design = replaced(
        ("  kind: through_bolt", "  kind: lag_screw\n  tip_past_band_joist: yes"),
        ("below_band_joist: 3 in", "below_band_joist: 0 in"),
    )
    options = find_changes(case(design, "irc-2018")).options
    alone = {o.changes[0].quantity: o.changes[0].after for o in options if len(o.changes) == 1}
    assert alone["fasteners.spacing"] == F(15)
    assert alone["fasteners.kind"] == "through_bolt"


def test_standing_free_is_not_offered_alone() -> None:
    """The code prescribes no bracing for a deck that stands free: that change ends with an engineer."""
    options = _searched("irc-2021")
    assert options
    assert not [o for o in options if "deck.attachment" in _names(o)]


@pytest.mark.parametrize("edition", EDITIONS)
def test_what_a_change_brings_is_asked_and_the_house_is_never_rebuilt(edition: str) -> None:
    """Standing free brings a second beam, posts, footings and bracing: never settled by itself."""
    for option in _searched(edition):
        assert "band_joist.size" not in _names(option)
        if "deck.attachment" in _names(option):
            assert not option.is_settled
            assert "joists.inner_beam" in option.asks
            assert any("second beam" in words for words in option.brings)


def test_a_design_that_fails_nothing_needs_no_change() -> None:
    design = replaced(("below_band_joist: 3 in", "below_band_joist: 0 in"))
    assert find_changes(case(design, "irc-2021")).options == ()


def test_no_single_or_double_change_is_overlooked() -> None:
    """Brute force: every size and every quarter inch, one and two quantities at a time."""
    asked = case(replaced(), "irc-2012")
    domains = {
        "ledger.size": ("2x8", "2x12"),
        "joists.size": ("2x6", "2x8", "2x12"),
        "ledger.below_band_joist": tuple(F(n, 4) for n in range(13)),
        "fasteners.lower_row_below_ledger_top": tuple(F(n, 4) for n in range(16, 33)),
    }
    working: set[frozenset[str]] = set()
    pairs = [*combinations(domains, 2), *((name, name) for name in domains)]
    for first, second in pairs:
        for a, b in product(domains[first], (None,) if first == second else domains[second]):
            values = {first: a} if first == second else {first: a, second: b}
            tried = asked.evaluate(changed(asked.design.design, values, asked.vocabulary))
            if not with_status(tried, DOES_NOT_COMPLY) and _seated(values):
                working.add(frozenset(values))
    found = {_names(o) for o in _searched("irc-2012") if len(o.changes) <= 2}
    missing = {w for w in working if not any(f <= w for f in found)}
    assert working
    assert not missing


def _seated(values: dict) -> bool:
    depth = {"2x6": F(11, 2), "2x8": F(29, 4), "2x10": F(37, 4), "2x12": F(45, 4)}
    if not {"ledger.size", "joists.size"} & set(values):
        return True
    return depth[values.get("joists.size", "2x10")] <= depth[values.get("ledger.size", "2x10")]


def test_every_move_names_a_quantity_a_design_may_state() -> None:
    asked = case(replaced(), "irc-2021")
    quantities = catalogue().vocabulary.quantities
    for move in asked.rules.moves:
        definition = quantities[move.quantity]
        assert not definition.provided
        assert not definition.derived
        assert move.sizes or move.step
        assert all(s in definition.choices for s in move.sizes if isinstance(s, str))
