"""Relief as plain data: one source of facts for the text, the request's documents and the page."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import deckclause
from deckclause.answers.compare.build import compare_answer
from deckclause.answers.compare.together import lacking_lines, together_answer
from deckclause.answers.data import measure, ruleset_layers
from deckclause.answers.place_values import place_values
from deckclause.answers.requirement_words import requirement_sentence
from deckclause.compare.comparison import compare
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Evaluation, Finding
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import INFORMATION_MISSING, STATUS_WORDS
from deckclause.evaluate.words import asked_limit, fact_text, name_text, scalar_text
from deckclause.quantities import length_text
from deckclause.report.cautions import IN_WORDS
from deckclause.report.comparison.together import headline
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.walk import clause_reads
from deckclause.variance.calculation import Calculation
from deckclause.variance.case import ReliefCase, with_status
from deckclause.variance.changing import Change, stated
from deckclause.variance.context import Context
from deckclause.variance.options import Option
from deckclause.variance.precedents import Precedent, Precedents
from deckclause.variance.published import PublishedRule
from deckclause.variance.relax import Relaxation
from deckclause.variance.relief import Choice, ReliefReport
from deckclause.variance.steps_down import steps_down

RELIEF_FORMAT = 2


def relief_data(report: ReliefReport, *, most_options: int = 12) -> dict[str, Any]:
    """Return a relief report as plain data; measures as exact, text and SI."""
    return _Writer(report).data(most_options)


def _together(case: ReliefCase) -> dict[str, Any]:
    """Return whether the deck holds together: in one line, and what does not hold or is not known."""
    found = together_answer(case.together, case.vocabulary, binding=True)
    return {
        "status": found.status_words if found is not None else "not asked",
        "says": headline(found),
        "lacks": [f"{status}: {text}" for status, text in lacking_lines(found)],
    }


class _Writer:
    def __init__(self, report: ReliefReport) -> None:
        self.report = report
        self.case = report.case
        self.vocabulary: Vocabulary = report.case.vocabulary
        self.explainer = Explainer(self.case.evaluation, self.vocabulary)

    def data(self, most_options: int) -> dict[str, Any]:
        case, design = self.case, self.case.design.design
        ruleset = case.evaluator.ruleset
        return {
            "relief": RELIEF_FORMAT,
            "design": {"name": design.name, "says": design.says, "file": design.file},
            "rule_set": {
                "name": ruleset.name,
                "title": ruleset.title,
                "edition": ruleset.edition,
                "status": STATUS_WORDS[case.status],
            },
            "holds_together": _together(case),
            "steps": _steps(case.design),
            "set_by_place": [
                {
                    "quantity": v.quantity,
                    "says": v.says,
                    "act": v.act,
                    "standing": v.standing,
                    "read_for": list(v.topics),
                }
                for v in place_values(case.evaluation, self.vocabulary)
            ],
            "failing": [self.failing(i, f) for i, f in enumerate(case.failing)],
            "engineering": [self.finding(f) for f in case.engineering],
            "open_questions": self.questions(case.evaluation, case.missing),
            "to_find_out": self.to_find_out(),
            "changes": self.changes(most_options),
            "relaxations": self.relaxations(),
            "receipt": {
                "engine": deckclause.__version__,
                "vocabulary": self.vocabulary.digest,
                "relief_rules": case.rules.digest,
                "design": design.digest,
                "rule_sets": [ruleset_layers(ruleset)],
            },
            "cautions": list(IN_WORDS),
        }

    def finding(self, finding: Finding, explainer: Explainer | None = None) -> dict[str, Any]:
        explainer = explainer or self.explainer
        kind, unit = finding.kind, finding.unit
        asked = explainer.words.requirement(finding.requirement)
        return {
            "clause": finding.key,
            "topic": finding.topic,
            "title": self.vocabulary.topics[finding.topic].title,
            "part": finding.part or None,
            "cites": finding.cites,
            "says": requirement_sentence(finding),
            "required": asked_limit(finding) or asked,
            "value": measure(finding.value, kind, unit),
            "shortfall": measure(_shortfall(finding), kind, unit),
            "steps": list(explainer.steps(finding)),
            "standing": explainer.standing(finding),
            "sources": list(explainer.sources(finding)),
            "note": finding.clause.note or None,
            "never_relax": self.case.never_relax(finding.clause) or None,
            "ordinance": finding.clause.origin.ordinance or None,
        }

    def failing(self, index: int, finding: Finding) -> dict[str, Any]:
        return {
            **self.finding(finding),
            "precedents": self.precedents(self.report.precedents[index]),
            "context": _context(self.report.context[index]),
        }

    def questions(
        self, evaluation: Evaluation, findings: tuple[Finding, ...]
    ) -> list[dict[str, str]]:
        explainer = Explainer(evaluation, self.vocabulary)
        asked: dict[str, str] = {}
        for finding in findings:
            found = explainer.questions(finding)
            if not found:
                asked.setdefault(
                    finding.key, f"Read {finding.cites}: {explainer.steps(finding)[-1]}"
                )
            asked.update(dict(found))
        return [{"quantity": name, "question": question} for name, question in asked.items()]

    def to_find_out(self) -> dict[str, Any]:
        """Count the open questions as a comparison does: parts not described stand aside."""
        case = self.case
        comparison = compare(case.catalogue, case.design, [case.evaluator.ruleset.name])
        answer = compare_answer(comparison, self.vocabulary)
        return {
            "questions": [question.words for question in answer.asked],
            "not_described": [unstated.title for unstated in answer.unstated],
        }

    def changes(self, most: int) -> dict[str, Any]:
        search = self.report.changes
        return {
            "complete": search.complete,
            "tried": search.tried,
            "most_changes": search.most_changes,
            "found": len(search.options),
            "options": [self.option(o) for o in search.options[:most]],
        }

    def option(self, option: Option) -> dict[str, Any]:
        names = {c.quantity for c in option.changes}
        missing = with_status(option.evaluation, INFORMATION_MISSING)
        touched = tuple(f for f in missing if names & set(clause_reads(f.clause)))
        return {
            "changes": [self.change(c) for c in option.changes],
            "settled": option.is_settled,
            "keeps_step": option.keeps_step,
            "steps": _steps(option.evaluation.design),
            "opens": [
                *self.questions(option.evaluation, option.opened),
                *(
                    {"quantity": name, "question": self.vocabulary.quantities[name].ask}
                    for name in option.asks
                ),
            ],
            "brings": list(option.brings),
            "remarks": list(option.remarks),
            "later": [
                {
                    "rule_set": v.ruleset,
                    "title": self.vocabulary.topics[v.topic].title,
                    "cites": v.cites,
                    "says": v.says,
                }
                for v in option.later
            ],
            "unsettled_topics": list(
                dict.fromkeys(self.vocabulary.topics[f.topic].title for f in touched)
            ),
            "status": STATUS_WORDS[option.evaluation.status],
        }

    def change(self, change: Change) -> dict[str, Any]:
        definition = self.vocabulary.quantities[change.quantity]
        return {
            "quantity": change.quantity,
            "says": change.move.says,
            "before": fact_text(change.before, definition),
            "after": fact_text(change.after, definition),
        }

    def relaxations(self) -> dict[str, Any]:
        relief = self.report.relief
        return {
            "as_drawn": [self.relaxation(r) for r in relief.as_drawn],
            "others": [self.relaxation(r) for r in relief.others],
            "rows_alone": relief.rows_alone,
            "sums": list(relief.sums),
            "greatest_drop": relief.greatest_drop or None,
            "choices": [self.choice(c) for c in self.report.choices],
            "not_offered": [
                {
                    "asks": [relaxation_text(r, self.vocabulary) for r in n.relaxations],
                    "reason": n.reason,
                }
                for n in self.report.not_offered
            ],
            "stands_as_drawn": relief.stands_as_drawn,
            "refused": [
                {
                    "clause": r.finding.key,
                    "cites": r.finding.cites,
                    "title": self.vocabulary.topics[r.finding.topic].title,
                    "reason": r.reason,
                    "life_safety": r.life_safety,
                }
                for r in relief.refused
            ],
        }

    def choice(self, choice: Choice) -> dict[str, Any]:
        """Return one relief that may be asked for, by its number."""
        return {
            "number": choice.number,
            "asks": [relaxation_text(r, self.vocabulary) for r in choice.relaxations],
            "items": [
                {
                    **self.relaxation(r),
                    "precedents": self.precedents(choice.precedents[i])
                    if i < len(choice.precedents)
                    else None,
                    "context": _context(choice.context[i]),
                }
                for i, r in enumerate(choice.relaxations)
            ],
            "precedent": choice.precedent,
            "published": self.published(choice.published),
            "engineering": list(choice.engineering),
            "tension": choice.tension or None,
            "calculation": calculation_data(choice.calculation),
            "moves": moves_text(choice, self.case),
            "exactly_as_drawn": choice.exactly_as_drawn,
            "not_advisable": list(choice.not_advisable),
        }

    def relaxation(self, relaxation: Relaxation) -> dict[str, Any]:
        finding = relaxation.finding
        kind, unit = finding.kind, finding.unit
        word = "at least" if relaxation.bound == "least" else "at most"
        gain = relaxation.gain
        return {
            **self.finding(finding),
            "required": f"{word} {scalar_text(relaxation.limit, kind, unit)}",
            "asked": f"{word} {scalar_text(relaxation.value, kind, unit)}",
            "value_asked": measure(relaxation.value, kind, unit),
            "amount": measure(relaxation.amount, kind, unit),
            "gain": None
            if gain is None
            else {
                "greatest_drop_now": length_text(gain.drop_now),
                "greatest_drop_without_it": None
                if gain.drop_without is None
                else length_text(gain.drop_without),
            },
        }

    def published(self, rule: PublishedRule | None) -> dict[str, Any] | None:
        """Return the whole published rule a choice follows."""
        if rule is None:
            return None
        topics = self.vocabulary.topics
        return {
            "rule_set": rule.ruleset,
            "title": rule.title,
            "published": rule.published,
            "later": rule.later,
            "standing": rule.standing,
            "also": list(rule.also),
            "complies_wholly": rule.is_whole,
            "open": [topics[name].title for name in rule.open],
            "changes": [self.change(c) for c in rule.changes],
            "clauses": [
                {
                    "clause": c.key,
                    "cites": c.cites,
                    "says": c.says,
                    "standing": c.standing,
                    "sources": list(c.sources),
                    "instead_of": c.instead_of,
                }
                for c in rule.clauses
            ],
        }

    def precedents(self, found: Precedents) -> dict[str, Any]:
        return {
            "permit": [_precedent(p) for p in found.permit],
            "refuse": [_precedent(p) for p in found.refuse],
            "silent": list(found.silent),
            "inherit": list(found.inherit),
            "looked_at": found.looked_at,
            "undecided": list(found.undecided),
            "under_the_model_edition": found.model or None,
        }


def relaxation_text(relaxation: Relaxation, vocabulary: Vocabulary) -> str:
    """Write a relaxation in one line: clause, section, from what to what."""
    finding = relaxation.finding
    word = "at least" if relaxation.bound == "least" else "at most"
    limit, value = (
        scalar_text(v, finding.kind, finding.unit) for v in (relaxation.limit, relaxation.value)
    )
    title = vocabulary.topics[finding.topic].title
    part = f" [{finding.part}]" if finding.part else ""
    return f"{title}{part}, {finding.cites}: from {word} {limit} to {word} {value}"


def moves_text(choice: Choice, case: ReliefCase) -> list[str]:
    """Write each thing a relief sets differently: from what is drawn to what it must be."""
    quantities = case.vocabulary.quantities
    design = case.design.design
    return [
        f"{row_words(name)}: {fact_text(stated(design, name, case.vocabulary), quantities[name])} -> "
        f"{fact_text(value, quantities[name])}"
        for name, value in choice.moved
    ]


def _precedent(found: Precedent) -> dict[str, Any]:
    return {
        "rule_set": found.ruleset,
        "title": found.title,
        "clause": found.clause,
        "same_clause": found.same_clause,
        "cites": found.cites,
        "says": found.says,
        "limit": asked_limit(found) or None,
        "standing": found.standing,
        "published": found.published,
        "later": found.later,
        "sources": list(found.sources),
    }


def calculation_data(found: Calculation | None) -> dict[str, Any] | None:
    """Return a calculation sheet as plain data; pounds as numbers, context only."""
    if found is None:
        return None
    if found.sheet is None:
        return {"worked_out": False, "why_none": list(found.why_none)}
    sheet = found.sheet
    return {
        "worked_out": True,
        "steps": [
            {
                "key": step.key,
                "title": step.title,
                "section": step.section,
                "formula": step.formula,
                "standing": step.standing.value,
                "basis": step.basis,
                "inputs": [
                    {"symbol": i.symbol, "value": i.value, "from": i.origin} for i in step.inputs
                ],
                "factors": [factor.line() for factor in step.factors],
                "results": [
                    {
                        "arrangement": r.arrangement,
                        "text": r.text,
                        "demand_lb": r.demand_lb,
                        "capacity_lb": r.capacity_lb,
                        "ratio": r.ratio,
                        "no_value": r.no_value or None,
                    }
                    for r in step.results
                ],
                "limits": step.limits or None,
            }
            for step in sheet.steps
        ],
        "assumptions": list(sheet.assumptions),
        "left_out": list(sheet.left_out),
        "to_judge": list(sheet.to_judge),
        "cautions": list(sheet.cautions),
    }


def _context(found: Context) -> dict[str, Any]:
    return {
        "clause": found.clause,
        "basis": found.basis,
        "fits": found.says_something,
        "lines": list(found.lines),
        "cautions": list(found.cautions),
    }


def _shortfall(finding: Finding) -> Fraction | None:
    margin = finding.margin
    return -margin if margin is not None and margin < 0 else None


def _steps(design: PreparedDesign) -> list[dict[str, str]]:
    """Write the step down at each door, each length with its datum."""
    steps = []
    for found in steps_down(design):
        steps.append(
            {
                "door": found.door,
                "step_down": length_text(found.from_threshold),
                "told": found.told,
            }
        )
    return steps


def row_words(quantity: str) -> str:
    """Write a row's measure in plain words.

    >>> row_words("fasteners.upper_row_below_ledger_top")
    'upper row below ledger top'
    """
    return name_text(quantity).removeprefix("fasteners ")
