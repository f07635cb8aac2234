"""Footing sizes and post heights."""

from __future__ import annotations

from deckclause.engineering.rounding import feet_inches
from deckclause.engineering.tables import footings, posts
from deckclause.engineering.tables.loads import LIVE_LOAD, psf, snow_load
from deckclause.quantities import parse_quantity as q
from published.engineering_checks.records import Group, Record, rows, standings

GUIDE = "AWC DCA 6 (2012/2015-IRC version)"


def guide_footings() -> Group:
    found = [row for row in rows("footings") if row["edition"] == GUIDE]
    records = []
    for row in found:
        cells = footings.guide_footing(
            q(f"{row['beam_span_ft']} ft"), q(f"{row['joist_span_ft']} ft")
        )
        item = f"beam {row['beam_span_ft']} ft, joists {row['joist_span_ft']} ft"
        got = (cells.round_in, cells.square_in, cells.thickness_in)
        printed = tuple(int(row[k]) for k in ("round_in", "square_in", "thickness_in"))
        for part, p, v in zip(("round", "square", "thickness"), printed, got, strict=True):
            records.append(Record(f"{item}, {part}, in", str(p), str(v), p == v))
    return Group(
        "AWC DCA 6 (2012) Table 4: footings on 1500 psf soil", "DCA6-T4", standings(found),
        "fitted", tuple(records), f"Fitted choice: {footings.GUIDE_FITTED[0]}.",
    )  # fmt: skip


def code_footings() -> Group:
    found = [row for row in rows("footings") if row["edition"] == "IRC 2018"]
    records = []
    for row in found:
        load = LIVE_LOAD if row["case"] == "40L" else snow_load(psf(int(row["case"][:2])))
        cells = footings.code_footing(
            q(f"{row['area_sqft']} sq ft"), q(f"{row['soil_psf']} psf"), load
        )
        item = f"{row['case']}, {row['area_sqft']} sq ft, soil {row['soil_psf']} psf"
        parts = (
            ("square", row["square_in"], cells.square_in),
            ("round", row["round_in"], cells.round_in),
            ("thickness", row["thickness_in"], cells.thickness_in),
        )
        for part, printed, value in parts:
            records.append(
                Record(
                    f"{item}, {part}, in", printed, str(value), printed == str(value), row["remark"]
                )
            )
    return Group(
        "IRC 2018 Table R507.3.1: footings", "no source seen", standings(found), "calculation",
        tuple(records),
        "Sides and diameters agree in all but three cells; thickness is poorly remembered or has a "
        "rule not found here.",
    )  # fmt: skip


def post_heights() -> Group:
    found = [row for row in rows("posts") if row["edition"] == "IRC 2021"]
    records = []
    for row in found:
        explanation = posts.explain_height(
            row["group"], row["size"], q(f"{row['area_sqft']} sq ft")
        )
        printed = feet_inches(int(row["printed_in"])) if row["printed_in"] else "NP"
        item = f"{row['group']} {row['size']}, {row['area_sqft']} sq ft"
        records.append(
            Record(item, printed, explanation.cell_text, explanation.cell_text == printed,
                   row["remark"])
        )  # fmt: skip
    return Group(
        "IRC 2021 Table R507.4: post heights, 40 psf live", "no source seen", standings(found),
        "calculation", tuple(records),
        "NOT reproduced. Southern pine cells as remembered stand 1 or 2 in under concentric "
        "buckling; the cause is not known. The other groups differ by more.",
    )  # fmt: skip


def guide_post_heights() -> Group:
    found = [row for row in rows("posts") if row["edition"] == GUIDE]
    records = []
    for row in found:
        area = (
            q(f"{row['beam_span_ft']} ft") * q(f"{row['joist_span_ft']} ft") * footings.JOIST_SHARE
        )
        explanation = posts.explain_height("southern pine", "6x6", area)
        feet = str(int(row["printed_in"]) // 12)
        computed = str((explanation.cell_in or 0) // 12)
        item = f"6x6, beam {row['beam_span_ft']} ft, joists {row['joist_span_ft']} ft"
        records.append(Record(f"{item}, ft", feet, computed, feet == computed, row["remark"]))
    return Group(
        "AWC DCA 6 (2012) Table 4: 6x6 post heights, first species column", "DCA6-T4",
        standings(found), "calculation", tuple(records),
        "NOT reproduced: the guide's heights fall off far faster than concentric buckling does, so "
        "something besides it governs. The tool takes these heights from the table only.",
    )  # fmt: skip
