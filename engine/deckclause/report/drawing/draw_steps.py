"""The chart of sizes: how far each ledger, band joist and joist lets the deck step down."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from deckclause.answers.sheet import TitleBlock
from deckclause.placement.constraints import exact_length_text
from deckclause.placement.steps import Range, StepRow
from deckclause.report.drawing.drafting import (
    INK,
    PAPER,
    lettering,
    line,
    paragraph,
    rect,
    stack,
    wrapped,
)
from deckclause.report.drawing.svg import Node
from deckclause.report.drawing.title_block import MARGIN, sheet

SIDE, HEAD = 92.0, 96.0
CELL, LINE = 236.0, 22.0
BAR = 84.0


class StepChart(Struct, frozen=True):
    """A table of sizes to draw; `wanted` (inches) marks the combinations that allow it.

    Where the rows tell no step-down (the floor is unknown) the joists' drop below the band
    joist's top is charted instead, and said to be so.
    """

    block: TitleBlock
    rows: tuple[StepRow, ...]
    wanted: Fraction | None = None


def draw_steps(chart: StepChart) -> str:
    """Return the chart as SVG text. Raises ValueError where there are no rows."""
    if not chart.rows:
        raise ValueError("there is no combination of sizes to chart")
    ledgers = list(dict.fromkeys(r.ledger_size for r in chart.rows))
    bands = list(dict.fromkeys(r.band_joist_size for r in chart.rows))
    joists = list(dict.fromkeys(r.joist_size for r in chart.rows))
    height = LINE * (len(joists) + 1) + 26
    width = max(900.0, 2 * MARGIN + SIDE + CELL * len(bands))
    parts = _heads(ledgers, bands, height)
    for i, ledger in enumerate(ledgers):
        for j, band in enumerate(bands):
            cell = [r for r in chart.rows if (r.ledger_size, r.band_joist_size) == (ledger, band)]
            parts.append(_cell(chart, cell, MARGIN + SIDE + j * CELL, HEAD + i * height, height))
    notes, low = _notes(chart, HEAD + height * len(ledgers) + 22, width)
    return sheet(
        chart.block,
        "Step-down by sizes of lumber",
        *parts,
        notes,
        width=width,
        foot=low + 8,
        title=f"{chart.block.title}: {_measure(chart)} under {chart.block.rule_set}",
        summary=_summary(chart),
    )


def _told(chart: StepChart) -> bool:
    return any(r.step_down is not None for r in chart.rows)


def _measure(chart: StepChart) -> str:
    return (
        "greatest step-down"
        if _told(chart)
        else "greatest distance of the joist tops below the band joist top"
    )


def _range(chart: StepChart, row: StepRow) -> Range | None:
    return row.step_down if _told(chart) else row.joist_drop


def _summary(chart: StepChart) -> str:
    possible = sum(1 for r in chart.rows if r.is_feasible)
    return f"{possible} of {len(chart.rows)} combinations leave a place for both rows."


def _heads(ledgers: Sequence[str], bands: Sequence[str], height: float) -> list[Node]:
    parts = [lettering(MARGIN, HEAD - 12, "ledger", 9)]
    parts.append(lettering(MARGIN + SIDE, HEAD - 36, "band joist", 9))
    for j, band in enumerate(bands):
        parts.append(lettering(MARGIN + SIDE + j * CELL + 8, HEAD - 12, band, 13, bold=True))
    for i, ledger in enumerate(ledgers):
        parts.append(lettering(MARGIN, HEAD + i * height + 24, ledger, 13, bold=True))
    return parts


def _cell(chart: StepChart, rows: Sequence[StepRow], x: float, y: float, height: float) -> Node:
    parts: list[Node] = []
    reason = _closed_reason(rows)
    if reason is not None:
        parts.append(rect(x, y, CELL, height, "url(#hatch-closed)", 0))
        lines = [t for words in reason for t in wrapped(words, CELL - 28, 9)][
            : int(height / 14) - 1
        ]
        parts.append(rect(x + 6, y + 6, CELL - 12, 14.0 * len(lines) + 8, PAPER, 0.6))
        parts += [lettering(x + 12, y + 19 + 14 * i, t, 9) for i, t in enumerate(lines)]
    else:
        parts.append(lettering(x + 8, y + 15, _drop_text(rows), 9))
        for index, row in enumerate(rows):
            parts.append(_bar(chart, row, x, y + LINE * (index + 1)))
        parts += _axis(chart, x + 66, y + LINE * (len(rows) + 1))
    parts.append(rect(x, y, CELL, height, "none", 1.2))
    return stack(parts)


def _closed_reason(rows: Sequence[StepRow]) -> list[str] | None:
    """Say why no joist size helps: the sizes are excluded, or the boards conflict."""
    if all(r.excluded for r in rows):
        found = rows[0].excluded
        assert found is not None
        return ["excluded", found.reason, found.cites or "no section cited"]
    short = [r.shortfall for r in rows if r.shortfall is not None]
    if len(short) == len(rows):
        return ["no place for both rows", f"{exact_length_text(max(short))} too much at any drop"]
    return None


def _drop_text(rows: Sequence[StepRow]) -> str:
    drops = [r.drop.greatest.value for r in rows if r.drop is not None]
    known = [d for d in drops if d is not None]
    return f"drop of ledger up to {exact_length_text(max(known))}" if known else "drop not bounded"


def _bar(chart: StepChart, row: StepRow, x: float, y: float) -> Node:
    """Draw one joist size: its name, a bar from least to greatest, the greatest in words."""
    parts = [lettering(x + 8, y + 13, f"{row.joist_size} joist", 9)]
    start = x + 66
    found = _range(chart, row)
    greatest = found.greatest.value if found is not None else None
    if not row.is_feasible or greatest is None:
        parts.append(lettering(start, y + 13, _unanswered(row), 9))
        return stack(parts)
    scale = BAR / float(_widest(chart))
    low = max(Fraction(0), found.least.value or Fraction(0)) if found else Fraction(0)
    a, b = start + float(low) * scale, start + float(max(greatest, Fraction(0))) * scale
    parts.append(line(start, y + 15, start + BAR, y + 15, 0.5))
    if greatest >= 0:
        parts.append(rect(a, y + 5, max(b - a, 1.5), 10, "url(#dots-open)", 1))
    mark = "●" if chart.wanted is not None and _allows(chart, row) else ""
    words = f"{_signed(greatest)} {mark}".rstrip()
    parts.append(lettering(start + BAR + 6, y + 13, words, 9, bold=bool(mark)))
    if chart.wanted is not None and 0 <= chart.wanted <= _widest(chart):
        at = start + float(chart.wanted) * scale
        parts.append(line(at, y + 2, at, y + 18, 1.2, "2 1", INK))
    return stack(parts)


def _axis(chart: StepChart, start: float, y: float) -> list[Node]:
    """Write the figures the bars are measured by: nothing, and the widest of the chart."""
    widest = _widest(chart)
    ticks = ((start, "0"), (start + BAR, exact_length_text(widest)))
    parts = [line(start, y, start + BAR, y, 0.8)]
    for at, words in ticks:
        parts += [line(at, y - 3, at, y + 3, 0.8), lettering(at, y + 13, words, 9, "middle")]
    return parts


def _signed(length: Fraction) -> str:
    """Say a step that goes up as such, never as a negative length."""
    return exact_length_text(length) if length >= 0 else f"{exact_length_text(-length)} up"


def _allows(chart: StepChart, row: StepRow) -> bool:
    found = _range(chart, row)
    return (
        chart.wanted is not None
        and row.is_feasible
        and found is not None
        and found.holds(chart.wanted)
    )


def _unanswered(row: StepRow) -> str:
    if row.excluded is not None:
        return f"excluded: {row.excluded.reason}"[:30]
    if row.shortfall is not None:
        return f"{exact_length_text(row.shortfall)} too much"
    return "not bounded"


def _widest(chart: StepChart) -> Fraction:
    found = [
        r.greatest.value
        for row in chart.rows
        if (r := _range(chart, row)) is not None and r.greatest.value is not None
    ]
    return max([Fraction(1), *found, chart.wanted or Fraction(0)])


def _notes(chart: StepChart, top: float, width: float) -> tuple[Node, float]:
    said = [
        "Bar: from the least to the greatest, over every permitted drop of the ledger, on the scale "
        "under it; no bar where the deck would stand above the floor. "
        "Hatched: the two boards leave no place for both rows, or the size is excluded."
    ]
    if not _told(chart):
        said.append(
            "Step-down not known: floor build-up or decking thickness is not stated; how "
            "far the joist tops lie below the band joist's top is charted."
        )
    if chart.wanted is not None:
        what = "step-down" if _told(chart) else "joist tops"
        said.append(
            f"Dashed mark: the {what} wanted, {exact_length_text(chart.wanted)}; a dot marks a "
            "combination that allows exactly so much."
        )
    parts: list[Node] = []
    low = top
    for words in said:
        written, low = paragraph(MARGIN, low, words, width - 2 * MARGIN, 10)
        parts += written
        low += 3
    return stack(parts), low
