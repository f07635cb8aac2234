"""One design under several rule sets side by side: rows are topics, columns are rule sets."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from msgspec import Struct

from deckclause.compare.drivers import Drivers, find_drivers
from deckclause.compare.hybrid import HybridRunner
from deckclause.compare.outcome import Outcome, outcome_of
from deckclause.compare.rule_diff.pair import RulePair
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.findings import Evaluation, TopicOutcome, evaluate
from deckclause.evaluate.heavier import Heavier, heavier
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    worst,
)
from deckclause.evaluate.together import PART as TOGETHER
from deckclause.evaluate.together import holds_together
from deckclause.evaluate.traces import Traces
from deckclause.rulesets.vocabulary import Topic, Vocabulary

if TYPE_CHECKING:
    from deckclause.compare.placement_rows import PlacementRows

WORKED_OUT = ("ledger_greatest_drop", "greatest_step_down")
"""Topics no clause speaks of alone: solved from all the distance clauses together."""


class Change(Struct, frozen=True):
    """Where the outcome changes from one rule set to another, and what drives it."""

    first: int
    second: int
    drivers: Drivers


class ComparisonRow(Struct, frozen=True, dict=True):
    """One topic under every rule set."""

    topic: Topic
    outcomes: tuple[TopicOutcome, ...]
    compared: tuple[Outcome, ...]
    """What each rule set's outcome is compared by."""
    changes: tuple[Change, ...]

    @cached_property
    def differs(self) -> bool:
        """Whether any two rule sets come to different outcomes, or only one is silent."""
        return len(set(self.compared)) > 1 or len({o.status for o in self.outcomes}) > 1

    @property
    def status(self) -> int:
        """The worst status of the row."""
        return worst([o.status for o in self.outcomes])


class Comparison(Struct, frozen=True):
    """A design under several rule sets."""

    design: PreparedDesign
    evaluators: tuple[Evaluator, ...]
    evaluations: tuple[Evaluation, ...]
    rows: tuple[ComparisonRow, ...]
    pairs: tuple[tuple[int, int], ...]
    """The columns whose changes are explained, as (from, to)."""
    together: Evaluation | None = None
    """Whether the deck holds together, the same under every rule set; None where it is not asked."""
    heavier: tuple[Heavier | None, ...] = ()
    """By rule set: the design at a load it states higher than the place's own value."""
    narrowed: bool = False
    """Whether only some topics were asked for."""
    placement: PlacementRows | None = None
    """The distance limits of each rule set on this design, where a topic asked for rests on them."""

    @property
    def binding(self) -> int | None:
        """What holding together adds to every outcome of the whole; None where it adds nothing.

        A deck that does not hold together complies with nothing. Where it is not known whether it
        does, no rule set's answer is a pass as a whole; topics asked for by name are answered by
        themselves.
        """
        if self.together is None:
            return None
        status = self.together.status
        return status if status == DOES_NOT_COMPLY or not self.narrowed else None

    def at_stated(self, row: ComparisonRow, column: int) -> TopicOutcome | None:
        """Return the outcome at the higher load the design states, where it is another."""
        found = self.heavier[column] if self.heavier else None
        if found is None or row.topic.name in WORKED_OUT:
            return None
        outcome = found.evaluation.outcome(row.topic.name)
        return None if _asks(outcome) == _asks(row.outcomes[column]) else outcome

    def lowered(self, row: ComparisonRow, column: int) -> bool:
        """Tell whether a pass at the place's value is none at the load the design states."""
        stated = self.at_stated(row, column)
        passes = row.outcomes[column].status == COMPLIES
        return passes and stated is not None and stated.status not in (COMPLIES, NOT_APPLICABLE)

    @property
    def ways(self) -> dict[str, tuple[int, ...]]:
        """The columns by what they stand for: several where one day lets one choose a code or path."""
        ways: dict[str, tuple[int, ...]] = {}
        for column, evaluator in enumerate(self.evaluators):
            place, way, _ = evaluator.ruleset.name.partition("/")
            name = place if way else evaluator.ruleset.name
            ways[name] = (*ways.get(name, ()), column)
        return ways

    @property
    def counted(self) -> tuple[int, ...]:
        """The columns that count: of several codes or paths one day lets one choose from, the best.

        A way to comply counts whole; nothing of it is taken together with another's.
        """
        return tuple(
            min(group, key=lambda c: _BEST.index(self.code_of((c,))))
            for group in self.ways.values()
        )

    @property
    def exit_status(self) -> int:
        """0 complies everywhere asked, 1 something does not, 3 undecided only."""
        return self.code_of(self.counted)

    def code_of(self, columns: Sequence[int]) -> int:
        """Return the exit status of some columns alone."""
        statuses: set[int] = {row.outcomes[c].status for row in self.rows for c in columns}
        if self.binding is not None and self.binding != COMPLIES:
            statuses.add(self.binding)
        known = [c for c in columns if c < len(self.heavier)]
        if any(self.lowered(row, column) for row in self.rows for column in known):
            statuses.add(INFORMATION_MISSING)
        if DOES_NOT_COMPLY in statuses:
            return 1
        if statuses & {ENGINEERING_REQUIRED, INFORMATION_MISSING} or COMPLIES not in statuses:
            return 3
        return 0


_BEST = (0, 3, 1)
"""Exit statuses, the best first."""


def _asks(outcome: TopicOutcome) -> frozenset[tuple[object, ...]]:
    """Return what becomes of each part and what is asked of it, whatever value was read."""
    return frozenset((f.part, f.key, f.status, f.least, f.most) for f in outcome.findings)


def compare(
    catalogue: Catalogue,
    design: PreparedDesign,
    names: Sequence[str],
    *,
    topics: Sequence[str] = (),
    pairs: Sequence[tuple[int, int]] | None = None,
    last: Comparison | None = None,
) -> Comparison:
    """Evaluate a design under rule sets and explain where the outcomes part.

    `topics` narrows the rows; `pairs` of column numbers says which changes to explain (by
    default each column against the one before it). `last` is a comparison of nearly the same
    design: every clause is evaluated again, and a row whose findings come out the same is the very
    row it was. Raises InputError for a name that is none.
    """
    evaluators = tuple(catalogue.evaluator(name) for name in names)
    vocabulary = catalogue.vocabulary
    evaluations = tuple(evaluate(design, e, vocabulary) for e in evaluators)
    wanted = list(topics) or _by_part(vocabulary)
    placement = _placement(design, evaluators, vocabulary, wanted)
    if placement is not None:
        evaluations = placement.added_to(evaluations, [t for t in WORKED_OUT if t in wanted])
    spoken = {c.topic for e in evaluators for c in e.ruleset.clauses}
    spoken |= {f.topic for e in evaluations for f in e.findings[-len(WORKED_OUT) :]}
    spoken |= {s.topic for e in evaluators for s in e.ruleset.struck}
    chosen_pairs = [(i - 1, i) for i in range(1, len(names))] if pairs is None else list(pairs)
    both = {(a, b): RulePair(evaluators[a], evaluators[b]) for a, b in chosen_pairs}
    traces = tuple(Traces(e, vocabulary) for e in evaluations)
    before = _rows_before(last, evaluators, both)
    rows = tuple(
        _row(vocabulary, topic, design, both, evaluations, traces, placement, before.get(topic))
        for topic in wanted
        if (topic in spoken or topics) and vocabulary.topics[topic].part != TOGETHER
    )
    together = holds_together(catalogue, design)
    loads = tuple(
        heavier(evaluation, evaluator, vocabulary)
        for evaluation, evaluator in zip(evaluations, evaluators, strict=True)
    )
    return Comparison(
        design,
        evaluators,
        evaluations,
        rows,
        tuple(chosen_pairs),
        together,
        loads,
        narrowed=bool(topics),
        placement=placement,
    )


def _rows_before(
    last: Comparison | None,
    evaluators: tuple[Evaluator, ...],
    pairs: dict[tuple[int, int], RulePair],
) -> dict[str, ComparisonRow]:
    """Return the rows an earlier comparison may lend: under the same rule sets, nothing explained."""
    if last is None or pairs or last.pairs or last.evaluators != evaluators:
        return {}
    return {row.topic.name: row for row in last.rows}


def _same_row(before: ComparisonRow, outcomes: tuple[TopicOutcome, ...]) -> bool:
    """Tell whether a row would come out as it was, by its findings alone.

    Two kinds rest on more than their findings: what needs engineering, on which bound was left;
    what is worked out, on all the distance clauses together.
    """
    if before.topic.name in WORKED_OUT:
        return False
    engineering = any(f.status == ENGINEERING_REQUIRED for o in outcomes for f in o.findings)
    return not engineering and before.outcomes == outcomes


def _by_part(vocabulary: Vocabulary) -> list[str]:
    """Return every topic, the parts of the deck in their own order."""
    order = list(vocabulary.parts)
    return sorted(vocabulary.topics, key=lambda name: order.index(vocabulary.topics[name].part))


def _placement(
    design: PreparedDesign,
    evaluators: tuple[Evaluator, ...],
    vocabulary: Vocabulary,
    wanted: list[str],
) -> PlacementRows | None:
    """Return what works the placement topics out, where they are asked for."""
    if not set(WORKED_OUT) & set(wanted) & set(vocabulary.topics):
        return None
    from deckclause.compare.placement_rows import PlacementRows

    return PlacementRows(design, evaluators, vocabulary)


def _row(
    vocabulary: Vocabulary,
    topic: str,
    design: PreparedDesign,
    pairs: dict[tuple[int, int], RulePair],
    evaluations: tuple[Evaluation, ...],
    traces: tuple[Traces, ...],
    placement: PlacementRows | None,
    before: ComparisonRow | None,
) -> ComparisonRow:
    outcomes = tuple(e.outcome(topic) for e in evaluations)
    if before is not None and _same_row(before, outcomes):
        return before
    definition = vocabulary.topics[topic]
    if placement is not None and topic in WORKED_OUT:
        compared = tuple(placement.compared(column, topic) for column in range(len(outcomes)))
    else:
        compared = tuple(
            outcome_of(o.findings, definition, traced, spoken=o.status == NOT_APPLICABLE)
            for o, traced in zip(outcomes, traces, strict=True)
        )

    def drivers(a: int, b: int) -> Drivers:
        if placement is not None and topic in WORKED_OUT:
            return placement.drivers(a, b, topic)
        pair = pairs[a, b]
        return find_drivers(HybridRunner(*pair.sides, design, vocabulary, topic, pair))

    changes = tuple(Change(a, b, drivers(a, b)) for a, b in pairs if compared[a] != compared[b])
    return ComparisonRow(definition, outcomes, compared, changes)
