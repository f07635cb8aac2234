"""A failing design under one rule set: what fails, what is never to be relaxed, what is open."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from deckclause.designs.design import Design
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.findings import Evaluation, Finding, evaluate
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import (
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    worst,
)
from deckclause.evaluate.together import holds_together
from deckclause.rulesets.clauses import Clause
from deckclause.rulesets.relief import ReliefRules, read_relief
from deckclause.rulesets.vocabulary import Vocabulary

Place = tuple[str, str]
"""(clause key, name of the part it was read for)."""


class ReliefCase(Struct, frozen=True):
    """One design under one rule set, with the rules of relief."""

    catalogue: Catalogue
    rules: ReliefRules
    evaluator: Evaluator
    evaluation: Evaluation
    together: Evaluation | None = None
    """Whether the deck holds together; nothing of that is ever relaxed."""

    @property
    def vocabulary(self) -> Vocabulary:
        """The vocabulary."""
        return self.catalogue.vocabulary

    @property
    def design(self) -> PreparedDesign:
        """The design as it stands."""
        return self.evaluation.design

    @property
    def failing(self) -> tuple[Finding, ...]:
        """Findings that do not comply."""
        return with_status(self.evaluation, DOES_NOT_COMPLY)

    @property
    def engineering(self) -> tuple[Finding, ...]:
        """Findings outside what the rule set prescribes."""
        return with_status(self.evaluation, ENGINEERING_REQUIRED)

    @property
    def missing(self) -> tuple[Finding, ...]:
        """Findings that lack information."""
        return with_status(self.evaluation, INFORMATION_MISSING)

    @property
    def asked_on(self) -> date | None:
        """The day the rule set is asked for, as in `Place@2024-05-01`; None for a bare edition."""
        _, _, day = self.evaluator.ruleset.name.partition("@")
        return date.fromisoformat(day) if day else None

    def never_relax(self, clause: Clause) -> str:
        """Return why relief from a clause is never proposed, or nothing."""
        return clause.never_relax or self.rules.life_safety.get(clause.topic, "")

    def evaluate(self, design: Design) -> Evaluation:
        """Evaluate a changed design under the same rule set."""
        return evaluate(self.catalogue.prepare(design), self.evaluator, self.vocabulary)

    @property
    def status(self) -> int:
        """The status of the whole: no rule set's outcome stands above whether the deck holds."""
        own = self.evaluation.status
        return own if self.together is None else worst([own, self.together.status])

    def falls_apart(self, design: Design) -> bool:
        """Tell whether a changed design fails to hold together where this one does not."""
        found = holds_together(self.catalogue, self.catalogue.prepare(design))
        if found is None or self.together is None:
            return False
        before = {(f.key, f.part) for f in with_status(self.together, DOES_NOT_COMPLY)}
        return any((f.key, f.part) not in before for f in with_status(found, DOES_NOT_COMPLY))


def open_case(catalogue: Catalogue, design: PreparedDesign, name: str) -> ReliefCase:
    """Evaluate a design under a rule set for relief. Raises InputError for a name that is none."""
    rules = read_relief(catalogue.files, catalogue.vocabulary)
    evaluator = catalogue.evaluator(name)
    return ReliefCase(
        catalogue,
        rules,
        evaluator,
        evaluate(design, evaluator, catalogue.vocabulary),
        holds_together(catalogue, design),
    )


def with_status(evaluation: Evaluation, status: int) -> tuple[Finding, ...]:
    """Return the findings of one status."""
    return tuple(f for f in evaluation.findings if f.status == status)


def places(findings: tuple[Finding, ...]) -> frozenset[Place]:
    """Name findings by clause and part."""
    return frozenset((f.key, f.part) for f in findings)
