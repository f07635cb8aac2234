"""What to find out: everything that keeps a topic undecided, each thing once, with its topics."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from deckclause.compare.comparison import ComparisonRow
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.status import INFORMATION_MISSING
from deckclause.rulesets.names import rule_set_title


@dataclass(frozen=True, slots=True)
class Question:
    """One thing to find out, of the design or of the book, and the topics that wait for it.

    `quantity` is empty where the book must be read: a table not seen in print lacks nothing of
    the design. `in_unstated` tells that only parts the design says nothing of ask for it.
    """

    quantity: str
    words: str
    topics: tuple[str, ...]
    in_unstated: bool = False

    @property
    def text(self) -> str:
        """The question, with the quantity's name in the design file."""
        return f"{self.words} ({self.quantity})" if self.quantity else self.words


def open_questions(
    rows: Iterable[ComparisonRow],
    explainers: Sequence[Explainer],
    unstated: frozenset[str] = frozenset(),
) -> tuple[Question, ...]:
    """Return each thing to find out; `explainers` stand in the order of the rows' outcomes.

    `unstated` names the topics of parts the design says nothing of.
    """
    asked: dict[tuple[str, str], dict[str, str]] = {}
    for row in rows:
        for explainer, outcome in zip(explainers, row.outcomes, strict=True):
            for finding in outcome.findings:
                for what in finding_questions(finding, explainer):
                    asked.setdefault(what, {})[row.topic.name] = row.topic.title
    return tuple(
        Question(quantity, words, tuple(titles.values()), set(titles) <= unstated)
        for (quantity, words), titles in asked.items()
    )


def finding_questions(finding: Finding, explainer: Explainer) -> Iterator[tuple[str, str]]:
    """Yield quantity and question for what to find out to decide one finding."""
    if finding.status != INFORMATION_MISSING:
        return
    yield from explainer.questions(finding)
    if not finding.missing:
        yield "", f"{rule_set_title(finding.ruleset)}: {explainer.steps(finding)[-1]}"
