"""A request's papers, for every kind and form: each figure of the answer, no other, and nothing twice.

The whole of three decks by every kind and form: tests/benchmarks/test_many_papers.py.
"""

from __future__ import annotations

import re
from base64 import b64decode, b64encode
from io import BytesIO
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from deckclause.answers.request import build
from deckclause.answers.request.letter import _named
from deckclause.report.document import BoundPages, Document, Paragraph
from deckclause.report.document.html import document_html
from deckclause.report.document.pdf import document_pdf
from deckclause.report.document.word import document_word
from deckclause.report.request.document import request_document
from deckclause.variance.request.build import read_request
from deckclause.variance.request.check import check_request
from deckclause.variance.request.papers import bound_in, not_bound
from variance.decks import catalogue
from variance.papers import (
    DECKS,
    figures,
    known_figures,
    pairs,
    papers,
    report_of,
    squeezed,
    text_on_paper,
    told,
)

FIELD_ID = re.compile(
    r"\b(?:items|ledger|fasteners|declarations|joists|band_joist|band_joist_pieces|owner|applicant|site|"
    r"loads|wall|floor|doors|project|equivalence)\.[a-z_]{3,}\b"
)
TOOL_WORDS = (
    "irc-20", "the engine", "this tool", "deckclause request", "ask the office", "[not written",
    "urther statements", "look_again", "To find out", "raft,", "A draft for",
)  # fmt: skip
SCALE = "3 in = 1 ft"
"""The scale of the sheet, which the layout chooses."""
SAID_AGAIN = {
    "items.ground",
    "applicant.name",
    "applicant.role",
    "address",
    "date",
    "owner.name",
    "official.name",
}
"""Who, where and when: the letter's head and the form each need them."""


@pytest.fixture(autouse=True)
def _asked_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Search alternatives and precedents once a deck: they are the same for every kind and form."""
    for name in ("alternatives", "find_precedents"):
        monkeypatch.setattr(build, name, _kept(name, getattr(build, name)))


KEPT: dict[tuple[str, str, str], Any] = {}


def _kept(name: str, work: Any) -> Any:
    def once(first: Any, *rest: Any) -> Any:
        case = getattr(first, "as_designed", first)
        key = (name, case.design.design.digest, case.evaluator.ruleset.name)
        if key not in KEPT:
            KEPT[key] = tuple(work(first, *rest))
        return KEPT[key]

    return once


@pytest.mark.parametrize("number", range(10))
def test_figure_by_figure_and_nothing_twice(number: int, tmp_path: Path) -> None:
    kind, form = pairs()[number]
    holds(tmp_path, number % len(DECKS), kind, form)


def test_every_kind_has_a_form_and_all_pairs_are_built() -> None:
    assert len(pairs()) == 10


def holds(folder: Path, deck: int, kind: str, form: str) -> None:
    """Hold one request's papers against its answer, both ways, and against what a clean copy is."""
    answer, document, words = papers(folder, deck, kind, form)
    text = text_on_paper(document)
    printed = squeezed(text)
    assert [t for t in told(answer) if squeezed(t.rstrip(".")) not in printed] == []
    assert len(answer.items) >= 1
    known = known_figures(answer)
    assert len(known) > 30
    assert {f for f in figures(text.replace(SCALE, "")) if f not in known} == set()
    assert FIELD_ID.findall(text) == []
    assert [w for w in TOOL_WORDS if w in text] == []
    once = {n: w for n, w in words.items() if n not in SAID_AGAIN and not n.startswith("drawing.")}
    assert {n: text.count(w) for n, w in once.items() if text.count(w) != 1} == {}


def test_letter_and_decision_take_two_pages_and_the_contents_follow(tmp_path: Path) -> None:
    pypdf = pytest.importorskip("pypdf")
    pytest.importorskip("weasyprint")
    _, document, _ = papers(tmp_path, 0, "alternative_method", "ten_items")
    reader = pypdf.PdfReader(BytesIO(document_pdf(document)))
    pages = [page.extract_text() for page in reader.pages]
    assert "Proposed decision" in pages[0] + pages[1]
    assert [
        n for n, page in enumerate(pages, 1) if page.startswith("Contents") or "\nContents" in page
    ] == [3]
    marks = [mark["/Title"] for mark in reader.outline if not isinstance(mark, list)]
    assert marks
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]
    assert reader.metadata.author == document.author


def test_word_has_styles_page_numbers_contents_header_and_author(tmp_path: Path) -> None:
    docx = pytest.importorskip("docx")
    _, document, words = papers(tmp_path, 0, "modification", "plain")
    word = docx.Document(BytesIO(document_word(document)))
    assert word.core_properties.author == words["applicant.name"]
    foot = word.sections[0].footer._element.xml
    assert "PAGE" in foot
    assert "NUMPAGES" in foot
    assert document.title in word.sections[0].header.paragraphs[0].text
    body = word.element.xml
    marks = set(re.findall(r'w:bookmarkStart [^>]*w:name="(\w+)"', body))
    asked = set(re.findall(r"PAGEREF (\w+)", body))
    assert asked
    assert asked <= marks
    assert {p.style.name for p in word.paragraphs} >= {"Title", "Heading 1", "Applicant", "Caption"}
    sizes = {s.font.size.pt for s in word.styles if getattr(s, "font", None) and s.font.size}
    assert min(sizes) >= 8
    assert not [r for r in word.part.package.rels.values() if r.reltype.endswith("/thumbnail")]


def test_an_office_s_earlier_decision_is_no_published_rule(tmp_path: Path) -> None:
    """It was of another figure: it stands by itself, under no heading that says it permits this."""
    papers(tmp_path, 0, "modification", "plain")
    path = tmp_path / "request.yaml"
    finding = read_request(catalogue(), path).items[0].finding
    assert finding is not None
    (tmp_path / "log.yaml").write_text(
        "decisions:\n"
        f"  - {{decided: 2024-05-01, under: irc-2021, clause: {finding.key}, cites: {finding.cites!r},\n"
        "     required: at least 9 in, allowed: 8-7/8 in, outcome: approved, may_be_cited: yes}\n"
    )
    path.write_text(f"office_log: log.yaml\n{path.read_text()}")
    request = read_request(catalogue(), path)
    answer = build.request_answer(request, check_request(request))
    text = text_on_paper(request_document(answer))
    said = "This office, 2024-05-01"
    heads = (
        "Published rules that permit",
        "Earlier decisions of this office",
        said,
        "Conditions o",
    )
    places = [text.index(words) for words in heads]
    assert places == sorted(places)
    assert [w for w in answer.letter.permits if said in w] == []


PIXEL = b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg=="
)


def test_a_picture_is_bound_in_with_its_caption_and_what_is_none_is_refused(tmp_path: Path) -> None:
    papers(tmp_path, 0, "modification", "plain")
    path = tmp_path / "request.yaml"
    path.write_text(
        path.read_text().replace(
            "kind: plan}", 'kind: photo, file: wall.png, caption: "The wall, from inside"}'
        )
    )
    for content, said in (
        (None, "no such file"),
        (b"GIF89a", "only as PNG, JPEG or PDF"),
        (b"%PDF-1.7", "cannot be read as a PDF"),
    ):
        if content is not None:
            (tmp_path / "wall.png").write_bytes(content)
        against = check_request(read_request(catalogue(), path)).against
        assert any(said in words for words in against), said
    (tmp_path / "wall.png").write_bytes(PIXEL)
    request = read_request(catalogue(), path)
    checked = check_request(request)
    assert not checked.against
    document = request_document(build.request_answer(request, checked))
    assert b64encode(PIXEL).decode() in document_html(document)
    text = text_on_paper(document)
    assert "A1. The wall, from inside" in text
    assert text.index("Annex E. Photographs") < text.index("Annex F. Receipts")


def _two_sheets(*, locked: bool = False) -> bytes:
    """A plan of two sheets, of two sizes, with what acts by itself: a script and a link."""
    pypdf = pytest.importorskip("pypdf")
    pytest.importorskip("pypdf.annotations")
    out = pypdf.PdfWriter()
    for wide, high in ((792, 612), (1224, 792)):
        out.add_blank_page(wide, high)
    script = pypdf.generic.DictionaryObject()
    script[pypdf.generic.NameObject("/S")] = pypdf.generic.NameObject("/JavaScript")
    script[pypdf.generic.NameObject("/JS")] = pypdf.generic.TextStringObject("app.alert(1)")
    acts = pypdf.generic.DictionaryObject({pypdf.generic.NameObject("/O"): script})
    out.pages[1][pypdf.generic.NameObject("/AA")] = acts
    out.add_annotation(0, pypdf.annotations.Link(rect=(0, 0, 50, 50), url="https://example.org"))
    if locked:
        out.encrypt("secret")
    stream = BytesIO()
    out.write(stream)
    return stream.getvalue()


def test_the_pages_of_a_plan_are_bound_into_the_pdf_and_named_everywhere_else() -> None:
    pypdf, docx = pytest.importorskip("pypdf"), pytest.importorskip("docx")
    pytest.importorskip("weasyprint")
    plan = BoundPages(_two_sheets(), 2, "A3. The plan", "plan.pdf")
    document = Document("Request", "", (Paragraph("Words."), plan), "", contents=False)
    found = pypdf.PdfReader(BytesIO(document_pdf(document)))
    own, *sheets = found.pages
    assert "2 pages, bound in behind the last page" in " ".join(own.extract_text().split())
    assert [(p.mediabox.width, p.mediabox.height) for p in sheets] == [(792, 612), (1224, 792)]
    assert found.get_destination_page_number(found.outline[-1]) == 1
    assert found.outline[-1].title == "A3. The plan"
    assert "/MarkInfo" in found.trailer["/Root"]  # the paper's own pages stay tagged
    assert not [p for p in sheets if "/Annots" in p or "/AA" in p]
    word = docx.Document(BytesIO(document_word(document)))
    said = "2 pages, in the file plan.pdf, handed in beside this one."
    assert any(said in paragraph.text for paragraph in word.paragraphs)
    assert said in document_html(document)


def test_a_plan_is_read_with_its_pages_and_a_locked_one_refused(tmp_path: Path) -> None:
    entry = {"id": "A3", "title": "The plan", "file": "plan.pdf"}
    (tmp_path / "plan.pdf").write_bytes(_two_sheets())
    found = bound_in(tmp_path, entry)
    assert found is not None
    assert found.pages == 2
    (tmp_path / "plan.pdf").write_bytes(_two_sheets(locked=True))
    assert "locked with a password" in not_bound(tmp_path, entry)


def test_a_rule_is_named_by_its_year_alone_only_right_after_the_same_book() -> None:
    """A place named after its edition keeps its name: a bare year would call it the model code."""
    titles = ("Model Code, 2015", "Model Code, 2018", "Lowtown, 2019-07-01: Model Code, 2018",
              "Hightown, 2020-01-01: Model Code, 2018")  # fmt: skip
    rules = [SimpleNamespace(title=t, cites="T1", standing="memory") for t in titles]
    told = [_named(rule, before) for rule, before in zip(rules, [None, *rules], strict=False)]
    assert told == [
        "Model Code, 2015, T1 (memory)", "2018, T1 (memory)",
        "Lowtown, 2019-07-01: Model Code, 2018, T1 (memory)",
        "Hightown, 2020-01-01: Model Code, 2018, T1 (memory)",
    ]  # fmt: skip


def test_the_letter_says_which_whole_published_rule_the_deck_follows(tmp_path: Path) -> None:
    """The shipped step-down deck with a 2x8 ledger holds every ledger clause of the 2015 book."""
    answer, document, _ = papers(tmp_path, 2, "modification", "plain")
    choice = report_of(2).choices[0]
    assert choice.published is not None
    assert choice.published.title in answer.letter.follows
    assert squeezed(answer.letter.follows) in squeezed(text_on_paper(document))
