"""Invented decks to draw, under the 2012 placement limits and one relief of 2015."""

from __future__ import annotations

from fractions import Fraction as F

from msgspec.structs import replace

from deckclause.answers.section_scene import SectionDrawing, scene
from deckclause.answers.sheet import TitleBlock
from deckclause.placement.layout import lay_out
from deckclause.placement.ledger_line import clear_of_joists, joist_lines
from deckclause.placement.steps import step_table
from deckclause.report.drawing.draw_section import draw_section
from deckclause.report.drawing.draw_steps import StepChart
from deckclause.report.drawing.draw_two_sections import draw_two_sections
from deckclause.report.drawing.elevation_strips import ElevationDrawing
from placement.trade_limits import clauses_2012, provider_2012, section
from placement.trade_lines import ledger_line

BLOCK = TitleBlock("Maple Lane deck", "Town of Fernhill (invented)", "IRC 2012", "2024-05-01")
SIZES = ("2x6", "2x8", "2x10", "2x12")
ROW_DEPTHS = {"upper": F(5, 2), "lower": F(27, 4)}


def section_drawing(
    ledger: str = "2x10",
    band: str = "2x10",
    drop: F = F(3, 4),
    joist: str | None = "2x8",
    rows: tuple[F, F] | None = None,
    band_bottom: F = F(2),
    rule_set: str = "IRC 2012",
) -> SectionDrawing:
    return SectionDrawing(
        replace(BLOCK, rule_set=rule_set),
        section(ledger, band, drop, joist),
        tuple(clauses_2012(ledger, band_bottom)),
        rows,
    )


def relieved() -> SectionDrawing:
    """The 2015 relief, a band joist carried by a sill: 3/4 in at its bottom edge (note e)."""
    return section_drawing(drop=F(3, 2), band_bottom=F(3, 4), rule_set="IRC 2015, on a sill")


def elevation_drawing(length: int = 300, spacing: int = 15) -> ElevationDrawing:
    line = ledger_line(
        length,
        spacing,
        splices=(128,),
        band_splices=(64, 160),
        clear=clear_of_joists(joist_lines(16, 16, length), F(3, 2), F(1)),
    )
    return ElevationDrawing(BLOCK, lay_out(line), "2x10 ledger", F(37, 4), ROW_DEPTHS)


def step_chart(wanted: F | None = F(3)) -> StepChart:
    return StepChart(BLOCK, step_table(provider_2012, SIZES, SIZES, SIZES), wanted)


def drawn(asked: SectionDrawing) -> str:
    """Work a section out and draw it."""
    return draw_section(scene(asked))


def drawn_two(left: SectionDrawing, right: SectionDrawing) -> str:
    """Work two sections out and draw them on one sheet."""
    return draw_two_sections(scene(left), scene(right))
