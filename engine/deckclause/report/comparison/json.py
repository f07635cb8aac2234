"""The comparison as JSON: versioned, traceable, with a receipt of everything it rests on.

Shape (schema in rules/schema/1/result.json): `result` is the format's version; `design`;
`rule_sets`, one per column with its outcome; `topics`, one per row, each with an outcome per rule
set (status, limit, findings) and the changes with their drivers; `receipt`; `cautions`. Measures
are objects: `exact` (a rational in inch-pound-degree units), `text`, `si`.
"""

from __future__ import annotations

import json
from fractions import Fraction
from typing import Any

import deckclause
from deckclause.compare.comparison import Change, Comparison, ComparisonRow
from deckclause.compare.words import ChangeWords
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Finding, TopicOutcome
from deckclause.evaluate.status import STATUS_WORDS
from deckclause.evaluate.words import scalar_text
from deckclause.report.cautions import CAUTIONS
from deckclause.report.rule_sets.table_cautions import table_cautions
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import Vocabulary

RESULT_FORMAT = 1


def comparison_json(
    catalogue: Catalogue, comparison: Comparison, *, only_differences: bool = False
) -> str:
    """Write a comparison as JSON text."""
    data = comparison_data(catalogue, comparison, only_differences=only_differences)
    return json.dumps(data, indent=1, ensure_ascii=False)


def comparison_data(
    catalogue: Catalogue, comparison: Comparison, *, only_differences: bool = False
) -> dict[str, Any]:
    """Return a comparison as plain data, as the result schema describes it."""
    vocabulary = catalogue.vocabulary
    writer = _Writer(comparison, vocabulary)
    design = comparison.design.design
    rows = [r for r in comparison.rows if r.differs or not only_differences]
    return {
        "result": RESULT_FORMAT,
        "design": {"name": design.name, "says": design.says, "file": design.file},
        "rule_sets": [
            {
                "name": e.ruleset.name,
                "title": e.ruleset.title,
                "kind": e.ruleset.kind,
                "edition": e.ruleset.edition,
                "status": STATUS_WORDS[e.status],
            }
            for e in comparison.evaluations
        ],
        "topics": [writer.row(row) for row in rows],
        "exit_status": comparison.exit_status,
        "receipt": receipt(catalogue, comparison),
        "cautions": [*CAUTIONS, *table_cautions(rows)],
    }


def receipt(catalogue: Catalogue, comparison: Comparison) -> dict[str, Any]:
    """Return what the result rests on: engine, vocabulary, design and rule set digests."""
    return {
        "engine": deckclause.__version__,
        "schema": f"rules/schema/{RESULT_FORMAT}/result.json",
        "vocabulary": catalogue.vocabulary.digest,
        "design": comparison.design.design.digest,
        "rule_sets": [ruleset_layers(e.ruleset) for e in comparison.evaluations],
    }


def ruleset_layers(ruleset: RuleSet) -> dict[str, Any]:
    """Return what one rule set was made of: every layer with its digest."""
    return {
        "name": ruleset.name,
        "digest": ruleset.digest,
        "layers": [
            {
                "name": layer.name,
                "kind": layer.kind,
                "digest": layer.digest,
                "place": layer.place,
                "ordinance": layer.ordinance,
                "adopted": layer.adopted,
            }
            for layer in ruleset.layers
        ],
    }


def measure(value: Scalar | None, kind: str, unit: str) -> Any:
    """Return a value as data: a measure as exact, text and SI; a choice or yes/no as itself."""
    if value is None or isinstance(value, str | bool):
        return value
    return {
        "exact": str(value),
        "text": scalar_text(value, kind, unit),
        "si": scalar_text(value, kind, unit, si=True),
    }


class _Writer:
    def __init__(self, comparison: Comparison, vocabulary: Vocabulary) -> None:
        self.comparison = comparison
        self.words = ChangeWords(comparison, vocabulary)
        self.explainers = [Explainer(e, vocabulary) for e in comparison.evaluations]

    def row(self, row: ComparisonRow) -> dict[str, Any]:
        return {
            "topic": row.topic.name,
            "title": row.topic.title,
            "part": row.topic.part,
            "question": row.topic.question,
            "differs": row.differs,
            "outcomes": [self.outcome(i, o) for i, o in enumerate(row.outcomes)],
            "changes": [self.change(row, c) for c in row.changes],
        }

    def outcome(self, column: int, outcome: TopicOutcome) -> dict[str, Any]:
        governing = outcome.governing
        return {
            "rule_set": outcome.ruleset,
            "status": STATUS_WORDS[outcome.status],
            "governing": governing.key if governing else None,
            "least": _bound(governing, "least"),
            "most": _bound(governing, "most"),
            "findings": [self.finding(column, f) for f in outcome.findings],
            "struck": [
                {"clause": s.key, "ordinance": s.origin.ordinance, "place": s.origin.place}
                for s in outcome.struck
            ],
            "common_practice": outcome.practice or None,
        }

    def finding(self, column: int, finding: Finding) -> dict[str, Any]:
        explainer = self.explainers[column]
        origin = finding.setting.origin if finding.setting else finding.clause.origin
        return {
            "clause": finding.key,
            "cites": finding.cites,
            "says": finding.says,
            "part": finding.part or None,
            "status": finding.status_words,
            "value": measure(finding.value, finding.kind, finding.unit),
            "least": measure(finding.least, finding.kind, finding.unit),
            "most": measure(finding.most, finding.kind, finding.unit),
            "margin": measure(finding.margin, finding.kind, finding.unit),
            "values_read": dict(explainer.values_read(finding)),
            "steps": list(explainer.steps(finding)),
            "missing": [
                {"quantity": name, "question": question}
                for name, question in explainer.questions(finding)
            ],
            "standing": explainer.standing(finding),
            "sources": list(explainer.sources(finding)),
            "note": finding.clause.note or None,
            "origin": {
                "rule_set": origin.ruleset,
                "file": origin.file,
                "line": origin.line,
                "ordinance": origin.ordinance or None,
                "section": origin.section or None,
                "adopted": origin.adopted or None,
            },
        }

    def change(self, row: ComparisonRow, change: Change) -> dict[str, Any]:
        one, two = self.words.names(change)
        finding = row.outcomes[change.second].governing
        kind, unit = (finding.kind, finding.unit) if finding else ("length", "in")
        return {
            "from": one,
            "to": two,
            "drivers": [list(d.keys) for d in change.drivers.drivers],
            "because": list(self.words.because(change)),
            "shares": [
                {"clause": s.key, "amount": measure(s.amount, kind, unit)}
                for s in change.drivers.shares
            ],
            "considered": list(change.drivers.considered),
            "complete": change.drivers.complete,
        }


def _bound(finding: Finding | None, which: str) -> Any:
    if finding is None:
        return None
    value: Fraction | None = finding.least if which == "least" else finding.most
    return measure(value, finding.kind, finding.unit)
