"""The least relaxation of clauses that repairs a design, singly and in minimal sets, exactly.

On the section the two rows may be moved first, for that needs no relief; everything else stays as
designed. Where one clause is not enough, minimal sets are those none of whose parts would do. The
amounts of a set have the least sum there is (least_sum): no less will do. Every set is checked: the design is evaluated
with the rows where the solver put them, and only the clauses of the set may fail, each by no more
than its amount.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import combinations

from msgspec import Struct

from deckclause.evaluate.findings import Evaluation, Finding
from deckclause.evaluate.status import DOES_NOT_COMPLY
from deckclause.evaluate.words import bounds_text
from deckclause.placement.answers import Ask, Extreme
from deckclause.placement.boards import BAND_TOP, LEDGER_TOP
from deckclause.placement.conflicts import all_conflicts
from deckclause.placement.constraints import Distance
from deckclause.placement.from_design import DROP, ROWS, section_facts, stated_distances
from deckclause.placement.from_findings import ClauseLimit, clause_limits
from deckclause.placement.solve import solve
from deckclause.placement.sums import conflict_text, extreme_text
from deckclause.variance.case import ReliefCase, with_status
from deckclause.variance.changing import changed
from deckclause.variance.least_sum import least_sum, let_out
from deckclause.variance.settle import settle

LEAST_WOOD = Fraction(3, 2)
"""Diameters of wood every published rule and the NDS leave between a fastener and any edge."""
LARGEST_SET = 3
"""Clauses relaxed together; a design that needs more is not a case for relief."""


class Gain(Struct, frozen=True):
    """What relaxing one clause brings: an inch of drop for each inch, up to `most` inches."""

    drop_now: Fraction
    drop_without: Fraction | None

    @property
    def most(self) -> Fraction | None:
        """The most it can bring before another limit governs; None where nothing else does."""
        return None if self.drop_without is None else self.drop_without - self.drop_now


class Relaxation(Struct, frozen=True):
    """One clause let out by `amount` (in its own unit): from its limit to the value asked for."""

    finding: Finding
    bound: str
    limit: Fraction
    value: Fraction
    gain: Gain | None = None

    @property
    def amount(self) -> Fraction:
        """How much it is let out."""
        return abs(self.limit - self.value)

    @property
    def required(self) -> str:
        """The limit it is let out from, in words."""
        return self._bound_text(self.limit)

    @property
    def asked(self) -> str:
        """The limit asked for in its place, in words."""
        return self._bound_text(self.value)

    def _bound_text(self, figure: Fraction) -> str:
        least, most = (figure, None) if self.bound == "least" else (None, figure)
        return bounds_text(least, most, self.finding.kind, self.finding.unit)


class RelaxationSet(Struct, frozen=True):
    """Clauses that together repair the section, with where the rows then stand (inches).

    `moved` are the rows that stand elsewhere than designed.
    """

    relaxations: tuple[Relaxation, ...]
    rows: tuple[tuple[str, Fraction], ...]
    moved: tuple[tuple[str, Fraction], ...]
    evaluation: Evaluation

    @property
    def moves(self) -> int:
        """How many rows are moved."""
        return len(self.moved)

    @property
    def total(self) -> Fraction:
        """The sum of the amounts."""
        return sum((r.amount for r in self.relaxations), Fraction(0))


class Refusal(Struct, frozen=True):
    """A failing clause for which no relaxation is offered, and why."""

    finding: Finding
    reason: str
    life_safety: bool


class Relief(Struct, frozen=True):
    """What relief a failing design would need.

    `as_drawn` are the limits missed as the design stands; `others` those of them that stand apart
    from the section and are needed beside any set of `sets`. `rows_alone` tells that moving the
    rows needs no relief; where others need some, the one set then says where the rows stand. `sums` are the conflicts of the section as sums.
    """

    as_drawn: tuple[Relaxation, ...]
    others: tuple[Relaxation, ...]
    sets: tuple[RelaxationSet, ...]
    rows_alone: bool
    sums: tuple[str, ...]
    greatest_drop: str
    refused: tuple[Refusal, ...]
    stands_as_drawn: bool = True
    """Whether the rows as drawn pass through both boards: no relief makes them stand else."""


def find_relief(case: ReliefCase) -> Relief:
    """Return the least relief a design's failing clauses need; empty where nothing fails."""
    as_drawn: list[Relaxation] = []
    refused: list[Refusal] = []
    for finding in case.failing:
        reason = case.never_relax(finding.clause)
        relaxation = missed(finding)
        if reason:
            refused.append(Refusal(finding, reason, True))
        elif relaxation is None:
            refused.append(Refusal(finding, NO_AMOUNT, False))
        else:
            as_drawn.append(relaxation)
    section = _Section(case)
    on_section = {(c.finding.key, c.finding.part) for c in section.limits}
    others = tuple(r for r in as_drawn if (r.finding.key, r.finding.part) not in on_section)
    if len(others) == len(as_drawn):
        return Relief(tuple(as_drawn), others, (), False, (), "", tuple(refused))
    rows_alone = section.is_feasible(section.distances())
    return Relief(
        as_drawn=tuple(as_drawn),
        others=others,
        sets=section.moved_rows() if rows_alone and others else tuple(section.sets()),
        rows_alone=rows_alone,
        sums=section.sums(),
        greatest_drop=section.greatest_drop_text(),
        refused=tuple(refused),
        stands_as_drawn=section.stands_as_drawn(),
    )


NO_AMOUNT = (
    "the clause asks for a condition, not a measure: there is no amount to relax it by; change the "
    "design, or ask for a modification or an alternative in words"
)


def missed(finding: Finding) -> Relaxation | None:
    """Return the limit a finding misses and the value that stands; None where it has no measure."""
    value = finding.value
    if not isinstance(value, Fraction):
        return None
    if finding.least is not None and value < finding.least:
        return Relaxation(finding, "least", finding.least, value)
    if finding.most is not None and value > finding.most:
        return Relaxation(finding, "most", finding.most, value)
    return None


class _Section:
    """The section of a case with its rows free."""

    def __init__(self, case: ReliefCase) -> None:
        self.case = case
        self.facts = section_facts(case.design)
        self.limits = clause_limits(case.evaluation, case.vocabulary)
        self.rows = tuple(r for r in ROWS if isinstance(self.facts.get(r), Fraction))
        self.boards = stated_distances(self.facts, self.rows)
        self.may_yield = tuple(c for c in self.limits if not case.never_relax(c.finding.clause))

    def distances(self, without: Iterable[ClauseLimit] = ()) -> list[Distance]:
        left_out = list(without)
        return [*self.boards, *(c.distance for c in self.limits if c not in left_out)]

    def stands_as_drawn(self) -> bool:
        return solve(stated_distances(self.facts)).is_feasible

    @staticmethod
    def is_feasible(distances: Sequence[Distance]) -> bool:
        return solve(distances).is_feasible

    def sums(self) -> tuple[str, ...]:
        """Write every conflict of the section as a sum."""
        return tuple(conflict_text(c) for c in all_conflicts(self.distances()).conflicts)

    def greatest_drop(self, without: Iterable[ClauseLimit] = ()) -> Extreme | None:
        """Return the greatest drop the limits leave these boards; None where none fits."""
        left_out = list(without)
        boards = stated_distances(self.facts, (*self.rows, DROP))
        kept = [*boards, *(c.distance for c in self.limits if c not in left_out)]
        try:
            answer = solve(kept, (Ask(BAND_TOP, LEDGER_TOP),))
        except KeyError:
            return None
        return answer.extremes[0] if answer.is_feasible else None

    def greatest_drop_text(self) -> str:
        """Write the greatest drop as a sum, or nothing where none fits."""
        extreme = self.greatest_drop()
        return extreme_text(extreme) if extreme is not None else ""

    def moved_rows(self) -> tuple[RelaxationSet, ...]:
        """Return the set of no clause: where the rows stand without any relief on the section."""
        found = self._least([])
        return () if found is None else (found,)

    def sets(self) -> list[RelaxationSet]:
        """Return the minimal sets: fewest clauses first, then the least sum of amounts."""
        if self.is_feasible(self.distances()):
            return []
        enough: list[frozenset[int]] = []
        found: list[RelaxationSet] = []
        for size in range(1, LARGEST_SET + 1):
            for chosen in combinations(range(len(self.may_yield)), size):
                if any(known <= set(chosen) for known in enough):
                    continue
                limits = [self.may_yield[i] for i in chosen]
                if not self.is_feasible(self.distances(limits)):
                    continue
                enough.append(frozenset(chosen))
                relaxed = self._least(limits)
                if relaxed is not None:
                    found.append(relaxed)
        return sorted(found, key=lambda s: (len(s.relaxations), s.total, s.moves))

    def _least(self, limits: list[ClauseLimit]) -> RelaxationSet | None:
        """Let the clauses out by the least sum there is, and place the rows."""
        kept = self.distances(limits)
        loose = [limit.distance for limit in limits]
        amounts = least_sum(kept, loose)
        if amounts is None:
            return None
        relaxations: list[Relaxation] = []
        for (number, bound), amount in amounts.items():
            limit = limits[number]
            now = limit.finding.least if bound == "least" else limit.finding.most
            assert now is not None
            value = now - amount if bound == "least" else now + amount
            gain = self._gain(limit) if len(limits) == 1 else None
            relaxations.append(Relaxation(limit.finding, bound, now, value, gain))
        relaxed = [let_out(item, number, amounts) for number, item in enumerate(loose)]
        return self._checked(relaxations, [*kept, *relaxed])

    def _gain(self, limit: ClauseLimit) -> Gain | None:
        """Return what letting one clause out brings, never past the wood a fastener must have."""
        now, then = self.greatest_drop(), self.greatest_drop((limit,))
        if now is None or now.value is None or then is None:
            return None
        without, diameter = then.value, self.facts.get("fasteners.diameter")
        if limit.finding.topic.endswith("_edge_distance") and isinstance(diameter, Fraction):
            room = (limit.finding.least or Fraction(0)) - LEAST_WOOD * diameter
            until = now.value + max(room, Fraction(0))
            without = until if without is None else min(without, until)
        return Gain(now.value, without)

    def _checked(self, relaxations: list[Relaxation], kept: list[Distance]) -> RelaxationSet | None:
        """Put the rows where the relaxed limits let them stand; evaluate; drop what does not hold."""
        now = {r: v for r in self.rows if isinstance(v := self.facts[r], Fraction)}
        steps = {m.quantity: m.step for m in self.case.rules.moves if isinstance(m.step, Fraction)}
        settled = settle(kept, self.rows, now, steps)
        if settled is None:
            return None
        moved = {r: v for r, v in settled.items() if v != now[r]}
        design = changed(self.case.design.design, moved, self.case.vocabulary)
        evaluation = self.case.evaluate(design)
        amounts = {(r.finding.key, r.finding.part): r.amount for r in relaxations}
        mine = {(c.finding.key, c.finding.part) for c in self.limits}
        for finding in with_status(evaluation, DOES_NOT_COMPLY):
            place = (finding.key, finding.part)
            if place in mine and -(finding.margin or Fraction(0)) > amounts.get(place, Fraction(0)):
                return None
        return RelaxationSet(
            tuple(relaxations), tuple(settled.items()), tuple(moved.items()), evaluation
        )
