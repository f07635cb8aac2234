"""A clause that moved makes an amendment stale; affirming keeps the file's comments."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from deckclause.cli.main import run
from deckclause.rulesets.files import default_root
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.stale import affirmed_files, stale_lines
from support.written_out import written_out

AMENDMENT = "ellavane-2021"
CLAUSE = "guard_required.measured"


@pytest.fixture
def moved(tmp_path: Path) -> Path:
    """A copy of the rules in which the clause the amendment replaces has another figure."""
    root = Path(shutil.copytree(default_root(), tmp_path / "rules"))
    for file in (root / "editions" / "irc-2021").glob("*.yaml"):
        text = written_out(root, file)
        start = text.find(f"- key: {CLAUSE}\n")
        if start >= 0:
            end = text.find("\n  - key:", start)
            clause = text[start:end]
            file.write_text(text.replace(clause, clause.replace("cites: ", "cites: Moved, ", 1), 1))
    amendment = root / "amendments" / f"{AMENDMENT}.yaml"
    text = amendment.read_text()
    amendment.write_text(text.replace("changes:\n", "changes:\n  # why the county did so\n", 1))
    return root


def test_the_shipped_amendments_and_carried_lines_are_current() -> None:
    library = RuleLibrary.open()
    for name in (*library.files.amendments, *library.files.rulesets):
        assert stale_lines(library, name) == ()
        assert affirmed_files(library, name) == ()


def test_a_moved_clause_is_refused_saying_how_to_affirm(moved: Path) -> None:
    with pytest.raises(InputError) as fault:
        RuleLibrary.open(moved).ruleset("Ellavane@2024-01-01")
    assert f"{CLAUSE} has moved" in str(fault.value)
    assert f"deckclause rules affirm {AMENDMENT} --write" in str(fault.value)


def test_affirming_writes_only_with_write_and_keeps_comments(
    moved: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = moved / "amendments" / f"{AMENDMENT}.yaml"
    before = path.read_text()
    assert run(["rules", "affirm", AMENDMENT, "--rules", str(moved)]) == 1
    assert path.read_text() == before
    assert "it now reads: Moved, " in capsys.readouterr().out
    assert run(["rules", "affirm", AMENDMENT, "--rules", str(moved), "--write"]) == 0
    after = path.read_text()
    assert "# why the county did so" in after
    changed = [
        (a, b) for a, b in zip(before.splitlines(), after.splitlines(), strict=True) if a != b
    ]
    assert len(changed) == 1
    assert "fingerprint" in changed[0][1]
    assert RuleLibrary.open(moved).ruleset("Ellavane@2024-01-01").clause(CLAUSE) is not None
    assert run(["rules", "affirm", AMENDMENT, "--rules", str(moved)]) == 0


def test_an_unknown_amendment_is_bad_input(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rules", "affirm", "elavane-2021"]) == 2
    assert "no amendment of this name" in capsys.readouterr().err
