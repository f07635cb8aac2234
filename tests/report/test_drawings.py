"""Every drawing: as it was approved, well formed, nothing lettered over anything else.

The approved drawings are in golden/. After a wanted change, look at each new drawing, then write
it with `APPROVE_DRAWINGS=1 pytest tests/report/test_drawings.py`.
"""

from __future__ import annotations

import os
import xml.etree.ElementTree as ET
from collections.abc import Callable
from fractions import Fraction as F
from pathlib import Path

import pytest
from msgspec.structs import replace

from deckclause.engineering.cautions import for_topic
from deckclause.placement.boards import Section, SectionError
from deckclause.placement.constraints import Distance
from deckclause.placement.layout import lay_out
from deckclause.placement.steps import Excluded, step_row
from deckclause.report.drawing.draw_elevation import draw_elevation
from deckclause.report.drawing.draw_steps import StepChart, draw_steps
from deckclause.report.drawing.draw_two_sections import differs, paired
from deckclause.report.drawing.elevation_strips import ElevationDrawing
from deckclause.report.drawing.rendered import NoRendererError, can_render, png_of
from deckclause.report.drawing.title_block import ALWAYS
from placement.trade_lines import ledger_line
from report.scenes import (
    BLOCK,
    ROW_DEPTHS,
    drawn,
    drawn_two,
    elevation_drawing,
    relieved,
    section_drawing,
    step_chart,
)

GOLDEN = Path(__file__).parent / "golden"
SPACE = "{http://www.w3.org/2000/svg}"

DRAWINGS: dict[str, Callable[[], str]] = {
    "section": lambda: drawn(section_drawing()),
    "section_impossible": lambda: drawn(section_drawing("2x12", "2x10", F(0), None)),
    "section_rows_asked": lambda: drawn(section_drawing(rows=(F(2), F(5)))),
    "two_rule_sets": lambda: drawn_two(section_drawing(drop=F(3, 2)), relieved()),
    "elevation": lambda: draw_elevation(elevation_drawing()),
    "elevation_impossible": lambda: draw_elevation(impossible_elevation()),
    "steps": lambda: draw_steps(step_chart()),
}


def impossible_elevation() -> ElevationDrawing:
    layout = lay_out(ledger_line(60, 6, splices=(30,), band_splices=(33,)))
    return ElevationDrawing(BLOCK, layout, "2x10 ledger", F(37, 4), ROW_DEPTHS)


@pytest.mark.parametrize("name", DRAWINGS)
def test_the_drawing_is_as_approved(name: str) -> None:
    path = GOLDEN / f"{name}.svg"
    sheet = DRAWINGS[name]()
    if os.environ.get("APPROVE_DRAWINGS"):
        path.write_text(sheet, encoding="utf-8")
    assert sheet == path.read_text(encoding="utf-8"), f"{name} changed; see this file's heading"


@pytest.mark.parametrize("name", DRAWINGS)
def test_every_drawing_carries_its_cautions_and_title_block(name: str) -> None:
    words = " ".join(letters(DRAWINGS[name]()))
    for caution in ALWAYS:
        assert caution.split(":")[0] in words
    for caution in for_topic("ledger"):
        assert caution.short in words or caution.key == "not_a_design"  # said at more length
    for part in (BLOCK.title, "Fernhill", "2012", BLOCK.date, "All lengths in inches"):
        assert part in words


def letters(svg: str) -> list[str]:
    return [t.text or "" for t in ET.fromstring(svg).iter(f"{SPACE}text")]


Box = tuple[float, float, float, float, str]


def boxes(svg: str) -> tuple[float, float, list[Box]]:
    """The rough outline of each line of text: 0.56 of its size a letter."""
    root = ET.fromstring(svg)
    found: list[Box] = []
    for node in root.iter(f"{SPACE}text"):
        size, x, y = (float(node.attrib[k]) for k in ("font-size", "x", "y"))
        wide = size * 0.56 * len(node.text or "")
        x -= {None: 0.0, "middle": wide / 2, "end": wide}[node.get("text-anchor")]
        found.append((x, y - size * 0.75, x + wide, y + size * 0.2, node.text or ""))
    return float(root.attrib["width"]), float(root.attrib["height"]), found


def overlaps(svg: str) -> list[tuple[str, str]]:
    wide, high, found = boxes(svg)
    clashes = [
        (a[4], b[4])
        for i, a in enumerate(found)
        for b in found[:i]
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
    ]
    off = [b for b in found if b[0] < 0 or b[1] < 0 or b[2] > wide or b[3] > high]
    return clashes + [(b[4], "the edge of the sheet") for b in off]


@pytest.mark.parametrize("ledger", ["2x8", "2x10", "2x12"])
@pytest.mark.parametrize("band", ["2x8", "2x10", "2x12"])
def test_no_lettering_covers_another_on_any_section(ledger: str, band: str) -> None:
    for drop in (F(0), F(1, 4), F(3, 4), F(2), F(5)):
        for joist in ("2x6", "2x10", None):
            sheet = drawn(section_drawing(ledger, band, drop, joist))
            assert overlaps(sheet) == [], (drop, joist)


@pytest.mark.parametrize("name", DRAWINGS)
def test_no_lettering_covers_another_on_the_sheets(name: str) -> None:
    assert overlaps(DRAWINGS[name]()) == []


@pytest.mark.parametrize(("length", "spacing"), [(140, 15), (480, 15), (300, 8), (144, 29)])
def test_no_lettering_covers_another_on_any_elevation(length: int, spacing: int) -> None:
    assert overlaps(draw_elevation(elevation_drawing(length, spacing))) == []


def test_hostile_words_stay_words() -> None:
    nasty = "</text><script>alert(1)</script>"
    drawing = section_drawing()
    block = replace(drawing.block, title=nasty, place=nasty, rule_set=nasty, cautions=(nasty,))
    clauses = tuple(replace(c, label=nasty, cites=nasty) for c in drawing.clauses)
    sheet = drawn(replace(drawing, block=block, clauses=clauses))
    tags = {node.tag.removeprefix(SPACE) for node in ET.fromstring(sheet).iter()}
    assert "script" not in tags


def test_the_section_lists_each_limit_with_its_clause_and_standing() -> None:
    words = letters(DRAWINGS["section"]())
    assert "Table R507.2.1 note d · confirmed" in words
    assert "at least 6-1/2 in: lower row below ledger top" in words
    unknown = replace(section_drawing().clauses[0], cites="", standing="")
    sheet = drawn(replace(section_drawing(), clauses=(unknown,)))
    assert "no section cited · standing not stated" in letters(sheet)


def test_an_impossible_section_draws_no_rows_and_says_why() -> None:
    words = " ".join(letters(DRAWINGS["section_impossible"]()))
    assert "1/4 in too much" in words
    assert "At no drop do these two boards leave a place for both rows." in words
    assert "Rows as drawn" not in words


def test_an_unknown_floor_is_said() -> None:
    drawing = section_drawing()
    bare = replace(drawing.section, floor_build_up=None, decking=None)
    words = " ".join(letters(drawn(replace(drawing, section=bare))))
    assert "Step-down not known" in words
    assert "step-down" not in words


def test_a_deck_above_the_floor_steps_up() -> None:
    drawing = section_drawing(drop=F(0), joist=None)
    high = replace(drawing.section, floor_build_up=F(1, 2), decking=F(3, 2))
    words = " ".join(letters(drawn(replace(drawing, section=high))))
    assert "Step up from floor to deck: 1 in." in words


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"rows": (F(5), F(2))}, "exchange the two"),
        ({"rows": (F(2), F(12))}, "lower row at 12 in"),
        ({"rows": (F(-1), F(5))}, "upper row at -1 in"),
        ({"sheathing": F(-1)}, "cannot be negative"),
        ({"section": Section(F(37, 4), F(37, 4))}, "state the drop"),
        ({"section": Section(F(37, 4), F(37, 4), drop=F(10))}, "below the band joist"),
    ],
)
def test_nonsense_is_refused(change: dict[str, object], message: str) -> None:
    with pytest.raises(SectionError, match=message):
        drawn(replace(section_drawing(), **change))  # type: ignore[arg-type]


def test_limits_that_differ_are_marked_and_paired() -> None:
    pairs = paired(section_drawing().clauses, relieved().clauses)
    assert [a.label for a, b in pairs if a and differs((a, b))] == ["band joist bottom edge"]
    only = Distance("ledger.top_edge", "fasteners.upper_row", F(1), None, "one side only")
    lone = replace(relieved(), clauses=(*relieved().clauses, only))
    words = letters(drawn_two(section_drawing(), lone))
    assert "differs: one side only" in words
    assert "no such limit in this rule set" in words


def test_a_possible_row_is_marked_where_it_meets_the_wanted_step() -> None:
    words = letters(draw_steps(step_chart(F(3))))
    assert "3-1/4 in ●" in words
    assert not any("●" in w for w in letters(draw_steps(step_chart(None))))


def test_a_chart_without_floors_tells_the_joists_drop() -> None:
    rows = tuple(replace(r, step_down=None) for r in step_chart().rows)
    words = " ".join(letters(draw_steps(StepChart(BLOCK, rows, F(1)))))
    assert "greatest distance of the joist tops" in words
    assert "Step-down not known" in words


def test_a_chart_may_mix_excluded_and_possible_joists() -> None:
    rows = [r for r in step_chart().rows if r.ledger_size == r.band_joist_size == "2x12"]
    rows[0] = step_row("2x12", "2x12", "2x6", Excluded("joist too small"))
    assert "excluded: joist too small" in letters(draw_steps(StepChart(BLOCK, tuple(rows))))
    with pytest.raises(ValueError, match="no combination"):
        draw_steps(StepChart(BLOCK, ()))


def test_every_fastener_is_drawn_once_with_its_number() -> None:
    drawing = elevation_drawing()
    words = letters(draw_elevation(drawing))
    numbers = [w for w in words if w.isdigit() and 0 < int(w) <= drawing.layout.count]
    scale = {"6", "12"}
    assert sorted(map(int, numbers)) == sorted(
        [*range(1, drawing.layout.count + 1), *(int(s) for s in scale)]
    )


def test_png_where_a_renderer_is_installed() -> None:
    if can_render():
        assert png_of(DRAWINGS["section"](), scale=1.0).startswith(b"\x89PNG")
    else:
        with pytest.raises(NoRendererError, match="pip install cairosvg"):
            png_of(DRAWINGS["section"]())


def test_without_a_renderer_the_error_says_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    def absent(name: str) -> None:
        raise ImportError(name)

    monkeypatch.setattr("deckclause.report.drawing.rendered.import_module", absent)
    with pytest.raises(NoRendererError, match="keep the SVG"):
        png_of("<svg/>")
