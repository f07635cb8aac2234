"""The comparison as HTML, PDF and Word: valid, safe, reachable, and every figure in it."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Iterator
from functools import cache
from html import unescape
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest

from deckclause.compare.comparison import compare
from deckclause.designs.read_design import design_of
from deckclause.evaluate.catalogue import Catalogue
from deckclause.report.compare_html import comparison_file
from deckclause.report.compare_json import comparison_data
from deckclause.report.compare_table import ComparisonText
from deckclause.report.open_questions import open_questions

docx = pytest.importorskip("docx")
html5lib = pytest.importorskip("html5lib")
pypdf = pytest.importorskip("pypdf")
pytest.importorskip("weasyprint")

EXAMPLE = Path(__file__).parents[2] / "rules" / "examples" / "step-down-3in.yaml"
TOPICS = (
    "ledger_fastener_spacing",
    "ledger_lower_row_below_ledger_top",
    "band_joist_bottom_edge_distance",
    "ledger_row_spacing",
    "joist_span",
)
RULE_SETS = ("irc-2009", "irc-2012", "irc-2021")
WHOLE_DECK = EXAMPLE.with_name("whole-deck-12x16.yaml")
TOWNS = ("Tarn Hollow@2025-03-01", "Skerryvane@2024-05-01", "Dunmarrow@2020-01-01")
ATTACK = "<script>alert('deck')</script>"


@cache
def _comparison():
    catalogue = Catalogue.open()
    text = EXAMPLE.read_text().replace("name: Step down of 3 in", f'name: "{ATTACK}"')
    design = catalogue.prepare(design_of(text.encode(), "deck.yaml", catalogue.vocabulary))
    return catalogue, compare(catalogue, design, RULE_SETS, topics=TOPICS)


@cache
def _whole_deck():
    catalogue = Catalogue.open()
    return catalogue, compare(catalogue, catalogue.design(WHOLE_DECK), TOWNS)


@cache
def _file(file_format: str) -> bytes:
    catalogue, comparison = _comparison()
    return comparison_file(catalogue, comparison, file_format)


def _measures(data: Any) -> Iterator[str]:
    if isinstance(data, dict):
        if set(data) == {"exact", "text", "si"}:
            yield data["text"]
        else:
            for value in data.values():
                yield from _measures(value)
    elif isinstance(data, list):
        for value in data:
            yield from _measures(value)


def _figures() -> set[str]:
    catalogue, comparison = _comparison()
    return set(_measures(comparison_data(catalogue, comparison)))


def _squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


def _html() -> str:
    return _file("html").decode()


def test_html_parses_without_a_fault() -> None:
    """html5lib's strict parser: the HTML standard's own parsing rules."""
    html5lib.HTMLParser(strict=True).parse(_html())


def test_script_in_a_name_shows_as_text_and_nothing_reaches_outside() -> None:
    page = _html()
    assert "<script" not in page.lower()
    assert "&lt;script&gt;" in page
    assert not re.search(r"(src|href)\s*=\s*[\"'](?!#)", page)
    assert "default-src" in page


def test_every_link_leads_somewhere_and_every_name_is_used_once() -> None:
    page = _html()
    names = re.findall(r'\bid="([^"]+)"', page)
    assert len(names) == len(set(names))
    assert set(re.findall(r'href="#([^"]+)"', page)) <= set(names)


def test_every_scrolling_table_can_be_reached_by_keyboard_and_is_named() -> None:
    page = _html()
    regions = re.findall(r'<div class="scroll[^>]*>', page)
    assert regions
    assert all('tabindex="0"' in r and "aria-label=" in r for r in regions)
    assert page.count("<caption>") == page.count("<table>")


def test_a_status_is_told_in_words_wherever_it_is_marked() -> None:
    for kind, words in (("fails", "does not comply"), ("ask", "information missing")):
        for cell in re.findall(rf'<td class="{kind}">(.*?)</td>', _html()):
            assert words in cell


@pytest.mark.parametrize("file_format", ["html", "pdf", "docx"])
def test_every_figure_of_the_result_stands_in_the_document(file_format: str) -> None:
    text = _squeezed(_text_of(_file(file_format), file_format))
    missing = {figure for figure in _figures() if _squeezed(figure) not in text}
    assert len(_figures()) > 10
    assert not missing


def _text_of(content: bytes, file_format: str) -> str:
    if file_format == "pdf":
        return "".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(content)).pages)
    if file_format == "docx":
        return _word_text(content)
    return re.sub(r"<[^>]+>", " ", content.decode())


def _word_text(content: bytes) -> str:
    document = docx.Document(BytesIO(content))
    words = [p.text for p in document.paragraphs]
    words += [c.text for t in document.tables for row in t.rows for c in row.cells]
    return " ".join(words)


def test_pdf_is_tagged_and_names_its_language() -> None:
    catalog = pypdf.PdfReader(BytesIO(_file("pdf"))).trailer["/Root"]
    assert catalog["/MarkInfo"]["/Marked"]
    assert catalog["/Lang"] == "en"
    assert "/StructTreeRoot" in catalog


def test_drawings_carry_words_for_those_who_cannot_see_them() -> None:
    pictures = re.findall(r"<svg.*?</svg>", _html(), flags=re.DOTALL)
    assert pictures
    assert all("<title>" in p and "<desc>" in p and 'role="img"' in p for p in pictures)


@pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not installed")
def test_word_opens_in_libreoffice_and_keeps_every_figure(tmp_path: Path) -> None:
    source = tmp_path / "comparison.docx"
    source.write_bytes(_file("docx"))
    command = ["soffice", "--headless", f"-env:UserInstallation=file://{tmp_path}/profile",
               "--convert-to", "pdf", "--outdir", str(tmp_path), str(source)]  # fmt: skip
    subprocess.run(command, check=True, capture_output=True, timeout=180)
    text = _squeezed(_text_of((tmp_path / "comparison.pdf").read_bytes(), "pdf"))
    assert not {figure for figure in _figures() if _squeezed(figure) not in text}


def test_what_the_terminal_asks_is_asked_in_the_document_too() -> None:
    """Tables not seen in print lack nothing of the design, and are to be found out all the same."""
    catalogue, comparison = _whole_deck()
    text = ComparisonText(comparison, catalogue.vocabulary)
    asked = open_questions([*text.rows, *text.alike], text.explainers)
    assert any("not modelled" in words for words in asked)
    page = unescape(comparison_file(catalogue, comparison, "html").decode())
    assert not [words for words in asked if words not in page]
    assert "Nothing asked of this design is unknown" not in page
