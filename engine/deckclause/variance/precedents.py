"""Who already permits it: every other edition, guide and place, at each of its adoptions."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Evaluation, Finding, evaluate
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY, STATUS_WORDS, worst
from deckclause.variance.case import ReliefCase


@dataclass(frozen=True, slots=True)
class Precedent:
    """A rule set whose clause on the same matter permits what is asked for."""

    ruleset: str
    title: str
    clause: str
    cites: str
    says: str
    least: Fraction | None
    most: Fraction | None
    kind: str
    unit: str
    standing: str
    same_clause: bool


@dataclass(frozen=True, slots=True)
class Precedents:
    """For one failing clause: who permits it, who refuses it, who says nothing (never a pass).

    `model` is what the rule set's own edition, without any amendment, makes of it, in words.
    """

    finding: Finding
    permit: tuple[Precedent, ...]
    refuse: tuple[Precedent, ...]
    silent: tuple[str, ...]
    undecided: tuple[str, ...]
    model: str

    @property
    def looked_at(self) -> int:
        """How many rule sets were asked: every other one shipped, each place at each adoption."""
        return sum(map(len, (self.permit, self.refuse, self.silent, self.undecided)))


def rule_set_names(catalogue: Catalogue) -> tuple[str, ...]:
    """Return every edition and guide, and every place on the first day of each adoption."""
    names = list(catalogue.files.rulesets)
    for place in catalogue.register.places.values():
        names += [f"{place.name}@{a.begins.isoformat()}" for a in place.adoptions]
    return tuple(names)


def find_precedents(
    case: ReliefCase, findings: Iterable[Finding], design: PreparedDesign | None = None
) -> tuple[Precedents, ...]:
    """Ask every other rule set what it makes of the same design on each failing clause."""
    asked = design or case.design
    catalogue = case.catalogue
    others: list[tuple[Evaluator, Evaluation]] = []
    for name in rule_set_names(catalogue):
        if name != case.evaluator.ruleset.name:
            evaluator = catalogue.evaluator(name)
            others.append((evaluator, evaluate(asked, evaluator, catalogue.vocabulary)))
    return tuple(_of(case, finding, others) for finding in findings)


def _of(
    case: ReliefCase, finding: Finding, others: list[tuple[Evaluator, Evaluation]]
) -> Precedents:
    permit: list[Precedent] = []
    refuse: list[Precedent] = []
    model = ""
    silent: list[str] = []
    undecided: list[str] = []
    for evaluator, evaluation in others:
        name = evaluator.ruleset.name
        found = _on_the_matter(evaluation, finding)
        if name == case.evaluator.ruleset.edition:
            model = STATUS_WORDS[worst([f.status for f in found])]
        if not found:
            silent.append(name)
        elif all(f.status == COMPLIES for f in found):
            permit.append(_precedent(case, evaluator, evaluation, found[0], finding))
        elif failing := [f for f in found if f.status == DOES_NOT_COMPLY]:
            refuse.append(_precedent(case, evaluator, evaluation, failing[0], finding))
        else:
            undecided.append(name)
    return Precedents(finding, tuple(permit), tuple(refuse), tuple(silent), tuple(undecided), model)


def _on_the_matter(evaluation: Evaluation, finding: Finding) -> list[Finding]:
    """Return the other rule set's findings of the same clause, else of the same topic."""
    same = [f for f in evaluation.findings if (f.key, f.part) == (finding.key, finding.part)]
    if same:
        return same
    return [f for f in evaluation.findings if (f.topic, f.part) == (finding.topic, finding.part)]


def _precedent(
    case: ReliefCase,
    evaluator: Evaluator,
    evaluation: Evaluation,
    found: Finding,
    finding: Finding,
) -> Precedent:
    explainer = Explainer(evaluation, case.vocabulary)
    return Precedent(
        ruleset=evaluator.ruleset.name,
        title=evaluator.ruleset.title,
        clause=found.key,
        cites=found.cites,
        says=found.says,
        least=found.least,
        most=found.most,
        kind=found.kind,
        unit=found.unit,
        standing=explainer.standing(found),
        same_clause=found.key == finding.key,
    )
