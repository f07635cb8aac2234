"""What does not comply or needs engineering: each thing once, with the clauses that say so."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from deckclause.compare.comparison import ComparisonRow
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.local_values import local_values
from deckclause.evaluate.status import DOES_NOT_COMPLY, ENGINEERING_REQUIRED


def failures(
    rows: Iterable[ComparisonRow], explainers: Sequence[Explainer]
) -> dict[str, tuple[str, ...]]:
    """Return each failure in words with the rule sets and sections it stands in.

    `explainers` stand in the order of the rows' outcomes. Every part that fails is named; of
    several clauses on one part the one with the least margin speaks. A value the place fixes is
    said beside each failure that rests on it.
    """
    said: dict[tuple[str, str], dict[str, list[str]]] = {}
    for row in rows:
        for explainer, outcome in zip(explainers, row.outcomes, strict=True):
            if outcome.status not in (DOES_NOT_COMPLY, ENGINEERING_REQUIRED):
                continue
            for finding in outcome.worst_by_part:
                local = "; ".join(
                    local_values(
                        finding, explainer.evaluation, explainer.vocabulary, si=explainer.si
                    )
                )
                where = f"{finding.ruleset} {finding.cites}" + (f", as {local}" if local else "")
                text = f"{explainer.steps(finding)[-1]}. {finding.says}"
                by_part = said.setdefault((row.topic.title, text), {})
                by_part.setdefault(where, []).append(finding.part)
    return dict(_joined(said))


def _joined(
    said: dict[tuple[str, str], dict[str, list[str]]],
) -> Iterable[tuple[str, tuple[str, ...]]]:
    for (title, text), places in said.items():
        parts = ", ".join(dict.fromkeys(p for names in places.values() for p in names if p))
        named = f" [{parts}]" if parts else ""
        yield f"{title}{named}: {text}", tuple(places)
