"""What to find out: everything that keeps a topic undecided, each thing once, with its topics."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from deckclause.answers.compare.expected import (
    ExpectedAnswer,
    expected_answers,
    expected_lines,
)
from deckclause.compare.comparison import ComparisonRow
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.status import INFORMATION_MISSING
from deckclause.rulesets.names import rule_set_title


class Question(Struct, frozen=True):
    """One thing to find out, of the design or of the book, and the topics that wait for it.

    `quantity` is empty where the book must be read: a table not seen in print lacks nothing of
    the design. `in_unstated` tells that only parts the design says nothing of ask for it. `expected`
    says what a method gives for the figure in the book, each a sentence; it decides nothing.
    """

    quantity: str
    words: str
    topics: tuple[str, ...]
    in_unstated: bool = False
    expected: tuple[str, ...] = ()

    @property
    def told(self) -> str:
        """The question with the topics that wait for it, and what to expect of the book."""
        more = "".join(f". {line[:1].upper()}{line[1:]}" for line in self.expected)
        return f"{self.words} - for: {', '.join(self.topics)}{more}"


def lacking(
    rows: Iterable[ComparisonRow], explainers: Sequence[Explainer]
) -> tuple[dict[str, frozenset[str]], frozenset[str]]:
    """Return what each undecided topic lacks of the design, and the topics that need a book read.

    A topic lacks what any of its undecided findings lacks, under any rule set.
    """
    lacks: dict[str, frozenset[str]] = {}
    books: set[str] = set()
    for row in rows:
        names: set[str] = set()
        for explainer, outcome in zip(explainers, row.outcomes, strict=True):
            if outcome.status != INFORMATION_MISSING:
                continue
            for finding in outcome.findings:
                asked = list(finding_questions(finding, explainer))
                names |= {quantity for quantity, _ in asked if quantity}
                if any(not quantity for quantity, _ in asked):
                    books.add(row.topic.name)
            lacks[row.topic.name] = frozenset(names)
    return lacks, frozenset(books)


def open_questions(
    rows: Iterable[ComparisonRow],
    explainers: Sequence[Explainer],
    unstated: frozenset[str] = frozenset(),
    *,
    si: bool = False,
) -> tuple[Question, ...]:
    """Return each thing to find out; `explainers` stand in the order of the rows' outcomes.

    `unstated` names the topics of parts the design says nothing of.
    """
    asked: dict[tuple[str, str], dict[str, str]] = {}
    books: dict[str, dict[str, None]] = {}
    expected: dict[str, list[ExpectedAnswer]] = {}
    for row in rows:
        for explainer, outcome in zip(explainers, row.outcomes, strict=True):
            for finding in outcome.findings:
                for quantity, words in finding_questions(finding, explainer):
                    asked.setdefault((quantity, words), {})[row.topic.name] = row.topic.title
                    if not quantity:
                        books.setdefault(words, {})[rule_set_title(finding.ruleset)] = None
                        expected.setdefault(words, []).extend(expected_answers(finding, explainer))
    return tuple(
        Question(
            quantity,
            words if quantity else f"{words[:1].upper()}{words[1:]} ({'; '.join(books[words])})",
            tuple(titles.values()),
            set(titles) <= unstated,
            () if quantity else tuple(expected_lines(expected[words], si=si)),
        )
        for (quantity, words), titles in asked.items()
    )


def finding_questions(finding: Finding, explainer: Explainer) -> Iterator[tuple[str, str]]:
    """Yield quantity and question for what to find out to decide one finding.

    The quantity is empty where it is the book that must be read.
    """
    if finding.status != INFORMATION_MISSING:
        return
    yield from explainer.questions(finding)
    if not finding.missing:
        yield "", explainer.steps(finding)[-1].removeprefix("not modelled: ")
