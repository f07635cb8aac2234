"""Comparison files: pdf and Word need a name, nothing is overwritten."""

from __future__ import annotations

from pathlib import Path

import pytest

from deckclause.cli.main import run

EXAMPLE = Path(__file__).parents[2] / "rules" / "examples" / "step-down-3in.yaml"
ASKED = ["compare", str(EXAMPLE), "--under", "irc-2012", "--topic", "ledger_row_spacing"]


@pytest.mark.parametrize("file_format", ["pdf", "docx"])
def test_a_file_that_is_no_text_needs_a_name(file_format: str, capsys) -> None:
    assert run([*ASKED, "--format", file_format]) == 2
    assert "-o" in capsys.readouterr().err


def test_nothing_is_overwritten(tmp_path: Path, capsys) -> None:
    kept = tmp_path / "mine.html"
    kept.write_text("mine")
    assert run([*ASKED, "--format", "html", "-o", str(kept)]) == 2
    assert kept.read_text() == "mine"
    assert "already" in capsys.readouterr().err


def test_html_goes_to_standard_output_or_to_a_new_file(tmp_path: Path, capsys) -> None:
    assert run([*ASKED, "--format", "html"]) == 0
    printed = capsys.readouterr().out
    assert run([*ASKED, "--format", "html", "-o", str(tmp_path / "new.html")]) == 0
    assert (tmp_path / "new.html").read_text() == printed
    assert printed.startswith("<!DOCTYPE html>")
