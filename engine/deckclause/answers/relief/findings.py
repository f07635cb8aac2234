"""Findings of a case as an answer has them, with precedents and the engineering beside them."""

from __future__ import annotations

from typing import Any

from deckclause.answers.figure import figure
from deckclause.answers.relief.answer import (
    Beside,
    Failing,
    Found,
    OnOtherLoads,
    Precedent,
    PrecedentsFound,
    Step,
)
from deckclause.answers.requirement_words import requirement_sentence
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.words import asked_limit
from deckclause.quantities import length_text
from deckclause.variance import precedents as who
from deckclause.variance.case import ReliefCase
from deckclause.variance.context import Context
from deckclause.variance.relax import missed
from deckclause.variance.steps_down import steps_down


class CaseReader:
    """Reads the findings of one case."""

    def __init__(self, case: ReliefCase) -> None:
        self.case = case
        self.vocabulary = case.vocabulary
        self.explainer = Explainer(case.evaluation, case.vocabulary)

    def found(self, finding: Finding) -> Found:
        """Return a finding."""
        return Found(**self.fields(finding))

    def failing(self, finding: Finding, permits: who.Precedents, beside: Context) -> Failing:
        """Return a finding that does not comply, with both scales."""
        return Failing(
            **self.fields(finding), precedents=precedents_found(permits), context=context(beside)
        )

    def fields(self, finding: Finding) -> dict[str, Any]:
        """Return the attributes every kind of finding here has, by name."""
        explainer, kind, unit = self.explainer, finding.kind, finding.unit
        short = missed(finding)
        return {
            "clause": finding.key,
            "topic": finding.topic,
            "title": self.vocabulary.topics[finding.topic].title,
            "part": finding.part or None,
            "cites": finding.cites,
            "says": requirement_sentence(finding),
            "required": asked_limit(finding) or explainer.words.requirement(finding.requirement),
            "value": figure(finding.value, kind, unit),
            "shortfall": figure(short.amount if short else None, kind, unit),
            "steps": explainer.steps(finding),
            "standing": explainer.standing(finding),
            "sources": tuple(explainer.sources(finding)),
            "note": finding.clause.note or None,
            "never_relax": self.case.never_relax(finding.clause) or None,
            "ordinance": finding.clause.origin.ordinance or None,
        }


def precedents_found(found: who.Precedents) -> PrecedentsFound:
    """Return who permits one matter and who does not."""
    return PrecedentsFound(
        permit=tuple(map(_precedent, found.permit)),
        refuse=tuple(map(_precedent, found.refuse)),
        silent=found.silent,
        inherit=found.inherit,
        looked_at=found.looked_at,
        undecided=found.undecided,
        on_other_loads=tuple(OnOtherLoads(name, says) for name, says in found.on_other_loads),
        under_the_model_edition=found.model or None,
    )


def _precedent(found: who.Precedent) -> Precedent:
    return Precedent(
        rule_set=found.ruleset,
        title=found.title,
        clause=found.clause,
        same_clause=found.same_clause,
        cites=found.cites,
        says=found.says,
        limit=asked_limit(found) or None,
        standing=found.standing,
        published=found.published,
        later=found.later,
        sources=found.sources,
    )


def context(found: Context) -> Beside:
    """Return the engineering beside one clause."""
    return Beside(found.clause, found.basis, found.says_something, found.lines, found.cautions)


def steps(design: PreparedDesign) -> tuple[Step, ...]:
    """Return the step down at each door, each length with its datum."""
    return tuple(Step(s.door, length_text(s.from_threshold), s.told) for s in steps_down(design))
