"""The 2012 placement limits as distances, and sections to try them on.

Limits: 2012 IRC Table R507.2.1 and Figure R507.2.1(1) as described by the October 2012 trade
article on ledger bolting patterns and, for the lower-row depths and the row spacing, as reprinted
by the City of Edmonds (Washington) handout. Dressed depths: PS 20-20 Table 3.
"""

from __future__ import annotations

from fractions import Fraction as F

from deckclause.placement.boards import (
    BAND_BOTTOM,
    BAND_TOP,
    LEDGER_BOTTOM,
    LEDGER_TOP,
    LOWER_ROW,
    UPPER_ROW,
    Section,
    board_distances,
)
from deckclause.placement.constraints import Distance
from deckclause.placement.steps import Excluded

DRESSED = {"2x6": F(11, 2), "2x8": F(29, 4), "2x10": F(37, 4), "2x12": F(45, 4)}
LOWER_ROW_DEPTH = {"2x8": F(11, 2), "2x10": F(13, 2), "2x12": F(15, 2)}
TABLE = "Table R507.2.1"


def clauses_2012(ledger_size: str, band_bottom: F = F(2)) -> list[Distance]:
    def at_least(start: str, end: str, least: F, label: str, cites: str = TABLE) -> Distance:
        return Distance(start, end, least, None, label, cites, "confirmed")

    return [
        at_least(LEDGER_TOP, UPPER_ROW, F(2), "ledger top edge"),
        at_least(LOWER_ROW, LEDGER_BOTTOM, F(3, 4), "ledger bottom edge"),
        at_least(BAND_TOP, UPPER_ROW, F(3, 4), "band joist top edge"),
        at_least(LOWER_ROW, BAND_BOTTOM, band_bottom, "band joist bottom edge"),
        at_least(
            LEDGER_TOP,
            LOWER_ROW,
            LOWER_ROW_DEPTH[ledger_size],
            "lower row below ledger top",
            f"{TABLE} note d",
        ),
        Distance(UPPER_ROW, LOWER_ROW, F(13, 8), F(5), "row spacing", TABLE, "confirmed"),
    ]


def section(ledger: str, band: str, drop: F | None = None, joist: str | None = None) -> Section:
    return Section(
        DRESSED[band],
        DRESSED[ledger],
        drop=drop,
        joist_depth=DRESSED[joist or ledger],
        joists="at_ledger_bottom" if joist else "at_ledger_top",
        decking=F(1),
        floor_build_up=F(3, 2),
        band_joist_name=f"{band} band joist",
        ledger_name=f"{ledger} ledger",
        joist_name=f"{joist or ledger} joist",
    )


def system_2012(
    ledger: str, band: str, drop: F | None = None, joist: str | None = None
) -> list[Distance]:
    return [*board_distances(section(ledger, band, drop, joist)), *clauses_2012(ledger)]


def provider_2012(ledger: str, band: str, joist: str) -> list[Distance] | Excluded:
    if ledger == "2x6":
        return Excluded("a 2x6 ledger is below the least size", "Table R507.2 note e")
    return system_2012(ledger, band, joist=joist)
