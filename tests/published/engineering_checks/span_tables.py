"""Joist and beam spans of the IRC and of the AWC deck guide, cell by cell."""

from __future__ import annotations

from deckclause.engineering.rounding import feet_inches
from deckclause.engineering.tables import beams, joists
from deckclause.engineering.tables.explanation import Explanation
from deckclause.engineering.tables.groups import OLD_SOUTHERN
from deckclause.engineering.tables.loads import LIVE_LOAD, psf, snow_load
from deckclause.quantities import parse_quantity as q
from published.engineering_checks.records import Group, Record, rows, standings

GUIDE = "AWC DCA 6 (2012/2015-IRC version)"
NORTHERN = (
    " In the redwood group, cells governed by northern species rest on Fb = 625 psi, a value "
    "chosen so that they come out (fitted)."
)
GUIDE_2009_BEFORE = "AWC DCA 6 (2009-IRC version, before June 2013)"
GUIDE_2009_ADDENDUM = "AWC DCA 6 (2009-IRC version, May 2013 addendum)"
GUIDE_2009 = "AWC DCA 6 (2009-IRC version)"


def _record(item: str, printed: str, explanation: Explanation, remark: str = "") -> Record:
    shown = "NP" if not printed else feet_inches(int(printed))
    raw = explanation.unrounded_in
    computed = explanation.cell_text + ("" if raw is None else f" ({raw:.2f} in)")
    return Record(item, shown, computed, explanation.cell_text == shown, remark)


def _joist_records(found: list[dict[str, str]], group: str | None = None) -> tuple[Record, ...]:
    records = []
    for row in found:
        name, size, spacing = group or row["group"], row["size"], q(f"{row['spacing_in']} in")
        if "with cantilever" in row["case"] or "with overhang" in row["case"]:
            explanation = joists.explain_span_with_cantilever(name, size, spacing)
        else:
            explanation = joists.explain_span(name, size, spacing, _load(row["case"]))
        item = f"{row['group']} {size} at {row['spacing_in']} in, {row['case']}"
        records.append(_record(item, row["printed_in"], explanation, row["remark"]))
    return tuple(records)


def _load(case: str):
    return snow_load(psf(int(case[:2]))) if "snow" in case else LIVE_LOAD


def guide_spans() -> Group:
    found = [row for row in rows("joist_spans") if row["edition"] == GUIDE]
    return Group(
        "AWC DCA 6 (2012) Table 2: joist spans", "DCA6-T2", standings(found), "calculation",
        _joist_records(found), "Three printed cells were partly garbled in the scan." + NORTHERN,
    )  # fmt: skip


def guide_2009_spans() -> Group:
    before = [row for row in rows("joist_spans") if row["edition"] == GUIDE_2009_BEFORE]
    after = [
        row for row in rows("joist_spans") if row["edition"] in (GUIDE_2009_ADDENDUM, GUIDE_2009)
    ]
    return Group(
        "AWC DCA 6 (2009) Table 2 and its 2013 addendum: joist spans", "DCA6-2009",
        standings(before + after), "calculation",
        _joist_records(before, OLD_SOUTHERN) + _joist_records(after),
        "18 cells use the southern pine design values before June 2013 (from memory). No choice "
        "was made by looking at these cells.",
    )  # fmt: skip


def code_spans_2015() -> Group:
    found = [row for row in rows("joist_spans") if row["edition"] == "IRC 2015"]
    return Group(
        "IRC 2015 Table R507.5: joist spans without and with cantilever",
        "doorwaysmagazine.com article and docslib.org handout 8073521", standings(found),
        "calculation", _joist_records(found),
        "The three misses are 2x6 cells where the code prints more than NDS gives. Douglas "
        "fir-larch 2x6 has Fb x CF = 1170 psi, over the 1150 psi step of the wet service factor, and "
        "falls below hem-fir; the code prints hem-fir's own span (and western cedar's own 7-0). The "
        "AWC guide prints what is calculated. A joist within the code's table complies."
        + NORTHERN,
    )  # fmt: skip


def code_spans(edition: str) -> Group:
    found = [row for row in rows("joist_spans") if row["edition"] == edition]
    note = (
        "Same three misses as 2015."
        if edition == "IRC 2018"
        else "Snow rows: full ground snow, CD 1.15, L/360 under snow. Each miss is an inch and is a "
        "flag on a remembered cell."
    )
    return Group(
        f"{edition} Table R507.6: joist spans", "no source seen", standings(found), "calculation",
        _joist_records(found), note,
    )  # fmt: skip


def overhangs(edition: str) -> Group:
    found = [row for row in rows("joist_overhangs") if row["edition"] == edition]
    guide = edition == GUIDE
    records = []
    for row in found:
        spacing = q(f"{row['spacing_in']} in")
        explanation = joists.explain_overhang(row["group"], row["size"], spacing, guide=guide)
        item = f"{row['group']} {row['size']} at {row['spacing_in']} in"
        records.append(_record(item, row["printed_in"], explanation, row["remark"]))
    title = "AWC DCA 6 (2012) Table 2: overhangs" if guide else f"{edition}: joist cantilevers"
    note = "Fitted choice: 3 in is taken off the tip limit." if guide else ""
    return Group(
        title, "DCA6-T2" if guide else "no source seen", standings(found),
        "fitted" if guide else "calculation", tuple(records), note,
    )  # fmt: skip


def cantilevers_2021() -> Group:
    found = [row for row in rows("joist_overhangs") if row["edition"] == "IRC 2021"]
    records = []
    for row in found:
        back = q(f"{row['back_span_ft']} ft")
        explanation = joists.explain_cantilever(row["group"], row["size"], back)
        item = f"{row['group']} {row['size']}, back span {row['back_span_ft']} ft"
        records.append(_record(item, row["printed_in"], explanation, row["remark"]))
    return Group(
        "IRC 2021 Table R507.6: cantilevers by back span", "no source seen", standings(found),
        "calculation", tuple(records), "The misses are flags on remembered cells.",
    )  # fmt: skip


def beam_group(edition: str, southern: bool) -> Group:
    wanted = "southern pine" if southern else "douglas fir-larch group"
    found = [
        row for row in rows("beam_spans") if row["edition"] == edition and row["group"] == wanted
    ]
    guide = edition == GUIDE
    records = []
    for row in found:
        span = q(f"{row['joist_span_ft']} ft")
        explanation = beams.explain_beam(row["group"], row["size"], span, guide=guide)
        item = f"{row['size']} under {row['joist_span_ft']} ft joists"
        records.append(_record(item, row["printed_in"], explanation, row["remark"]))
    who = "southern pine" if southern else "all other listed species"
    title = f"{'AWC DCA 6 (2012) Table 3A' if guide else edition}: beam spans, {who}"
    fitted = "; ".join(
        beams.FITTED_ALL + (beams.FITTED_SOUTHERN if southern else beams.FITTED_OTHER)
    )
    sources = {row["source"] for row in found if not row["source"].startswith("memory")}
    return Group(
        title, "; ".join(sorted(sources)) or "no source seen", standings(found), "fitted",
        tuple(records), f"Fitted choices: {fitted}.",
    )  # fmt: skip
