"""The shipped rules have no error; the checks that look across rule sets find what they should."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest
from msgspec import Struct
from msgspec.structs import replace

from deckclause.rulesets.clauses import Clause, Table
from deckclause.rulesets.library import RuleLibrary
from deckclause.upkeep.lint.context import LintContext
from deckclause.upkeep.lint.finding import ERROR, NOTE
from deckclause.upkeep.lint.run import CHECKS, run_checks
from support.written_out import write_out
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


@pytest.fixture(scope="module")
def in_full(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the rules in which every edition and guide is written out in full."""
    root = Path(shutil.copytree(SHIPPED, tmp_path_factory.mktemp("full") / "rules"))
    write_out(root)
    return root


def test_written_out_in_full_the_rules_are_the_same(context: LintContext, in_full: Path) -> None:
    """What is carried, grouped or named is what would have been written out, clause by clause."""
    full = RuleLibrary.open(in_full)
    for name in (s.ruleset.name for s in context.sets):
        shipped, written = context.library.ruleset(name), full.ruleset(name)
        assert [_asked(c) for c in shipped.clauses] == [_asked(c) for c in written.clauses]
        assert [replace(t, carried=None) for t in shipped.tables] == list(written.tables)
        assert (shipped.settings, shipped.practice) == (written.settings, written.practice)


def _asked(clause: Clause) -> Any:
    """Return all of a clause but where its file has it, and its tables as they stand."""
    exceptions = [
        (e.when, e.requirement, e.says, e.cites, e.standing, e.sources) for e in clause.exceptions
    ]
    words = (clause.says, clause.scope_says, clause.note, clause.never_relax, clause.assumes)
    asked = (clause.applies, clause.scope, clause.requirement, exceptions, clause.readings)
    witness = (clause.cites, clause.standing, clause.sources)
    return _uncarried((clause.key, clause.topic, words, asked, witness))


def _uncarried(data: Any) -> Any:
    if isinstance(data, Table):
        return replace(data, carried=None)
    if isinstance(data, tuple | list):
        return [_uncarried(part) for part in data]
    if isinstance(data, Struct):
        return (type(data), [_uncarried(getattr(data, name)) for name in data.__struct_fields__])
    return data


@pytest.fixture
def copy(in_full: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(in_full, tmp_path / "rules"))


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
            "to: fasteners.upper_row\n    at_least: 2 in",
            "to: fasteners.upper_row\n    at_least: 20 in",
        ),
        (
            "bound-turned",
            "editions/irc-2015/ledger.yaml",
            "to: fasteners.upper_row\n    at_least: 2 in",
            "to: fasteners.upper_row\n    at_most: 2 in",
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
    assert "they amend IRC 2021, and Tarn Hollow stands on IRC 2018" in found[0].message
    assert all(f.level == NOTE for f in found)
