from __future__ import annotations

import csv
import io
from fractions import Fraction as F

import pytest

from deckclause.placement.layout import lay_out
from deckclause.placement.ledger_line import LayoutError
from deckclause.placement.schedule import COLUMNS, schedule, schedule_csv, schedule_data
from placement.trade_lines import ledger_line

LAYOUT = lay_out(ledger_line(240, 18, splices=(128,)))
DEPTHS = {"upper": F(5, 2), "lower": F(27, 4)}
ROWS = schedule(LAYOUT, F(37, 4), DEPTHS)


def test_every_fastener_has_its_row_and_height() -> None:
    assert [r.fastener for r in ROWS] == list(range(1, LAYOUT.count + 1))
    assert {(r.row, r.height) for r in ROWS} == {("upper", F(27, 4)), ("lower", F(5, 2))}
    assert ROWS[0].spacing is None
    first_of_two = next(r for r in ROWS if r.piece == 2)
    assert first_of_two.number_in_piece == 1
    assert 2 <= first_of_two.from_left_end <= 5


def test_spacings_add_up_along_the_wall() -> None:
    total = sum((r.spacing or F(0) for r in ROWS), ROWS[0].from_left_end)
    assert total == LAYOUT.fasteners[-1].position


def test_csv_and_data_say_the_same() -> None:
    read = list(csv.reader(io.StringIO(schedule_csv(ROWS))))
    assert tuple(read[0]) == COLUMNS
    assert len(read) == len(ROWS) + 1
    data = schedule_data(ROWS)
    assert [F(str(d["from_left_end_in"])) for d in data] == [r.from_left_end for r in ROWS]
    assert read[1][0] == str(data[0]["fastener"])


@pytest.mark.parametrize(
    ("depths", "message"),
    [
        ({"upper": F(2)}, "give how far the lower row"),
        ({"upper": F(2), "lower": F(10)}, "not within a ledger"),
        ({"upper": F(7), "lower": F(3)}, "exchange the two"),
    ],
)
def test_rows_that_cannot_be_are_refused(depths: dict[str, F], message: str) -> None:
    with pytest.raises(LayoutError, match=message):
        schedule(LAYOUT, F(37, 4), depths)
