"""The ledger fastener table: one capacity a row, rounding down, 36 in cap."""

from __future__ import annotations

from deckclause.engineering.dowels.connections import WoodMember
from deckclause.engineering.dowels.factors import Moisture, wet_service_factor
from deckclause.engineering.members.adjustment import LoadDuration
from deckclause.engineering.rounding import Rounding
from deckclause.engineering.tables.ledger import (
    LedgerRow,
    capacity_interval,
    compare_with_nds,
    explain_spacing,
)
from deckclause.engineering.tables.loads import LIVE_LOAD, DeckLoad, psf, snow_load
from deckclause.quantities import parse_quantity as q
from published.engineering_checks.records import Group, Record, rows, standings

WISCONSIN = "WI SPS 320-325 App. B (2015)"
TIP_SHEET = "WA municipal tip sheet 5"
IRC_ROWS = ("lag_screw", "through_bolt", "through_bolt_thick_assembly")


def _cells(start: str, load: str = "") -> list[dict[str, str]]:
    return [
        row
        for row in rows("ledger_spacing")
        if row["edition"].startswith(start) and (not load or row["snow_psf"] == load)
    ]


def _records(found: list[dict[str, str]], load: DeckLoad) -> tuple[Record, ...]:
    records = []
    for row in found:
        explanation = explain_spacing(
            LedgerRow[row["row"].upper()], q(f"{row['joist_span_ft']} ft"), load
        )
        item = f"{row['row'].replace('_', ' ')}, {row['joist_span_ft']} ft joists, in"
        computed = f"{explanation.cell_text} ({explanation.unrounded_in:.2f})"
        met = explanation.cell_text == row["printed_in"]
        records.append(Record(item, row["printed_in"], computed, met, row["remark"]))
    return tuple(records)


def printed_rows(rim: bool) -> Group:
    found = [row for row in _cells(WISCONSIN) if (row["row"] not in IRC_ROWS) == rim]
    what = "engineered rim rows" if rim else "2x band joist rows (the IRC's own three rows)"
    return Group(
        f"Ledger fastener spacing, 40 psf live: {what}", "WI-T6", standings(found),
        "implied by a table", _records(found, LIVE_LOAD),
        "One capacity a row explains every cell; it was read back from these cells, so this is a "
        "check of the rule (down to the inch, 36 in cap), not of the capacity.",
    )  # fmt: skip


def intervals(rim: bool = True) -> dict[str, dict[str, tuple[float, float]]]:
    """Capacity intervals by row for both roundings, lb."""
    every: dict[str, dict[str, tuple[float, float]]] = {}
    for name in (*IRC_ROWS, "rim_1_in", "rim_1_1_8_in"):
        cells = {
            int(row["joist_span_ft"]): int(row["printed_in"])
            for row in _cells(WISCONSIN)
            if row["row"] == name
        }
        every[name] = {}
        for rounding in (Rounding.DOWN, Rounding.NEAREST):
            found = capacity_interval(cells, rounding=rounding)
            every[name][rounding.name] = (found.least_lb, found.under_lb)
    return every


def live_60() -> Group:
    found = _cells(TIP_SHEET)
    load = DeckLoad(psf(60), LoadDuration.OCCUPANCY)
    return Group(
        "Ledger fastener spacing, 60 psf live (Washington)", "WA-tip5", standings(found),
        "implied by a table", _records(found, load),
        "The capacities come from the 40 psf rows: these cells were not used to choose them.",
    )  # fmt: skip


def live_60_as_snow() -> Group:
    found = _cells(TIP_SHEET)
    return Group(
        "The same 60 psf cells taken as the code's 70 psf snow column", "WA-tip5",
        standings(found), "implied by a table", _records(found, snow_load(psf(70))),
        "A trade article says the 2021 code's 70 psf snow column serves for 60 psf live load; the "
        "tip sheet's print follows that column's rule in every cell, the one missed above too.",
    )  # fmt: skip


def snow_rows(ground_snow: int) -> Group:
    found = _cells("IRC 2021", str(ground_snow))
    return Group(
        f"IRC 2021 ledger fastener spacing, {ground_snow} psf ground snow", "no source seen",
        standings(found), "implied by a table", _records(found, snow_load(psf(ground_snow))),
        "Derived: duration factor 1.15 on the 40 psf capacities. The print was not seen; a rival "
        "recollection has the 50 psf lag row an inch lower at 8 and 16 ft."
        if ground_snow == 50
        else "Derived: duration factor 1.15 on the 40 psf capacities. The print was not seen.",
    )  # fmt: skip


def nds_ratios() -> Group:
    wet = wet_service_factor(Moisture.ANY_THEN_WET, diameter=q("1/2 in"), single_row=True)
    southern = WoodMember(0.55, q("1-1/2 in"), q("90 deg"))
    spruce = WoodMember(0.42, q("1-1/2 in"), q("90 deg"))
    least = compare_with_nds(southern, southern, gap=q("0 in"))
    most = compare_with_nds(spruce, spruce, gap=q("1/2 in"), factors=(wet,))
    records = [
        Record("southern pine, no gap, dry", "2.9", f"{least.ratio:.2f}", round(least.ratio, 1) == 2.9),
        Record("spruce-pine-fir, 1/2 in gap, wet", "7.6", f"{most.ratio:.2f}",
               abs(most.ratio - 7.6) < 0.1),
    ]  # fmt: skip
    return Group(
        "Implied capacity of the bolt row over the NDS bolt value", "NDS-memory", "derived",
        "implied by a table", tuple(records),
        "The two rest on different bases; a compliant ledger is not a failing one.",
    )  # fmt: skip
