"""`rules lint`: formats and exit status."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest

from deckclause.cli.main import run
from deckclause.rulesets.files import default_root
from deckclause.upkeep.lint.run import CHECKS


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


# -- what concerns a file or a place ---------------------------------------------------------------

OF_AMENDMENTS = ["--check", "exception-left-standing", "--check", "cells-not-seen"]


@pytest.fixture
def drafted(tmp_path: Path) -> Path:
    root = Path(shutil.copytree(default_root(), tmp_path / "rules"))
    command = ["amend", "new", "--rules", str(root), "--place", "Otterbrook"]
    command += ["--edition", "irc-2021", "--clause", "band_joist_bottom_edge_distance"]
    assert run([*command, "--at-least", "2-1/2 in", "--keep-exceptions", "--write"]) == 0
    return root


@pytest.mark.parametrize("named", ["file", "otterbrook-2021"])
def test_a_file_named_shows_what_concerns_it_and_counts_the_rest(
    drafted: Path, capsys: pytest.CaptureFixture[str], named: str
) -> None:
    if named == "file":
        named = str(drafted / "amendments" / "otterbrook-2021.yaml")
    capsys.readouterr()
    assert run(["rules", "lint", named, "--rules", str(drafted), *OF_AMENDMENTS]) == 0
    out = capsys.readouterr().out
    assert "[exception-left-standing]" in out
    assert "cells-not-seen" not in out
    counted = re.search(r"(\d+) other findings? on the way not shown", " ".join(out.split()))
    assert counted is not None
    assert int(counted[1]) > 0


def test_a_place_shows_nothing_of_others(drafted: Path, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    assert (
        run(["rules", "lint", "--for", "Dunmarrow", "--rules", str(drafted), *OF_AMENDMENTS]) == 0
    )
    assert "otterbrook" not in capsys.readouterr().out


def test_more_than_the_most_are_cut_and_counted(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("deckclause.cli.rules.lint.MOST", 2)
    command = ["rules", "lint", "irc-2006", "irc-2021", "--check", "cells-not-seen"]
    assert run([*command, "--all"]) == 0
    every = capsys.readouterr().out.count("[cells-not-seen]")
    assert every > 2
    assert run(command) == 0
    out = capsys.readouterr().out
    assert out.count("[cells-not-seen]") == 2
    assert f"{every - 2} more concern what is named; --all shows them" in out


@pytest.mark.parametrize("named", ["irc-2022", "nowhere/x.yaml"])
def test_a_name_that_means_nothing_is_refused(
    capsys: pytest.CaptureFixture[str], named: str
) -> None:
    assert run(["rules", "lint", named]) == 2
    assert named in capsys.readouterr().err
