"""Layouts as CSV, a line for each fastener, and as plain data for JSON."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from typing import Any

import deckclause
from deckclause.evaluate.status import STATUS_WORDS
from deckclause.placement.layout_answer import LayoutAnswer
from deckclause.placement.schedule import COLUMNS, schedule_data
from deckclause.report.cautions import CAUTIONS
from deckclause.report.placing.layout_text import count_text, line_lines, reasons


def layouts_csv(answers: Iterable[LayoutAnswer]) -> str:
    """Return the schedules, header first; a rule set without a layout gives one line saying so."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(["rule set", "status", *COLUMNS])
    for answer in answers:
        head = [answer.placement.ruleset.name, STATUS_WORDS[answer.status]]
        if not answer.schedule:
            writer.writerow([*head, *([""] * len(COLUMNS))])
        for row in answer.schedule:
            writer.writerow([*head, *row.cells()])
    return stream.getvalue().rstrip("\n")


def layouts_data(name: str, answers: Iterable[LayoutAnswer]) -> dict[str, Any]:
    """Return the layouts as plain data."""
    return {
        "layout": 1,
        "engine": deckclause.__version__,
        "design": name,
        "rule_sets": [layout_data(answer) for answer in answers],
        "cautions": list(CAUTIONS),
    }


def layout_data(answer: LayoutAnswer) -> dict[str, Any]:
    """Return one layout, or why there is none."""
    layout = answer.layout
    found: dict[str, Any] = {
        "rule_set": answer.placement.ruleset.name,
        "digest": answer.placement.ruleset.digest,
        "status": STATUS_WORDS[answer.status],
        "reasons": list(reasons(answer)),
        "missing": list(answer.missing),
    }
    if layout is None or not layout.is_feasible or answer.row_depths is None:
        return found
    return {
        **found,
        "count": layout.count,
        "to_buy": count_text(answer),
        "rows_below_ledger_top_in": {row: str(d) for row, d in answer.row_depths.items()},
        "rows_chosen": answer.rows_chosen,
        "limits": list(line_lines(answer)),
        "farthest_right_in": [str(x) for x in layout.farthest],
        "schedule": schedule_data(answer.schedule),
        "layout_cautions": list(layout.cautions),
    }
