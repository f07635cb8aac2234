"""Precedents: every other edition, guide and adoption is asked; silence is none."""

from __future__ import annotations

from deckclause.variance.precedents import find_precedents, rule_set_names
from deckclause.variance.relief import relief_report
from support.designs import EXAMPLES
from variance.decks import case, catalogue, replaced


def test_every_other_rule_set_is_counted_once() -> None:
    asked = case(replaced(), "irc-2012")
    (found,) = find_precedents(asked, asked.failing)
    answered = [p.ruleset for p in (*found.permit, *found.refuse)]
    names = sorted([*answered, *found.silent, *found.undecided, *found.inherit])
    names = sorted([*names, *(name for name, _ in found.on_other_loads)])
    assert names == sorted(set(rule_set_names(catalogue(), invented=True)) - {"irc-2012"})
    assert len(names) == len(set(names))


def test_a_place_that_takes_its_edition_as_it_is_is_no_precedent_of_its_own() -> None:
    design = replaced(("below_band_joist: 3 in", "below_band_joist: 1-3/4 in"))
    (found,) = find_precedents(case(design, "irc-2012"), case(design, "irc-2012").failing)
    by_edition = {p.ruleset for p in (*found.permit, *found.refuse) if "@" not in p.ruleset}
    for name in found.inherit:
        edition = catalogue().evaluator(name).ruleset.edition
        assert edition in {*by_edition, *found.silent, *found.undecided, "irc-2012"}
    for precedent in (*found.permit, *found.refuse):
        if "@" in precedent.ruleset:
            clause = catalogue().evaluator(precedent.ruleset).ruleset.clause(precedent.clause)
            assert clause is not None
            assert clause.origin.place


def test_made_up_places_are_never_asked_for_a_real_deck() -> None:
    design = replaced(
        ("below_band_joist: 3 in", "below_band_joist: 1-3/4 in"), ("invented: yes\n", "")
    )
    asked = case(design, "irc-2012")
    (found,) = find_precedents(asked, asked.failing)
    told = [*(p.ruleset for p in (*found.permit, *found.refuse)), *found.silent, *found.undecided]
    assert told
    shared = catalogue()
    asked_all = {*told, *found.inherit}
    made_up = set(rule_set_names(shared, invented=True)) - set(rule_set_names(shared))
    assert "Dunmarrow@2018-03-01" in made_up
    assert not asked_all & made_up
    assert asked_all == set(rule_set_names(shared)) - {"irc-2012"}


def test_every_precedent_has_its_year_and_its_sources_and_later_ones_are_said_to_be() -> None:
    design = replaced(("below_band_joist: 3 in", "below_band_joist: 1-3/4 in"))
    asked = case(design, "Quillmere County@2018-06-01")
    (found,) = find_precedents(asked, asked.failing)
    years = {p.ruleset: (p.published, p.later) for p in found.permit if "@" not in p.ruleset}
    assert not years["irc-2015"][1]
    assert years["irc-2021"][1]
    assert years["irc-2024"][1]
    assert all(p.sources for p in found.permit)


def test_the_2015_relief_over_a_sill_is_a_precedent_for_2012() -> None:
    """IRC 2015 Table R507.2.1 note e: 3/4 in where the band joist bears on a sill; 2012 asks 2 in."""
    design = replaced(("below_band_joist: 3 in", "below_band_joist: 1-3/4 in"))
    asked = case(design, "irc-2012")
    (found,) = find_precedents(asked, asked.failing)
    permitted = {p.ruleset for p in found.permit}
    assert {"irc-2015", "irc-2018", "irc-2021", "irc-2024"} <= permitted
    assert "irc-2009" in found.silent
    assert not permitted & set(found.silent)


def test_what_a_book_prints_for_40_psf_is_no_precedent_where_60_psf_is_set() -> None:
    """IRC 2015 Table R507.5 and the ledger tables to 2018 are for 40 psf live load (their headings).

    Ellavane sets 60 psf. Read with that, 2021 and 2024 refuse the span too, and no book permits it.
    """
    path = EXAMPLES / "whole-deck-12x16.yaml"
    report = relief_report(catalogue(), catalogue().design(path), "Ellavane@2025-01-01")
    assert [c.published for c in report.choices] == [None]
    span, spacing = report.precedents
    for found in (span, spacing):
        assert found.permit == ()
        assert {p.ruleset for p in found.refuse} >= {"irc-2021", "irc-2024"}
        assert "irc-2015" in found.undecided  # its tables end at 40 psf, and it reads the load
    assert dict(span.on_other_loads)["irc-2012"] == "deck live load 40 psf, not 60 psf"
    assert "above the 13 in" in report.choices[0].context[1].no_value
