"""The shipped rules have no error; the checks that look across rule sets find what they should."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from deckclause.rulesets.library import RuleLibrary
from deckclause.upkeep.lint.context import LintContext
from deckclause.upkeep.lint.finding import ERROR, NOTE
from deckclause.upkeep.lint.run import CHECKS, run_checks
from upkeep.lint.faulty_sets import SHIPPED, lint


@pytest.fixture(scope="module")
def context() -> LintContext:
    return LintContext(RuleLibrary.open())


def test_the_shipped_rules_have_no_error(context: LintContext) -> None:
    errors = [f for f in run_checks(context) if f.level == ERROR]
    assert not errors, "\n".join(f"{f.check} {f.place} {f.message}" for f in errors)


def test_every_rule_set_and_every_place_was_read(context: LintContext) -> None:
    names = {s.ruleset.name for s in context.sets}
    assert set(context.files.rulesets) <= names
    places = {n.split("@")[0] for n in names if "@" in n}
    assert places == set(context.library.register.places)


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    return Path(shutil.copytree(SHIPPED, tmp_path / "rules"))


def _change(file: Path, old: str, new: str) -> None:
    text = file.read_text()
    assert old in text
    file.write_text(text.replace(old, new, 1))


@pytest.mark.parametrize(
    ("check", "file", "old", "new"),
    [
        (
            "figure-far-from-kin",
            "editions/irc-2015/ledger.yaml",
            "to: fasteners.upper_row}\n    at_least: 2 in",
            "to: fasteners.upper_row}\n    at_least: 20 in",
        ),
        (
            "bound-turned",
            "editions/irc-2015/ledger.yaml",
            "to: fasteners.upper_row}\n    at_least: 2 in",
            "to: fasteners.upper_row}\n    at_most: 2 in",
        ),
        (
            "key-on-two-topics",
            "editions/irc-2015/ledger.yaml",
            "topic: ledger_size\n",
            "topic: ledger_grade\n",
        ),
        (
            "topic-lost",
            "editions/irc-2018/ledger.yaml",
            "topic: ledger_stagger\n",
            "topic: ledger_size\n",
        ),
        ("editor-hint-missing", "editions/irc-2018/ledger.yaml", "ruleset-part.json", "part.json"),
        ("schema-not-current", "schema/1/ruleset.json", "clauses", "clause"),
        ("adoption-gap", "register.yaml", "until: 2019-07-01", "until: 2019-06-01"),
        (
            "amendments-not-inherited",
            "register.yaml",
            "amendments: [tarn-hollow-2021], ordinance: Town Ordinance 97, from: 2025-01-01}",
            "amendments: [tarn-hollow-2021], ordinance: Town Ordinance 97, from: 2025-01-01, until: 2026-01-01}\n"
            "      - {edition: irc-2024, ordinance: Town Ordinance 98, from: 2026-01-01}",
        ),
        ("never-adopted", "register.yaml", "amendments: [quillmere-county-2012], ", ""),
    ],
)
def test_a_change_of_the_shipped_rules_is_found(
    context: LintContext, copy: Path, check: str, file: str, old: str, new: str
) -> None:
    before = {f.message for f in run_checks(context, [c for c in CHECKS if c.name == check])}
    _change(copy / file, old, new)
    after = [f for f in lint(copy, check) if f.message not in before]
    assert after


def test_two_shipped_towns_do_not_take_on_all_their_larger_place_has(context: LintContext) -> None:
    found = run_checks(context, [c for c in CHECKS if c.name == "amendments-not-inherited"])
    assert [f.subject for f in found] == ["Tarn Hollow", "Thistlecombe"]
    assert "Quillmere County (County Ordinance 2024-03) are not taken on" in found[0].message
    assert "they amend irc-2021, and Tarn Hollow stands on irc-2018" in found[0].message
    assert all(f.level == NOTE for f in found)
