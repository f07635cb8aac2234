"""One deck for all as a document: the terminal's words in every format, and no file of another kind."""

from __future__ import annotations

import re
from html import unescape
from io import BytesIO
from pathlib import Path

import pytest

from deckclause.answers.compare.strictest import strictest_answer
from deckclause.cli.main import run
from deckclause.compare.comparison import compare
from deckclause.evaluate.catalogue import Catalogue
from deckclause.report.comparison.strictest_document import strictest_file, strictest_markdown
from support.designs import EXAMPLES

docx = pytest.importorskip("docx")
html5lib = pytest.importorskip("html5lib")
pypdf = pytest.importorskip("pypdf")
pytest.importorskip("weasyprint")

TOWNS = ("Tarn Hollow@2025-03-01", "Skerryvane@2024-05-01", "Dunmarrow@2020-01-01")
TOPICS = ("footing_size", "footing_frost", "beam_span", "joist_span", "guard_height")
WHOLE_DECK = EXAMPLES / "whole-deck-12x16.yaml"
ASKED = ["compare", str(WHOLE_DECK), "--under", "irc-2018", "--topic", "joist_span", "--strictest"]


@pytest.fixture(scope="module")
def compared():
    catalogue = Catalogue.open()
    design = catalogue.design(WHOLE_DECK)
    return strictest_answer(compare(catalogue, design, TOWNS, topics=TOPICS), catalogue.vocabulary)


def _squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


def _text_of(content: bytes, file_format: str) -> str:
    if file_format == "pdf":
        return "".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(content)).pages)
    if file_format == "docx":
        document = docx.Document(BytesIO(content))
        words = [p.text for p in document.paragraphs]
        return " ".join(words + [c.text for t in document.tables for r in t.rows for c in r.cells])
    return unescape(re.sub(r"<[^>]+>", " ", content.decode()))


@pytest.mark.parametrize("file_format", ["html", "pdf", "docx", "markdown"])
def test_every_line_of_the_terminal_stands_in_every_format(compared, file_format: str) -> None:
    words = compared
    if file_format == "markdown":
        found = strictest_markdown(words).replace("\\", "")
    else:
        found = _text_of(strictest_file(words, file_format), file_format)
    found = _squeezed(found)
    assert _squeezed(words.headline) in found
    sections = list(words.sections)
    assert [heading for heading, _ in sections] == [
        "What must change", "What needs engineering", "Not known somewhere, so no strictest limit",
        "What to find out", "Local values in force",
    ]  # fmt: skip
    for heading, lines in sections:
        assert _squeezed(heading) in found
        assert not [line for line in lines if _squeezed(line.rstrip(".")) not in found]
    assert words.limits
    for row in words.limits:
        assert _squeezed(row.topic) in found
        assert _squeezed(row.limit) in found


def test_html_parses_without_a_fault(compared) -> None:
    html5lib.HTMLParser(strict=True).parse(strictest_file(compared, "html").decode())


@pytest.mark.parametrize("file_format", ["json", "csv"])
def test_a_format_it_is_not_written_in_is_refused(file_format: str, capsys) -> None:
    assert run([*ASKED, "--format", file_format]) == 2
    assert f"is not written as {file_format}" in capsys.readouterr().err


def test_the_command_writes_it(tmp_path: Path, capsys) -> None:
    assert run([*ASKED, "-o", str(tmp_path / "all.html")]) == run(ASKED)
    assert "one deck for all of IRC 2018" in capsys.readouterr().out
    assert "One deck for all of IRC 2018." in (tmp_path / "all.html").read_text()
