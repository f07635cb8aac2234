"""An amendment's papers: what is struck and inserted, what stays empty, the handout on one page."""

from __future__ import annotations

import re
from math import hypot
from pathlib import Path

import pytest
from msgspec.structs import replace

from deckclause.answers.markup import INSERTED, KEPT, STRUCK
from deckclause.answers.ordinance import Ordinance, ordinance_of
from deckclause.answers.redline import redline
from deckclause.cli.main import run
from deckclause.report.document.html import document_html
from deckclause.report.ordinance.ordinance import ordinance_document
from deckclause.rulesets.library import RuleLibrary
from rulesets.small_rules import open_rules

LIBRARY = RuleLibrary.open()


@pytest.fixture(scope="module")
def papers(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The county's papers of 2019, and Utah's handout: the longest list of rules shipped."""
    pytest.importorskip("docx")
    pytest.importorskip("weasyprint")
    folder: Path = tmp_path_factory.mktemp("papers")
    assert run(["amend", "papers", "quillmere-county-2018", "-o", str(folder)]) == 1
    assert run(["amend", "papers", "utah-2021", "-o", str(folder), "--format", "pdf"]) == 1
    return folder


def told(amendment: str) -> Ordinance:
    return ordinance_of(LIBRARY, amendment)


# --- what is struck and what is inserted ---------------------------------------------------------


def test_the_redline_of_a_county_change_by_change() -> None:
    """Read from the county's file and the 2018 edition's by hand."""
    county = told("quillmere-county-2018")
    assert [(c.target, c.act) for c in county.changes] == [
        ("site.ground_snow_load", "is restated, as an earlier act has it"),
        ("site.frost_depth", "is restated, as an earlier act has it"),
        ("ledger_bottom_edge_distance", "is amended"),
        ("quillmere_county.four_devices", "is added"),
    ]
    assert county.changes[2].lines == (
        (
            (KEPT, "The lower row stands at least "),
            (STRUCK, "3/4 "),
            (INSERTED, "1-1/2 "),
            (KEPT, "in above the bottom of the ledger."),
        ),
    )
    assert county.changes[2].section == "4.05(b)"
    assert county.unread == ("Table R507.9.1.3(2)",)  # the edition's 3/4 in is from memory
    assert county.effective == "In force from 2019-07-01."


def test_an_exception_that_is_struck_shows_though_the_clause_says_the_same() -> None:
    landing = told("dunmarrow-2015").changes[4]
    assert landing.act == "is amended"
    assert landing.lines[0] == ((KEPT, "A landing lies outside every exterior door."),)
    marks = {how for line in landing.lines[1:] for how, _ in line}
    assert STRUCK in marks


def test_cells_are_marked_up_figure_by_figure() -> None:
    (cells,) = [c for c in told("dunmarrow-2015").changes if c.title.startswith("Greatest spacing")]
    assert cells.lines == (
        ((KEPT, "through_bolt, 12 ft: "), (STRUCK, "29 in "), (INSERTED, "24 in")),
    )


def test_a_clause_struck_has_nothing_inserted_but_the_place_is_quoted() -> None:
    permit = told("skerryvane-2021").changes[2]
    assert permit.act == "is struck"
    assert {how for line in permit.lines for how, _ in line} == {STRUCK}
    assert permit.says == "Every deck needs a permit."


def test_what_is_kept_and_inserted_is_the_new_text_whole() -> None:
    for name in LIBRARY.files.amendments:
        of = told(name)
        for change in of.changes:
            new = of.after.clause(change.target)
            if new is not None and not change.own_words:
                now = "".join(words for how, words in change.lines[0] if how != STRUCK)
                assert now == new.says, (name, change.target)
            old = of.before.clause(change.target)
            if old is not None:
                then = "".join(words for how, words in change.lines[0] if how != INSERTED)
                assert then.split() == old.says.split(), (name, change.target)


def test_sentences_that_share_little_are_struck_whole() -> None:
    assert redline("Fasteners are zinc coated.", "Nothing is asked.") == (
        (STRUCK, "Fasteners are zinc coated. "),
        (INSERTED, "Nothing is asked."),
    )


# --- a draft, its own words, what is left empty --------------------------------------------------

CHANGES = """
  - section: Sec. 2
    says: Bolts alone hold a ledger here.
    text: Ledgers shall be held by bolts.
    strike: bolt_kind
    fingerprint: '{mark}'
  - {{section: Sec. 3, set: {{site.frost_depth: 42 in}}, cites: Table 301}}
provisions:
  - {{section: Sec. 9, title: Fee, text: The fee is set by resolution.}}
"""
REGISTER = """
places:
  State:
    local: stricter only
    findings: the local climate that asks for it
    adoptions: [{edition: code-2018, from: 2019-01-01}]
  Aldmere: {within: State, invented: true}
"""


def draft(root: Path) -> Ordinance:
    clause = open_rules(root).load("code-2018").ruleset.clause("bolt_kind")
    assert clause is not None
    open_rules(root, REGISTER, aldmere=CHANGES.format(mark=clause.fingerprint))
    path = root / "amendments" / "aldmere.yaml"
    path.write_text(path.read_text().replace("adopted: 2019-05-01", "adopted: draft"))
    return ordinance_of(RuleLibrary.open(root), "aldmere")


def test_a_draft_keeps_the_ordinances_words_and_leaves_its_blanks_empty(tmp_path: Path) -> None:
    page = document_html(ordinance_document(draft(tmp_path)))
    assert "<ins>Ledgers shall be held by bolts.</ins>" in page
    assert "<del>Lags or bolts. </del>" in page
    assert "Fee (Sec. 9)" in page
    assert "The fee is set by resolution." in page
    assert "Draft. Not adopted, and in force nowhere." in page
    for blank in ("the day it comes in force", "the ordinance this one repeals", "who enacts it"):
        assert f"[not written: {blank}" in page
    # a finding for each change, as the larger place asks
    assert "State: the local climate that asks for it" in page
    assert page.count("[not written: the finding ") == 2


def test_findings_are_a_section_only_where_they_are_asked_or_written(tmp_path: Path) -> None:
    of = draft(tmp_path)
    without = replace(of, findings_asked="")
    assert "Findings" not in document_html(ordinance_document(without))
    written = replace(of, findings=("Frost here reaches 42 in.",))
    page = document_html(ordinance_document(written))
    assert "Frost here reaches 42 in." in page
    assert "the finding " not in page


def test_what_the_file_says_fills_the_blanks(tmp_path: Path) -> None:
    papers = (
        "papers: {body: Town Board, authority: Title 4, effective: Thirty days after it is posted.,"
        " transition: Permits issued stand., repeals: Nothing is repealed., contact: The office.}"
    )
    draft(tmp_path)
    path = tmp_path / "amendments" / "aldmere.yaml"
    path.write_text(path.read_text() + papers)
    page = document_html(ordinance_document(ordinance_of(RuleLibrary.open(tmp_path), "aldmere")))
    for words in (
        "Town Board",
        "Title 4",
        "Thirty days after it is posted.",
        "Permits issued stand.",
    ):
        assert words in page
    left = re.findall(r"\[not written: ([^\]]*)", page)
    assert sorted(left) == [
        "the day it is adopted",
        "the finding 5.2 (Bolt kind) rests on",
        "the finding Table 301 (site frost depth) rests on",
    ]


# --- the files ------------------------------------------------------------------------------------


def test_three_papers_in_three_formats(papers: Path) -> None:
    kinds = {p.name.removeprefix("quillmere-county-2018-") for p in papers.glob("quillmere*")}
    assert kinds == {
        f"{kind}.{ending}"
        for kind in ("ordinance", "council", "handout")
        for ending in ("docx", "pdf", "html")
    }
    council = (papers / "quillmere-county-2018-council.html").read_text()
    assert "at least four" in council
    assert "What becomes of permits under way is not said yet." in council


def test_papers_of_an_amendment_that_holds_no_longer_say_so() -> None:
    """By the days of the register: the county's next code came in force on 2024-07-01."""
    ended = "From 2024-07-01 on this amendment is in force no longer."
    county = told("quillmere-county-2018")
    assert ended in county.warns
    assert ended in document_html(ordinance_document(county))
    assert not any("no longer" in words for words in told("quillmere-county-2021").warns)


def test_word_strikes_and_underlines(papers: Path) -> None:
    import docx

    document = docx.Document(str(papers / "quillmere-county-2018-ordinance.docx"))
    runs = [run for paragraph in document.paragraphs for run in paragraph.runs]
    struck = "".join(run.text for run in runs if run.font.strike)
    inserted = "".join(run.text for run in runs if run.underline and not run.italic)
    assert struck.split() == ["3/4"]
    assert inserted.split()[0] == "1-1/2"
    assert "at least four." in inserted


@pytest.mark.parametrize("name", ["quillmere-county-2018", "utah-2021"])
def test_a_handout_is_one_page_with_two_drawings(papers: Path, name: str) -> None:
    pypdf = pytest.importorskip("pypdf")
    (page,) = pypdf.PdfReader(str(papers / f"{name}-handout.pdf")).pages
    words = " ".join(page.extract_text().split())
    assert "Where the ledger's fasteners may go on one deck" in words
    assert "Guard, stair and footing, not to scale" in words
    assert "Not an engineered design and not an approval" in words
    if name == "utah-2021":  # Utah Code 15A-3-202(26): 8 in and 9 in
        assert "riser at most 8 in" in words
        assert "tread at least 9 in" in words
        assert "Check with the office" in words


@pytest.mark.parametrize("name", ["quillmere-county-2018", "utah-2021"])
def test_no_lettering_of_a_handout_is_under_eight_points(papers: Path, name: str) -> None:
    """Measured in the PDF itself: each piece of text by its font's size and the matrices it stands in."""
    pypdf = pytest.importorskip("pypdf")
    (page,) = pypdf.PdfReader(str(papers / f"{name}-handout.pdf")).pages
    sizes: dict[str, float] = {}

    def visit(text: str, around: list[float], own: list[float], _font: object, size: float) -> None:
        if text.strip():
            up = hypot(
                own[1] * around[0] + own[3] * around[2], own[1] * around[1] + own[3] * around[3]
            )
            sizes[text.strip()] = min(size * up, sizes.get(text.strip(), 100))

    page.extract_text(visitor_text=visit)
    drawn = [text for text in sizes if text in ("floor joist", "sill or plate", "ground", "upper")]
    assert len(drawn) >= 3, sizes
    assert {t: s for t, s in sizes.items() if s < 7.99} == {}


def test_nothing_is_overwritten(papers: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["amend", "papers", "utah-2021", "-o", str(papers), "--format", "pdf"]) == 2
    assert "already there" in capsys.readouterr().err
