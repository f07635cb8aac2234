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


@pytest.mark.parametrize(
    ("ending", "begins"),
    [
        (".pdf", b"%PDF-"),
        (".docx", b"PK"),
        (".html", b"<!DOCTYPE html>"),
        (".md", b"# Step down of 3 in"),
        (".csv", b"part,topic,title"),
        (".json", b"{"),
        (".txt", b"Step down of 3 in: "),
        ("", b"Step down of 3 in: "),
    ],
)
def test_the_ending_of_a_file_says_its_format(tmp_path: Path, ending: str, begins: bytes) -> None:
    if ending in (".pdf", ".docx"):
        pytest.importorskip("weasyprint" if ending == ".pdf" else "docx")
    output = tmp_path / f"sheet{ending}"
    assert run([*ASKED, "-o", str(output)]) == 0
    assert output.read_bytes().startswith(begins)


@pytest.mark.parametrize(
    ("asked", "name", "wanted"),
    [
        (["--format", "html"], "sheet.pdf", "ends as pdf, but --format asks for html"),
        (["--format", "table"], "sheet.docx", "ends as docx, but --format asks for table"),
        ([], "sheet.xls", "is no ending known here"),
        (["--annex"], "sheet.md", "--annex"),
        (["--strictest", "--only", "differences"], "sheet.md", "do not go together"),
    ],
)
def test_what_contradicts_itself_is_refused(
    asked: list[str], name: str, wanted: str, tmp_path: Path, capsys
) -> None:
    assert run([*ASKED, *asked, "-o", str(tmp_path / name)]) == 2
    assert wanted in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_the_annex_adds_every_finding(tmp_path: Path) -> None:
    assert run([*ASKED, "-o", str(tmp_path / "short.html")]) == 0
    assert run([*ASKED, "--annex", "-o", str(tmp_path / "long.html")]) == 0
    short, long = ((tmp_path / name).read_text() for name in ("short.html", "long.html"))
    assert "Every finding</h2>" in long
    assert "Every finding</h2>" not in short
    assert "--annex" in short
