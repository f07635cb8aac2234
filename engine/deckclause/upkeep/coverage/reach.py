"""Which sides of a clause no design can come to, shown by its regions, and why."""

from __future__ import annotations

from deckclause.evaluate.regions.asked import Bound
from deckclause.evaluate.regions.explore import Piece, TooMany, Undecided, explore
from deckclause.evaluate.regions.linear import Form
from deckclause.evaluate.regions.reader import NotLinear
from deckclause.evaluate.regions.rule_set import topic_reads
from deckclause.evaluate.regions.view import View, whole_space
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY
from deckclause.rulesets.clauses import Clause
from deckclause.upkeep.coverage.outcome import Reading
from deckclause.upkeep.lint.survey import Course

WHY: dict[int, str] = {
    COMPLIES: "no design can meet it",
    DOES_NOT_COMPLY: "no design can break it: where it applies and covers, it is always met",
}
MOST_RUNS = 20_000


def sides_out_of_reach(reading: Reading, clause: Clause) -> frozenset[int]:
    """Return which of `complies` and `does not comply` no design can come to, whatever a place sets.

    Empty where the regions are too many to be sure.
    """
    reached: set[int] = set()
    for read in (reading, reading.left_open()):
        names = topic_reads(read.read.ruleset, read.read.plan, clause.topic)
        start = whole_space(read.quantities, list(names))
        try:
            for piece in explore(start, lambda s, r=read: r.course(clause, s), most=MOST_RUNS):  # type: ignore[misc]
                reached |= _reached(read, piece)
        except (TooMany, NotLinear):
            return frozenset()
    return frozenset((COMPLIES, DOES_NOT_COMPLY)) - reached


def _reached(reading: Reading, piece: Piece[Course]) -> set[int]:
    asked = piece.answer.asked
    if asked is None or asked.status not in (COMPLIES, DOES_NOT_COMPLY):
        return set()
    if asked.status == DOES_NOT_COMPLY:
        return {DOES_NOT_COMPLY}
    view = View(piece.space, reading.quantities)
    sides = [_sides(view, bound) for bound in asked.bounds if not bound.decided]
    found = {COMPLIES} if all(meets for meets, _ in sides) else set()
    return found | ({DOES_NOT_COMPLY} if any(breaks for _, breaks in sides) else set())


def _sides(view: View, bound: Bound) -> tuple[bool, bool]:
    """Tell whether a bound can be met, and whether it can be broken, in a region."""
    if bound.subject not in view.quantities:
        return True, True  # a distance: set by facts of its own
    if bound.one_of is not None:
        here = view.options(bound.subject)
        return bool(here & bound.one_of), bool(here - bound.one_of)
    subject = Form.of(bound.subject)
    met = [
        _proved(view, one, two)
        for one, two in ((bound.least, subject), (subject, bound.most))
        if one is not None and two is not None
    ]
    return all(m is not False for m in met), any(m is not True for m in met)


def _proved(view: View, one: Form, two: Form) -> bool | None:
    """Tell whether `one` is at most `two` all over the region (True), nowhere (False), or in part."""
    try:
        return view.at_most(one, two)
    except Undecided:
        return None
