"""The register: what is in force where and when, and what is refused."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.problems import InputError
from rulesets.small_rules import open_rules

LIBRARY = RuleLibrary.open()


def fault_of(root: Path, register: str) -> str:
    faults = open_rules(root, register).register.faults
    assert faults
    return "\n".join(str(problem) for _, problem in faults)


# --- the shipped places -------------------------------------------------------------------------


REAL = {"Utah", "Snohomish", "Mt. Crested Butte", "Waukee", "Missouri Valley", "Wentzville",
        "Wisconsin"}  # fmt: skip


def test_every_shipped_place_says_whether_it_is_invented_and_every_adoption_reads() -> None:
    assert not LIBRARY.register.faults
    for place in LIBRARY.register.places.values():
        assert place.invented == (place.name not in REAL), place.name
        assert place.as_read == (place.name in REAL)
        assert place.invented or "Check with the office" in place.caution
        for adoption in place.adoptions:
            way = f"/{adoption.path}" if adoption.path else ""
            ruleset = LIBRARY.ruleset(f"{place.name}@{adoption.begins}{way}")
            assert ruleset.edition == adoption.edition


def test_an_adoption_holds_from_its_first_day() -> None:
    assert LIBRARY.register.resolve("Dunmarrow@2011-01-01").edition == "irc-2009"
    with pytest.raises(InputError, match="nothing is in force in Dunmarrow on 2010-12-31"):
        LIBRARY.register.resolve("Dunmarrow@2010-12-31")


def test_a_repeal_ends_the_day_before() -> None:
    assert LIBRARY.register.resolve("Dunmarrow@2016-06-30").edition == "irc-2009"
    with pytest.raises(InputError):
        LIBRARY.register.resolve("Dunmarrow@2016-07-01")


def test_a_gap_names_the_nearest_adoptions() -> None:
    with pytest.raises(InputError) as fault:
        LIBRARY.ruleset("Dunmarrow@2017-01-01")
    words = str(fault.value)
    assert "before it, IRC 2009 from 2011-01-01 until 2016-07-01" in words
    assert "after it, IRC 2015 from 2018-03-01" in words


def test_a_town_inherits_its_county_on_the_same_edition() -> None:
    meaning = LIBRARY.register.resolve("Tarn Hollow@2021-01-01")
    assert meaning.amendments == ("quillmere-county-2018", "tarn-hollow-2018")
    ruleset = LIBRARY.ruleset("Tarn Hollow@2021-01-01")
    settings = {s.quantity: s.origin.place for s in ruleset.settings}
    assert settings["site.frost_depth"] == "Quillmere County"
    assert settings["loads.deck_live_load"] == "Tarn Hollow"
    clause = ruleset.clause("ledger_bottom_edge_distance")
    assert clause is not None
    assert clause.origin.place == "Quillmere County"


def test_a_county_on_another_edition_is_not_inherited() -> None:
    # from July 2024 the county stands on 2021, the town until 2025 on 2018
    meaning = LIBRARY.register.resolve("Tarn Hollow@2024-09-01")
    assert meaning.edition == "irc-2018"
    assert meaning.amendments == ("tarn-hollow-2018",)
    (outer,) = meaning.left_out
    assert (outer.place, outer.edition) == ("Quillmere County", "irc-2021")
    assert outer.amendments == ("quillmere-county-2021",)
    (words,) = meaning.left_out_words
    assert "amendments of Quillmere County (County Ordinance 2024-03) are not taken on" in words


def test_nothing_is_left_out_where_both_stand_on_one_edition() -> None:
    assert LIBRARY.register.resolve("Tarn Hollow@2021-01-01").left_out == ()
    assert LIBRARY.register.resolve("Tarn Hollow@2025-01-01").left_out == ()


@pytest.mark.parametrize(
    "name", ["tarn-hollow@2021-01-01", "TARN HOLLOW@2021-01-01", "Tarn_Hollow@2021-01-01"]
)
def test_a_place_is_found_however_it_is_written(name: str) -> None:
    assert LIBRARY.register.resolve(name).label == "Tarn Hollow@2021-01-01"


def test_what_is_asked_must_be_a_place_and_a_date() -> None:
    with pytest.raises(InputError, match="Did you mean Dunmarrow"):
        LIBRARY.ruleset("Dunmarow@2020-01-01")
    with pytest.raises(InputError, match="write it as Dunmarrow@2024-05-01"):
        LIBRARY.ruleset("Dunmarrow@May 2020")
    with pytest.raises(InputError, match="say which day"):
        LIBRARY.ruleset("Dunmarrow")


# --- a register at fault ------------------------------------------------------------------------


def test_places_within_each_other_are_refused(tmp_path: Path) -> None:
    words = fault_of(tmp_path, "places:\n  A: {within: B}\n  B: {within: C}\n  C: {within: A}\n")
    assert "goes round in a circle (A within B within C within A)" in words


def test_a_place_that_lies_within_none_known_is_refused(tmp_path: Path) -> None:
    assert "'Aldmer' is not in the register" in fault_of(
        tmp_path, "places:\n  Aldmere: {}\n  Town: {within: Aldmer}\n"
    )


@pytest.mark.parametrize(
    ("one", "two"),
    [
        ("from: 2019-01-01", "from: 2020-01-01"),
        ("from: 2019-01-01, until: 2020-01-02", "from: 2020-01-01"),
    ],
)
def test_adoptions_that_overlap_are_refused(tmp_path: Path, one: str, two: str) -> None:
    register = f"""
places:
  Aldmere:
    adoptions:
      - {{edition: code-2021, {two}}}
      - {{edition: code-2018, {one}}}
"""
    assert "the adoptions of 2019-01-01 and 2020-01-01 overlap" in fault_of(tmp_path, register)


def test_adoptions_that_meet_are_no_overlap(tmp_path: Path) -> None:
    register = """
places:
  Aldmere:
    adoptions:
      - {edition: code-2018, from: 2019-01-01, until: 2020-01-01}
      - {edition: code-2021, from: 2020-01-01}
"""
    library = open_rules(tmp_path, register)
    assert library.register.resolve("Aldmere@2019-12-31").edition == "code-2018"
    assert library.register.resolve("Aldmere@2020-01-01").edition == "code-2021"


@pytest.mark.parametrize(
    ("adoption", "words"),
    [
        ("edition: code-2018, from: 2020-01-01, until: 2019-01-01", "ends before it begins"),
        ("edition: code-2081, from: 2020-01-01", "there is no edition 'code-2081'. Did you mean"),
        ("edition: code-2018, amendments: [nothing], from: 2020-01-01", "no amendment 'nothing'"),
        ("edition: code-2018, from: 2020-02-30", "day"),
    ],
)
def test_an_adoption_at_fault_is_refused(tmp_path: Path, adoption: str, words: str) -> None:
    assert words in fault_of(tmp_path, f"places:\n  Aldmere: {{adoptions: [{{{adoption}}}]}}\n")


def test_a_place_without_adoptions_stands_on_the_larger_place(tmp_path: Path) -> None:
    register = """
places:
  County: {adoptions: [{edition: code-2018, amendments: [town], from: 2019-01-01}]}
  Hamlet: {within: County}
"""
    library = open_rules(tmp_path, register, town="\n  - {set: {site.frost_depth: 42 in}}\n")
    meaning = library.register.resolve("Hamlet@2020-01-01")
    assert (meaning.edition, meaning.amendments) == ("code-2018", ("town",))
    assert meaning.day == date(2020, 1, 1)
    assert library.ruleset("Hamlet@2020-01-01").name == "Hamlet@2020-01-01"


# --- how a place is spelt -----------------------------------------------------------------------

SPELT = "places:\n  {}: {{adoptions: [{{from: 2020-01-01, edition: code-2018}}]}}\n"


@pytest.mark.parametrize(
    "name", ["Ash-on-Water", "ash on water", "ASH_ON-WATER", " Ash  on Water "]
)
def test_a_place_with_hyphens_is_found_however_it_is_spelt(tmp_path: Path, name: str) -> None:
    library = open_rules(tmp_path, SPELT.format("Ash-on-Water"))
    assert library.register.resolve(f"{name}@2024-01-01").place == "Ash-on-Water"


@pytest.mark.parametrize("twin", ["ash-on-water", "Ash on Water", "Ash_on_Water"])
def test_places_that_are_spelt_alike_are_refused(tmp_path: Path, twin: str) -> None:
    entry = SPELT.format("Ash-on-Water").replace("places:\n", "")
    said = fault_of(tmp_path, SPELT.format(twin) + entry)
    assert "line 3" in said
    assert f"is spelt like '{twin}' (line 2)" in said


def test_a_caution_follows_from_the_typed_fact_and_from_no_words(tmp_path: Path) -> None:
    plain = "places:\n  State:\n    says: Check with the office.\n    adoptions: []\n"
    read = plain.replace("    says: Check", "    as_read: true\n    says: Check", 1)
    assert read != plain
    cautions = [open_rules(tmp_path / n, text).register.places["State"].caution
                for n, text in (("a", plain), ("b", read))]  # fmt: skip
    assert cautions[0] == ""
    assert cautions[1].endswith("held as far as it was read. Check with the office.")
