"""The ledger in elevation in reports: drawn where the design states enough, else said in words."""

from __future__ import annotations

import math
import re
from fractions import Fraction as F
from functools import cache
from io import BytesIO
from itertools import pairwise

import pytest

from deckclause.answers.compare.build import compare_answer
from deckclause.answers.compare.drawn import drawn_answer
from deckclause.answers.elevations import elevations_answer
from deckclause.answers.sheet import PaperSheet
from deckclause.compare.comparison import compare
from deckclause.designs.read_design import design_of
from deckclause.evaluate.catalogue import Catalogue
from deckclause.quantities import parse_quantity
from deckclause.report.comparison.html import comparison_file
from deckclause.report.document import Block, Drawing, Grid, Paragraph
from deckclause.report.drawing.comparison_drawings import comparison_drawings
from deckclause.report.drawing.elevation_drawings import (
    NO_LEDGER,
    elevation_blocks,
    elevation_drawings,
)
from report.test_drawings import letters, overlaps
from support.designs import EXAMPLES

HANDS = PaperSheet("", "J. Doe", "R. Roe", "2024-05-01", "A 2024-05-07")
RULE_SETS = ("irc-2006", "irc-2009", "irc-2018", "irc-2021")
TOPICS = ("ledger_fastener_spacing", "ledger_lower_row_below_ledger_top")
STATED = (
    ("below_band_joist: 3 in", "below_band_joist: 1/2 in"),
    ("  upper_row_below_ledger_top: 2 in\n  lower_row_below_ledger_top: 6-1/2 in\n", ""),
    (
        "band_joist:\n",
        "ledger_pieces: [{name: left, length: 12 ft}, {name: right, length: 8 ft}]\n"
        "band_joist_pieces: [{name: one, length: 10 ft}, {name: two, length: 14 ft}]\n"
        "band_joist:\n  begins_left_of_ledger: 2 ft\n",
    ),
)


@cache
def _catalogue() -> Catalogue:
    return Catalogue.open()


def _design(*changes: tuple[str, str]):
    text = (EXAMPLES / "step-down-3in.yaml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    vocabulary = _catalogue().vocabulary
    return _catalogue().prepare(design_of(text.encode(), "deck.yaml", vocabulary))


def _blocks(*changes: tuple[str, str], names: tuple[str, ...] = RULE_SETS) -> tuple[Block, ...]:
    design = _design(*changes)
    evaluators = [_catalogue().evaluator(name) for name in names]
    return elevation_blocks(elevations_answer(design, evaluators, _catalogue().vocabulary))


def _sheets(*changes: tuple[str, str], names: tuple[str, ...] = RULE_SETS) -> tuple[Drawing, ...]:
    design = _design(*changes)
    evaluators = [_catalogue().evaluator(name) for name in names]
    answer = elevations_answer(design, evaluators, _catalogue().vocabulary)
    return elevation_drawings(answer, HANDS)


def _words(blocks: tuple[Block, ...]) -> str:
    return " ".join(str(b.text) for b in blocks if isinstance(b, Paragraph))


def test_rule_sets_with_one_layout_share_a_drawing_and_silence_is_said() -> None:
    blocks = _blocks(*STATED)
    grids = [b.caption for b in blocks if isinstance(b, Grid)]
    assert grids == [
        "Every fastener of the ledger under IRC 2009",
        "Every fastener of the ledger under IRC 2018, IRC 2021",
    ]
    heads = [sheet.caption.partition(", 1 in")[0] for sheet in _sheets(*STATED)]
    assert heads == [
        f"Sheet L-{n} of 4. Ledger elevation, from outside, under {rule_sets}"
        for n, rule_sets in enumerate(["IRC 2009"] * 2 + ["IRC 2018, IRC 2021"] * 2, 1)
    ]
    words = _words(blocks)
    assert "No ledger elevation is drawn under IRC 2006: not regulated." in words
    assert "not taken from the design" in words
    assert "only the wood bounds them" in words  # 2009 has no clause on the band joist's edges


def test_the_schedule_beside_the_drawing_is_the_drawings_and_within_print() -> None:
    """2021 IRC Table R507.9.1.3(2) and its note b, typed again: 2 in from an end, the first in 5 in.

    The spacing of 16 in is the design's own.
    """
    blocks = _blocks(*STATED, names=("irc-2021",))
    drawn = "".join(sheet.svg for sheet in _sheets(*STATED, names=("irc-2021",)))
    grid = next(b for b in blocks if isinstance(b, Grid))
    rows = [[str(cell.text) for cell in row] for row in grid.rows]
    assert len(re.findall(r'<circle[^>]* r="5', drawn)) == len(rows)
    assert f"{len(rows)} through bolts of 1/2 in diameter" in _words(blocks)
    for piece, length in (("1", F(144)), ("2", F(96))):
        places = [parse_quantity(row[3]).value for row in rows if row[1] == piece]
        assert 2 <= places[0] <= 5
        assert 2 <= length - places[-1] <= 5
        assert all(b - a <= 16 for a, b in pairwise(places))
    assert {row[5] for row in rows} == {"lower", "upper"}
    assert "<title>" in drawn
    assert "<desc>" in drawn


def test_the_sheets_are_at_true_scale_with_a_title_block_and_no_type_under_8_pt() -> None:
    """A unit is a point in print: 1 in = 1 ft puts a ledger of 240 in on 20 in of strips."""
    sheets = _sheets(*STATED, names=("irc-2021",))
    ledger = 0.0
    for number, sheet in enumerate(sheets, 1):
        wide = float(re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', sheet.svg)[1])
        high = float(re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', sheet.svg)[2])
        assert sheet.width_in * 72 == pytest.approx(wide)
        assert sheet.width_in <= 11 - 2 * 0.8
        assert high / 72 <= 8.5 - 0.65 - 0.7
        assert min(map(float, re.findall(r'font-size="([\d.]+)"', sheet.svg))) >= 8
        assert overlaps(sheet.svg) == []
        boards = re.findall(r'width="([\d.]+)" height="55.5" fill="#f4f1ea"', sheet.svg)
        ledger += sum(map(float, boards))
        words = letters(sheet.svg)
        for label, told in (
            ("sheet", f"L-{number} of {len(sheets)}"), ("scale", "1 in = 1 ft (1:12)"),
            ("drawn by", "J. Doe"), ("checked by", "R. Roe"),
            ("date of the drawing", "2024-05-01"), ("revisions", "A 2024-05-07"),
        ):  # fmt: skip
            assert words[words.index(label) + 1] == told
    assert ledger / 72 == pytest.approx(20)
    assert "continued on sheet L-2" in " ".join(letters(sheets[0].svg))


def test_what_is_missing_is_asked_and_no_layout_is_made_up() -> None:
    rows_free = STATED[:2]
    blocks = _blocks(*rows_free, names=("irc-2021",))
    assert not [b for b in blocks if isinstance(b, Drawing | Grid)]
    assert "How long is the ledger along the wall?" in _words(blocks)
    assert "not known" in _words(blocks)


def test_rows_that_do_not_comply_are_not_laid_out() -> None:
    blocks = _blocks(STATED[2], names=("irc-2021",))
    assert not [b for b in blocks if isinstance(b, Drawing | Grid)]
    assert _words(blocks) == (
        "No ledger elevation is drawn under IRC 2021: does not comply, as told above."
    )


def test_a_deck_that_stands_free_has_no_ledger_to_draw() -> None:
    blocks = _blocks(("attachment: ledger", "attachment: freestanding"))
    assert _words(blocks) == NO_LEDGER


@pytest.mark.parametrize("file_format", ["html", "docx", "pdf"])
def test_the_report_carries_drawing_and_schedule(file_format: str) -> None:
    docx, pypdf = pytest.importorskip("docx"), pytest.importorskip("pypdf")
    pytest.importorskip("weasyprint")
    comparison = compare(_catalogue(), _design(*STATED), ["irc-2021"], topics=TOPICS)
    vocabulary = _catalogue().vocabulary
    drawings = tuple(comparison_drawings(drawn_answer(comparison, _catalogue().vocabulary)))
    answer = compare_answer(comparison, vocabulary)
    content = comparison_file(answer, vocabulary.sources, drawings, file_format)
    if file_format == "html":
        text = re.sub(r"<[^>]+>", " ", content.decode())
        names = re.findall(r'\bid="([^"]+)"', content.decode())
        assert len(names) == len(set(names))
    elif file_format == "docx":
        document = docx.Document(BytesIO(content))
        text = " ".join(p.text for p in document.paragraphs)
        text += " ".join(c.text for t in document.tables for r in t.rows for c in r.cells)
        assert (
            len(document.inline_shapes) == 4
        )  # the section, the elevation on two sheets, the plan
    else:
        text = " ".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(content)).pages)
    squeezed = re.sub(r"\s+", "", text)
    if file_format == "pdf":
        assert min(_points(content)) >= 7.99
    if file_format == "docx":
        drawn = [block for block in drawings if isinstance(block, Drawing)]
        assert len(drawn) == len(document.inline_shapes)
        for block, shape in zip(drawn, document.inline_shapes, strict=True):
            wide = float(re.search(r'viewBox="0 0 ([\d.]+) ', block.svg)[1])
            least = min(map(float, re.findall(r'font-size="([\d.]+)"', block.svg)))
            assert least * shape.width.inches / wide * 72 >= 7.9, block.caption
    grid = next(b for b in _blocks(*STATED, names=("irc-2021",)) if isinstance(b, Grid))
    assert "Ledgerelevation,fromoutside,underIRC2021,1in=1ft" in squeezed
    for row in grid.rows:
        assert "".join(re.sub(r"\s+", "", str(cell.text)) for cell in row) in squeezed


def _points(pdf: bytes) -> list[float]:
    """The size of every lettering of a PDF as it prints, drawings and text alike, points."""
    pypdf = pytest.importorskip("pypdf")
    sizes: list[float] = []

    def seen(text: str, page: list[float], line: list[float], _: object, size: float) -> None:
        if text.strip() and size:
            sizes.append(abs(size) * math.hypot(*line[2:4]) * math.hypot(*page[2:4]))

    for page in pypdf.PdfReader(BytesIO(pdf)).pages:
        page.extract_text(visitor_text=seen)
    return sizes
