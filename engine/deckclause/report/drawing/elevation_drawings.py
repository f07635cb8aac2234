"""The ledger in elevation for a report: its layout in words and a schedule, and the sheets to draw."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from msgspec.structs import replace

from deckclause.answers.elevations import ElevationFound, ElevationLacking, ElevationsAnswer
from deckclause.answers.place_and_day import place_and_day
from deckclause.answers.sheet import PaperSheet, TitleBlock
from deckclause.evaluate.status import DOES_NOT_COMPLY, NOT_REGULATED, STATUS_TOLD
from deckclause.placement.layout_answer import LayoutAnswer
from deckclause.placement.schedule import COLUMNS
from deckclause.quantities import length_text
from deckclause.report.document import Block, Cell, Drawing, Grid, Paragraph
from deckclause.report.drawing.draw_from_design import elevation_drawing
from deckclause.report.drawing.elevation_strips import ElevationDrawing
from deckclause.report.drawing.paper_elevation import elevation_sheets
from deckclause.report.placing.layout_text import KIND_WORDS, line_lines, reasons, rows_lines
from deckclause.rulesets.names import rule_set_titles

NO_LEDGER = "No ledger elevation is drawn: the deck does not hang on a ledger, or it is not said."
ONLY_WOOD = "No clause keeps the rows from the band joist's edges: only the wood bounds them."
WORKED_OUT = (
    "Worked out, not taken from the design: the fewest fasteners that comply. Another layout may "
    "comply as well."
)


def elevation_blocks(answer: ElevationsAnswer) -> tuple[Block, ...]:
    """Return what a design's ledger comes to along the wall, with its schedule; the sheets are apart.

    Where there is no layout, words say why and what to ask.
    """
    if not answer.hangs:
        return (Paragraph(NO_LEDGER, "note"),)
    return (*_laid_out(answer), *_lacking(answer))


def elevation_drawings(answer: ElevationsAnswer, paper: PaperSheet) -> tuple[Drawing, ...]:
    """Return the sheets of every layout, to stand on pages of their own."""
    return elevation_sheets([_to_draw(answer.design, found) for found in answer.found], paper)


def _to_draw(name: str, found: ElevationFound) -> ElevationDrawing:
    place, day = place_and_day(found.names)
    block = TitleBlock(name, place, rule_set_titles(list(found.names)), day)
    return replace(elevation_drawing(name, found.layout, ""), block=block)


def _laid_out(answer: ElevationsAnswer) -> Iterator[Block]:
    for found in answer.found:
        layout, rule_sets = found.layout, rule_set_titles(list(found.names))
        words = [_count(layout), *rows_lines(layout), *line_lines(layout)]
        yield Paragraph(f"{rule_sets}: {' '.join(map(_sentence, words))}")
        yield Paragraph(" ".join([WORKED_OUT, *_cautions(layout)]), "note")
        rows = tuple(tuple(Cell(text) for text in row.cells()) for row in layout.schedule)
        headers = tuple(f"{column[0].upper()}{column[1:]}" for column in COLUMNS)
        yield Grid(f"Every fastener of the ledger under {rule_sets}", headers, rows)


def _lacking(answer: ElevationsAnswer) -> Iterator[Block]:
    without: dict[str, list[str]] = {}
    for lacking in answer.lacking:
        without.setdefault(lacking.fault or _why(lacking), []).extend(lacking.names)
    for why, shared in without.items():
        yield Paragraph(
            f"No ledger elevation is drawn under {rule_set_titles(shared)}: {why}", "note"
        )


def _sentence(words: str) -> str:
    return f"{words[0].upper()}{words[1:].rstrip('.')}."


def _count(answer: LayoutAnswer) -> str:
    assert answer.layout is not None
    facts = answer.placement.boards.facts
    kind = KIND_WORDS.get(str(facts.get("fasteners.kind")), "fasteners")
    diameter = facts.get("fasteners.diameter")
    size = f" of {length_text(diameter)} diameter" if isinstance(diameter, Fraction) else ""
    return f"{answer.layout.count} {kind}{size}, the fewest that comply along the ledger"


def _cautions(answer: LayoutAnswer) -> Iterator[str]:
    assert answer.layout is not None
    placement = answer.placement
    if placement.asked.status == NOT_REGULATED or not placement.speaks_of_band_joist:
        yield ONLY_WOOD
    yield from answer.layout.cautions


def _why(lacking: ElevationLacking) -> str:
    """Say why there is no layout, and what to find out; what fails is told with the failures."""
    assert lacking.layout is not None
    if lacking.layout.status == DOES_NOT_COMPLY:
        return f"{STATUS_TOLD[DOES_NOT_COMPLY]}, as told above."
    words = [f"{STATUS_TOLD[lacking.layout.status]}.", *map(_sentence, reasons(lacking.layout))]
    if lacking.questions:
        words.append(f"To find out: {' '.join(lacking.questions)}")
    return " ".join(words)
