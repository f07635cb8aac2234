"""Real places against what was read of their law, typed again here with its source beside it."""

from __future__ import annotations

from fractions import Fraction

import pytest

from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.clauses import Fixed, Limit, Provides, Unmodelled
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.problems import InputError
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
