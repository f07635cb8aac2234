"""The section sheet: one design under one rule set, to scale, every limit traced to its clause."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from deckclause.answers.section_scene import Scene
from deckclause.placement.constraints import Distance, exact_length_text
from deckclause.placement.sums import conflict_text, extreme_text
from deckclause.report.drawing.drafting import (
    INK,
    PAPER,
    WOOD,
    key,
    lettering,
    line,
    paragraph,
    rect,
    stack,
)
from deckclause.report.drawing.section_boards import boards
from deckclause.report.drawing.section_frame import (
    GAUGE,
    PANEL_WIDTH,
    PER_INCH,
    THICKNESS,
    Frame,
    frame_of,
    width,
)
from deckclause.report.drawing.section_gauges import gauges
from deckclause.report.drawing.svg import Node
from deckclause.report.drawing.title_block import MARGIN, scale_bar, sheet

KEY_WIDTH = 356.0


def draw_section(shown: Scene) -> str:
    """Return the section sheet as SVG text.

    A section that breaks a limit is drawn with the sums that say why, never with rows where none
    may be.
    """
    drawing = shown.drawing
    frame = frame_of(shown, MARGIN, 64)
    numbers = numbered(drawing.clauses)
    right = MARGIN + PANEL_WIDTH + 20
    wide = right + KEY_WIDTH + MARGIN
    limits, low = limit_list(drawing.clauses, right, 60, KEY_WIDTH)
    said, low = statements(shown, right, low + 14, KEY_WIDTH)
    foot = max(frame.bottom + 62, low + 12)
    return sheet(
        drawing.block,
        "Section through ledger and band joist",
        panel(shown, frame, numbers),
        legend(frame.left, frame.bottom + 22),
        scale_bar(frame.section + 420, frame.bottom + 16, PER_INCH, (0, 1, 2, 4)),
        limits,
        said,
        width=wide,
        foot=foot,
        title=f"{drawing.block.title}{_told(shown)} {drawing.block.rule_set}",
        summary=summary(shown),
    )


def numbered(clauses: Sequence[Distance]) -> dict[Distance, int]:
    """Give each limit its number on the drawing."""
    return {item: number for number, item in enumerate(dict.fromkeys(clauses), 1)}


def panel(shown: Scene, frame: Frame, numbers: dict[Distance, int]) -> Node:
    """Return the section with a gauge on either side, tied by dashed lines at the board edges."""
    section = shown.drawing.section
    ties: list[Node] = []
    ledger = frame.ledger(shown.drawing.sheathing)
    for position in (Fraction(0), section.band_joist_depth):
        y = frame.y(position)
        ties.append(line(frame.band_gauge + GAUGE, y, frame.section, y, 0.5, "6 3"))
    for position in (shown.drop, shown.drop + section.ledger_depth):
        y = frame.y(position)
        ties.append(line(ledger + width(THICKNESS), y, frame.ledger_gauge, y, 0.5, "6 3"))
    return stack((*ties, boards(shown, frame, numbers), gauges(shown, frame, numbers)))


def _told(shown: Scene) -> str:
    if shown.drawing.proposed:
        return ", as proposed: relief is asked under"
    return f": {verdict(shown)} under"


def verdict(shown: Scene) -> str:
    """Say whether the section as drawn keeps every limit."""
    if shown.drawing.proposed:
        return "as proposed, with relief"
    if shown.drawing.undecided:
        return "not known whether the rows comply"
    if shown.complies:
        return "the rows have a place"
    if shown.drawing.rows:
        return "rows as asked do not comply"
    short = exact_length_text(max(c.shortfall for c in shown.conflicts))
    return f"no place for the rows, {short} too much"


def summary(shown: Scene) -> str:
    """Say the drawing in words, for those who cannot see it."""
    section = shown.drawing.section
    parts = [
        f"{section.ledger_name} on {section.band_joist_name}, drop {exact_length_text(shown.drop)}.",
        f"{verdict(shown).capitalize()}.",
    ]
    if shown.rows is not None:
        parts.append(_rows_text(shown))
    return " ".join(parts)


def _rows_text(shown: Scene) -> str:
    assert shown.rows is not None
    upper, lower = (exact_length_text(r) for r in shown.rows)
    return f"Rows as drawn: upper {upper}, lower {lower} below the ledger's top."


def limit_list(
    clauses: Sequence[Distance], left: float, top: float, width: float
) -> tuple[Node, float]:
    """Return the numbered list of limits with clause and standing, and its lower edge."""
    parts = [
        lettering(left, top, "Limits, where each stands, and how well it is known", 11, bold=True)
    ]
    low = top + 20
    for item, number in numbered(clauses).items():
        parts.append(key(left + 9, low - 3, number))
        words = f"{item.bounds_text()}: {item.label}"
        written, low = paragraph(left + 24, low, words, width - 24, 10)
        parts += written
        source = f"{item.cites or 'no section cited'} · {item.standing or 'standing not stated'}"
        written, low = paragraph(left + 24, low, source, width - 24, 9)
        parts += written
        low += 7
    return stack(parts), low


def statements(shown: Scene, left: float, top: float, width: float) -> tuple[Node, float]:
    """Return what was worked out: rows, conflicts, greatest drop, step-down; and the lower edge."""
    parts = [lettering(left, top, "Worked out", 11, bold=True)]
    low = top + 18
    for words in worked_out(shown):
        written, low = paragraph(left, low, words, width, 10)
        parts += written
        low += 5
    return stack(parts), low


def worked_out(shown: Scene) -> list[str]:
    """Say in sentences what the drawing shows."""
    found = [_rows_text(shown)] if shown.rows is not None else []
    found += [f"Conflict: {conflict_text(c)}." for c in shown.conflicts]
    if not shown.conflicts_complete:
        found.append("There may be more conflicts than these.")
    if shown.greatest_drop is None:
        found.append("At no drop do these two boards leave a place for both rows.")
    else:
        found.append(f"Greatest drop of these boards: {extreme_text(shown.greatest_drop)}.")
    if shown.step_down is not None:
        word = "down" if shown.step_down >= 0 else "up"
        found.append(f"Step {word} from floor to deck: {exact_length_text(abs(shown.step_down))}.")
    else:
        found.append("Step-down not known: floor build-up or decking thickness is not stated.")
    return found


def legend(left: float, top: float, size: float = 9) -> Node:
    """Return what the hatches mean."""
    entries = (
        ("url(#hatch-closed)", "closed; in the section: to both rows"),
        ("url(#dots-open)", "open on this board taken alone"),
        (WOOD, "in the section: open to a row"),
        (INK, "bar: open on both boards"),
        ("url(#hatch-support)", "support, as stated"),
        ("dashed", "dashed, ?: nobody stated it"),
    )
    parts: list[Node] = []
    rows = (len(entries) + 1) // 2
    for index, (fill, words) in enumerate(entries):
        x, y = left + (index // rows) * (36 + 21 * size), top + (index % rows) * (size + 5)
        dashed = fill == "dashed"
        parts.append(
            rect(x, y - 8, 22, 10, PAPER if dashed else fill, 0.8, "4 3" if dashed else None)
        )
        parts.append(lettering(x + 28, y, words, size))
    return stack(parts)
