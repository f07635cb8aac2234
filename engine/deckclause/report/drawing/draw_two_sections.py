"""Two rule sets side by side: the same boards, the same scale, the limits that differ marked."""

from __future__ import annotations

from collections.abc import Sequence

from deckclause.answers.section_scene import Scene, SectionDrawing
from deckclause.answers.sheet import TitleBlock
from deckclause.placement.constraints import Distance
from deckclause.report.drawing.drafting import (
    key,
    lettering,
    line,
    paragraph,
    stack,
)
from deckclause.report.drawing.draw_section import (
    legend,
    panel,
    summary,
    verdict,
    worked_out,
)
from deckclause.report.drawing.section_frame import PANEL_WIDTH, PER_INCH, frame_of
from deckclause.report.drawing.svg import Node
from deckclause.report.drawing.title_block import MARGIN, scale_bar, sheet

BETWEEN = 36.0
COLUMNS = (0.30, 0.35, 0.35)


def draw_two_sections(one: Scene, two: Scene) -> str:
    """Return both sections on one sheet as SVG text, with one list of limits below.

    A limit has one number on both sides: the same datums and the same label are the same limit.
    """
    scenes = (one, two)
    left, right = one.drawing, two.drawing
    pairs = paired(left.clauses, right.clauses)
    step = PANEL_WIDTH + BETWEEN
    frames = [frame_of(s, MARGIN + i * step, 84) for i, s in enumerate(scenes)]
    wide = 2 * MARGIN + 2 * PANEL_WIDTH + BETWEEN
    parts: list[Node] = []
    for index, (shown, frame) in enumerate(zip(scenes, frames, strict=True)):
        numbers = {
            pair[index]: number for number, pair in enumerate(pairs, 1) if pair[index] is not None
        }
        head = f"{shown.drawing.block.rule_set}: {verdict(shown)}"
        parts.append(lettering(frame.left, 62, head, 13, bold=True))
        parts.append(panel(shown, frame, numbers))  # type: ignore[arg-type]
    low = max(frame.bottom for frame in frames) + 24
    parts.append(legend(MARGIN, low))
    parts.append(scale_bar(frames[0].section + 420, low - 6, PER_INCH, (0, 1, 2, 4)))
    middle = MARGIN + PANEL_WIDTH + BETWEEN / 2
    parts.append(line(middle, 50, middle, low - 10, 0.8, "8 4"))
    names = (left.block.rule_set, right.block.rule_set)
    table, low = limit_table(pairs, names, MARGIN, low + 58, wide - 2 * MARGIN)
    said = [" ".join(worked_out(s)) for s in scenes]
    notes, low = _row(("worked out", *said), MARGIN, low + 4, wide - 2 * MARGIN)
    return sheet(
        _joint(left, right),
        "Two rule sets",
        *parts,
        table,
        notes,
        width=wide,
        foot=low + 12,
        title=f"{left.block.title}: one section under two rule sets",
        summary=" ".join(f"{s.drawing.block.rule_set}: {summary(s)}" for s in scenes),
    )


def _joint(left: SectionDrawing, right: SectionDrawing) -> TitleBlock:
    a, b = left.block, right.block
    place = a.place if a.place == b.place else f"{a.place}; {b.place}"
    cautions = tuple(dict.fromkeys((*a.cautions, *b.cautions)))
    return TitleBlock(a.title, place, f"{a.rule_set} and {b.rule_set}", a.date, cautions)


Pair = tuple[Distance | None, Distance | None]


def paired(left: Sequence[Distance], right: Sequence[Distance]) -> list[Pair]:
    """Pair the limits of two rule sets by datums and label; None where one has no such limit."""
    ours = {(d.start, d.end, d.label): d for d in left}
    theirs = {(d.start, d.end, d.label): d for d in right}
    return [(ours.get(name), theirs.get(name)) for name in dict.fromkeys((*ours, *theirs))]


def differs(pair: Pair) -> bool:
    """Whether the two rule sets ask for different things."""
    a, b = pair
    return a is None or b is None or (a.least, a.most) != (b.least, b.most)


def limit_table(
    pairs: Sequence[Pair], names: tuple[str, str], left: float, top: float, width: float
) -> tuple[Node, float]:
    """Return the limits of both rule sets in one table, and its lower edge."""
    head, low = _row(("limit", *names), left, top, width, bold=True)
    parts = [head, line(left, low - 8, left + width, low - 8, 1.2)]
    low += 8
    for number, pair in enumerate(pairs, 1):
        known = pair[0] or pair[1]
        assert known is not None
        mark = "differs: " if differs(pair) else ""
        cells = (f"{mark}{known.label}", *(_said(d) for d in pair))
        row, below = _row(cells, left, low, width, indent=24)
        parts += [key(left + 9, low - 3, number), row]
        low = max(below, low + 20)
    return stack(parts), low


def _said(item: Distance | None) -> str:
    if item is None:
        return "no such limit in this rule set"
    source = item.cites or "no section cited"
    return f"{item.bounds_text()} · {source} · {item.standing or 'standing not stated'}"


def _row(
    cells: Sequence[str],
    left: float,
    top: float,
    width: float,
    *,
    bold: bool = False,
    indent: float = 0,
) -> tuple[Node, float]:
    """Return one row of the table; `indent` moves the first cell in, for its number."""
    parts: list[Node] = []
    at, low = left, top
    for words, share in zip(cells, COLUMNS, strict=True):
        if bold:
            parts.append(lettering(at, top, words, 10, bold=True))
            low = max(low, top + 14)
        else:
            inset = indent if at == left else 0
            written, below = paragraph(at + inset, top, words, width * share - 14 - inset, 10)
            parts += written
            low = max(low, below)
        at += width * share
    return stack(parts), low
