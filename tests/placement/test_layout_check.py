"""The checker finds every kind of fault, and the ledger line refuses what cannot be."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from msgspec.structs import replace

from deckclause.placement.layout_check import check_layout
from deckclause.placement.ledger_line import (
    ClearBand,
    EndLimit,
    LayoutError,
    LedgerLine,
    Run,
    SpacingField,
    joist_lines,
)
from deckclause.placement.reach import reach
from placement.trade_lines import BAND_ENDS, ENDS, ledger_line

LINE = ledger_line(60, 18, splices=(30,), band_splices=(45,))
GOOD = tuple(map(F, (4, 16, 27, 33, 43, 57)))


def test_a_good_layout_has_no_fault() -> None:
    assert check_layout(LINE, GOOD, ("lower", "upper") * 3) == ()


@pytest.mark.parametrize(
    ("places", "fault"),
    [
        ((6, 16, 27, 33, 43, 57), "no fastener within 5 in of the left end of ledger piece 1"),
        ((4, 16, 27, 33, 43, 54), "no fastener within 5 in of the right end of ledger piece 2"),
        ((4, 16, 27, 33, 44, 57), "1 in from an end of the band joist"),
        ((1, 4, 16, 27, 33, 43, 57), "1 in from an end of the ledger"),
        ((4, 27, 33, 43, 57), "23 in between the fasteners at 4 in and 27 in"),
        ((4, 16, 16, 27, 33, 43, 57), "two fasteners stand at 16 in"),
        ((4, 16, 27, 33, 43, 57, 70), "off the ledger"),
        ((), "no fastener within"),
    ],
)
def test_each_fault_is_found(places: tuple[int, ...], fault: str) -> None:
    assert any(fault in f for f in check_layout(LINE, [F(x) for x in places]))


def test_clear_parts_and_band_joist_windows() -> None:
    kept = replace(LINE, clear=(ClearBand(F(15), F(17), "joist 1"),))
    assert any("joist 1" in f for f in check_layout(kept, GOOD))
    near = replace(LINE, band_joist_ends=EndLimit(F(2), F(5), "band joist end"))
    assert check_layout(near, GOOD) == (
        "no fastener within 5 in of the left end of band joist piece 2",
    )


def test_rows_must_alternate() -> None:
    rows = ("lower", "upper", "upper", "lower", "upper", "lower")
    assert check_layout(LINE, GOOD, rows) == ("the fasteners at 16 in and 27 in stand in one row",)
    assert check_layout(LINE, GOOD, ("lower",)) == ("6 fasteners but 1 rows named",)
    assert "'middle' is not one" in check_layout(LINE, GOOD, ("middle", "upper") * 3)[0]
    single = replace(LINE, rows=("single",))
    assert check_layout(single, GOOD, ("single",) * 6) == ()


def refuse(message: str, **changes: object) -> None:
    with pytest.raises(LayoutError, match=message):
        ledger_line(60, 18, **changes)  # type: ignore[arg-type]


def test_ledgers_that_cannot_be_laid_out_are_refused() -> None:
    refuse("not within the ledger", splices=(60,))
    refuse("not within the band joist", band_splices=(500,))
    refuse("do not overlap", band_joist=Run(F(60), F(100), (), "band joist"))
    refuse("no spacing limit", fields=(SpacingField(F(0), F(40), F(18), "part"),))
    refuse("no spacing limit", fields=(SpacingField(F(1), F(60), F(18), "part"),))
    refuse("not known", ledger_ends=BAND_ENDS)
    refuse("each row once", rows=("lower", "lower"))
    refuse("each row once", rows=())


def test_parts_that_make_no_sense_are_refused() -> None:
    with pytest.raises(LayoutError, match="more than 0 in"):
        Run(F(3), F(3))
    with pytest.raises(LayoutError, match="more than 0 in from an end"):
        EndLimit(F(0), F(5), "ends")
    with pytest.raises(LayoutError, match="but not within"):
        EndLimit(F(6), F(5), "ends")
    with pytest.raises(LayoutError, match="ends before"):
        SpacingField(F(3), F(3), F(18), "field")
    with pytest.raises(LayoutError, match="more than 0 in"):
        SpacingField(F(0), F(3), F(0), "field")
    with pytest.raises(LayoutError, match="no width"):
        ClearBand(F(3), F(3), "band")
    with pytest.raises(LayoutError, match="joist spacing"):
        joist_lines(0, 0, 10)
    with pytest.raises(LayoutError, match="beyond the last"):
        reach((), F(0))
    with pytest.raises(TypeError, match="not exact"):
        Run(0.5, F(3))  # type: ignore[arg-type]


def test_ends_named_as_they_are() -> None:
    assert isinstance(LINE, LedgerLine)
    assert LINE.ledger_ends is ENDS
