"""A chart of where rule sets part, over two measures, in the hand of every other drawing.

Each way of parting has a number, a pattern and its line in the list under the panels.
"""

from __future__ import annotations

from fractions import Fraction

from deckclause.compare.regions import Region, Regions
from deckclause.evaluate.regions.space import Range, Space
from deckclause.evaluate.regions.words import RegionWords
from deckclause.evaluate.words import fact_text
from deckclause.quantities import LENGTH
from deckclause.report.drawing.drafting import (
    INK,
    PAPER,
    heading,
    key,
    lettering,
    line,
    on_paper,
    paragraph,
    rect,
)
from deckclause.report.drawing.svg import Node, document, element, render
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary

MOST_PANELS = 12
WIDE, HIGH, LEFT, EDGE = 620.0, 240.0, 96.0, 16.0
"""A panel, the room for its figures on the left, and the sheet's edge."""
LETTERS = 11.0
PATTERNS: tuple[tuple[float, int, float], ...] = (
    (7, 45, 0.7), (7, -45, 0.7), (7, 0, 0.7), (7, 90, 0.7),
    (4, 45, 0.7), (4, -45, 0.7), (4, 0, 0.7), (4, 90, 0.7), (11, 45, 1.6), (11, -45, 1.6),
)  # fmt: skip
"""Hatches by pitch, angle and weight, no two alike; past the last the numbers alone tell apart."""


def regions_chart(
    regions: Regions, vocabulary: Vocabulary, across: str, up: str, *, si: bool = False
) -> str:
    """Draw the regions over two measures, one panel for each combination of everything else.

    Raises InputError where a quantity is no measure the topic reads, or where too much else
    matters: narrow it with --given.
    """
    for name in (across, up):
        definition = vocabulary.quantities.get(name)
        if name not in regions.reads or definition is None or definition.dimension is None:
            measures = [q for q in regions.reads if vocabulary.quantities[q].dimension is not None]
            raise InputError.single(
                "--chart", f"'{name}' is no measure this topic reads; one of: {', '.join(measures)}"
            )
    panels = _panels(regions, vocabulary, {across, up}, si=si)
    if len(panels) > MOST_PANELS:
        raise InputError.single(
            "--chart", f"needs {len(panels)} panels; narrow it with --given QUANTITY=VALUE"
        )
    return _draw(regions, vocabulary, panels, across, up, si=si)


def _panels(
    regions: Regions, vocabulary: Vocabulary, axes: set[str], *, si: bool
) -> dict[str, list[Region]]:
    """Group the regions that part by everything but the two measures."""
    words = RegionWords(vocabulary, si=si)
    panels: dict[str, list[Region]] = {}
    for region in regions.parting:
        if any(name in axes for line in region.space.lines for name, _ in line.form.terms):
            raise InputError.single(
                "--chart", "a region is cut slantwise here; narrow it with --given QUANTITY=VALUE"
            )
        panels.setdefault(words.space(region.space, skip=frozenset(axes)), []).append(region)
    return panels


def _draw(
    regions: Regions,
    vocabulary: Vocabulary,
    panels: dict[str, list[Region]],
    across: str,
    up: str,
    *,
    si: bool,
) -> str:
    words = RegionWords(vocabulary, si=si)
    numbers: dict[str, int] = {}
    wide = 2 * EDGE + LEFT + WIDE
    names = " and ".join(rule_set_title(name) for name in regions.names)
    title = f"{vocabulary.topics[regions.topic].title}: where {names} part"
    parts: list[Node] = [heading(EDGE, EDGE + 14, title, wide - 2 * EDGE)]
    low = EDGE + 40
    for said, members in (panels or {"": []}).items():
        written, low = paragraph(EDGE, low, said, wide - 2 * EDGE, LETTERS)
        low += 18
        ends = [_far(members, name) for name in (across, up)]
        parts += [*written, rect(EDGE + LEFT, low, WIDE, HIGH, PAPER, 1.2)]
        for region in members:
            asked = "; ".join(
                f"{rule_set_title(name)}: {words.asked(answer)}"
                for name, answer in zip(regions.names, region.answer.asked, strict=True)
            )
            number = numbers.setdefault(asked, len(numbers) + 1)
            parts.append(_box(region.space, (across, up), ends, number, low))
        parts += _frame(vocabulary, (across, up), ends, low, si=si)
        low += HIGH + 58
    for asked, number in numbers.items():
        parts += [rect(EDGE, low - 9, 26, 12, _fill(number), 0.8), key(EDGE + 40, low - 3, number)]
        written, low = paragraph(EDGE + 56, low, asked, wide - 2 * EDGE - 56, LETTERS)
        parts += written
        low += 4
    told = ("Where nothing is hatched they agree.",)
    ground, under, high = on_paper(wide, low, told)
    defs = element("defs", *(_pattern(number) for number in numbers.values()))
    return render(document(wide, high, title, " ".join(told), defs, ground, *parts, *under))


def _pattern(number: int) -> Node:
    pitch, angle, weight = PATTERNS[(number - 1) % len(PATTERNS)]
    return element(
        "pattern",
        element("rect", width=pitch, height=pitch, fill=PAPER),
        element("line", x1=0, y1=0, x2=0, y2=pitch, stroke=INK, stroke_width=weight),
        id=f"part-{number}",
        width=pitch,
        height=pitch,
        patternUnits="userSpaceOnUse",
        patternTransform=f"rotate({angle})",
    )


def _fill(number: int) -> str:
    return f"url(#part-{number})"


def _limits(space: Space, name: str) -> Range:
    return space.ranges.get(name, Range())


def _far(members: list[Region], name: str) -> Fraction:
    """Return where an axis ends: a little past the last cut."""
    cuts = [
        edge
        for region in members
        for edge in (_limits(region.space, name).low, _limits(region.space, name).high)
        if edge is not None
    ]
    return max(cuts, default=Fraction(1)) * Fraction(9, 8) or Fraction(1)


def _box(
    space: Space, names: tuple[str, str], ends: list[Fraction], number: int, top: float
) -> Node:
    sides = []
    for name, end, room in zip(names, ends, (WIDE, HIGH), strict=True):
        limits = _limits(space, name)
        low = limits.low if limits.low is not None else Fraction(0)
        high = limits.high if limits.high is not None else end
        sides.append((float(low / end) * room, float(high / end) * room))
    (left, right), (bottom, upper) = sides
    x, y = EDGE + LEFT + left, top + HIGH - upper
    box = rect(x, y, right - left, upper - bottom, _fill(number), 0.8)
    return element("g", box, key(x + (right - left) / 2, y + (upper - bottom) / 2, number, 9))


def _frame(
    vocabulary: Vocabulary, names: tuple[str, str], ends: list[Fraction], top: float, *, si: bool
) -> list[Node]:
    """Draw both axes with their figures and what they measure."""
    left, foot = EDGE + LEFT, top + HIGH
    across, up = (vocabulary.quantities[name] for name in names)
    parts: list[Node] = []
    for tick in _ticks(ends[0], across):
        x = left + float(tick / ends[0]) * WIDE
        parts.append(line(x, foot, x, foot + 4, 0.8))
        parts.append(lettering(x, foot + 17, fact_text(tick, across, si=si), LETTERS, "middle"))
    for tick in _ticks(ends[1], up):
        y = foot - float(tick / ends[1]) * HIGH
        parts.append(line(left - 4, y, left, y, 0.8))
        parts.append(lettering(left - 8, y + 4, fact_text(tick, up, si=si), LETTERS, "end"))
    parts.append(lettering(left + WIDE / 2, foot + 34, across.called, LETTERS, "middle", bold=True))
    parts.append(lettering(EDGE, top - 5, up.called, LETTERS, bold=True))
    return parts


def _ticks(end: Fraction, definition: QuantityDefinition) -> list[Fraction]:
    """Return some round values from 0 to the end, in the quantity's own unit."""
    unit = (
        Fraction(12) if definition.dimension == LENGTH and definition.unit == "ft" else Fraction(1)
    )
    if definition.kind == "load":
        unit = Fraction(1, 144)
    step = next(unit * n for n in (1, 2, 5, 10, 20, 50, 100, 10**9) if end / (unit * n) <= 10)
    return [step * i for i in range(int(end / step) + 1)]
