"""The comparison as JSON: versioned, traceable, with a receipt of everything it rests on.

Shape (schema in rules/schema/1/result.json): `result` is the format's version; `design`;
`rule_sets`, one per column with its outcome; `topics`, one per row, each with an outcome per rule
set (status, limit, findings) and the changes with their drivers; `receipt`; `cautions`. Measures
are objects: `exact` (a rational in inch-pound-degree units), `text`, `si`.
"""

from __future__ import annotations

import json
from typing import Any

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.answers.compare.card import RuleSetCard
from deckclause.answers.compare.cell import CellAnswer
from deckclause.answers.compare.change import ChangeAnswer
from deckclause.answers.compare.expected import ExpectedAnswer
from deckclause.answers.compare.finding import FindingAnswer
from deckclause.answers.compare.known import KnownOfPair
from deckclause.answers.compare.row import TopicRow
from deckclause.answers.compare.to_do import ToDo
from deckclause.answers.compare.together import HoldsTogether
from deckclause.answers.data import figure_data, layers_data
from deckclause.report.cautions import CAUTIONS
from deckclause.report.comparison.rows_shown import rows_shown
from deckclause.report.comparison.together import together_data

RESULT_FORMAT = 1


def comparison_json(answer: CompareAnswer, *, only_differences: bool = False) -> str:
    """Write a comparison as JSON text; the answer is one built in depth."""
    data = comparison_data(answer, only_differences=only_differences)
    return json.dumps(data, indent=1, ensure_ascii=False)


def comparison_data(answer: CompareAnswer, *, only_differences: bool = False) -> dict[str, Any]:
    """Return a comparison as plain data, as the result schema describes it."""
    rows = rows_shown(answer, only_differences=only_differences, everything=True)
    design = answer.design
    return {
        "result": RESULT_FORMAT,
        "design": {"name": design.name, "says": design.says, "file": design.file},
        "holds_together": _together(answer.holds_together),
        "rule_sets": [_card(card) for card in answer.cards],
        "ways_to_comply": [
            {"place": w.place, "ways": dict(w.ways), "kept": list(w.kept), "words": w.words}
            for w in answer.ways
        ],
        "what_to_do": [_item(item) for item in answer.to_do],
        "topics": [_row(answer, row) for row in rows],
        "known": [_known(answer, pair) for pair in answer.known],
        "exit_status": answer.exit_status,
        "receipt": receipt(answer),
        "cautions": [*CAUTIONS, *answer.table_cautions],
    }


def _together(together: HoldsTogether | None) -> dict[str, Any]:
    rows = together.rows if together is not None else ()
    findings = {row.topic.name: [_finding(f) for f in row.findings] for row in rows}
    return together_data(together, findings)


def _card(card: RuleSetCard) -> dict[str, Any]:
    return {
        "name": card.name,
        "title": card.full_title,
        "kind": card.kind,
        "edition": card.edition,
        "status": card.status_words,
        "called": card.title,
        "warning": card.warning or None,
        "counts": {
            "does_not_comply": card.fails,
            "engineering_required": card.needs_engineer,
            "information_missing": card.not_known,
            "complies": card.complies,
            "complies_on_memory": card.complies_on_memory,
        },
    }


def _item(item: ToDo) -> dict[str, Any]:
    return {
        "status": item.status_words,
        "fact": item.fact,
        "drawn": item.drawn or None,
        "parts": list(item.parts),
        "topics": list(item.topics),
        "asked": [
            {
                "allowed": asked.allowed,
                "where": [
                    {
                        "rule_sets": list(where.rule_sets),
                        "cites": list(where.cites),
                        "from_memory": where.on_memory,
                    }
                    for where in asked.where
                ],
            }
            for asked in item.asked
        ],
    }


def receipt(answer: CompareAnswer) -> dict[str, Any]:
    """Return what the result rests on: engine, vocabulary, design and rule set digests."""
    return {
        "engine": answer.engine,
        "schema": f"rules/schema/{RESULT_FORMAT}/result.json",
        "vocabulary": answer.vocabulary,
        "design": answer.design.digest,
        "rule_sets": [layers_data(c.name, c.digest, c.layers) for c in answer.cards],
    }


def _row(answer: CompareAnswer, row: TopicRow) -> dict[str, Any]:
    return {
        "topic": row.topic.name,
        "title": row.topic.title,
        "part": row.topic.part,
        "question": row.topic.question,
        "differs": row.differs,
        "outcomes": [_outcome(cell) for cell in row.cells],
        "changes": [_change(answer, change) for change in row.changes],
    }


def _outcome(cell: CellAnswer) -> dict[str, Any]:
    deciding = cell.deciding
    return {
        "rule_set": cell.rule_set,
        "status": cell.status_words,
        "governing": deciding.clause if deciding else None,
        "least": figure_data(deciding.least if deciding else None),
        "most": figure_data(deciding.most if deciding else None),
        "findings": [_finding(finding) for finding in cell.findings],
        "struck": [
            {"clause": s.key, "ordinance": s.origin.ordinance, "place": s.origin.place}
            for s in cell.struck
        ],
        "common_practice": cell.practice or None,
        "at_stated_load": cell.at_stated or None,
    }


def _finding(finding: FindingAnswer) -> dict[str, Any]:
    origin = finding.origin
    return {
        "clause": finding.clause,
        "cites": finding.cites,
        "says": finding.says,
        "part": finding.part or None,
        "status": finding.status_text,
        "value": figure_data(finding.value),
        "least": figure_data(finding.least),
        "most": figure_data(finding.most),
        "margin": figure_data(finding.margin),
        "values_read": dict(finding.values_read),
        "steps": list(finding.steps),
        "missing": [{"quantity": name, "question": question} for name, question in finding.missing],
        "expected": [_expected(one) for one in finding.expected],
        "standing": finding.standing,
        "sources": list(finding.sources),
        "note": finding.note or None,
        "origin": {
            "rule_set": origin.ruleset,
            "file": origin.file,
            "line": origin.line,
            "ordinance": origin.ordinance or None,
            "section": origin.section or None,
            "adopted": origin.adopted or None,
        },
    }


def _known(answer: CompareAnswer, pair: KnownOfPair) -> dict[str, Any]:
    return {
        "from": answer.cards[pair.first].name,
        "to": answer.cards[pair.second].name,
        "counts": {str(state): number for state, number in pair.counted.items()},
        "changed_and_read": sorted(pair.read),
        "topics": {topic: str(state) for topic, state in pair.states},
        "words": pair.words,
    }


def _expected(one: ExpectedAnswer) -> dict[str, Any]:
    return {
        "part": one.part or None,
        "clause": one.clause,
        "called": one.called or None,
        "bound": one.bound,
        "figure": figure_data(one.figure),
        "permits_nothing": one.permits_nothing,
        "method": one.method or None,
        "neighbours": {
            "of": one.of or None,
            "printed": one.printed,
            "printed_met": one.printed_met,
            "memory": one.memory,
            "memory_met": one.memory_met,
            "snow": one.snow,
            "snow_met": one.snow_met,
            "unsafe_by_in": one.unsafe_in,
        },
        "no_expectation": one.reason or None,
        "says": one.about,
    }


def _change(answer: CompareAnswer, change: ChangeAnswer) -> dict[str, Any]:
    driver = change.driver
    return {
        "from": answer.cards[change.first].name,
        "to": answer.cards[change.second].name,
        "drivers": [list(keys) for keys in driver.keys],
        "because": list(driver.because),
        "shares": [{"clause": s.clause, "amount": figure_data(s.amount)} for s in driver.shares],
        "considered": list(driver.considered),
        "complete": driver.complete,
    }
