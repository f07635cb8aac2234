"""The figures drawn for a builder: none of them the example deck's own, unknown ones not written."""

from __future__ import annotations

from fractions import Fraction

import pytest
from msgspec.structs import replace

from deckclause.answers.key_figures import NOT_HELD, KeyFigures, key_figures
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import Evaluation, evaluate

CATALOGUE = Catalogue.open()
EXAMPLE = CATALOGUE.files.found("examples") / "whole-deck-12x16.yaml"


def evaluated(name: str) -> Evaluation:
    return evaluate(CATALOGUE.design(EXAMPLE), CATALOGUE.evaluator(name), CATALOGUE.vocabulary)


def told(evaluation: Evaluation) -> KeyFigures:
    return key_figures(evaluation, CATALOGUE.vocabulary)


@pytest.mark.parametrize(
    ("name", "footing"),
    [
        # R301.2 leaves the frost line to the jurisdiction; the example deck's own 36 in is no rule
        ("irc-2015", "at least 12 in and below frost"),
        ("Utah@2023-07-01", "at least 12 in * and below frost"),
        # Snohomish fixes 18 in (its table of climatic criteria)
        ("Snohomish@2021-02-01", "at least 18 in below ground"),
    ],
)
def test_a_frost_depth_is_written_only_where_an_ordinance_fixes_it(name: str, footing: str) -> None:
    assert told(evaluated(name)).footing == footing


def test_a_limit_beside_one_not_known_is_not_written_as_the_strictest() -> None:
    """Wisconsin's own code on stairs was not read: no figure, and none from the clause beside it."""
    wisconsin = told(evaluated("Wisconsin@2016-01-01"))
    assert (wisconsin.riser, wisconsin.tread, wisconsin.footing) == (NOT_HELD,) * 3
    edition = evaluated("irc-2015")
    (riser,) = [f for f in edition.findings if f.topic == "stair_riser_height"]
    unread = next(
        f for f in evaluated("Wisconsin@2016-01-01").findings if f.topic == "stair_riser_height"
    )
    assert told(replace(edition, findings=(riser,))).riser == "at most 7-3/4 in *"
    assert told(replace(edition, findings=(riser, unread))).riser == NOT_HELD


def test_a_range_is_from_memory_where_either_end_is() -> None:
    """The least of one clause, the most of another: the star is not lost between the two."""
    edition = evaluated("irc-2015")
    (riser,) = [f for f in edition.findings if f.topic == "stair_riser_height"]
    printed = replace(
        riser, clause=replace(riser.clause, standing="confirmed"), least=Fraction(4), most=None
    )
    both = replace(edition, findings=(printed, riser))
    assert told(both).riser == "4 in to 7-3/4 in *"
