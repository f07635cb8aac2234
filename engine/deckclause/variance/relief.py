"""Everything on relief for one design under one rule set, gathered for a report or a request.

The choices are decided here, once, for command, page and papers: whole published rules first, then
reliefs whose every figure a published rule permits, then home-made figures. Each stands on two
scales, precedent and engineering; where they disagree that is said, and none is taken by itself.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import Evaluation, Finding
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.rulesets.clauses import Scalar
from deckclause.variance.calculation import Calculation, engineering_lines, relief_calculation
from deckclause.variance.case import ReliefCase, open_case
from deckclause.variance.context import Context, find_context
from deckclause.variance.later import judged
from deckclause.variance.precedents import Precedents, find_precedents
from deckclause.variance.published import PublishedRule, find_published
from deckclause.variance.relax import Relaxation, Relief, find_relief
from deckclause.variance.search import Search, find_changes
from deckclause.variance.wood_left import too_little_wood

WHOLE_RULE, EACH_FIGURE, NONE = "a whole published rule", "each figure", "none"
"""How far precedent carries a choice, from most to least."""


class Choice(Struct, frozen=True):
    """One relief that may be asked for, by the number it goes by in every report.

    `relaxations` are the clauses missed and to be let out; `moved` everything the request sets
    differently from the design file (rows in inches, sizes); `evaluation` that of the design so.
    `precedents` and `context` stand beside the relaxations, one each. `published` is the whole
    rule it follows, if it follows one.
    """

    number: int
    relaxations: tuple[Relaxation, ...]
    moved: tuple[tuple[str, Scalar], ...]
    evaluation: Evaluation
    precedents: tuple[Precedents, ...]
    context: tuple[Context, ...]
    calculation: Calculation | None
    published: PublishedRule | None
    exactly_as_drawn: bool

    @property
    def not_advisable(self) -> tuple[str, ...]:
        """Why the engineering known here gives the joint no value as asked; empty where it does."""
        return tuple(dict.fromkeys(c.no_value for c in self.context if c.no_value))

    @property
    def precedent(self) -> str:
        """How far precedent carries it: a whole published rule, each figure, or none."""
        if self.published is not None:
            return WHOLE_RULE
        if self.precedents and all(p.permit for p in self.precedents):
            return EACH_FIGURE
        return NONE

    @property
    def engineering(self) -> tuple[str, ...]:
        """What engineering says, a line each: ratios prescribed and asked, or why there are none."""
        if self.calculation is None:
            return ()
        if self.calculation.sheet is None:
            return tuple(f"not worked out: {why}" for why in self.calculation.why_none)
        return tuple(engineering_lines(self.calculation.sheet))

    @property
    def tension(self) -> str:
        """Where the two scales disagree, and that neither settles the other; else nothing."""
        if self.not_advisable and self.precedent != NONE:
            who = self.published.title if self.published else self.precedents[0].permit[0].title
            return (
                f"The two scales disagree: {who} permits it; {'; '.join(self.not_advisable)}. Neither "
                "settles the other. The official, with an engineer's word, must weigh them."
            )
        return ""


class NotOffered(Struct, frozen=True):
    """A relief that would repair the figures and is not offered, with the reason."""

    relaxations: tuple[Relaxation, ...]
    reason: str


class ReliefReport(Struct, frozen=True):
    """What would make a design comply: changes, reliefs in order, precedents, context."""

    case: ReliefCase
    changes: Search
    relief: Relief
    precedents: tuple[Precedents, ...]
    context: tuple[Context, ...]
    choices: tuple[Choice, ...]
    not_offered: tuple[NotOffered, ...]

    def choice(self, number: int) -> Choice | None:
        """Return the relief of a number; None where there is none."""
        return next((c for c in self.choices if c.number == number), None)

    @property
    def as_drawn(self) -> Choice | None:
        """The relief that leaves everything where it is drawn; None where there is none."""
        return next((c for c in self.choices if not c.moved), None)


def relief_report(catalogue: Catalogue, design: PreparedDesign, name: str) -> ReliefReport:
    """Work out what would make a design comply under a rule set. Raises InputError."""
    case = open_case(catalogue, design, name)
    relief = find_relief(case)
    choices, not_offered = _Chooser(case, relief).choices()
    return ReliefReport(
        case=case,
        changes=judged(case, find_changes(case)),
        relief=relief,
        precedents=find_precedents(case, case.failing),
        context=tuple(find_context(case, f) for f in case.failing),
        choices=choices,
        not_offered=not_offered,
    )


class _Chooser:
    """Gathers the reliefs of one case, leaves out what cannot hold, puts the rest in order."""

    def __init__(self, case: ReliefCase, relief: Relief) -> None:
        self.case = case
        self.relief = relief

    def choices(self) -> tuple[tuple[Choice, ...], tuple[NotOffered, ...]]:
        """Return the reliefs that may be asked for, numbered in order, and those left out."""
        if not self.case.failing:
            return (), ()
        kept: list[Choice] = []
        left_out: list[NotOffered] = []
        for choice in (*self._published(), *self._sets(), *self._as_drawn()):
            if any(_same(choice, other) for other in kept):
                continue
            reason = too_little_wood(choice.evaluation, choice.relaxations)
            if reason and any(_asks(choice) == _asks_of(n.relaxations) for n in left_out):
                continue
            if reason:
                left_out.append(NotOffered(choice.relaxations, reason))
            else:
                kept.append(choice)
        kept.sort(key=_order)
        numbered = tuple(replace(c, number=n) for n, c in enumerate(kept, 1))
        return numbered, tuple(left_out)

    def _published(self) -> list[Choice]:
        return [
            self._choice(rule.relaxations, rule.values, rule.evaluation, published=rule)
            for rule in find_published(self.case)
        ]

    def _sets(self) -> list[Choice]:
        return [
            self._choice((*s.relaxations, *self.relief.others), s.moved, s.evaluation)
            for s in self.relief.sets
        ]

    def _as_drawn(self) -> list[Choice]:
        if not self.relief.stands_as_drawn or not self.relief.as_drawn:
            return []
        drawn = self._choice(self.relief.as_drawn, (), self.case.evaluation)
        return [replace(drawn, exactly_as_drawn=True)]

    def _choice(
        self,
        relaxations: tuple[Relaxation, ...],
        moved: tuple[tuple[str, Scalar], ...],
        evaluation: Evaluation,
        *,
        published: PublishedRule | None = None,
    ) -> Choice:
        findings: list[Finding] = []
        for relaxation in relaxations:
            place = (relaxation.finding.key, relaxation.finding.part)
            findings += [f for f in evaluation.findings if (f.key, f.part) == place][:1]
        return Choice(
            number=0,
            relaxations=relaxations,
            moved=moved,
            evaluation=evaluation,
            precedents=find_precedents(self.case, findings, evaluation),
            context=tuple(find_context(self.case, r.finding, r.value) for r in relaxations),
            calculation=relief_calculation(evaluation, self.case.vocabulary, relaxations),
            published=published,
            exactly_as_drawn=False,
        )


def _order(choice: Choice) -> tuple[int, int, bool, int]:
    """Put a whole rule before figures with precedent, these before home-made ones."""
    carried = (WHOLE_RULE, EACH_FIGURE, NONE).index(choice.precedent)
    return carried, len(choice.moved), bool(choice.not_advisable), len(choice.relaxations)


def _same(one: Choice, two: Choice) -> bool:
    return one.moved == two.moved and _asks(one) == _asks(two)


def _asks(choice: Choice) -> frozenset[tuple[str, str, Fraction]]:
    return _asks_of(choice.relaxations)


def _asks_of(relaxations: tuple[Relaxation, ...]) -> frozenset[tuple[str, str, Fraction]]:
    return frozenset((r.finding.key, r.finding.part, r.value) for r in relaxations)
