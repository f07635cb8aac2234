"""The shapes real law has, each with the facts of a place that has it, the source beside it.

Read for this project: figures, days and section numbers, in our own words.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.problems import InputError
from rulesets.small_rules import open_rules

NEW_MEXICO = """
places:
  New Mexico:
    local: stricter only
    adoptions:
      - {edition: code-2018, from: 2018-01-01, until: 2023-12-14}
      - edition: code-2021
        from: 2023-07-14
        either: a permit under the former or the new rule
        decides: application
        transition: work under a permit whose application came before 2023-12-14 stays under the former rule
"""


def told(library: RuleLibrary, name: str) -> str:
    return " ".join(library.register.resolve(name).told)


def test_two_codes_in_force_at_once(tmp_path: Path) -> None:
    """14.7.3.5 NMAC (srca.nm.gov/parts/title14/14.007.0003.html): either from 2023-07-14 until
    2023-12-14; 14.7.3.2: the day the application was received decides."""
    library = open_rules(tmp_path, NEW_MEXICO)
    register = library.register
    assert register.ways("New Mexico@2023-07-13") == ("New Mexico@2023-07-13",)
    both = ("New Mexico@2023-07-14/code-2018", "New Mexico@2023-07-14/code-2021")
    assert register.ways("New Mexico@2023-07-14") == both
    assert [library.ruleset(name).edition for name in both] == ["code-2018", "code-2021"]
    assert register.resolve("New Mexico@2023-12-13").edition == "code-2021"
    words = told(library, "New Mexico@2023-12-13")
    assert "code-2018 is in force in New Mexico beside code-2021 until 2023-12-14" in words
    assert "the day of the application decides" in words
    assert register.ways("New Mexico@2023-12-14") == ("New Mexico@2023-12-14",)
    with pytest.raises(InputError, match="'code-2018' is not in force there that day"):
        register.resolve("New Mexico@2023-12-14/code-2018")


def test_an_overlap_nobody_meant_is_refused(tmp_path: Path) -> None:
    wrong = NEW_MEXICO.replace("        either: a permit under the former or the new rule\n", "")
    (fault,) = open_rules(tmp_path, wrong).register.faults
    assert "overlap" in str(fault[1])


WASHINGTON = """
places:
  Washington:
    adoptions:
      - {edition: code-2018, from: 2016-07-01, until: 2021-02-01}
      - {edition: code-2021, from: 2021-02-01, announced: [2020-07-01]}
"""


def test_announced_and_put_back(tmp_path: Path) -> None:
    """Washington's 2018 editions: announced for 2020-07-01, in force from 2021-02-01
    (snohomishwa.gov/667/8834 gives the latter)."""
    library = open_rules(tmp_path, WASHINGTON)
    assert library.register.resolve("Washington@2020-09-01").edition == "code-2018"
    words = told(library, "Washington@2020-09-01")
    assert "announced for 2020-07-01 and put back; it is in force from 2021-02-01" in words
    assert not told(library, "Washington@2020-06-30")
    assert not told(library, "Washington@2021-02-01")


WAUKEE = """
places:
  Waukee:
    adoptions:
      - {edition: code-2018, seen_in_force: 2026-11-28}
"""


def test_a_first_day_nobody_saw(tmp_path: Path) -> None:
    """Waukee, Iowa: the city's published code names the edition, no day in force was seen."""
    library = open_rules(tmp_path, WAUKEE)
    words = told(library, "Waukee@2026-12-01")
    assert "the day code-2018 came into force in Waukee is not known" in words
    assert "Check with the office" in words
    with pytest.raises(InputError, match="what was in force in Waukee on 2026-11-27 is not known"):
        library.register.resolve("Waukee@2026-11-27")


WISCONSIN = """
places:
  Wisconsin:
    local: with approval
    adoptions:
      - {edition: code-2018, path: chapter, from: 2016-01-01}
      - {edition: code-2021, path: appendix-b, from: 2016-01-01}
"""


def test_paths_that_may_not_be_mixed(tmp_path: Path) -> None:
    """SPS 321.225: the chapter itself, or Appendix B wholly, from 2016-01-01."""
    library = open_rules(tmp_path, WISCONSIN)
    ways = ("Wisconsin@2020-01-01/chapter", "Wisconsin@2020-01-01/appendix-b")
    assert library.register.ways("Wisconsin@2020-01-01") == ways
    assert library.register.resolve("Wisconsin@2020-01-01").edition == "code-2018"
    assert library.register.resolve(ways[1]).edition == "code-2021"
    assert "they may not be mixed" in told(library, ways[0])


@pytest.mark.parametrize(
    ("spacing", "kind", "expected", "kept", "says"),
    [
        # a deck of 12 ft joists: 2018 lets bolts stand 29 in apart, 2021 here 20 in
        # both ways comply
        ("18 in", "bolt", 0, ("chapter", "appendix-b"), "by chapter and by appendix-b"),
        ("25 in", "bolt", 0, ("chapter",), "by chapter"),  # one complies wholly: that is enough
        ("30 in", "bolt", 1, (), "does not comply on the topics asked by any of its 2 ways"),
        # the one fails the spacing, the other the kind: not mixed
        ("18 in", "lag", 1, (), "does not comply on the topics asked by any of its 2 ways"),
    ],
)
def test_one_way_kept_wholly_is_enough_and_ways_are_not_mixed(
    tmp_path: Path, spacing: str, kind: str, expected: int, kept: tuple[str, ...], says: str
) -> None:
    from deckclause.answers.compare.build import compare_answer
    from deckclause.compare.comparison import compare
    from deckclause.designs.read_design import design_of
    from deckclause.evaluate.catalogue import Catalogue

    open_rules(tmp_path, WISCONSIN)
    stricter = tmp_path / "editions" / "code-2021.yaml"
    text = stricter.read_text().replace("bolt: [36 in, 29 in]", "bolt: [36 in, 20 in]")
    text = text.replace("lag: [30 in, 15 in]", "lag: [30 in, 20 in]")
    stricter.write_text(text.replace("one_of: [lag, bolt]", "one_of: [bolt]"))
    catalogue = Catalogue.open(tmp_path, cached=False)
    text = f"design: 1\nname: D\nbolts: {{kind: {kind}, spacing: {spacing}}}\njoists: {{span: 12 ft}}\n"
    design = catalogue.prepare(design_of(text.encode(), "d.yaml", catalogue.vocabulary))
    names = catalogue.register.ways("Wisconsin@2020-01-01")
    topics = ["bolt_spacing", "bolt_kind"]
    comparison = compare(catalogue, design, names, topics=topics)
    assert comparison.exit_status == expected
    (ways,) = compare_answer(comparison, catalogue.vocabulary).ways
    assert ways.kept == kept
    assert f"{says} (" in ways.words
    assert "none may be mixed with another" in ways.words


def test_an_emergency_ordinance_that_ends_by_its_own_terms(tmp_path: Path) -> None:
    register = """
places:
  Aldmere:
    adoptions:
      - {edition: code-2018, from: 2019-01-01, sunset: 2019-07-01, emergency: true, ordinance: E-1}
"""
    library = open_rules(tmp_path, register)
    words = told(library, "Aldmere@2019-06-30")
    assert "E-1 is an emergency ordinance" in words
    assert "ends by its own terms on 2019-07-01" in words
    with pytest.raises(InputError, match="nothing is in force"):
        library.register.resolve("Aldmere@2019-07-01")


def test_one_bad_line_stops_no_other_place(tmp_path: Path) -> None:
    register = "places:\n  Bad: {adoptions: [{edition: code-2018, form: 2019-01-01}]}\n"
    library = open_rules(tmp_path, register + WAUKEE.replace("\nplaces:\n", ""))
    assert library.register.resolve("Waukee@2026-12-01").edition == "code-2018"
    with pytest.raises(InputError, match=r"line 2.*'form' is not a known key"):
        library.register.resolve("Bad@2020-01-01")


COUNTY = """
places:
  County:
    adoptions:
      - {edition: code-2018, amendments: [countyone], ordinance: C-1, from: 2019-01-01, until: 2023-01-01}
      - {edition: code-2021, amendments: [countytwo], ordinance: C-2, from: 2023-01-01}
  Town:
    within: County
    adoptions:
      - {edition: code-2018, amendments: [townone], ordinance: T-1, from: 2020-01-01, until: 2022-01-01}
      - {edition: code-2018, amendments: [townone, towntwo], ordinance: T-2, from: 2022-01-01, until: 2025-01-01}
      - {edition: code-2021, from: 2025-01-01, until: 2027-01-01, either: until the old permits are built}
      - {edition: code-2018, from: 2027-01-01, sunset: 2028-07-01}
"""
FROST, NONE = "site.frost_depth", ""


def ten_years(root: Path) -> RuleLibrary:
    """Return a county and a town: adopted, amended, edition changed, county changed, sunset."""
    first = open_rules(root)
    mark = first.load("code-2018").ruleset.clause("bolt_kind")
    assert mark is not None
    strike = f"\n  - {{strike: bolt_kind, fingerprint: '{mark.fingerprint}'}}\n"
    library = open_rules(
        root,
        COUNTY,
        countyone="\n  - {set: {site.frost_depth: 42 in}}\n",
        townone="\n  - {set: {joists.live_load: 60 psf}}\n",
        towntwo=strike,
    )
    countytwo = (root / "amendments" / "countyone.yaml").read_text()
    countytwo = countytwo.replace("countyone", "countytwo").replace("code-2018", "code-2021")
    countytwo = countytwo.replace("42 in", "48 in")
    (root / "amendments" / "countytwo.yaml").write_text(countytwo)
    del library
    return RuleLibrary.open(root)


def test_a_towns_ten_years_month_by_month(tmp_path: Path) -> None:
    """Resolved for every month against this table, written by hand.

    From, until (months): edition, frost line in inches, deck load set, bolt kind ruled.
    """
    by_hand = (
        # before the town's first code the county's stands there
        ("2019-01", "2020-01", "code-2018", 42, False, True),
        ("2020-01", "2022-01", "code-2018", 42, True, True),
        ("2022-01", "2023-01", "code-2018", 42, True, False),
        # the county moves to 2021 with another frost line: the ground follows, its code does not
        ("2023-01", "2025-01", "code-2018", 48, True, False),
        # the town moves to 2021 and stands with its county again; its own rules fell away
        ("2025-01", "2027-01", "code-2021", 48, False, True),
        ("2027-01", "2028-07", "code-2018", 48, False, True),
        ("2028-07", "2029-01", NONE, 0, False, False),
    )
    library = ten_years(tmp_path)
    assert not library.register.faults
    months = [f"{year}-{month:02d}" for year in range(2019, 2029) for month in range(1, 13)]
    seen = 0
    for month in months:
        (row,) = [r for r in by_hand if r[0] <= month < r[1]]
        name = f"Town@{month}-01"
        if row[2] == NONE:
            with pytest.raises(InputError, match="nothing is in force in Town"):
                library.ruleset(name)
            continue
        ruleset = library.ruleset(name)
        values = {s.quantity: s.value for s in ruleset.settings}
        found = (
            ruleset.edition,
            values.get(FROST),
            "joists.live_load" in values,
            ruleset.clause("bolt_kind") is not None,
        )
        assert found == row[2:], month
        seen += 1
    assert seen == 114


def test_what_falls_away_is_told_one_by_one(tmp_path: Path) -> None:
    from datetime import date

    from deckclause.upkeep.amending.fallen import fallen_on

    library = ten_years(tmp_path)
    fallen = fallen_on(library, "Town", date(2025, 1, 1))
    assert [rule.target for rule in fallen] == ["joists.live_load", "bolt_kind"]
    assert "T" not in fallen[0].place or fallen[0].ordinance == "Ordinance 7"
    assert fallen_on(library, "Town", date(2023, 1, 1)) == ()  # the county's frost line stayed
    given_up = COUNTY.replace("from: 2025-01-01,", "from: 2025-01-01, lets_fall: [bolt_kind],")
    (tmp_path / "register.yaml").write_text(given_up)
    left = fallen_on(RuleLibrary.open(tmp_path), "Town", date(2025, 1, 1))
    assert [rule.target for rule in left] == ["joists.live_load"]


def test_a_value_of_the_ground_given_up_knowingly_stays_no_longer(tmp_path: Path) -> None:
    ten_years(tmp_path)
    given_up = COUNTY.replace(
        "until: 2025-01-01}", "until: 2025-01-01, lets_fall: [site.frost_depth]}"
    )
    (tmp_path / "register.yaml").write_text(given_up)
    values = RuleLibrary.open(tmp_path).ruleset("Town@2024-01-01").settings
    assert FROST not in {s.quantity for s in values}
