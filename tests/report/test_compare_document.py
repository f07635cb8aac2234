"""The comparison as HTML, PDF and Word: valid, safe, reachable, and every figure in it."""

from __future__ import annotations

import re
import shutil
import subprocess
from functools import cache
from html import unescape
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.answers.compare.build import compare_answer
from deckclause.answers.compare.drawn import drawn_answer
from deckclause.compare.comparison import compare
from deckclause.designs.read_design import design_of
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.notices import notices
from deckclause.report.comparison.changes import change_blocks
from deckclause.report.comparison.document import (
    NO_FAILURES,
    NO_PASS,
    NOTHING_ON_TOPICS,
    NOTHING_TO_DO,
)
from deckclause.report.comparison.first_page import first_page
from deckclause.report.comparison.html import comparison_file
from deckclause.report.comparison.json import comparison_data
from deckclause.report.comparison.markdown import comparison_markdown
from deckclause.report.document import Grid
from deckclause.report.drawing.comparison_drawings import comparison_drawings
from support.measures import measures

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
def _file(file_format: str, *, annex: bool = True) -> bytes:
    return _written(*_comparison(), file_format, annex=annex)


def _written(catalogue: Any, comparison: Any, file_format: str, *, annex: bool = False) -> bytes:
    answer = compare_answer(comparison, catalogue.vocabulary, depth=annex)
    drawings = tuple(comparison_drawings(drawn_answer(comparison, catalogue.vocabulary)))
    return comparison_file(answer, catalogue.vocabulary.sources, drawings, file_format, annex=annex)


def _figures() -> set[str]:
    catalogue, comparison = _comparison()
    answer = compare_answer(comparison, catalogue.vocabulary, depth=True)
    return set(measures(comparison_data(answer)))


def _squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


def _html(*, annex: bool = True) -> str:
    return _file("html", annex=annex).decode()


@pytest.mark.parametrize("annex", [False, True])
def test_html_parses_without_a_fault(annex: bool) -> None:
    """html5lib's strict parser: the HTML standard's own parsing rules."""
    html5lib.HTMLParser(strict=True).parse(_html(annex=annex))


def test_script_in_a_name_shows_as_text_and_nothing_reaches_outside() -> None:
    page = _html()
    assert "<script" not in page.lower()
    assert "&lt;script&gt;" in page
    assert not re.search(r"(src|href)\s*=\s*[\"'](?!#)", page)
    assert "default-src" in page


@pytest.mark.parametrize("annex", [False, True])
def test_every_link_leads_somewhere_and_every_name_is_used_once(annex: bool) -> None:
    page = _html(annex=annex)
    names = re.findall(r'\bid="([^"]+)"', page)
    assert len(names) == len(set(names))
    assert set(re.findall(r'href="#([^"]+)"', page)) <= set(names)


def test_every_scrolling_table_can_be_reached_by_keyboard_and_is_named() -> None:
    page = _html(annex=False)
    regions = re.findall(r'<div class="scroll[^>]*>', page)
    assert regions
    assert all('tabindex="0"' in r and "aria-label=" in r for r in regions)
    assert page.count("<caption>") == page.count("<table>")


def test_a_status_is_told_in_words_wherever_it_is_marked() -> None:
    for kind, words in (("fails", "does not comply"), ("ask", "not known")):
        for cell in re.findall(rf'<td class="{kind}">(.*?)</td>', _html()):
            assert words in cell
    assert '<td class="fails">' in _html(annex=False)


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
    asked = [q.words for q in _answer(comparison).asked]
    assert any("not found in print" in words for words in asked)
    page = unescape(_written(catalogue, comparison, "html").decode())
    assert not [words for words in asked if words not in page]
    assert "Nothing asked of this design is not known" not in page


@cache
def _short_pdf() -> Any:
    catalogue, comparison = _whole_deck()
    return pypdf.PdfReader(BytesIO(_written(catalogue, comparison, "pdf")))


def test_a_whole_deck_in_three_towns_is_short_and_its_first_page_says_what_to_do() -> None:
    pages = [" ".join(page.extract_text().split()) for page in _short_pdf().pages]
    assert len(pages) <= 13
    for town in TOWNS:
        assert town.replace("@", ", ") in pages[0]
    for words in (
        "Joist span: at most 9 ft 9 in (memory) 10 ft Tarn Hollow",
        "Table R507.6; Tarn Hollow, Town Ordinance 97 Sec. 3",
        "Fastener spacing on center: at most 13 in (memory) 16 in Tarn Hollow",
        "Ellavane, Rule 15-401 subpart 1",
        "at least 48 in (memory) 42 in Skerryvane, R507.3.3; Skerryvane, City Ordinance 1412 1412.3",
        "No deck footing table in this edition",
        "Footing size; Footing thickness; Post height; Beam span; Joist cantilever",
        "Change the design, or ask for relief",
        "Have engineered: outside what the rules prescribe",
        "Skerryvane, 2024-05-01: The printed snow figures were not found",
    ):
        assert words in pages[0], words
    for words in ("Skerryvane sets the frost depth to 48 in", "the design's 36 in is not used"):
        assert words in pages[0] + pages[1]


def test_one_fact_is_one_line_of_what_to_do_and_no_page_of_text_is_left_half_empty() -> None:
    """The drop of the ledger fails a row, the drop and the step down: it is told once, as drawn."""
    answer = compare_answer(_comparison()[1], _comparison()[0].vocabulary)
    grid = first_page(answer)
    assert grid is not None
    told = [row[0].text for row in grid.rows]
    assert len(told) == len(set(told))
    assert sum(str(words).startswith("Drop of the ledger") for words in told) <= 1
    boxes = [page.mediabox for page in _short_pdf().pages]
    on_side = [box.width > box.height for box in boxes]
    assert on_side == sorted(on_side), "sheets on their sides stand last, so that they part nothing"
    *upright, _ = [p for p, side in zip(_short_pdf().pages, on_side, strict=True) if not side]
    assert all(len(page.extract_text()) > 900 for page in upright)


@pytest.mark.parametrize(
    ("rule_set", "topic", "says"),
    [
        # 2009 has no clause on braces at the posts: silence is no pass
        ("irc-2009", "post_bracing", NO_PASS),
        # the footing is below frost; other things of the deck fail, as the outcome above says
        ("irc-2009", "footing_frost", NOTHING_ON_TOPICS),
    ],
)
def test_nothing_to_do_is_no_pass_of_what_was_not_asked(
    rule_set: str, topic: str, says: str
) -> None:
    catalogue, whole = _whole_deck()
    answer = compare_answer(
        compare(catalogue, whole.design, [rule_set], topics=[topic]), catalogue.vocabulary
    )
    assert [card.status_words for card in answer.cards] == ["does not comply"]
    page = comparison_file(answer, catalogue.vocabulary.sources, (), "html").decode()
    assert says in page
    assert NOTHING_TO_DO not in page


def test_no_status_and_no_rule_set_is_broken_inside_a_word() -> None:
    """Every line of the pages that holds a piece of a town's name or a status holds it whole."""
    for page in _short_pdf().pages:
        text = page.extract_text()
        for word in ("Skerryvane", "engineering", "information", "2024-05-01", "amendment"):
            assert text.count(word) == _squeezed(text).count(word), word


def test_the_document_lists_local_values_and_failures_and_keeps_the_figures_of_complying() -> None:
    catalogue, comparison = _whole_deck()
    page = unescape(_written(catalogue, comparison, "html").decode())
    answer = _answer(comparison)
    assert answer.failures
    for failure in answer.failures:
        assert failure.text in page
    for evaluation in comparison.evaluations:
        for notice in notices(evaluation, catalogue.vocabulary):
            assert notice.says in page
    row = next(r for r in answer.shown if r.topic.name == "deck_live_load")
    figures = ["60 psf", "60 psf", "40 psf"]
    assert [c.given.text() for c in row.cells if c.given] == figures
    cells = re.search(r">Deck live load</th>(.*?)</tr>", page, re.DOTALL)
    assert cells is not None
    assert re.findall(r"(\d+ psf)", cells[1]) == figures


def test_markdown_asks_and_names_failures_too() -> None:
    answer = _answer(_whole_deck()[1])
    told = comparison_markdown(answer).replace("\\", "")
    for words in (
        *(question.words for question in answer.questions),
        *(failure.text for failure in answer.failures),
        "Skerryvane sets the frost depth to 48 in",
    ):
        assert words in told


def test_a_change_back_to_the_first_outcome_is_not_told_again() -> None:
    catalogue, _ = _whole_deck()
    names = ("Dunmarrow@2020-01-01", "Skerryvane@2024-05-01", "Dunmarrow@2020-06-01")
    design = catalogue.design(WHOLE_DECK)
    comparison = compare(catalogue, design, names, topics=["ledger_fastener_spacing"])
    assert [len(row.changes) for row in comparison.rows] == [2]
    blocks = [b for b in _changes(comparison) if isinstance(b, Grid)]
    (row,) = blocks[0].rows
    assert row[1].text == ("Dunmarrow, 2020-01-01; Dunmarrow, 2020-06-01: complies (at most 18 in)")
    assert row[2].text == "Skerryvane, 2024-05-01: does not comply (at most 13 in)"


def test_changes_with_the_same_driver_stand_under_it_once() -> None:
    _, comparison = _whole_deck()
    (grid,) = (b for b in _changes(comparison) if isinstance(b, Grid))
    heads = [words for _, words in grid.groups]
    assert len(heads) == len(set(heads))
    snow = next(n for n, words in grid.groups if "ground snow load to 40 psf (Skerryvane" in words)
    titles = [row[0].text for row in grid.rows[snow : snow + 2]]
    assert titles == ["Ground snow the deck tables cover", "Loads the framing tables serve"]
    loads = [n for n, words in grid.groups if "deck live load to 60 psf (Ellavane" in words]
    named = {grid.rows[n][0].text for n in loads}
    assert named >= {
        "Deck live load", "Post height", "Beam span", "Joist span", "Joist cantilever",
        "Fastener spacing",
    }  # fmt: skip


def test_drawings_name_the_place_and_the_day() -> None:
    catalogue, comparison = _whole_deck()
    page = _written(catalogue, comparison, "html").decode()
    every = re.findall(r"<svg.*?</svg>", page, flags=re.DOTALL)
    pictures = [one for one in every if "Section through ledger" in one]
    assert pictures
    assert len(every) == len(pictures) + 2  # plan and stairs, of which no rule set decides anything
    for picture, town in zip(pictures, TOWNS, strict=False):
        assert f">{town.replace('@', ', ')}<" in picture
        assert "not given" not in picture


def _answer(comparison: Any) -> CompareAnswer:
    return compare_answer(comparison, _whole_deck()[0].vocabulary)


def _changes(comparison: Any) -> Any:
    answer = _answer(comparison)
    return change_blocks(answer, answer.shown)


def test_what_needs_an_engineer_is_told_though_the_design_says_nothing_of_the_part() -> None:
    """IRC 2015 has no footing table for decks: a design without footings must hear it too."""
    catalogue = Catalogue.open()
    content = b"design: 1\nname: bare\ndeck: {attachment: ledger}\n"
    design = catalogue.prepare(design_of(content, "bare.yaml", catalogue.vocabulary))
    comparison = compare(catalogue, design, ["irc-2015"])
    unstated = {u.part: u.title for u in _answer(comparison).unstated}
    assert "footings" in unstated
    page = _written(catalogue, comparison, "html").decode()
    assert NO_FAILURES not in page
    assert "no deck footing table in this edition" in page
    for title in unstated.values():
        assert f"{title}: the design says nothing of it" in page
