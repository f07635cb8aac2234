"""What to find out: everything that keeps a topic undecided, each thing once, with its topics."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from deckclause.compare.comparison import ComparisonRow
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.status import INFORMATION_MISSING


def open_questions(
    rows: Iterable[ComparisonRow], explainers: Sequence[Explainer]
) -> dict[str, tuple[str, ...]]:
    """Return each thing to find out with the titles of the topics it keeps undecided.

    `explainers` stand in the order of the rows' outcomes. A finding that lacks nothing of the
    design and is yet undecided (a table not seen in print) is asked about by its rule set.
    """
    asked: dict[str, dict[str, None]] = {}
    for row in rows:
        for explainer, outcome in zip(explainers, row.outcomes, strict=True):
            for finding in outcome.findings:
                for words in finding_questions(finding, explainer):
                    asked.setdefault(words, {})[row.topic.title] = None
    return {words: tuple(titles) for words, titles in asked.items()}


def finding_questions(finding: Finding, explainer: Explainer) -> Iterator[str]:
    """Yield what to find out to decide one finding; nothing where it is decided."""
    if finding.status != INFORMATION_MISSING:
        return
    for name, question in explainer.questions(finding):
        yield f"{question} ({name})"
    if not finding.missing:
        yield f"{finding.ruleset}: {explainer.steps(finding)[-1]}"
