"""Build the answer on relief from the report of the search; nothing is decided after it."""

from __future__ import annotations

import deckclause
from deckclause.answers.compare.build import compare_answer
from deckclause.answers.compare.together import headline, lacking_lines, together_answer
from deckclause.answers.place_values import place_values
from deckclause.answers.relief.answer import (
    Asking,
    ChangesFound,
    DesignHead,
    Holding,
    LaterWord,
    OptionFound,
    Receipt,
    ReliefAnswer,
    RuleSetHead,
    SetByPlace,
    ToFindOut,
)
from deckclause.answers.relief.choices import change_made, relaxations
from deckclause.answers.relief.findings import CaseReader, steps
from deckclause.compare.comparison import compare
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Evaluation, Finding
from deckclause.evaluate.status import INFORMATION_MISSING, STATUS_WORDS, status_told
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.walk import clause_reads
from deckclause.variance.case import ReliefCase, with_status
from deckclause.variance.options import Option
from deckclause.variance.relief import ReliefReport

MOST_OPTIONS = 12


def relief_answer(report: ReliefReport, *, most_options: int = MOST_OPTIONS) -> ReliefAnswer:
    """Return all a report on relief says, with at most so many changes of the design."""
    case, design = report.case, report.case.design.design
    ruleset, vocabulary = case.evaluator.ruleset, case.vocabulary
    reader = CaseReader(case)
    failing = zip(case.failing, report.precedents, report.context, strict=True)
    return ReliefAnswer(
        design=DesignHead(design.name, design.says, design.file),
        rule_set=RuleSetHead(
            ruleset.name, ruleset.title, ruleset.edition, STATUS_WORDS[case.status]
        ),
        holds_together=_holding(case),
        steps=steps(case.design),
        set_by_place=tuple(
            SetByPlace(v.quantity, v.says, v.act, v.standing, tuple(v.topics))
            for v in place_values(case.evaluation, vocabulary)
        ),
        failing=tuple(reader.failing(*one) for one in failing),
        engineering=tuple(map(reader.found, case.engineering)),
        open_questions=_questions(case.evaluation, case.missing, vocabulary),
        to_find_out=_to_find_out(case),
        changes=_changes(report, most_options),
        relaxations=relaxations(report),
        receipt=Receipt(
            engine=deckclause.__version__,
            vocabulary=vocabulary.digest,
            relief_rules=case.rules.digest,
            design=design.digest,
            rule_set=ruleset.name,
            digest=ruleset.digest,
            layers=ruleset.layers,
        ),
    )


def _holding(case: ReliefCase) -> Holding:
    found = together_answer(case.together, case.vocabulary, binding=True)
    return Holding(
        found.status_words if found is not None else "not asked",
        headline(found),
        tuple(f"{status_told(status)}: {text}" for status, text in lacking_lines(found)),
    )


def _to_find_out(case: ReliefCase) -> ToFindOut:
    """Count the open questions as a comparison does: parts not described stand aside."""
    comparison = compare(case.catalogue, case.design, [case.evaluator.ruleset.name])
    answer = compare_answer(comparison, case.vocabulary)
    return ToFindOut(
        tuple(question.words for question in answer.asked),
        tuple(unstated.title for unstated in answer.unstated),
    )


def _questions(
    evaluation: Evaluation, findings: tuple[Finding, ...], vocabulary: Vocabulary
) -> tuple[Asking, ...]:
    explainer = Explainer(evaluation, vocabulary)
    asked: dict[str, str] = {}
    for finding in findings:
        found = explainer.questions(finding)
        if not found:
            asked.setdefault(finding.key, f"Read {finding.cites}: {explainer.steps(finding)[-1]}")
        asked.update(dict(found))
    return tuple(Asking(name, question) for name, question in asked.items())


def _changes(report: ReliefReport, most: int) -> ChangesFound:
    search, vocabulary = report.changes, report.case.vocabulary
    return ChangesFound(
        complete=search.complete,
        tried=search.tried,
        most_changes=search.most_changes,
        found=len(search.options),
        options=tuple(_option(o, vocabulary) for o in search.options[:most]),
    )


def _option(option: Option, vocabulary: Vocabulary) -> OptionFound:
    names = {c.quantity for c in option.changes}
    missing = with_status(option.evaluation, INFORMATION_MISSING)
    touched = (f for f in missing if names & set(clause_reads(f.clause)))
    opened = _questions(option.evaluation, option.opened, vocabulary)
    return OptionFound(
        changes=tuple(change_made(c, vocabulary) for c in option.changes),
        settled=option.is_settled,
        keeps_step=option.keeps_step,
        steps=steps(option.evaluation.design),
        opens=(*opened, *(Asking(n, vocabulary.quantities[n].ask) for n in option.asks)),
        brings=option.brings,
        remarks=option.remarks,
        later=tuple(
            LaterWord(v.ruleset, vocabulary.topics[v.topic].title, v.cites, v.says)
            for v in option.later
        ),
        unsettled_topics=tuple(dict.fromkeys(vocabulary.topics[f.topic].title for f in touched)),
        status=STATUS_WORDS[option.evaluation.status],
    )
