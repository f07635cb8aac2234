"""Draw an impact as a chart: for each topic, how many designs newly fail or no longer do."""

from __future__ import annotations

from importlib import import_module
from io import BytesIO
from pathlib import Path
from textwrap import fill
from typing import Any

from deckclause.impact.total import TopicTotal
from deckclause.report.impact.files import ImpactReport
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.write_file import write_whole

MOST_BARS = 25
FAILING = "#a8323e"
MENDED = "#2f6f8f"
SALT = "deckclause"
"""Fixes the ids inside the SVG, so that the same result is the same file."""
WIDTH, BAR, HEAD = 9.0, 0.42, 2.3
"""Inches: the chart's width, the height of one bar, and what stands above and below them."""
TITLE_CHARS, NAME_CHARS = 72, 34


def write_chart(report: ImpactReport, path: Path) -> None:
    """Write the chart as SVG. Needs matplotlib (the `charts` extra)."""
    write_whole(path, chart_svg(report))


def drawn(report: ImpactReport) -> list[TopicTotal]:
    """Return the topics that have a bar: those on which a design newly fails or no longer does."""
    totals = (report.total.topics[topic] for topic in report.ordered())
    return [t for t in totals if t.newly_failing or t.no_longer_failing][:MOST_BARS]


def chart_svg(report: ImpactReport) -> bytes:
    """Return the chart as SVG. Needs matplotlib (the `charts` extra)."""
    matplotlib: Any = import_module("matplotlib")
    figures: Any = import_module("matplotlib.figure")
    totals = drawn(report)[::-1]
    with matplotlib.rc_context({"svg.hashsalt": SALT, "svg.fonttype": "none"}):
        size = (WIDTH, HEAD + BAR * max(1, len(totals)))
        figure = figures.Figure(figsize=size, layout="constrained")
        figure.suptitle(fill(_title(report), TITLE_CHARS), fontsize="medium", x=0.02, ha="left")
        _bars(report, figure.subplots(), totals)
        figure.legend(loc="outside lower left", fontsize="small")
        out = BytesIO()
        figure.savefig(out, format="svg", metadata={"Date": None})
    return out.getvalue()


def _title(report: ImpactReport) -> str:
    who = f"of {report.total.designs} permits, who newly fails and who no longer does"
    return f"From {rule_set_title(report.one.name)} to {rule_set_title(report.two.name)}: {who}"


def _bars(report: ImpactReport, axes: Any, totals: list[TopicTotal]) -> None:
    places = range(len(totals))
    worse = [t.newly_failing for t in totals]
    better = [-t.no_longer_failing for t in totals]
    newly = f"newly does not comply under {rule_set_title(report.two.name)}"
    mended = f"does not comply under {rule_set_title(report.one.name)}, has nothing to answer for under {rule_set_title(report.two.name)}"
    for counts, colour, label in ((worse, FAILING, newly), (better, MENDED, mended)):
        bars = axes.barh(places, counts, color=colour, label=fill(label, TITLE_CHARS))
        axes.bar_label(
            bars, [str(abs(n)) if n else "" for n in counts], padding=3, fontsize="small"
        )
    axes.axvline(0, color="#444444", linewidth=0.8)
    titles = [report.vocabulary.topics[t.topic].title for t in totals]
    axes.set_yticks(places, [fill(title, NAME_CHARS) for title in titles], fontsize="small")
    axes.set_xlabel("permits")
    axes.xaxis.set_major_formatter(lambda value, place: f"{abs(value):g}")
    axes.xaxis.get_major_locator().set_params(integer=True)
    axes.margins(x=0.12)
    axes.spines[["top", "right", "left"]].set_visible(False)
    axes.tick_params(axis="y", length=0)
    if not totals:
        axes.set_xticks([])
        axes.text(0, 0, "No permit newly fails, and none no longer does.", va="center")
