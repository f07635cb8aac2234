"""The section as a sheet on letter paper: at the scale it states, in type one can read in print.

Scale: 3 in = 1 ft is an architect's scale (one quarter of full size). A dressed 2x10 is 9-1/4 in
deep and 1-1/2 in thick (PS 20-20 Table 3).
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from fractions import Fraction

import pytest

from deckclause.answers.section_scene import scene
from deckclause.answers.sheet import PaperSheet
from deckclause.report.document import Drawing, Grid
from deckclause.report.drawing import paper_section
from deckclause.report.drawing.paper_section import limit_blocks, section_sheet, sheet_cautions
from deckclause.report.drawing.title_block import ALWAYS
from report.scenes import SIZES, relieved, section_drawing
from report.test_drawings import letters, overlaps

POINTS = 72
FILLED = PaperSheet("S-1 of 2", "J. Doe", "R. Roe", "2024-05-01", "A 2024-05-07")


def _sheet(**change: str) -> Drawing:
    return section_sheet(scene(section_drawing(**change) if change else relieved()), FILLED)


def _inches_a_unit(sheet: Drawing) -> float:
    found = re.search(r'viewBox="0 0 ([\d.]+) ', sheet.svg)
    assert found
    return sheet.width_in / float(found[1])


def test_a_board_is_drawn_at_the_scale_the_title_block_states() -> None:
    sheet = _sheet()
    assert "3 in = 1 ft (1:4)" in " ".join(letters(sheet.svg))
    unit = _inches_a_unit(sheet)
    heights = {
        round(float(box.get("height", 0)) * unit * 4, 3)
        for box in ET.fromstring(sheet.svg).iter()
        if box.tag.endswith("rect") and abs(float(box.get("width", 0)) * unit * 4 - 1.5) < 0.01
    }
    assert 9.25 in heights


@pytest.mark.parametrize("size", SIZES[1:])
def test_no_lettering_is_smaller_than_8_pt_in_print_and_none_covers_another(size: str) -> None:
    sheet = _sheet(ledger=size, band="2x12")
    sizes = {float(s) for s in re.findall(r'font-size="([\d.]+)"', sheet.svg)}
    assert min(sizes) * _inches_a_unit(sheet) * POINTS >= 7.99
    assert overlaps(sheet.svg) == []


@pytest.mark.parametrize("size", SIZES[1:])
def test_the_sheet_fits_a_letter_page_on_its_side(size: str) -> None:
    sheet = _sheet(ledger=size, band="2x12")
    found = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', sheet.svg)
    assert found
    assert sheet.width_in <= 11 - 2 * 0.8
    assert float(found[2]) * _inches_a_unit(sheet) <= 8.5 - 0.65 - 0.7


def test_the_title_block_says_sheet_scale_hands_date_and_revisions() -> None:
    words = letters(_sheet().svg)
    for label, told in (
        ("sheet", "S-1 of 2"), ("drawn by", "J. Doe"), ("checked by", "R. Roe"),
        ("date of the drawing", "2024-05-01"), ("revisions", "A 2024-05-07"),
    ):  # fmt: skip
        assert words[words.index(label) + 1] == told


def test_limits_and_cautions_stand_beside_the_sheet() -> None:
    shown = scene(relieved())
    grid, *_ = limit_blocks(shown)
    assert isinstance(grid, Grid)
    assert len(grid.rows) == len(shown.drawing.clauses)
    assert ALWAYS[0].split(":")[0] in " ".join(letters(_sheet().svg))
    assert ALWAYS[1] in str(sheet_cautions([shown]))


@pytest.mark.parametrize("drop", [5, 7, 9, 11])
def test_a_deep_drop_takes_a_smaller_scale_in_the_same_type(drop: int) -> None:
    sheet = section_sheet(scene(section_drawing("2x12", "2x12", drop=Fraction(drop))), FILLED)
    assert re.search(r"\(1:[56]\)|, 1:5 ", sheet.caption)
    sizes = {float(s) for s in re.findall(r'font-size="([\d.]+)"', sheet.svg)}
    assert min(sizes) * _inches_a_unit(sheet) * POINTS >= 7.99
    assert overlaps(sheet.svg) == []


def test_a_section_too_deep_for_every_scale_is_fitted_and_claims_no_scale(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(paper_section, "SCALES", paper_section.SCALES[:1])
    sheet = section_sheet(scene(section_drawing("2x12", "2x12", drop=Fraction(9))), FILLED)
    assert sheet.width_in == 0  # fitted to the page, so that its foot with the cautions is on it
    told = " ".join([sheet.caption, *letters(sheet.svg)])
    assert "fitted to the page" in told
    assert "1:" not in told
