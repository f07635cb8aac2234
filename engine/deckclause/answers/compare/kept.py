"""Rows of one answer that the next one, of nearly the same design, may take over as they are.

Every clause is evaluated again for every answer; what is taken over are a row's words, standing and
sources, where neither its findings nor any fact they may rest on is another. What it may rest on is
counted generously: whatever its clauses read, whatever the clauses that give them those facts read,
and so on. A row that fails, needs engineering, limits a distance or was not seen in print is never
taken over: its words rest on more than that.
"""

from __future__ import annotations

from msgspec import Struct, field

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.answers.compare.row import TopicRow
from deckclause.compare.comparison import Comparison, ComparisonRow
from deckclause.designs.design import Facts
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import (
    COMPLIES,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
)
from deckclause.rulesets.walk import distances

_QUIET = (COMPLIES, NOT_APPLICABLE, NOT_REGULATED)
Reads = dict[str, frozenset[str] | None]
"""By topic, every fact its findings may rest on; None where they limit a distance."""


class Kept(Struct):
    """The last answer of one page, and what its rows may rest on."""

    comparison: Comparison | None = None
    answer: CompareAnswer | None = None
    _reads: dict[int, tuple[Evaluator, Reads]] = field(default_factory=dict)

    def take(self, comparison: Comparison, answer: CompareAnswer) -> None:
        """Keep an answer in place of the one before."""
        self.comparison, self.answer = comparison, answer
        held = {id(e) for e in comparison.evaluators}
        self._reads = {key: found for key, found in self._reads.items() if key in held}

    def rows(self, comparison: Comparison, *, si: bool) -> dict[str, TopicRow]:
        """Return the rows of the last answer that come out the same for this comparison."""
        last, answer = self.comparison, self.answer
        if last is None or answer is None or answer.si != si or not _alike(last, comparison):
            return {}
        changed = changed_facts(last.design, comparison.design)
        if changed is None:
            return {}
        now = {row.topic.name: row for row in comparison.rows}
        before = {row.topic.name: row for row in last.rows}
        reads = [self._of(evaluator) for evaluator in comparison.evaluators]
        return {
            row.topic.name: row
            for row in answer.rows
            if now.get(row.topic.name) is before[row.topic.name]
            and _is_quiet(before[row.topic.name])
            and all(_apart(found.get(row.topic.name, frozenset()), changed) for found in reads)
        }

    def _of(self, evaluator: Evaluator) -> Reads:
        held = self._reads.get(id(evaluator))
        if held is None:  # the evaluator is kept, so that its id stays its own
            held = self._reads[id(evaluator)] = evaluator, reads_by_topic(evaluator)
        return held[1]


def _alike(last: Comparison, now: Comparison) -> bool:
    """Tell whether two comparisons are under the same rule sets, at no load beside the place's."""
    plain = not any(last.heavier) and not any(now.heavier)
    return plain and not last.pairs and not now.pairs and last.evaluators == now.evaluators


def _is_quiet(row: ComparisonRow) -> bool:
    """Tell whether a row's words follow from its findings and the facts its clauses read."""
    return all(
        f.status in _QUIET or (f.status == INFORMATION_MISSING and f.missing)
        for outcome in row.outcomes
        for f in outcome.findings
    )


def _apart(reads: frozenset[str] | None, changed: set[str]) -> bool:
    return reads is not None and reads.isdisjoint(changed)


def changed_facts(before: PreparedDesign, now: PreparedDesign) -> set[str] | None:
    """Return the facts, derived ones too, that are others; None where the deck has other parts."""
    groups = before.design.parts.keys() | now.design.parts.keys()
    changed = _differing(before.facts(), now.facts())
    for group in groups:
        old, new = before.named_parts(group), now.named_parts(group)
        if [name for name, _ in old] != [name for name, _ in new]:
            return None
        for (_, was), (_, found) in zip(old, new, strict=True):
            changed |= _differing(was, found)
    return changed


def _differing(before: Facts, now: Facts) -> set[str]:
    missing = object()
    names = before.keys() | now.keys()
    return {n for n in names if before.get(n, missing) != now.get(n, missing)}


def reads_by_topic(evaluator: Evaluator) -> Reads:
    """Return what the findings of each topic may rest on, through what other clauses give."""
    plan, clauses = evaluator.plan, evaluator.ruleset.clauses
    giving: dict[str, set[int]] = {}
    for index, quantity in enumerate(plan.provides):
        if quantity:
            giving.setdefault(quantity, set()).add(index)
    found: Reads = {}
    for index, clause in enumerate(clauses):
        names: set[str] = set()
        waiting, seen = [index], {index}
        limits_distance = False
        while waiting:
            one = waiting.pop()
            limits_distance |= bool(distances(clauses[one]))
            names.update(plan.reads[one])
            more = {i for name in plan.reads[one] for i in giving.get(name, ())} - seen
            seen |= more
            waiting += more
        before = found.get(clause.topic, frozenset())
        apart = limits_distance or before is None
        found[clause.topic] = None if apart else frozenset(before or ()) | names
    return found
