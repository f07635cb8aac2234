"""What the page shows of a comparison, a card for each rule set: plain values, nothing worked out."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.answers.compare.card import RuleSetCard
from deckclause.answers.compare.cell import CellAnswer
from deckclause.answers.compare.finding import FindingAnswer
from deckclause.answers.compare.row import TopicRow
from deckclause.answers.compare.together import headline, lacking_lines
from deckclause.answers.figure import Figure
from deckclause.compare.comparison import WORKED_OUT
from deckclause.evaluate.status import DOES_NOT_COMPLY, ENGINEERING_REQUIRED, status_told
from deckclause.report.comparison.cells import drawn_text, limit_in_words
from deckclause.report.comparison.few_answers import few_answers_words
from deckclause.report.comparison.rows_shown import rows_shown

STATUS_CLASS = {
    "complies": "ok",
    "not applicable": "none",
    "information missing": "ask",
    "engineering required": "engineer",
    "does not comply": "fails",
    "not regulated": "silent",
}
"""The style of each status; its words always stand beside."""
MEASURES = {
    "ledger_greatest_drop": "Drop of the ledger",
    "greatest_step_down": "Step down from the floor",
}


class GraveView(Struct, frozen=True):
    """What does not comply or needs an engineer: the topic, the figures, where it is asked."""

    topic: str
    title: str
    part: str
    drawn: str
    asked: str
    step: str
    cites: str


class MeasureView(Struct, frozen=True):
    """How far the ledger or the deck may go down under one rule set."""

    topic: str
    title: str
    status: str
    style: str
    drawn: str
    most: str
    memory: bool


class CardView(Struct, frozen=True):
    """One rule set at a glance. `counts` are words; `told` must be said besides its findings."""

    name: str
    title: str
    status: str
    style: str
    counts: tuple[str, ...]
    on_memory: str
    warning: str
    fails: tuple[GraveView, ...]
    engineer: tuple[GraveView, ...]
    measures: tuple[MeasureView, ...]
    told: tuple[str, ...]


class AskedView(Struct, frozen=True):
    """The few answers that supply most, to be asked in place; `words` say how much."""

    words: str
    questions: tuple[tuple[str, str], ...]


class QuestionView(Struct, frozen=True):
    """Something to find out: the field it belongs to, the topics that wait for it, what to expect."""

    quantity: str
    question: str
    topics: str
    expected: tuple[str, ...] = ()


class ChangeView(Struct, frozen=True):
    """A change of outcome from one rule set to the next, with what drives it."""

    title: str
    head: str
    because: tuple[str, ...]
    shares: str


class CardsView(Struct, frozen=True):
    """Everything beside the drawing: the cards, the worst outcome first, and what to find out."""

    together: str
    lacks: tuple[tuple[str, str, str], ...]
    told: tuple[str, ...]
    cards: tuple[CardView, ...]
    asked: AskedView
    questions: tuple[QuestionView, ...]
    unstated: tuple[str, ...]
    changes: tuple[ChangeView, ...]

    @property
    def summary(self) -> str:
        """The outcomes in one line, to be read aloud."""
        told = ". ".join(f"{card.title}: {status_told(card.status)}" for card in self.cards)
        return f"{self.together}. {told}."


def cards_view(answer: CompareAnswer) -> CardsView:
    """Return what stands beside the drawing."""
    in_order = sorted(enumerate(answer.cards), key=lambda one: _graver(one[1]))
    return CardsView(
        together=headline(answer.holds_together),
        lacks=tuple((s, STATUS_CLASS[s], w) for s, w in lacking_lines(answer.holds_together)),
        told=tuple(f"{t.title}: {says}." for t in answer.told if t.of_design for says in t.says),
        cards=tuple(_card(answer, card, column) for column, card in in_order),
        asked=_asked(answer),
        questions=tuple(
            QuestionView(q.quantity, q.words, ", ".join(q.topics), q.expected)
            for q in answer.questions
        ),
        unstated=tuple(f"{u.title} ({u.topics} topics)" for u in answer.unstated),
        changes=tuple(_changes(answer)),
    )


def _graver(card: RuleSetCard) -> tuple[int, int, int, int]:
    """Sort the worst outcome first, then by how much fails, needs an engineer, is not known."""
    return -card.status, -card.fails, -card.needs_engineer, -card.not_known


def _card(answer: CompareAnswer, card: RuleSetCard, column: int) -> CardView:
    cells = [(row, row.cells[column]) for row in answer.every_row]
    status = card.status_words
    return CardView(
        name=card.name,
        title=card.title,
        status=status,
        style=STATUS_CLASS[status],
        counts=tuple(_counts(card)),
        on_memory=_on_memory(card),
        warning=card.warning,
        fails=tuple(_grave(cells, DOES_NOT_COMPLY, si=answer.si)),
        engineer=tuple(_grave(cells, ENGINEERING_REQUIRED, si=answer.si)),
        measures=tuple(
            _measure(row, cell, si=answer.si) for row, cell in cells if row.topic.name in WORKED_OUT
        ),
        told=tuple(f"{says}." for t in answer.told if t.title == card.title for says in t.says),
    )


def _counts(card: RuleSetCard) -> Iterator[str]:
    counted = (
        ("fails on {} {}", card.fails),
        ("needs engineering on {} {}", card.needs_engineer),
        ("not known on {} {}", card.not_known),
        ("complies on {} {}", card.complies),
    )
    for words, count in counted:
        if count:
            yield words.format(count, "topic" if count == 1 else "topics")


def _on_memory(card: RuleSetCard) -> str:
    """Say how much of what is decided rests on figures nobody has seen in print."""
    if not card.decided_on_memory:
        return ""
    return f"{card.decided_on_memory} of {card.decided} outcomes rest on memory*"


def _grave(
    cells: list[tuple[TopicRow, CellAnswer]], status: int, *, si: bool
) -> Iterator[GraveView]:
    for row, cell in cells:
        if cell.status == status:
            for finding in cell.failing_parts:
                yield _grave_view(row, cell, finding, si=si)


def _grave_view(row: TopicRow, cell: CellAnswer, finding: FindingAnswer, *, si: bool) -> GraveView:
    local = f", as {'; '.join(finding.local)}" if finding.local else ""
    alone = len(cell.failing_parts) == 1
    return GraveView(
        topic=row.topic.name,
        title=row.topic.title,
        part=finding.part,
        drawn=drawn_text(cell, si=si) if alone else "",
        asked=limit_in_words(cell, si=si) if alone else "",
        step=finding.decides,
        cites=f"{finding.cites}{'*' if finding.on_memory else ''}{local}",
    )


def _measure(row: TopicRow, cell: CellAnswer, *, si: bool) -> MeasureView:
    found = cell.deciding
    status = cell.status_words
    return MeasureView(
        topic=row.topic.name,
        title=MEASURES[row.topic.name],
        status=status,
        style=STATUS_CLASS[status],
        drawn=_length(found.value, si=si) if found else "",
        most=_length(found.most, si=si) if found else "",
        memory=cell.on_memory,
    )


def _length(value: Figure | None, *, si: bool) -> str:
    return "" if value is None else value.text(si=si)


def _asked(answer: CompareAnswer) -> AskedView:
    few = answer.decisive
    names = few.answers if few else ()
    return AskedView(
        few_answers_words(answer), tuple(zip(names, answer.decisive_questions, strict=True))
    )


def _changes(answer: CompareAnswer) -> Iterator[ChangeView]:
    for row in rows_shown(answer):
        for change in row.changes:
            shares = ", ".join(change.driver.shares_told)
            yield ChangeView(
                row.topic.title,
                change.head,
                change.driver.told,
                f"Shares of the difference: {shares}." if shares else "",
            )
