"""The comparison as CSV: one line for each topic and rule set."""

from __future__ import annotations

import csv
import io

from deckclause.compare.comparison import Comparison
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.status import STATUS_WORDS
from deckclause.evaluate.words import scalar_text
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.vocabulary import Vocabulary

COLUMNS = (
    "part", "topic", "title", "rule_set", "status", "part_of_deck", "value", "least", "most",
    "margin", "clause", "cites", "standing", "differs",
)  # fmt: skip
_FORMULA_STARTS = ("=", "+", "@", "\t", "\r")


def comparison_csv(
    comparison: Comparison,
    vocabulary: Vocabulary,
    *,
    si: bool = False,
    only_differences: bool = False,
) -> str:
    """Write a comparison as CSV text (RFC 4180), header first; governing findings only."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(COLUMNS)
    explainers = [Explainer(e, vocabulary, si=si) for e in comparison.evaluations]
    for row in comparison.rows:
        if only_differences and not row.differs:
            continue
        for explainer, outcome in zip(explainers, row.outcomes, strict=True):
            head = [row.topic.part, row.topic.name, row.topic.title, outcome.ruleset]
            finding = outcome.governing
            if finding is None:
                cells = [STATUS_WORDS[outcome.status], *([""] * 8)]
            else:
                kind, unit = finding.kind, finding.unit

                def text(value: Scalar | None, kind: str = kind, unit: str = unit) -> str:
                    return "" if value is None else scalar_text(value, kind, unit, si=si)

                cells = [
                    finding.status_words,
                    finding.part,
                    text(finding.value),
                    text(finding.least),
                    text(finding.most),
                    text(finding.margin),
                    finding.key,
                    finding.cites,
                    explainer.standing(finding),
                ]
            writer.writerow([_plain(c) for c in [*head, *cells, "yes" if row.differs else "no"]])
    return stream.getvalue().rstrip("\n")


def _plain(text: str) -> str:
    """Keep a spreadsheet from taking a name for a formula."""
    return f"'{text}" if text.startswith(_FORMULA_STARTS) else text
