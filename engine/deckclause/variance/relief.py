"""Everything on relief for one design under one rule set, gathered for a report or a request."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import Evaluation, Finding
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.variance.case import ReliefCase, open_case
from deckclause.variance.context import Context, find_context
from deckclause.variance.precedents import Precedents, find_precedents
from deckclause.variance.relax import Relaxation, RelaxationSet, Relief, find_relief
from deckclause.variance.search import Search, find_changes


@dataclass(frozen=True, slots=True)
class SetContext:
    """A set of relaxations with who permits each and what engineering says of each."""

    relaxations: RelaxationSet
    precedents: tuple[Precedents, ...]
    context: tuple[Context, ...]

    @property
    def not_advisable(self) -> tuple[str, ...]:
        """Why engineering gives the joint no value at what is asked for; empty where it does."""
        return tuple(c.no_value for c in self.context if c.no_value)


@dataclass(frozen=True, slots=True)
class Choice:
    """One relief that may be asked for, by the number it goes by in every report.

    `relaxations` are the clauses of the section and those apart from it; `moved` the rows that
    must stand elsewhere than drawn (inches); `evaluation` that of the design with them moved.
    """

    number: int
    relaxations: tuple[Relaxation, ...]
    moved: tuple[tuple[str, Fraction], ...]
    evaluation: Evaluation
    not_advisable: tuple[str, ...]
    exactly_as_drawn: bool
    found: SetContext | None


@dataclass(frozen=True, slots=True)
class ReliefReport:
    """What would make a design comply: changes, least relaxations, precedents, context."""

    case: ReliefCase
    changes: Search
    relief: Relief
    precedents: tuple[Precedents, ...]
    context: tuple[Context, ...]
    sets: tuple[SetContext, ...]

    @property
    def choices(self) -> tuple[Choice, ...]:
        """The reliefs that may be asked for: the sets in order, then the design just as drawn.

        The design as drawn stands last and only where no set asks for the same. None where
        nothing fails.
        """
        if not self.case.failing:
            return ()
        others = self.relief.others
        aside = self._no_value(others)
        found = [
            Choice(
                number,
                (*s.relaxations.relaxations, *others),
                s.relaxations.moved,
                s.relaxations.evaluation,
                (*s.not_advisable, *aside),
                False,
                s,
            )
            for number, s in enumerate(self.sets, 1)
        ]
        drawn = self._as_drawn(len(found) + 1)
        same = any(not c.moved and _asks(c) == _asks(drawn) for c in found)
        return tuple(found) if same or not self.relief.stands_as_drawn else (*found, drawn)

    def _as_drawn(self, number: int) -> Choice:
        relaxations = self.relief.as_drawn
        reasons = self._no_value(relaxations)
        return Choice(number, relaxations, (), self.case.evaluation, reasons, True, None)

    def _no_value(self, relaxations: tuple[Relaxation, ...]) -> tuple[str, ...]:
        """Say for which of these limits, as the design stands, engineering gives no value."""
        places = {(r.finding.key, r.finding.part) for r in relaxations}
        paired = zip(self.case.failing, self.context, strict=True)
        return tuple(c.no_value for f, c in paired if c.no_value and (f.key, f.part) in places)

    def choice(self, number: int) -> Choice | None:
        """Return the relief of a number; None where there is none."""
        return next((c for c in self.choices if c.number == number), None)

    @property
    def default(self) -> Choice | None:
        """The first relief engineering does not advise against; None where there is none."""
        return next((c for c in self.choices if not c.not_advisable), None)

    @property
    def as_drawn(self) -> Choice | None:
        """The relief that leaves every row where it is drawn; None where nothing fails."""
        drawn = self._as_drawn(0)
        return next((c for c in self.choices if not c.moved and _asks(c) == _asks(drawn)), None)


def _asks(choice: Choice) -> frozenset[tuple[str, str, Fraction]]:
    return frozenset((r.finding.key, r.finding.part, r.value) for r in choice.relaxations)


def relief_report(catalogue: Catalogue, design: PreparedDesign, name: str) -> ReliefReport:
    """Work out what would make a design comply under a rule set. Raises InputError."""
    case = open_case(catalogue, design, name)
    relief = find_relief(case)
    sets = [_of_set(case, s) for s in relief.sets]
    return ReliefReport(
        case=case,
        changes=find_changes(case),
        relief=relief,
        precedents=find_precedents(case, case.failing),
        context=tuple(find_context(case, f) for f in case.failing),
        sets=tuple(sorted(sets, key=lambda s: bool(s.not_advisable))),
    )


def _of_set(case: ReliefCase, relaxed: RelaxationSet) -> SetContext:
    findings: list[Finding] = []
    for relaxation in relaxed.relaxations:
        place = (relaxation.finding.key, relaxation.finding.part)
        findings += [f for f in relaxed.evaluation.findings if (f.key, f.part) == place]
    return SetContext(
        relaxed,
        find_precedents(case, findings, relaxed.evaluation.design),
        tuple(find_context(case, r.finding, r.value) for r in relaxed.relaxations),
    )
