"""What lint keeps is what it would find: by content, for the same question, and fresh on any doubt."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from deckclause.evaluate.cache import Cache
from deckclause.rulesets.files import RuleFiles, default_root, find_files
from deckclause.rulesets.library import RuleLibrary
from deckclause.upkeep.lint.context import LintContext
from deckclause.upkeep.lint.finding import ERROR, LintFinding, Place
from deckclause.upkeep.lint.kept import Findings, kept_findings
from deckclause.upkeep.lint.kept_surveys import KeptSurveys
from deckclause.upkeep.lint.run import CHECKS, run_checks

SURVEYED = [
    check
    for check in CHECKS
    if check.name
    in (
        *("clause-never-applies", "exception-never-holds", "case-never-reached", "figure-gap"),
        *("unreachable-cell", "requirement-never-holds", "cases-hold-together", "not-explored"),
    )
]


class Asked:
    """Answers with a finding of its own each time it is asked."""

    def __init__(self) -> None:
        self.times = 0

    def __call__(self) -> Findings:
        self.times += 1
        found = LintFinding("unreadable", ERROR, Place("f.yaml", self.times), "no", "f")
        return (found,), ()


@pytest.fixture
def cache(tmp_path: Path) -> Cache:
    folder = tmp_path / "kept"
    folder.mkdir(mode=0o700)
    return Cache(folder)


@pytest.fixture
def files(tmp_path: Path) -> RuleFiles:
    root = tmp_path / "rules"
    (root / "amendments").mkdir(parents=True)
    (root / "quantities.yaml").write_text("quantities: {}\n")
    (root / "amendments" / "one.yaml").write_text("amendment: one\n")
    return find_files(root)


def test_the_same_question_of_the_same_files_is_answered_once(
    cache: Cache, files: RuleFiles
) -> None:
    asked = Asked()
    first = kept_findings(cache, files, ["a"], asked)
    assert kept_findings(cache, files, ["a"], asked) == first
    assert asked.times == 1
    kept_findings(cache, files, ["b"], asked)
    assert asked.times == 2


def test_any_file_changed_added_or_taken_away_is_looked_at_afresh(
    cache: Cache, files: RuleFiles
) -> None:
    asked = Asked()
    kept_findings(cache, files, [], asked)
    path = files.root / "amendments" / "one.yaml"
    path.write_text("amendment: onE\n")
    kept_findings(cache, files, [], asked)
    new = files.root / "amendments" / "two.yaml"
    new.write_text("")
    kept_findings(cache, files, [], asked)
    path.rename(path.with_name("three.yaml"))
    kept_findings(cache, files, [], asked)
    assert asked.times == 4
    path.with_name("three.yaml").rename(path)
    new.unlink()
    path.write_text("amendment: one\n")
    assert kept_findings(cache, files, [], asked)[0][0].place.line == 1


def test_what_changed_while_lint_ran_or_is_damaged_or_behind_a_link_is_not_kept(
    cache: Cache, files: RuleFiles, tmp_path: Path
) -> None:
    asked = Asked()

    def meanwhile() -> Findings:
        (files.root / "amendments" / "late.yaml").write_text(str(asked.times))
        return asked()

    kept_findings(cache, files, [], meanwhile)
    assert cache.folder is not None
    assert not list(cache.folder.iterdir())
    kept_findings(cache, files, [], asked)
    (kept,) = cache.folder.iterdir()
    content = bytearray(kept.read_bytes())
    content[-3] ^= 1
    kept.write_bytes(content)
    kept_findings(cache, files, [], asked)
    assert asked.times == 3
    (tmp_path / "elsewhere").mkdir()
    os.symlink(tmp_path / "elsewhere", files.root / "editions")
    kept_findings(cache, files, [], asked)
    kept_findings(cache, files, [], asked)
    assert asked.times == 5


def test_surveys_kept_find_what_fresh_ones_do(cache: Cache, tmp_path: Path) -> None:
    root = tmp_path / "shipped"
    shutil.copytree(default_root(), root)
    file = root / "editions" / "irc-2006" / "ledger.yaml"
    own = frozenset([str(file)])

    def found(kept: KeptSurveys | None) -> list[LintFinding]:
        context = LintContext(RuleLibrary.open(root), ("irc-2006",), own, kept=kept)
        return run_checks(context, SURVEYED)

    fresh = found(None)
    assert found(KeptSurveys(cache)) == fresh  # made and kept
    assert cache.folder is not None
    held = {p.name: p.stat().st_mtime_ns for p in cache.folder.iterdir()}
    assert len(held) > 20
    assert fresh
    assert found(KeptSurveys(cache)) == fresh  # read back
    assert {p.name: p.stat().st_mtime_ns for p in cache.folder.iterdir()} == held
