"""What does not comply or needs engineering: each thing once, with the clauses that say so."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from deckclause.compare.comparison import ComparisonRow
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.status import DOES_NOT_COMPLY, ENGINEERING_REQUIRED


def failures(
    rows: Iterable[ComparisonRow], explainers: Sequence[Explainer]
) -> dict[str, tuple[str, ...]]:
    """Return each failure in words with the rule sets and sections it stands in.

    `explainers` stand in the order of the rows' outcomes; the governing finding of each speaks.
    """
    said: dict[tuple[str, str], list[str]] = {}
    for row in rows:
        for explainer, outcome in zip(explainers, row.outcomes, strict=True):
            if outcome.status not in (DOES_NOT_COMPLY, ENGINEERING_REQUIRED):
                continue
            finding = outcome.governing
            assert finding is not None
            part = f" [{finding.part}]" if finding.part else ""
            text = f"{row.topic.title}{part}: {explainer.steps(finding)[-1]}. {finding.says}"
            where = f"{finding.ruleset} {finding.cites}"
            said.setdefault((row.topic.name, text), []).append(where)
    return {text: tuple(places) for (_, text), places in said.items()}
