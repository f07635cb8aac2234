"""A chart of where rule sets part, over two measures, as SVG. Needs matplotlib (the chart extra)."""

from __future__ import annotations

import io
from fractions import Fraction
from typing import Any

from deckclause.compare.regions import Region, Regions
from deckclause.evaluate.regions.space import Range, Space
from deckclause.evaluate.regions.words import RegionWords
from deckclause.evaluate.words import fact_text, name_text
from deckclause.quantities import LENGTH
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary

MOST_PANELS = 12
SHADES = ("#9ecae1", "#fdae6b", "#a1d99b", "#bcbddc", "#fdd0a2", "#c7e9c0", "#dadaeb", "#c6dbef")


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
    try:
        import matplotlib as mpl
    except ImportError:
        raise InputError.single(
            "--chart", "needs matplotlib; install deckclause with its chart extra"
        ) from None
    mpl.use("svg")
    mpl.rcParams["svg.hashsalt"] = "deckclause"
    from matplotlib.figure import Figure

    count = max(len(panels), 1)
    figure = Figure(figsize=(9, 4.2 * count), layout="constrained")
    axes = figure.subplots(count, squeeze=False)[:, 0]
    words = RegionWords(vocabulary, si=si)
    shades: dict[str, str] = {}
    for axis, (title, members) in zip(axes, panels.items() or {"": []}.items(), strict=True):
        ends = [_far(members, name) for name in (across, up)]
        for region in members:
            text = "\n".join(
                f"{n}:\n{words.asked(a)}"
                for n, a in zip(regions.names, region.answer.asked, strict=True)
            )
            shade = shades.setdefault(text, SHADES[len(shades) % len(SHADES)])
            _box(axis, region.space, (across, up), ends, text, shade)
        _frame(axis, vocabulary, (across, up), ends, title)
    topic = vocabulary.topics[regions.topic].title
    figure.suptitle(f"{topic}: where {', '.join(regions.names)} part (blank: they agree)")
    stream = io.StringIO()
    figure.savefig(stream, format="svg", metadata={"Date": None})
    return stream.getvalue()


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
    axis: Any, space: Space, names: tuple[str, str], ends: list[Fraction], text: str, shade: str
) -> None:
    from matplotlib.patches import Rectangle

    sides = []
    for name, end in zip(names, ends, strict=True):
        limits = _limits(space, name)
        low = limits.low if limits.low is not None else Fraction(0)
        high = limits.high if limits.high is not None else end
        sides.append((float(low), float(high)))
    (left, right), (bottom, top) = sides
    box = Rectangle(
        (left, bottom),
        right - left,
        top - bottom,
        facecolor=shade,
        edgecolor="black",
        linewidth=0.6,
    )
    axis.add_patch(box)
    axis.text((left + right) / 2, (bottom + top) / 2, text, ha="center", va="center", fontsize=4.5)


def _frame(
    axis: Any, vocabulary: Vocabulary, names: tuple[str, str], ends: list[Fraction], title: str
) -> None:
    axis.set_title(title, fontsize=7, wrap=True)
    for name, end, which in zip(names, ends, "xy", strict=True):
        definition = vocabulary.quantities[name]
        getattr(axis, f"set_{which}lim")(0, float(end))
        ticks = _ticks(end, definition)
        getattr(axis, f"set_{which}ticks")(
            [float(t) for t in ticks], [fact_text(t, definition) for t in ticks], fontsize=6
        )
        getattr(axis, f"set_{which}label")(name_text(name), fontsize=8)


def _ticks(end: Fraction, definition: QuantityDefinition) -> list[Fraction]:
    """Return about eight round values from 0 to the end, in the quantity's own unit."""
    unit = (
        Fraction(12) if definition.dimension == LENGTH and definition.unit == "ft" else Fraction(1)
    )
    if definition.kind == "load":
        unit = Fraction(1, 144)
    step = next(unit * n for n in (1, 2, 5, 10, 20, 50, 100, 10**9) if end / (unit * n) <= 10)
    return [step * i for i in range(int(end / step) + 1)]
