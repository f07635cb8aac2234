"""Search the changes of a design that avoid relief: every size to be had, measures exactly.

Sizes and kinds are tried in every combination up to `most_changes` changed quantities. Measures
are not tried one by one: a limit on a quantity gives the value it must take, and the measures of
the section (rows, drop, joists on the ledger) are solved as difference constraints. Every option
is then evaluated as a whole; nothing is claimed that was not.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations, product
from math import ceil, floor

from msgspec import Struct, field

from deckclause.designs.design import Facts
from deckclause.designs.geometry import READ
from deckclause.evaluate.findings import Evaluation, Finding
from deckclause.evaluate.status import DOES_NOT_COMPLY, ENGINEERING_REQUIRED, INFORMATION_MISSING
from deckclause.placement.boards import JOISTS_BOTTOM, JOISTS_TOP
from deckclause.placement.constraints import Distance
from deckclause.placement.from_design import (
    JOISTS,
    MEASURES,
    held_surface,
    section_facts,
    stated_distances,
    surface_height,
)
from deckclause.placement.from_findings import clause_limits
from deckclause.placement.solve import solve
from deckclause.rulesets.clauses import Limit, Scalar
from deckclause.rulesets.relief import Move
from deckclause.variance.case import ReliefCase, places, with_status
from deckclause.variance.changing import Change, changed, is_stated, stated
from deckclause.variance.options import Option, step_size, worth_showing
from deckclause.variance.relevant import clauses_behind, relevant_moves, thresholds
from deckclause.variance.settle import settle

MOST_CHANGES = 4
MOST_CHOICES = 3
"""Sizes and kinds changed together; measures may be changed on top, up to MOST_CHANGES in all."""
EFFORT = 2_500
"""Evaluations before the search stops and says that it is not complete."""
THRESHOLDS_EACH = 6
SEAT = (JOISTS_TOP, JOISTS_BOTTOM)
"""The joists' own depth: on hangers it must find wood behind it."""
SEATED = ("joists.size", "ledger.size", JOISTS)

Values = dict[str, Scalar]
Section = tuple[tuple[object, ...], tuple[tuple[object, ...], ...]]
"""What an arrangement on the section depends on: the measures stated there, the limits found."""


class Search(Struct, frozen=True):
    """What was found: options in order, whether all combinations were tried, how many were."""

    options: tuple[Option, ...]
    complete: bool
    tried: int
    most_changes: int


def find_changes(
    case: ReliefCase, *, most_changes: int = MOST_CHANGES, effort: int = EFFORT
) -> Search:
    """Return the changes that leave nothing failing, least change first; none for a passing design.

    Raises ValueError where `most_changes` is below 1.
    """
    if most_changes < 1:
        raise ValueError("at least one change must be allowed")
    if not case.failing:
        return Search((), True, 0, most_changes)
    seeker = _Seeker(case, most_changes, effort)
    complete = seeker.run()
    return Search(worth_showing(seeker.found), complete, seeker.tried, most_changes)


class _Seeker(Struct, dict=True):
    case: ReliefCase
    most_changes: int
    effort: int
    found: list[Option] = field(default_factory=list)
    tried: int = 0
    arranged: dict[tuple[object, ...], Values | None] = field(default_factory=dict)
    """What each free set of measures settles to: most combinations of sizes leave it alike."""
    sections: dict[Section, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        case = self.case
        self.design = case.design.design
        self.vocabulary = case.vocabulary
        self.surface = surface_height(case.design)
        self.moves = {m.quantity: m for m in case.rules.moves}
        self.before_engineering = places(case.engineering)
        self.before_missing = places(case.missing)
        self.choices = self._choices()
        self.measures = [
            q for q in MEASURES
            if q in self.moves and isinstance(stated(self.design, q, self.vocabulary), Fraction)
        ]  # fmt: skip

    def _choices(self) -> list[tuple[Move, tuple[Scalar, ...]]]:
        """List the moves between sizes or kinds, and measures at the figures a clause knows."""
        failing = self.case.failing
        concerned = (*failing, *self._section_findings())
        behind = clauses_behind(self.case, concerned)
        subjects = {f.requirement.subject for f in failing if isinstance(f.requirement, Limit)}
        kept: list[tuple[Move, tuple[Scalar, ...]]] = []
        seats = (SEAT,) if len(concerned) > len(failing) else ()
        for move in relevant_moves(self.case, concerned, seats):
            now = stated(self.design, move.quantity, self.vocabulary)
            if move.quantity in MEASURES or move.quantity in subjects:
                continue
            sizes: list[Scalar] = [size for size in move.sizes if size != now]
            if not move.sizes and isinstance(now, Fraction) and isinstance(move.step, Fraction):
                near = sorted(
                    (t for t in thresholds(behind, move.quantity) if t != now),
                    key=lambda t: abs(t - now),
                )
                sizes = [*near[:THRESHOLDS_EACH], *_shifted(now, move.step, failing)]
            if sizes:
                kept.append((move, tuple(sizes)))
        return kept

    def _section_findings(self) -> tuple[Finding, ...]:
        """Return every finding on the section where one of them fails: they move together."""
        limits = [c.finding for c in clause_limits(self.case.evaluation, self.vocabulary)]
        failing = places(self.case.failing)
        if any((f.key, f.part) in failing for f in limits):
            return tuple(limits)
        return ()

    def run(self) -> bool:
        """Try every combination within bounds; False where the effort ran out."""
        for count in range(min(MOST_CHOICES, self.most_changes) + 1):
            for chosen in combinations(self.choices, count):
                for sizes in product(*(sizes for _, sizes in chosen)):
                    if self.tried >= self.effort:
                        return False
                    values = {m.quantity: s for (m, _), s in zip(chosen, sizes, strict=True)}
                    if not self._needless(values):
                        self._try(values)
        return True

    def _needless(self, values: Values, *, keeps_step: bool = True) -> bool:
        """Tell whether an option found changes no more than these values do, and no farther.

        `keeps_step` tells that the values may leave the deck's surface where it is: then only
        an option that does so too makes them needless.
        """
        changes = {c.quantity: c for c in self._changes(values)}
        return any(
            option.is_settled
            and (option.keeps_step or not keeps_step or self.surface is None)
            and all(
                c.quantity in changes and step_size(c) <= step_size(changes[c.quantity])
                for c in option.changes
            )
            for option in self.found
        )

    def _try(self, values: Values) -> None:
        evaluation = self._evaluate(values)
        failing = with_status(evaluation, DOES_NOT_COMPLY)
        repaired = self._repaired(failing, values)
        if repaired:
            values = {**values, **repaired}
            if len(values) > self.most_changes:
                return
            evaluation = self._evaluate(values)
        self._accept(values, evaluation)
        if self._section_stands(evaluation):
            self._settle(values, evaluation)

    def _repaired(self, failing: tuple[Finding, ...], values: Values) -> Values:
        """Give each failing measure the nearest value its own limit allows."""
        repaired: Values = {}
        for finding in failing:
            requirement = finding.requirement
            subject = requirement.subject if isinstance(requirement, Limit) else None
            if not isinstance(subject, str) or subject in values or subject in repaired:
                continue
            move, now = self.moves.get(subject), finding.value
            if move is None or not isinstance(now, Fraction):
                continue
            target = _to_limit(now, finding, move)
            if target is not None and stated(self.design, subject, self.vocabulary) is not None:
                repaired[subject] = target
        return repaired

    def _section_stands(self, evaluation: Evaluation) -> bool:
        """Tell whether all that still fails is a matter of where things stand on the section."""
        vertical = {(c.finding.key, c.finding.part) for c in clause_limits(evaluation, self.vocabulary)}  # fmt: skip
        return bool(self.measures) and places(with_status(evaluation, DOES_NOT_COMPLY)) <= vertical

    def _settle(self, values: Values, evaluation: Evaluation) -> None:
        facts = section_facts(evaluation.design)
        limits = [c.distance for c in clause_limits(evaluation, self.vocabulary)]
        section = self.sections.setdefault(_section(facts, limits), len(self.sections))
        holds = [True, False] if self.surface is not None else [False]
        room = self.most_changes - len(values)
        for hold in holds:
            if self._arranged(section, facts, limits, None, hold=hold) is None:
                continue
            done: list[frozenset[str]] = []
            for count in range(1, min(room, len(self.measures)) + 1):
                for free in combinations(self.measures, count):
                    if hold and any(d <= set(free) for d in done):
                        continue
                    hung = any(q in SEATED for q in (*values, *free)) and self._on_hangers()
                    settled = self._arranged(section, facts, limits, free, hold=hold, hung=hung)
                    if settled is None or any(settled[q] == facts[q] for q in free):
                        continue
                    together = {**values, **settled}
                    if self._needless(together, keeps_step=hold):
                        continue
                    if self._accept(together, self._evaluate(together)):
                        done.append(frozenset(free))

    def _arranged(
        self,
        section: int,
        facts: Facts,
        limits: list[Distance],
        free: tuple[str, ...] | None,
        *,
        hold: bool,
        hung: bool = False,
    ) -> Values | None:
        """Settle the free measures, or tell by no value or None whether any place is left at all.

        Asked once for a section: the answer rests on nothing else.
        """
        key = (section, free, hold, hung)
        if key not in self.arranged:
            if free is None:
                stands = self._can_stand(facts, limits, hold=hold)
                self.arranged[key] = {} if stands else None
            else:
                self.arranged[key] = self._settled(facts, limits, free, hold=hold, hung=hung)
        return self.arranged[key]

    def _can_stand(self, facts: Facts, limits: list[Distance], *, hold: bool) -> bool:
        """Tell whether the limits leave any place at all, with every measure free."""
        distances = [*stated_distances(facts, self.measures), *limits]
        if hold and self.surface is not None:
            distances.append(held_surface(self.surface))
        return solve(distances).is_feasible

    def _settled(
        self,
        facts: Facts,
        limits: list[Distance],
        free: tuple[str, ...],
        *,
        hold: bool,
        hung: bool,
    ) -> Values | None:
        """Solve the free measures, each as near as can be to what was designed; None if none fit."""
        distances = [*stated_distances(facts, free, hung=hung), *limits]
        if hold and self.surface is not None:
            distances.append(held_surface(self.surface))
        now = {q: v for q in free if isinstance(v := facts[q], Fraction)}
        steps = {q: s for q in free if isinstance(s := self.moves[q].step, Fraction)}
        first = sorted(free, key=lambda q: (-self.moves[q].effort, -self.moves[q].order))
        settled = settle(distances, first, now, steps)
        return None if settled is None else dict(settled)

    def _on_hangers(self) -> bool:
        fields = self.design.values("joists")
        return all(f.facts.get("joists.at_ledger") != "bears_on_top" for f in fields)

    def _evaluate(self, values: Values) -> Evaluation:
        self.tried += 1
        design = changed(self.design, values, self.vocabulary) if values else self.design
        return self.case.evaluate(design)

    def _accept(self, values: Values, evaluation: Evaluation) -> bool:
        """Keep an option that holds together, where nothing fails or newly needs engineering."""
        if not values or with_status(evaluation, DOES_NOT_COMPLY):
            return False
        engineering = places(with_status(evaluation, ENGINEERING_REQUIRED))
        if not engineering <= self.before_engineering or not self._seated(values, evaluation):
            return False
        if self.case.falls_apart(evaluation.design.design):
            return False
        missing = with_status(evaluation, INFORMATION_MISSING)
        opened = tuple(f for f in missing if (f.key, f.part) not in self.before_missing)
        changes = tuple(self._changes(values))
        surface = surface_height(evaluation.design)
        option = Option(
            changes, evaluation, opened, self.surface, surface, asks=self._asks(changes)
        )
        self.found.append(option)
        return option.is_settled

    def _asks(self, changes: tuple[Change, ...]) -> tuple[str, ...]:
        """Name what the changes make a matter of and the design does not state."""
        asked = dict.fromkeys(name for change in changes for name in change.move.asks)
        return tuple(n for n in asked if not is_stated(self.design, n, self.vocabulary))

    def _seated(self, values: Values, evaluation: Evaluation) -> bool:
        """Tell whether joists still hang within the ledger's depth where that was changed."""
        if not any(q in values for q in SEATED) or not self._on_hangers():
            return True
        facts = section_facts(evaluation.design)
        below, depth, ledger = (facts.get(q) for q in (JOISTS, "joists.depth", "ledger.depth"))
        if not (isinstance(below, Fraction) and isinstance(depth, Fraction)):
            return True
        return below >= 0 and (not isinstance(ledger, Fraction) or below + depth <= ledger)

    def _changes(self, values: Values) -> Iterator[Change]:
        for quantity, after in sorted(values.items(), key=lambda v: self.moves[v[0]].order):
            before = stated(self.design, quantity, self.vocabulary)
            if before is not None:
                yield Change(self.moves[quantity], before, after)


def _section(facts: Facts, limits: list[Distance]) -> Section:
    return (
        tuple(facts.get(name) for name in READ),
        tuple((d.start, d.end, d.least, d.most) for d in limits),
    )


def _shifted(now: Fraction, step: Fraction, failing: tuple[Finding, ...]) -> list[Scalar]:
    """Return a measure moved either way by what each failing limit lacks, to a whole step.

    Serves limits on a figure worked out from the measure, such as a guard's height over a seat.
    """
    shifted: list[Scalar] = []
    for finding in failing:
        margin = finding.margin
        if margin is not None and margin < 0:
            shifted += [ceil((now - margin) / step) * step, floor((now + margin) / step) * step]
    return [value for value in dict.fromkeys(shifted) if isinstance(value, Fraction) and value > 0]


def _to_limit(now: Fraction, finding: Finding, move: Move) -> Fraction | None:
    """Return the limit a value misses, on a whole step to the safe side; None for none above 0."""
    step = move.step if isinstance(move.step, Fraction) else None
    target: Fraction | None = None
    if finding.least is not None and now < finding.least:
        target = ceil(finding.least / step) * step if step else finding.least
    elif finding.most is not None and now > finding.most:
        target = floor(finding.most / step) * step if step else finding.most
    return target if target is not None and target > 0 else None
