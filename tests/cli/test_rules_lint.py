"""`rules lint`: formats and exit status."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from deckclause.cli.main import run
from deckclause.compare.lint.run import CHECKS
from deckclause.rulesets.files import default_root


@pytest.fixture
def faulty(tmp_path: Path) -> Path:
    root = Path(shutil.copytree(default_root(), tmp_path / "rules"))
    file = root / "editions" / "irc-2018" / "ledger.yaml"
    file.write_text(file.read_text().replace("sources: [memory]", "sources: [no-such]", 1))
    return root


FEW = ["--check", "dangling-source", "--check", "editor-hint-missing"]


def test_text_names_file_line_and_check(faulty: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rules", "lint", "--rules", str(faulty), *FEW]) == 1
    out = " ".join(capsys.readouterr().out.split())
    assert "editions/irc-2018/ledger.yaml, line " in out
    assert "there is no source 'no-such' [dangling-source]" in out
    assert "1 error, 0 warnings, 0 notes" in out


def test_clean_rules_exit_0(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rules", "lint", *FEW]) == 0
    assert "nothing to report" in capsys.readouterr().out


def test_json(faulty: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rules", "lint", "--rules", str(faulty), "--format", "json", *FEW]) == 1
    (finding,) = json.loads(capsys.readouterr().out)["findings"]
    assert finding["check"] == "dangling-source"
    assert finding["page"] == "docs/lint/dangling-source.md"
    assert finding["line"] > 1


def test_sarif_holds_to_the_standard(faulty: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """What SARIF 2.1.0 (OASIS 2020) asks: sections 3.13, 3.14, 3.19, 3.27, 3.29, 3.30, 3.49."""
    assert run(["rules", "lint", "--rules", str(faulty), "--format", "sarif", *FEW]) == 1
    log = json.loads(capsys.readouterr().out)
    assert log["version"] == "2.1.0"
    (one,) = log["runs"]
    rules = one["tool"]["driver"]["rules"]
    assert one["tool"]["driver"]["name"]
    (result,) = one["results"]
    assert rules[result["ruleIndex"]]["id"] == result["ruleId"] == "dangling-source"
    assert result["level"] in ("error", "warning", "note", "none")
    assert result["message"]["text"]
    place = result["locations"][0]["physicalLocation"]
    assert " " not in place["artifactLocation"]["uri"]
    assert place["region"]["startLine"] >= 1


def test_an_unknown_check_is_bad_input(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rules", "lint", "--check", "dangling-sauce"]) == 2
    assert "Did you mean dangling-source?" in capsys.readouterr().err


def test_the_list_names_every_check(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rules", "lint", "--list"]) == 0
    assert len(capsys.readouterr().out.splitlines()) == len(CHECKS)
