"""Every group of outside checks for engineering, in the order of the validation page."""

from __future__ import annotations

from published.engineering_checks import (
    frame_solver,
    ledger_table,
    nds_connections,
    nds_tables,
    span_tables,
    support_tables,
    worked_examples,
)
from published.engineering_checks.records import Group


def sections() -> dict[str, tuple[Group, ...]]:
    """All groups by section title."""
    guide = span_tables.GUIDE
    return {
        "Connections": (
            nds_tables.table_12k(),
            nds_tables.table_122a(),
            nds_connections.bolts(),
            nds_connections.lags(),
            nds_connections.group_action(),
            nds_connections.placement(),
            nds_connections.short_numbers(),
        ),
        "Ledger fasteners": (
            ledger_table.printed_rows(rim=False),
            ledger_table.printed_rows(rim=True),
            ledger_table.live_60(),
            ledger_table.live_60_as_snow(),
            *(ledger_table.snow_rows(load) for load in (50, 60, 70)),
            ledger_table.nds_ratios(),
        ),
        "Joists": (
            span_tables.guide_spans(),
            span_tables.guide_2009_spans(),
            span_tables.overhangs(guide),
            span_tables.code_spans_2015(),
            span_tables.code_spans("IRC 2018"),
            span_tables.overhangs("IRC 2018"),
            span_tables.code_spans("IRC 2021"),
            span_tables.cantilevers_2021(),
        ),
        "Beams": tuple(
            span_tables.beam_group(edition, southern)
            for edition in (guide, "IRC 2015", "IRC 2018")
            for southern in (True, False)
        ),
        "Footings and posts": (
            support_tables.guide_footings(),
            support_tables.code_footings(),
            support_tables.post_heights(),
            support_tables.guide_post_heights(),
        ),
        "Worked examples and independent solvers": (
            worked_examples.hud_joist(),
            worked_examples.hud_column(),
            worked_examples.euler(),
            frame_solver.beams(),
        ),
    }
