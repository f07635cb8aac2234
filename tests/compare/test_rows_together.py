"""Both rows under several rule sets' limits at once, held against sums worked by hand."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from deckclause.answers.compare.strictest import strictest_answer
from deckclause.compare.comparison import compare
from deckclause.compare.rows_together import RowsTogether, rows_together
from deckclause.evaluate.catalogue import Catalogue
from support.designs import EXAMPLES

TOPICS = ("ledger_bottom_edge_distance", "ledger_greatest_drop")
STEP_DOWN = EXAMPLES / "step-down-3in.yaml"


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


def compared(catalogue: Catalogue, *under: str):
    return compare(catalogue, catalogue.design(STEP_DOWN), under, topics=TOPICS)


def solved(catalogue: Catalogue, *under: str) -> RowsTogether | None:
    return rows_together(compared(catalogue, *under), catalogue.vocabulary)


def test_the_2012_rows_of_a_2x10_on_a_2x10(catalogue: Catalogue) -> None:
    """Table R507.2.1: 6-1/2 in at least below the ledger's top and 2 in above the band joist's
    bottom leave a 9-1/4 in band joist 3/4 in of drop; without a drop the lower row may stand at
    9-1/4 - 2 = 7-1/4 in, the upper row 1-5/8 in above it (note b).
    """
    assert solved(catalogue, "irc-2012") == RowsTogether(
        at_stated_drop=False,
        drop=(F(0), F(3, 4)),
        upper=(F(2), F(45, 8)),
        lower=(F(13, 2), F(29, 4)),
        between=(F(13, 8), F(5)),
    )


def test_together_is_never_wider_than_either_alone(catalogue: Catalogue) -> None:
    one, two = solved(catalogue, "irc-2012"), solved(catalogue, "irc-2015")
    both = solved(catalogue, "irc-2012", "irc-2015")
    assert one
    assert two
    assert both
    for name in ("drop", "upper", "lower", "between"):
        ends = [getattr(r, name) for r in (one, two)]
        low, high = getattr(both, name)
        assert low >= max(e[0] for e in ends)
        assert high <= min(e[1] for e in ends)


def test_limits_that_exclude_each_other_have_no_place(catalogue: Catalogue) -> None:
    """2009: rows exactly 2 in from a 9-1/4 in ledger's edges, 5-1/4 in apart; 2018: 5 in at most."""
    assert solved(catalogue, "irc-2009", "irc-2018") is None
    words = "\n".join(_changes(compared(catalogue, "irc-2009", "irc-2018"), catalogue))
    assert "no place that keeps the limits of all of them is known" in words


def test_a_failing_row_is_told_with_the_range_that_would_do(catalogue: Catalogue) -> None:
    words = "\n".join(_changes(compared(catalogue, "irc-2012", "irc-2015"), catalogue))
    assert (
        "at a drop of 0 in to 3/4 in with the upper row 2 in to 5-5/8 in and the lower row "
        "6-1/2 in to 7-1/4 in below the ledger's top, 1-5/8 in to 5 in apart"
    ) in words


def test_rows_that_comply_are_not_spoken_of(catalogue: Catalogue) -> None:
    design = catalogue.design(EXAMPLES / "whole-deck-12x16.yaml")
    comparison = compare(catalogue, design, ("irc-2015", "irc-2018"), topics=TOPICS)
    assert not [line for line in _changes(comparison, catalogue) if "Rows of fasteners" in line]


def _changes(comparison, catalogue: Catalogue) -> tuple[str, ...]:
    sections = dict(strictest_answer(comparison, catalogue.vocabulary).sections)
    return sections.get("What must change", ())
