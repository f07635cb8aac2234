"""How far a town goes from its state's code: what each departure is, worked out by hand beside it."""

from __future__ import annotations

from pathlib import Path

import pytest

from deckclause.rulesets.library import RuleLibrary
from deckclause.upkeep.lint.context import LintContext
from deckclause.upkeep.lint.run import CHECKS, run_checks
from deckclause.upkeep.local_limits import departures
from rulesets.small_rules import open_rules

PLACES = """
places:
  State:
    local: {local}
    adoptions: [{{edition: code-2018, amendments: [{state}], from: 2019-01-01}}]
  Aldmere:
    within: State
    adoptions: [{{edition: code-2018, amendments: [town], from: 2020-01-01{more}}}]
"""
TOWN = "Aldmere@2020-01-01"


def places(
    root: Path, change: str, local: str = "stricter only", more: str = "", state: str = ""
) -> RuleLibrary:
    """Return a town's one change within a state; fingerprints are those of the small code."""
    plain = open_rules(root)
    loaded = plain.load("code-2018")
    marks = {c.key: c.fingerprint for c in loaded.ruleset.clauses}
    from deckclause.rulesets.fingerprint import table_fingerprint

    marks["spacing"] = table_fingerprint(loaded.raw_tables["spacing"])
    changes = {"town": "\n  - " + change.format(**marks) + "\n"}
    if state:
        changes["state"] = "\n  - " + state.format(**marks) + "\n"
    register = PLACES.format(local=local, more=more, state="state" if state else "")
    return open_rules(root, register, **changes)


def found(library: RuleLibrary) -> list[tuple[str, str]]:
    return [(d.topic, d.way) for d in departures(library, TOWN)]


FROST_42 = "{{replace: frost, fingerprint: '{frost}', to: {{at_most: 42 in}}}}"
FROST_38 = "{{replace: frost, fingerprint: '{frost}', to: {{at_most: 38 in}}}}"
NO_EXCEPTION = "{{replace: frost, fingerprint: '{frost}', to: {{unless: []}}}}"
BOLTS_ONLY = "{{replace: bolt_kind, fingerprint: '{bolt_kind}', to: {{one_of: [bolt]}}}}"
STRUCK = "{{strike: bolt_kind, fingerprint: '{bolt_kind}'}}"
CELL_WIDER = (
    "{{cells: spacing, fingerprint: '{spacing}', figures: [{{at: [lag, 12 ft], figure: 16 in}}]}}"
)
CELL_CLOSER = (
    "{{cells: spacing, fingerprint: '{spacing}', figures: [{{at: [lag, 12 ft], figure: 14 in}}]}}"
)
BOTH = (
    "{{cells: spacing, fingerprint: '{spacing}', figures: "
    "[{{at: [lag, 12 ft], figure: 16 in}}, {{at: [bolt, 6 ft], figure: 30 in}}]}}"
)
LOAD_LESS = "{{set: {{joists.live_load: 30 psf}}}}"
LOAD_MORE = "{{set: {{joists.live_load: 60 psf}}}}"
FROST_SET = "{{set: {{site.frost_depth: 30 in}}}}"
ADDED = (
    "{{add: {{key: own.spacing, topic: bolt_spacing, cites: O-1, says: Close., limit: bolts.spacing, "
    "at_most: 12 in, standing: confirmed, sources: [invented]}}}}"
)
SAME = "{{replace: frost, fingerprint: '{frost}', to: {{cites: '5.3 as restated'}}}}"


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        (FROST_42, [("frost", "looser")]),  # 41 in passes in the town alone
        (FROST_38, [("frost", "stricter")]),
        (NO_EXCEPTION, [("frost", "stricter")]),  # lags at 45 in pass in the state alone
        (BOLTS_ONLY, [("bolt_kind", "stricter")]),
        (CELL_WIDER, [("bolt_spacing", "looser")]),
        (CELL_CLOSER, [("bolt_spacing", "stricter")]),
        (BOTH, [("bolt_spacing", "looser"), ("bolt_spacing", "stricter")]),
        (LOAD_LESS, [("joists.live_load", "looser")]),
        (LOAD_MORE, [("joists.live_load", "stricter")]),
        (FROST_SET, []),  # the ground is the town's own to fix
        (ADDED, [("bolt_spacing", "stricter")]),
        (SAME, []),
    ],
)
def test_which_way_a_change_goes(
    tmp_path: Path, change: str, expected: list[tuple[str, str]]
) -> None:
    assert sorted(found(places(tmp_path, change))) == expected


def test_a_clause_that_asks_of_every_choice_there_is_and_is_struck_is_no_looser(
    tmp_path: Path,
) -> None:
    """`one_of: [lag, bolt]` is met by both kinds there are: no design tells its strike."""
    assert found(places(tmp_path, STRUCK)) == [("bolt_kind", "otherwise")]


def test_a_value_the_state_sets_lower_in_the_town_is_looser(tmp_path: Path) -> None:
    state = "{{set: {{site.frost_depth: 42 in, joists.live_load: 60 psf}}}}"
    library = places(tmp_path, FROST_SET, state=state)
    (frost,) = departures(library, TOWN)
    assert (frost.topic, frost.way, frost.asks) == (
        "site.frost_depth",
        "looser",
        "30 in here, 42 in there",
    )


def test_the_words_say_where_how_and_by_how_much(tmp_path: Path) -> None:
    (told,) = departures(places(tmp_path, FROST_42), TOWN)
    assert str(told) == "looser than State on frost: at most 42 in here, at most 40 in there"


def test_a_place_that_says_nothing_of_local_rules_is_held_to_nothing(tmp_path: Path) -> None:
    assert found(places(tmp_path, FROST_42, local='""')) == []


def test_before_its_own_first_day_a_town_departs_from_nothing(tmp_path: Path) -> None:
    assert departures(places(tmp_path, FROST_42), "Aldmere@2019-06-01") == ()


# --- what lint makes of it, for each way real law has ---------------------------------------------

LOCAL = [c for c in CHECKS if c.name.startswith("local-")]


def lint(library: RuleLibrary) -> list[tuple[str, str]]:
    return [(f.check, f.message) for f in run_checks(LintContext(library, (TOWN,)), LOCAL)]


@pytest.mark.parametrize(
    ("local", "change", "more", "check"),
    [
        # New Mexico 14.5.1.9 B: local ordinances may be stricter than the state minimum
        ("stricter only", FROST_42, "", "local-limit"),
        ("stricter only", FROST_38, "", ""),
        ("stricter only", STRUCK, "", "local-approval"),  # no figure tells which way
        # Kentucky 2018: minimum and maximum code, no local government adopts another
        ("not at all", FROST_42, "", "local-limit"),
        ("not at all", FROST_38, "", "local-limit"),
        ("not at all", FROST_SET, "", ""),
        # Wisconsin SPS 320.06(1)(a)3: additions only with the department's approval
        ("with approval", FROST_38, "", "local-approval"),
        ("with approval", FROST_38, ", approved: by the department", ""),
        # Utah 15A-1-204: by statute only
        ("by statute only", FROST_38, "", "local-approval"),
        ("by statute only", FROST_38, ", approved: by statute", ""),
        # Peosta, Iowa; Johnstown, Colorado: the strictest governs
        ("the strictest governs", FROST_42, "", "local-approval"),
        ("the strictest governs", FROST_38, "", ""),
    ],
)
def test_each_way_law_limits_local_rules(
    tmp_path: Path, local: str, change: str, more: str, check: str
) -> None:
    assert [name for name, _ in lint(places(tmp_path, change, local, more))] == (
        [check] * bool(check)
    )


def test_looser_than_ellavane_on_guard_height(tmp_path: Path) -> None:
    """A town of its own folder within the invented state: 34 in where 36 in are asked there."""
    clause = RuleLibrary.open().ruleset("irc-2021").clause("guard_height")
    assert clause is not None
    (tmp_path / "amendments").mkdir()
    (tmp_path / "amendments" / "lowtown.yaml").write_text(
        "amendment: lowtown\nkind: amendment\ntitle: T\nplace: Lowtown\nedition: irc-2021\n"
        "ordinance: O\nadopted: 2025-01-05\nsources: [invented]\nchanges:\n"
        f"  - {{replace: guard_height, fingerprint: '{clause.fingerprint}', to: {{at_least: 34 in}}}}\n"
    )
    (tmp_path / "sources.yaml").write_text("sources: {}\n")
    (tmp_path / "register.yaml").write_text(
        "places:\n  Lowtown:\n    within: Ellavane\n    adoptions:\n"
        "      - {edition: irc-2021, amendments: [lowtown], from: 2025-03-01}\n"
    )
    (told,) = departures(RuleLibrary.open(tmp_path), "Lowtown@2025-03-01")
    assert str(told) == (
        "looser than Ellavane on guard height: at least 34 in here, at least 36 in there"
    )


def test_the_shipped_towns_keep_within_their_states_limit() -> None:
    library = RuleLibrary.open()
    towns = ["Skerryvane@2024-01-01", "Thistlecombe@2024-04-01"]
    ways = {d.way for name in towns for d in departures(library, name)}
    assert ways == {"stricter"}  # every deck needs a permit in Skerryvane


def test_an_older_edition_than_the_states_is_a_departure_unless_time_was_given(
    tmp_path: Path,
) -> None:
    """Ellavane asks for the 2021 code from 2023-10-29 on; a town of its own folder stays on 2018."""
    (tmp_path / "sources.yaml").write_text("sources: {}\n")
    found = []
    for more in ("", ", approved: until 2026-01-01 by the state's rule"):
        (tmp_path / "register.yaml").write_text(
            "places:\n  Lowtown:\n    within: Ellavane\n    adoptions:\n"
            f"      - {{edition: irc-2018, from: 2021-03-01{more}}}\n"
        )
        library = RuleLibrary.open(tmp_path)
        assert departures(library, "Lowtown@2021-03-01") == ()  # the state's own edition then
        (told,) = departures(library, "Lowtown@2023-10-29")
        assert (told.topic, told.way) == ("edition", "looser")
        assert "looser than Ellavane on the edition: IRC 2018 here, IRC 2021 there" in str(told)
        context = LintContext(library, ("Lowtown@2023-10-29",))
        found.append([f.check for f in run_checks(context, LOCAL)])
    assert found == [["local-limit"], []]
