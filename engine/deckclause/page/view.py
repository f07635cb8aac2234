"""What the page shows of a comparison: plain values for the templates, nothing worked out anew."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.answers.compare.build import compare_answer
from deckclause.answers.compare.card import RuleSetCard
from deckclause.answers.compare.cell import SETS, STRUCK, CellAnswer
from deckclause.answers.compare.failures import where
from deckclause.answers.compare.together import lacking_lines
from deckclause.answers.figure import Figure
from deckclause.compare.comparison import WORKED_OUT, Comparison
from deckclause.report.comparison.agreement import agreement_words
from deckclause.report.comparison.cells import alike_words, limit_in_words
from deckclause.report.comparison.rows_shown import rows_shown
from deckclause.report.comparison.together import headline
from deckclause.rulesets.vocabulary import Topic, Vocabulary

STATUS_CLASS = {
    "complies": "ok",
    "not applicable": "none",
    "information missing": "ask",
    "engineering required": "engineer",
    "does not comply": "fails",
    "not regulated": "silent",
}
"""The style of each status; its words always stand beside."""


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
    agreement: str = ""
    """What is said where no row differs."""
    together: str = ""
    """Whether the deck holds together, in one line; it stands above every outcome."""
    lacks: tuple[tuple[str, str], ...] = ()
    """The style and words of what does not hold, or is not known."""

    @property
    def summary(self) -> str:
        """The outcomes in one line, to be read aloud."""
        return (
            f"{self.together}. " + ". ".join(f"{o.title}: {o.status}" for o in self.outcomes) + "."
        )


def results_view(
    comparison: Comparison, vocabulary: Vocabulary, *, everything: bool
) -> ResultsView:
    """Return what the page shows; `everything` keeps the topics that need no one's attention."""
    return _View(comparison, vocabulary, everything).results()


GIVES = "gives a figure"
"""What a topic does that checks nothing of the design."""
_GRAVE = ("does not comply", "engineering required")
_QUIET = ("not applicable", "not regulated")


class _View:
    def __init__(self, comparison: Comparison, vocabulary: Vocabulary, everything: bool) -> None:
        self.answer: CompareAnswer = compare_answer(comparison, vocabulary)
        self.everything = everything

    def results(self) -> ResultsView:
        answer = self.answer
        return ResultsView(
            tuple(map(_outcome, answer.cards)),
            tuple(self._measures()),
            tuple(self._rows()),
            tuple(self._failures()),
            tuple(self._changes()),
            tuple(
                QuestionView(q.quantity, q.words, ", ".join(q.topics))
                for q in (answer.questions if self.everything else answer.asked)
            ),
            tuple(dict.fromkeys(f"{t.title}: {says}." for t in answer.told for says in t.says)),
            () if self.everything else tuple(self._alike()),
            ()
            if self.everything
            else tuple(f"{u.title} ({u.topics} topics)" for u in answer.unstated),
            agreement_words(answer),
            headline(answer.holds_together),
            tuple((STATUS_CLASS[s], w) for s, w in lacking_lines(answer.holds_together)),
        )

    def _rows(self) -> Iterator[RowView]:
        part = ""
        for row in rows_shown(self.answer, everything=self.everything):
            begins = row.part_title if row.topic.part != part else ""
            part = row.topic.part
            cells = tuple(map(_cell, row.cells))
            yield RowView(row.topic.name, row.topic.title, begins, row.differs, cells)

    def _measures(self) -> Iterator[MeasureView]:
        for row in self.answer.every_row:
            if row.topic.name not in WORKED_OUT:
                continue
            for title, cell in zip(self.answer.titles, row.cells, strict=True):
                finding = cell.deciding
                yield MeasureView(
                    title,
                    row.topic.name,
                    cell.status_words,
                    STATUS_CLASS[cell.status_words],
                    _length(finding.value if finding else None),
                    _length(finding.most if finding else None),
                    _told_on_memory(cell),
                    finding.says if finding else "No clause speaks of it.",
                )

    def _failures(self) -> Iterator[FailureView]:
        said: dict[tuple[str, str, str, str, str], list[str]] = {}
        for row in self.answer.every_row:
            for cell in row.cells:
                if cell.deciding is None or cell.status_words not in _GRAVE:
                    continue
                finding = cell.deciding
                part = f" [{finding.part}]" if finding.part else ""
                title = f"{row.topic.title}{part}"
                says = "" if row.topic.name in WORKED_OUT else finding.says
                key = (row.topic.name, title, cell.status_words, finding.decides, says)
                said.setdefault(key, []).append(where(finding))
        for (topic, title, status, step, says), places in said.items():
            told = "; ".join(places)
            yield FailureView(topic, title, STATUS_CLASS[status], status, step, says, told)

    def _changes(self) -> Iterator[ChangeView]:
        for row in rows_shown(self.answer, everything=self.everything):
            for change in row.changes:
                shares = ", ".join(change.driver.shares_told)
                yield ChangeView(
                    row.topic.title,
                    change.head,
                    change.driver.told,
                    f"Shares of the difference: {shares}." if shares else "",
                )

    def _alike(self) -> Iterator[AlikeView]:
        found: dict[tuple[str, str], list[Topic]] = {}
        memory: dict[tuple[str, str], int] = {}
        for row in self.answer.alike:
            key = (alike_words(row.cells[0])[0], row.cells[0].status_words)
            found.setdefault(key, []).append(row.topic)
            memory[key] = memory.get(key, 0) + any(map(_told_on_memory, row.cells))
        for key, topics in found.items():
            words, status = key
            known = f", {memory[key]} of {len(topics)} on memory*" if memory[key] else ""
            yield AlikeView(f"Alike under all of them: {words}{known}", status, tuple(topics))
        begun = tuple(row.topic for row in self.answer.begun)
        if begun:
            words = "Regulated only from a later rule set on, and alike since"
            yield AlikeView(words, "not regulated", begun)


def _outcome(card: RuleSetCard) -> OutcomeView:
    counted = (
        ("fails on {} {}", card.fails),
        ("needs engineering on {} {}", card.needs_engineer),
        ("cannot be told on {} {}", card.not_known),
    )
    counts = [
        words.format(count, "topic" if count == 1 else "topics")
        for words, count in counted
        if count
    ]
    if card.complies_on_memory:
        counts.append(f"complies on {card.complies}, {card.complies_on_memory} of them on memory*")
    status = card.status_words
    return OutcomeView(card.name, card.title, status, STATUS_CLASS[status], ", ".join(counts))


def _cell(cell: CellAnswer) -> CellView:
    status = cell.status_words
    return CellView(
        cell.rule_set,
        "struck by the place" if cell.role == STRUCK and cell.deciding is None else status,
        GIVES if cell.role == SETS and status == "complies" else "",
        STATUS_CLASS[status],
        "; ".join(w for w in (limit_in_words(cell), _at_stated(cell)) if w),
        _told_on_memory(cell),
    )


def _at_stated(cell: CellAnswer) -> str:
    return f"at the load the design states: {cell.at_stated}" if cell.at_stated else ""


def _told_on_memory(cell: CellAnswer) -> bool:
    return cell.on_memory and cell.status_words not in _QUIET


def _length(value: Figure | None) -> str:
    return "" if value is None else value.text()
