"""Everything on relief for one design under one rule set, gathered for a report or a request."""

from __future__ import annotations

from dataclasses import dataclass

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import Finding
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
    def asked(self) -> tuple[Relaxation, ...]:
        """The relaxations a request would ask for: the least set, and what stands beside it."""
        least = self.relief.sets[0].relaxations if self.relief.sets else ()
        return (*least, *self.relief.others)


def relief_report(catalogue: Catalogue, design: PreparedDesign, name: str) -> ReliefReport:
    """Work out what would make a design comply under a rule set. Raises InputError."""
    case = open_case(catalogue, design, name)
    relief = find_relief(case)
    return ReliefReport(
        case=case,
        changes=find_changes(case),
        relief=relief,
        precedents=find_precedents(case, case.failing),
        context=tuple(find_context(case, f) for f in case.failing),
        sets=tuple(_of_set(case, s) for s in relief.sets),
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
