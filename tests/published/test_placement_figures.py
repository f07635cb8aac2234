"""Published and trade figures on where ledger fasteners may go, through the shipped rule sets.

Worked figures: common practice among deck builders under the 2012 table, no published source.
Limits: the City of Edmonds (Washington) deck tip sheet 5 (document 1487848), which reprints the
2015 table and figure; the 2009 text as quoted by a contractor's page (decks-ca.com). Geometry:
NDS 2018 Tables 12.5.1C and D.
"""

from __future__ import annotations

from fractions import Fraction as F
from math import ceil

import pytest

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.status import DOES_NOT_COMPLY
from deckclause.placement.answers import Ask
from deckclause.placement.boards import (
    BAND_BOTTOM,
    BAND_TOP,
    LEDGER_BOTTOM,
    LEDGER_TOP,
    LOWER_ROW,
    UPPER_ROW,
)
from deckclause.placement.from_rules import PlacementRules
from deckclause.placement.place import Placement, place
from deckclause.placement.solve import solve
from deckclause.placement.sums import conflict_text
from support.designs import changed

Limits = dict[tuple[str, str], tuple[F | None, F | None]]


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


def placed(catalogue: Catalogue, name: str, **facts: object) -> Placement:
    rules = PlacementRules(catalogue.evaluator(name), catalogue.vocabulary)
    return place(changed(catalogue, **facts), rules)


def limits(catalogue: Catalogue, name: str, axis: str, **facts: object) -> Limits:
    rules = PlacementRules(catalogue.evaluator(name), catalogue.vocabulary)
    return {
        (d.start, d.end): (d.least, d.most)
        for item in rules.limits(changed(catalogue, **facts), axis)
        if not item.is_at_door
        for d in item.strict
    }


@pytest.mark.parametrize(
    ("ledger", "band", "greatest"), [("2x10", "2x10", F(3, 4)), ("2x12", "2x12", F(7, 4))]
)
def test_the_trades_greatest_drops_of_2012(
    catalogue: Catalogue, ledger: str, band: str, greatest: F
) -> None:
    placement = placed(catalogue, "irc-2012", ledger__size=ledger, band_joist__size=band)
    assert placement.drop is not None
    assert placement.drop.greatest.value == greatest


@pytest.mark.parametrize(
    ("ledger", "band", "short"), [("2x12", "2x10", F(1, 4)), ("2x10", "2x8", F(5, 4))]
)
def test_pairs_that_are_impossible_at_any_drop_in_2012(
    catalogue: Catalogue, ledger: str, band: str, short: F
) -> None:
    placement = placed(
        catalogue,
        "irc-2012",
        ledger__size=ledger,
        band_joist__size=band,
        ledger__below_band_joist=0,
    )
    assert placement.any_drop.status == DOES_NOT_COMPLY
    worst = placement.any_drop.conflicts.conflicts[0]
    assert worst.shortfall == short
    assert "too much" in conflict_text(worst)


def test_the_2009_zone_is_two_lines_two_inches_in(catalogue: Catalogue) -> None:
    placement = placed(catalogue, "irc-2009", ledger__below_band_joist=0)
    system = placement.any_drop.distances
    asks = [
        Ask(start, end, sense)  # type: ignore[arg-type]
        for start, end in ((LEDGER_TOP, UPPER_ROW), (LOWER_ROW, LEDGER_BOTTOM))
        for sense in ("least", "greatest")
    ]
    assert [e.value for e in solve(system, asks).extremes] == [2, 2, 2, 2]


def test_the_2009_first_fastener_is_two_to_five_inches_from_the_end(catalogue: Catalogue) -> None:
    assert limits(catalogue, "irc-2009", "along") == {
        ("ledger.end", "fasteners.any"): (F(2), None),
        ("ledger.end", "fasteners.first"): (None, F(5)),
    }


EDMONDS_LOWER_ROW = {"2x8": F(11, 2), "2x10": F(13, 2), "2x12": F(15, 2)}


@pytest.mark.parametrize("size", EDMONDS_LOWER_ROW)
def test_the_edmonds_figure_dimension_by_dimension(catalogue: Catalogue, size: str) -> None:
    found = limits(
        catalogue,
        "irc-2015",
        "vertical",
        ledger__size=size,
        band_joist__directly_supported_by="other_structure",
    )
    assert found == {
        (LEDGER_TOP, UPPER_ROW): (F(2), None),
        (LOWER_ROW, LEDGER_BOTTOM): (F(3, 4), None),
        (LEDGER_TOP, LOWER_ROW): (EDMONDS_LOWER_ROW[size], None),
        (UPPER_ROW, LOWER_ROW): (F(13, 8), F(5)),
        (BAND_TOP, UPPER_ROW): (F(3, 4), None),
        (LOWER_ROW, BAND_BOTTOM): (F(2), None),
    }
    assert limits(catalogue, "irc-2015", "along") == {
        ("ledger.end", "fasteners.any"): (F(2), None),
        ("ledger.end", "fasteners.first"): (None, F(5)),
        ("band_joist.end", "fasteners.any"): (F(2), None),
        ("band_joist.end", "fasteners.first"): (None, F(5)),
    }


@pytest.mark.parametrize("support", ["mudsill", "header", "double_top_plate"])
def test_the_edmonds_note_on_direct_bearing(catalogue: Catalogue, support: str) -> None:
    found = limits(catalogue, "irc-2015", "vertical", band_joist__directly_supported_by=support)
    assert found[LOWER_ROW, BAND_BOTTOM] == (F(3, 4), None)


def test_the_edmonds_lesser_depth_of_a_2x8_on_a_2x8(catalogue: Catalogue) -> None:
    boards = {"ledger__size": "2x8", "band_joist__size": "2x8"}
    lags = limits(catalogue, "irc-2015", "vertical", **boards, fasteners__kind="lag_screw")
    assert lags[LEDGER_TOP, LOWER_ROW] == (F(9, 2), None)
    close = limits(catalogue, "irc-2015", "vertical", **boards, fasteners__spacing=15)
    assert close[LEDGER_TOP, LOWER_ROW] == (F(9, 2), None)
    wide = limits(catalogue, "irc-2015", "vertical", **boards, fasteners__spacing=16)
    assert wide[LEDGER_TOP, LOWER_ROW] == (F(11, 2), None)


@pytest.mark.parametrize("name", ["irc-2012", "irc-2015"])
def test_the_tables_figures_are_nds_geometry_for_half_inch(catalogue: Catalogue, name: str) -> None:
    """4D at the loaded edge, 1.5D at the other, (5l + 10D)/8 between rows to the next eighth."""
    diameter, board = F(1, 2), F(3, 2)
    found = limits(catalogue, name, "vertical", band_joist__directly_supported_by="other_structure")
    loaded, other = 4 * diameter, F(3, 2) * diameter
    between = (5 * board + 10 * diameter) / 8
    assert found[LEDGER_TOP, UPPER_ROW][0] == found[LOWER_ROW, BAND_BOTTOM][0] == loaded
    assert found[LOWER_ROW, LEDGER_BOTTOM][0] == found[BAND_TOP, UPPER_ROW][0] == other
    assert found[UPPER_ROW, LOWER_ROW] == (F(ceil(between * 8), 8), F(5))
