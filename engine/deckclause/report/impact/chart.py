"""Draw an impact as a chart: for each topic, the share of designs that newly fail or no longer do."""

from __future__ import annotations

from importlib import import_module
from io import BytesIO
from pathlib import Path
from typing import Any

from deckclause.report.impact.files import ImpactReport
from deckclause.rulesets.write_file import write_whole

MOST_BARS = 25
FAILING = "#a8323e"
MENDED = "#2f6f8f"
SALT = "deckclause"
"""Fixes the ids inside the SVG, so that the same result is the same file."""


def write_chart(report: ImpactReport, path: Path) -> None:
    """Write the chart as SVG. Needs matplotlib (the `charts` extra)."""
    matplotlib: Any = import_module("matplotlib")
    figures: Any = import_module("matplotlib.figure")
    topics = report.ordered()[:MOST_BARS][::-1]
    with matplotlib.rc_context({"svg.hashsalt": SALT, "svg.fonttype": "none"}):
        figure = figures.Figure(figsize=(9, 1.6 + 0.32 * max(1, len(topics))), layout="constrained")
        axes = figure.subplots()
        totals = [report.total.topics[topic] for topic in topics]
        places = range(len(topics))
        worse = [100 * report.share(t.newly_failing) for t in totals]
        better = [-100 * report.share(t.no_longer_failing) for t in totals]
        axes.barh(
            places, worse, color=FAILING, label=f"newly does not comply under {report.two.name}"
        )
        axes.barh(places, better, color=MENDED, label=f"complies under {report.two.name} only")
        axes.axvline(0, color="#444444", linewidth=0.8)
        axes.set_yticks(places, [report.vocabulary.topics[t].title for t in topics])
        axes.set_xlabel(f"percent of {report.total.designs} designs")
        axes.xaxis.set_major_formatter(lambda value, place: f"{abs(value):g}")
        axes.set_title(
            f"From {report.one.name} to {report.two.name}: who newly fails, who no longer does"
        )
        axes.legend(loc="lower right", fontsize="small")
        drawn = BytesIO()
        figure.savefig(drawn, format="svg", metadata={"Date": None})
    write_whole(path, drawn.getvalue())
