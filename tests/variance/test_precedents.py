"""Precedents: every other edition, guide and adoption is asked; silence is none."""

from __future__ import annotations

from deckclause.variance.precedents import find_precedents, rule_set_names
from variance.decks import case, catalogue, replaced


def test_every_other_rule_set_is_counted_once() -> None:
    asked = case(replaced(), "irc-2012")
    (found,) = find_precedents(asked, asked.failing)
    answered = [p.ruleset for p in (*found.permit, *found.refuse)]
    names = sorted([*answered, *found.silent, *found.undecided])
    assert names == sorted(set(rule_set_names(catalogue())) - {"irc-2012"})


def test_the_2015_relief_over_a_sill_is_a_precedent_for_2012() -> None:
    """IRC 2015 Table R507.2.1 note e: 3/4 in where the band joist bears on a sill; 2012 asks 2 in."""
    design = replaced(("below_band_joist: 3 in", "below_band_joist: 1-3/4 in"))
    asked = case(design, "irc-2012")
    (found,) = find_precedents(asked, asked.failing)
    permitted = {p.ruleset for p in found.permit}
    assert {"irc-2015", "irc-2018", "irc-2021", "irc-2024"} <= permitted
    assert "irc-2009" in found.silent
    assert not permitted & set(found.silent)
