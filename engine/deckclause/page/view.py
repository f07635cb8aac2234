"""What the page shows of a comparison: plain values for the templates, nothing worked out anew."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from deckclause.compare.comparison import WORKED_OUT, Comparison, ComparisonRow
from deckclause.evaluate.findings import Finding, TopicOutcome
from deckclause.evaluate.notices import THE_DESIGN, notices_by_name
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
    STATUS_WORDS,
)
from deckclause.evaluate.words import scalar_text
from deckclause.report.comparison.cells import alike_words, figure_text
from deckclause.report.comparison.table import ComparisonText, column_title
from deckclause.rulesets.vocabulary import Topic, Vocabulary

STATUS_CLASS = ("ok", "none", "ask", "engineer", "fails", "silent")
"""The style of each status; its words always stand beside."""
COUNTED = {
    DOES_NOT_COMPLY: "fails on {} {}",
    ENGINEERING_REQUIRED: "needs engineering on {} {}",
    INFORMATION_MISSING: "cannot be told on {} {}",
}


@dataclass(frozen=True, slots=True)
class OutcomeView:
    """One rule set's outcome for the whole design."""

    rule_set: str
    title: str
    status: str
    style: str
    counts: str


@dataclass(frozen=True, slots=True)
class CellView:
    """One topic under one rule set."""

    rule_set: str
    status: str
    gives: str
    style: str
    limit: str
    memory: bool


@dataclass(frozen=True, slots=True)
class RowView:
    """One topic under every rule set; `part` is told where a new part of the deck begins."""

    topic: str
    title: str
    part: str
    differs: bool
    cells: tuple[CellView, ...]


@dataclass(frozen=True, slots=True)
class MeasureView:
    """How far the ledger or the deck may go down under one rule set, and how that adds up."""

    rule_set: str
    topic: str
    status: str
    style: str
    asked: str
    most: str
    memory: bool
    sum: str


@dataclass(frozen=True, slots=True)
class FailureView:
    """What does not comply or needs engineering, and where that stands."""

    topic: str
    title: str
    style: str
    status: str
    step: str
    says: str
    where: str


@dataclass(frozen=True, slots=True)
class ChangeView:
    """A change of outcome from one rule set to the next, with what drives it."""

    title: str
    head: str
    because: tuple[str, ...]
    shares: str


@dataclass(frozen=True, slots=True)
class QuestionView:
    """Something to find out: the field it belongs to, and the topics that wait for it."""

    quantity: str
    question: str
    topics: str


@dataclass(frozen=True, slots=True)
class AlikeView:
    """Topics on which the rule sets agree, by what they agree on."""

    words: str
    status: str
    topics: tuple[Topic, ...]


@dataclass(frozen=True, slots=True)
class ResultsView:
    """Everything the page shows of one comparison."""

    outcomes: tuple[OutcomeView, ...]
    measures: tuple[MeasureView, ...]
    rows: tuple[RowView, ...]
    failures: tuple[FailureView, ...]
    changes: tuple[ChangeView, ...]
    questions: tuple[QuestionView, ...]
    notices: tuple[str, ...]
    alike: tuple[AlikeView, ...]
    unstated: tuple[str, ...]

    @property
    def summary(self) -> str:
        """The outcomes in one line, to be read aloud."""
        return ". ".join(f"{o.title}: {o.status}" for o in self.outcomes) + "."


def results_view(
    comparison: Comparison, vocabulary: Vocabulary, *, everything: bool
) -> ResultsView:
    """Return what the page shows; `everything` keeps the topics that need no one's attention."""
    return _View(comparison, vocabulary, everything).results()


SIGNS = {">=": "at least", "<=": "at most", "= ": "exactly "}
GIVES = "gives a figure"
"""What a topic does that checks nothing of the design."""


class _View:
    def __init__(self, comparison: Comparison, vocabulary: Vocabulary, everything: bool) -> None:
        self.comparison = comparison
        self.vocabulary = vocabulary
        self.text = ComparisonText(comparison, vocabulary, everything=everything)

    def results(self) -> ResultsView:
        text, parts = self.text, self.vocabulary.parts
        return ResultsView(
            tuple(self._outcomes()),
            tuple(self._measures()),
            tuple(self._rows()),
            tuple(self._failures()),
            tuple(self._changes()),
            tuple(self._questions()),
            tuple(dict.fromkeys(self._notices())),
            tuple(self._alike()),
            tuple(f"{parts[part]} ({count} topics)" for part, count in text.unstated.items()),
        )

    def _notices(self) -> Iterator[str]:
        said = notices_by_name(self.comparison.evaluations, self.vocabulary)
        for name, told in said.items():
            title = THE_DESIGN.capitalize() if name == THE_DESIGN else column_title(name)
            yield from (f"{title}: {says}." for says in told)

    def _outcomes(self) -> Iterator[OutcomeView]:
        for column, evaluation in enumerate(self.comparison.evaluations):
            found = Counter(row.outcomes[column].status for row in self.comparison.rows)
            counts = [
                words.format(found[status], "topic" if found[status] == 1 else "topics")
                for status, words in COUNTED.items()
                if found[status]
            ]
            name = evaluation.ruleset.name
            status = evaluation.status
            yield OutcomeView(
                name,
                column_title(name),
                STATUS_WORDS[status],
                STATUS_CLASS[status],
                ", ".join(counts),
            )

    def _rows(self) -> Iterator[RowView]:
        part = ""
        for row in self.text.rows:
            begins = self.vocabulary.parts[row.topic.part] if row.topic.part != part else ""
            part = row.topic.part
            cells = tuple(self._cell(i, o) for i, o in enumerate(row.outcomes))
            yield RowView(row.topic.name, row.topic.title, begins, row.differs, cells)

    def _cell(self, column: int, outcome: TopicOutcome) -> CellView:
        finding = outcome.governing
        struck = finding is None and bool(outcome.struck)
        return CellView(
            outcome.ruleset,
            "struck by the place" if struck else STATUS_WORDS[outcome.status],
            GIVES if outcome.only_sets and outcome.status == COMPLIES else "",
            STATUS_CLASS[outcome.status],
            self._limit(outcome),
            finding is not None and self._from_memory(column, finding, outcome.status),
        )

    def _limit(self, outcome: TopicOutcome) -> str:
        """Write the limit in words; where parts have limits of their own, from least to most."""
        text = figure_text(outcome, si=self.text.si)
        for sign, words in SIGNS.items():
            text = text.replace(sign, words)
        return text

    def _from_memory(self, column: int, finding: Finding, status: int) -> bool:
        told = status not in (NOT_APPLICABLE, NOT_REGULATED)
        return told and self.text.explainers[column].standing(finding) == "memory"

    def _measures(self) -> Iterator[MeasureView]:
        for row in self.comparison.rows:
            if row.topic.name not in WORKED_OUT:
                continue
            for column, outcome in enumerate(row.outcomes):
                finding = outcome.governing
                yield MeasureView(
                    column_title(outcome.ruleset),
                    row.topic.name,
                    STATUS_WORDS[outcome.status],
                    STATUS_CLASS[outcome.status],
                    _length(finding, finding.value if finding else None),
                    _length(finding, finding.most if finding else None),
                    finding is not None and self._from_memory(column, finding, outcome.status),
                    finding.says if finding else "No clause speaks of it.",
                )

    def _failures(self) -> Iterator[FailureView]:
        said: dict[tuple[str, str, int, str, str], list[str]] = {}
        for row in self.comparison.rows:
            for column, outcome in enumerate(row.outcomes):
                finding = outcome.governing
                if finding is None or outcome.status not in (DOES_NOT_COMPLY, ENGINEERING_REQUIRED):
                    continue
                part = f" [{finding.part}]" if finding.part else ""
                step = self.text.explainers[column].steps(finding)[-1]
                says = "" if row.topic.name in WORKED_OUT else finding.says
                key = (row.topic.name, f"{row.topic.title}{part}", outcome.status, step, says)
                where = f"{column_title(finding.ruleset)}, {finding.cites}"
                said.setdefault(key, []).append(where)
        for (topic, title, status, step, says), places in said.items():
            words = STATUS_WORDS[status]
            yield FailureView(
                topic, title, STATUS_CLASS[status], words, step, says, "; ".join(places)
            )

    def _changes(self) -> Iterator[ChangeView]:
        words = self.text.words
        for row in self.text.rows:
            for change in row.changes:
                shares = words.shares(row, change)
                yield ChangeView(
                    row.topic.title,
                    words.head(row, change),
                    words.because(change),
                    f"Shares of the difference: {', '.join(shares)}." if shares else "",
                )

    def _alike(self) -> Iterator[AlikeView]:
        found: dict[tuple[str, int], list[Topic]] = {}
        for row in self.text.alike:
            words, _ = alike_words(row.outcomes[0])
            found.setdefault((words, row.outcomes[0].status), []).append(row.topic)
        for (words, status), topics in found.items():
            title = f"Alike under all of them: {words}"
            yield AlikeView(title, STATUS_WORDS[status], tuple(topics))
        begun = tuple(row.topic for row in self.text.begun)
        if begun:
            words = "Regulated only from a later rule set on, and alike since"
            yield AlikeView(words, "not regulated", begun)

    def _questions(self) -> Iterator[QuestionView]:
        asked: dict[tuple[str, str], dict[str, None]] = {}
        for row in (*self.text.rows, *self.text.alike):
            for column, finding in self._unknown(row):
                questions = self.text.explainers[column].questions(finding)
                for name, question in questions:
                    asked.setdefault((name, question), {})[row.topic.title] = None
                if not questions:
                    step = self.text.explainers[column].steps(finding)[-1]
                    words = f"{column_title(finding.ruleset)}: {step}"
                    asked.setdefault(("", words), {})[row.topic.title] = None
        for (name, question), titles in asked.items():
            yield QuestionView(name, question, ", ".join(titles))

    @staticmethod
    def _unknown(row: ComparisonRow) -> Iterator[tuple[int, Finding]]:
        for column, outcome in enumerate(row.outcomes):
            for finding in outcome.findings:
                if finding.status == INFORMATION_MISSING:
                    yield column, finding


def _length(finding: Finding | None, value: object) -> str:
    if finding is None or value is None:
        return ""
    return scalar_text(value, finding.kind, finding.unit)  # type: ignore[arg-type]
