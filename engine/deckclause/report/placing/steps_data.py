"""The table of sizes as CSV and as plain data for JSON."""

from __future__ import annotations

import csv
import io
from typing import Any

import deckclause
from deckclause.answers.steps import StepsReport
from deckclause.placement.constraints import exact_length_text
from deckclause.placement.steps import Range, StepRow
from deckclause.placement.sums import conflict_text, extreme_text
from deckclause.report.cautions import CAUTIONS
from deckclause.report.placing.place_data import conflict_data, length_data, range_data
from deckclause.report.placing.steps_text import stand_text

COLUMNS = (
    "rule_set", "ledger", "band_joist", "joists", "possible", "least_drop", "greatest_drop",
    "least_joist_drop", "greatest_joist_drop", "least_step_down", "greatest_step_down",
    "allows_wanted", "shortfall", "why",
)  # fmt: skip


def steps_csv(report: StepsReport) -> str:
    """Return a line for each combination and rule set, header first."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(COLUMNS)
    for table in report.tables:
        for row in table.rows:
            writer.writerow([table.rules.ruleset.name, *_cells(report, row)])
    return stream.getvalue().rstrip("\n")


def _cells(report: StepsReport, row: StepRow) -> list[str]:
    allows = ""
    if report.wanted is not None:
        allows = "not told" if not report.told else "yes" if report.allows(row) else "no"
    short = row.shortfall
    return [
        row.ledger_size,
        row.band_joist_size,
        row.joist_size,
        "yes" if row.is_feasible else "no",
        *_ends(row.drop),
        *_ends(row.joist_drop),
        *_ends(row.step_down),
        allows,
        "" if short is None else exact_length_text(short),
        _why(row),
    ]


def _ends(one: Range | None) -> tuple[str, str]:
    if one is None:
        return "", ""
    low, high = one.least.value, one.greatest.value
    return (
        "" if low is None else exact_length_text(low),
        "" if high is None else exact_length_text(high),
    )


def _why(row: StepRow) -> str:
    if row.excluded is not None:
        return f"excluded: {row.excluded.reason} ({row.excluded.cites})"
    if row.conflicts.conflicts:
        return "; ".join(conflict_text(c) for c in row.conflicts.conflicts)
    best = row.step_down or row.joist_drop or row.drop
    return "" if best is None else extreme_text(best.greatest)


def steps_data(report: StepsReport) -> dict[str, Any]:
    """Return the tables as plain data."""
    return {
        "step_table": 1,
        "engine": deckclause.__version__,
        "design": report.name,
        "joists": stand_text(report.stand),
        "wanted": length_data(report.wanted),
        "missing": list(report.missing),
        "taken": list(report.taken),
        "rule_sets": [
            {
                "rule_set": table.rules.ruleset.name,
                "digest": table.rules.ruleset.digest,
                "missing": list(table.missing),
                "rows": [_row(report, row) for row in table.rows],
            }
            for table in report.tables
        ],
        "cautions": list(CAUTIONS),
    }


def _row(report: StepsReport, row: StepRow) -> dict[str, Any]:
    allows = report.allows(row) if report.wanted is not None and report.told else None
    return {
        "ledger": row.ledger_size,
        "band_joist": row.band_joist_size,
        "joists": row.joist_size,
        "possible": row.is_feasible,
        "drop": range_data(row.drop),
        "joist_drop": range_data(row.joist_drop),
        "step_down": range_data(row.step_down),
        "allows_wanted": allows,
        "shortfall": length_data(row.shortfall),
        "conflicts": [conflict_data(c) for c in row.conflicts.conflicts],
        "excluded": None
        if row.excluded is None
        else {"reason": row.excluded.reason, "cites": row.excluded.cites},
    }
