"""The ledger in elevation for a report: one drawing for each layout, or in words what is missing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from deckclause.answers.elevations import ElevationLacking, ElevationsAnswer
from deckclause.answers.place_and_day import place_and_day
from deckclause.answers.sheet import TitleBlock
from deckclause.evaluate.status import NOT_REGULATED, STATUS_TOLD
from deckclause.placement.layout_answer import LayoutAnswer
from deckclause.placement.schedule import COLUMNS
from deckclause.quantities import length_text
from deckclause.report.document import Block, Cell, Drawing, Grid, Paragraph
from deckclause.report.drawing.draw_elevation import draw_elevation
from deckclause.report.drawing.draw_from_design import elevation_drawing
from deckclause.report.placing.layout_text import KIND_WORDS, line_lines, reasons, rows_lines
from deckclause.rulesets.names import rule_set_titles

NO_LEDGER = "No ledger elevation is drawn: the deck does not hang on a ledger, or it is not said."
ONLY_WOOD = "No clause keeps the rows from the band joist's edges: only the wood bounds them."
WORKED_OUT = (
    "Worked out, not taken from the design: the fewest fasteners that comply. Another layout may "
    "comply as well."
)


def elevation_blocks(answer: ElevationsAnswer) -> tuple[Block, ...]:
    """Return the elevations of a design's ledger under rule sets, each with its schedule.

    Where there is none, words say why and what to ask.
    """
    if not answer.hangs:
        return (Paragraph(NO_LEDGER, "note"),)
    return tuple(_blocks(answer))


def _blocks(answer: ElevationsAnswer) -> Iterator[Block]:
    for found in answer.found:
        yield from _elevation(answer.design, found.layout, found.names)
    without: dict[str, list[str]] = {}
    for lacking in answer.lacking:
        without.setdefault(lacking.fault or _why(lacking), []).extend(lacking.names)
    for why, shared in without.items():
        yield Paragraph(
            f"No ledger elevation is drawn under {rule_set_titles(shared)}: {why}", "note"
        )


def _elevation(name: str, answer: LayoutAnswer, names: Sequence[str]) -> Iterator[Block]:
    rule_sets = rule_set_titles(list(names))
    place, day = place_and_day(names)
    drawing = elevation_drawing(name, answer, "")
    svg = draw_elevation(replace(drawing, block=TitleBlock(name, place, rule_sets, day)))
    words = [_count(answer), *rows_lines(answer), *line_lines(answer)]
    caption = f"Ledger elevation under {rule_sets}."
    yield Drawing(svg, caption, " ".join(map(_sentence, words)))
    yield Paragraph(" ".join([WORKED_OUT, *_cautions(answer)]), "note")
    rows = tuple(tuple(Cell(text) for text in row.cells()) for row in answer.schedule)
    headers = tuple(f"{column[0].upper()}{column[1:]}" for column in COLUMNS)
    yield Grid(f"Every fastener of the ledger under {rule_sets}", headers, rows)


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
    """Say why there is no layout, and what to find out."""
    assert lacking.layout is not None
    words = [f"{STATUS_TOLD[lacking.layout.status]}.", *map(_sentence, reasons(lacking.layout))]
    if lacking.questions:
        words.append(f"To find out: {' '.join(lacking.questions)}")
    return " ".join(words)
