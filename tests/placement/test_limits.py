"""What one clause limits while facts are unknown: never less than what may turn out to hold."""

from __future__ import annotations

from fractions import Fraction as F
from typing import Any

import pytest

from deckclause.evaluate.status import (
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
)
from deckclause.placement.limits import FREE, ClauseLimits, tighter, wider
from deckclause.placement.limits import clause_limits as limits_of
from deckclause.reading.branch import OWN, exception, reading
from deckclause.reading.lower import lower
from deckclause.rulesets.clauses import (
    ByChoice,
    Clause,
    ClauseException,
    Distance,
    Fixed,
    Limit,
    NeedsEngineering,
    Origin,
    Reading,
    Requirement,
    Waived,
)
from deckclause.rulesets.clauses import (
    Test as Check,
)
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.vocabulary import QuantityDefinition

ROW = Distance("ledger.top_edge", "fasteners.lower_row")
IS_LEDGER = Check("deck.attachment", options=("ledger",))
SMALL = Check("ledger.size", options=("2x8",))
LAG = Check("fasteners.kind", options=("lag_screw",))


def at_least(length: int) -> Limit:
    return Limit(ROW, least=Fixed(F(length)))


def unless(when: Check, requirement: Requirement) -> ClauseException:
    return ClauseException(when, requirement, "words", "note", "memory", (), 7)


def clause(requirement: Requirement, *exceptions: ClauseException, **more: object) -> Clause:
    return Clause(
        "k", "t", "R1", "says", requirement, "confirmed", (), Origin("r", "f", 3),
        applies=IS_LEDGER, exceptions=exceptions, **more,  # type: ignore[arg-type]
    )  # fmt: skip


QUANTITIES = {
    name: QuantityDefinition(name, "choice", "", "")
    for name in ("deck.attachment", "ledger.size", "fasteners.kind")
}


def clause_limits(
    clause: Clause, part: str, subject: Distance, facts: dict[str, Any]
) -> ClauseLimits | None:
    return limits_of(lower(clause, QUANTITIES), part, subject, facts)


HANGS = {"deck.attachment": "ledger"}


def test_a_clause_that_does_not_apply_limits_nothing() -> None:
    assert clause_limits(clause(at_least(6)), "", ROW, {"deck.attachment": "freestanding"}) is None


def test_where_it_is_unknown_whether_it_applies_it_holds_but_not_in_any_case() -> None:
    found = clause_limits(clause(at_least(6)), "", ROW, {})
    assert found is not None
    assert [b.bounds for b in found.strict] == [(F(6), None)]
    assert found.loose == FREE
    assert found.missing == ("deck.attachment",)


def test_an_exception_that_may_hold_relaxes_nothing() -> None:
    found = clause_limits(clause(at_least(6), unless(SMALL, at_least(4))), "", ROW, HANGS)
    assert found is not None
    assert [(b.branch, b.bounds) for b in found.strict] == [(OWN, (F(6), None))]
    assert found.loose == (F(4), None)
    assert found.missing == ("ledger.size",)


def test_an_exception_that_may_hold_and_asks_more_is_kept() -> None:
    found = clause_limits(clause(at_least(6), unless(SMALL, at_least(8))), "", ROW, HANGS)
    assert found is not None
    assert [b.branch for b in found.strict] == [OWN, exception(1)]
    assert found.loose == (F(6), None)


def test_an_exception_that_holds_governs_alone() -> None:
    facts = {**HANGS, "ledger.size": "2x8"}
    found = clause_limits(clause(at_least(6), unless(SMALL, at_least(4))), "", ROW, facts)
    assert found is not None
    assert [(b.branch, b.bounds) for b in found.strict] == [(exception(1), (F(4), None))]
    assert found.missing == ()


def test_an_exception_that_may_need_engineering_leaves_the_answer_open() -> None:
    given = clause(at_least(6), unless(SMALL, NeedsEngineering("the maker decides")))
    found = clause_limits(given, "", ROW, HANGS)
    assert found is not None
    assert found.status == INFORMATION_MISSING
    assert found.strict[0].bounds == (F(6), None)
    sure = clause_limits(given, "", ROW, {**HANGS, "ledger.size": "2x8"})
    assert sure is not None
    assert sure.status == ENGINEERING_REQUIRED
    assert sure.reason == "the maker decides"


def test_two_exceptions_at_once_are_an_error_naming_both_lines() -> None:
    given = clause(at_least(6), unless(SMALL, at_least(4)), unless(LAG, at_least(5)))
    facts = {**HANGS, "ledger.size": "2x8", "fasteners.kind": "lag_screw"}
    with pytest.raises(InputError, match="exceptions 1 and 2 both fire"):
        clause_limits(given, "", ROW, facts)


def test_a_waived_clause_limits_nothing_and_is_still_spoken_of() -> None:
    found = clause_limits(
        clause(at_least(6), unless(SMALL, Waived())), "", ROW, {**HANGS, "ledger.size": "2x8"}
    )
    assert found is not None
    assert found.strict == ()


def test_every_reading_holds_the_stricter_governs() -> None:
    exactly = Limit(ROW, exactly=Fixed(F(2)))
    wider_reading = Reading(at_least(2), "a band kept clear", "confirmed", ())
    stricter = Reading(at_least(3), "more", "confirmed", ())
    one = clause_limits(clause(exactly, readings=(wider_reading,)), "", ROW, HANGS)
    assert one is not None
    assert [b.bounds for b in one.strict] == [(F(2), F(2))]
    two = clause_limits(clause(exactly, readings=(stricter,)), "", ROW, HANGS)
    assert two is not None
    assert [b.branch for b in two.strict] == [OWN, reading(1)]


def test_a_figure_that_is_not_prescribed_needs_engineering() -> None:
    by_size = Limit(ROW, least=ByChoice("ledger.size", (("2x8", Fixed(F(11, 2))),)))
    found = clause_limits(clause(by_size), "", ROW, {**HANGS, "ledger.size": "2x6"})
    assert found is not None
    assert (found.status, found.strict) == (ENGINEERING_REQUIRED, ())
    unknown = clause_limits(clause(by_size), "", ROW, HANGS)
    assert unknown is not None
    assert unknown.status == INFORMATION_MISSING
    assert DOES_NOT_COMPLY > ENGINEERING_REQUIRED > INFORMATION_MISSING


def test_outside_the_scope_is_engineering_and_unknown_scope_is_asked() -> None:
    given = clause(at_least(6), scope=SMALL, scope_says="2x8 ledgers")
    outside = clause_limits(given, "", ROW, {**HANGS, "ledger.size": "2x10"})
    assert outside is not None
    assert outside.status == ENGINEERING_REQUIRED
    assert "2x8 ledgers" in outside.reason
    unsure = clause_limits(given, "", ROW, HANGS)
    assert unsure is not None
    assert (unsure.status, unsure.strict[0].bounds) == (INFORMATION_MISSING, (F(6), None))


def test_bounds_meet_and_join() -> None:
    assert tighter((F(2), None), (None, F(5))) == (F(2), F(5))
    assert wider((F(2), F(3)), (F(1), None)) == (F(1), None)
