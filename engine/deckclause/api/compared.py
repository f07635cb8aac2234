"""What comparing one deck under several rule sets comes to."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.answers.compare.cell import CHECKED, CellAnswer
from deckclause.answers.compare.row import TopicRow
from deckclause.answers.compare.together import TogetherRow, headline
from deckclause.answers.figure import Figure, limit_words
from deckclause.api.frame import Library, frame_of, html_table
from deckclause.report.cautions import CAUTIONS
from deckclause.report.comparison.cells import LEGEND, cell_text
from deckclause.report.comparison.csv import EVERY_RULE_SET

WIDTH = 100
"""Characters a line of the text has."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """One topic under one rule set.

    `status` is one of `complies`, `does not comply`, `engineering required`, `information
    missing`, `not applicable`, `not regulated`; only the first is a pass, and not where `role` is
    anything but `checked`. `drawn` is what the design has, `asked` the limit, in words; both are
    empty where there is none. `unverified` says the deciding figure is from memory. `expected` says
    what a method gives where print was not seen: a question for the book, never a pass.
    """

    topic: str
    title: str
    part: str
    rule_set: str
    status: str
    role: str
    drawn: str
    asked: str
    clause: str
    cites: str
    standing: str
    unverified: bool
    differs: bool
    expected: str = ""


@dataclass(frozen=True, slots=True)
class Change:
    """A topic that comes out otherwise under another rule set, and the clauses that drive it."""

    topic: str
    first: str
    second: str
    drivers: tuple[tuple[str, ...], ...]
    because: tuple[str, ...]


@dataclass(frozen=True)
class Compared:
    """A comparison. `str()` is the report of the command line, a notebook shows it as a table.

    `exit_status` is 0 where all complies everywhere asked, 1 where something does not, 3 where
    something is undecided.
    """

    _answer: CompareAnswer

    @property
    def name(self) -> str:
        """The design's name."""
        return self._answer.design.name

    @property
    def rule_sets(self) -> tuple[str, ...]:
        """The rule sets, in the order they were asked for."""
        return tuple(card.name for card in self._answer.cards)

    @property
    def exit_status(self) -> int:
        """The status the command line would end with."""
        return self._answer.exit_status

    @property
    def cautions(self) -> tuple[str, ...]:
        """What must be said wherever this is shown."""
        return (*CAUTIONS, *self._answer.table_cautions)

    @cached_property
    def outcomes(self) -> tuple[Outcome, ...]:
        """Every topic under every rule set, those that ask whether the deck holds together first."""
        si, together = self._answer.si, self._answer.holds_together
        held = () if together is None else (_held(row, si=si) for row in together.rows)
        rows = self._answer.every_row
        return (*held, *(_outcome(row, cell, si=si) for row in rows for cell in row.cells))

    @property
    def holds_together(self) -> str:
        """Whether the deck's parts carry each other, fit and agree, in one line; no pass stands above it."""
        return headline(self._answer.holds_together)

    @cached_property
    def changes(self) -> tuple[Change, ...]:
        """Every topic whose outcome changes from a rule set to the next, with its drivers."""
        names = self.rule_sets
        return tuple(
            Change(
                row.topic.name,
                names[change.first],
                names[change.second],
                change.driver.keys,
                change.driver.because,
            )
            for row in self._answer.every_row
            for change in row.changes
        )

    def failing(self) -> tuple[Outcome, ...]:
        """Return the outcomes that do not comply."""
        return tuple(o for o in self.outcomes if o.status == "does not comply")

    def to_dict(self) -> dict[str, Any]:
        """Return all of it as the command line's JSON has it, receipt and cautions included."""
        from deckclause.report.comparison.json import comparison_data

        return comparison_data(self._answer)

    def to_frame(self, library: Library | None = None) -> Any:
        """Return `outcomes` as a DataFrame of polars, or of pandas where polars is not installed.

        Raises ModuleNotFoundError where neither is.
        """
        return frame_of(Outcome, self.outcomes, library)

    def __str__(self) -> str:
        from deckclause.report.comparison.table import ComparisonText

        return "\n".join(ComparisonText(self._answer, width=WIDTH).lines())

    def __repr__(self) -> str:
        return f"<Compared {self.name!r} under {', '.join(self.rule_sets)}>"

    def _repr_html_(self) -> str:
        """Return the matrix as a notebook shows it: topics down, rule sets across."""
        body = [
            (row.topic.title, *(cell_text(c, si=self._answer.si) for c in row.cells))
            for row in self._answer.shown
        ]
        heads, notes = ("", *self._answer.titles), (LEGEND, *self.cautions)
        return html_table(f"{self.name}. {self.holds_together}", heads, body, notes)


def _held(row: TogetherRow, *, si: bool) -> Outcome:
    found = row.findings[0] if row.findings else None
    figures = (found.value, found.least, found.most) if found else (None, None, None)
    value, least, most = figures
    return Outcome(
        topic=row.topic.name,
        title=row.topic.title,
        part=row.topic.part,
        rule_set=EVERY_RULE_SET,
        status=row.status_words,
        role=CHECKED,
        drawn=value.text(si=si) if value is not None else "",
        asked=limit_words(least, most, si=si),
        clause=found.clause if found else "",
        cites=found.cites if found else "",
        standing=found.standing if found else "",
        unverified=False,
        differs=False,
    )


def _outcome(row: TopicRow, cell: CellAnswer, *, si: bool) -> Outcome:
    deciding = cell.deciding
    return Outcome(
        topic=row.topic.name,
        title=row.topic.title,
        part=row.topic.part,
        rule_set=cell.rule_set,
        status=cell.status_words,
        role=cell.role,
        drawn=" to ".join(figure.text(si=si) for figure in cell.drawn),
        asked=limit_words(_end(cell.least), _end(cell.most), si=si),
        clause=deciding.clause if deciding else "",
        cites=deciding.cites if deciding else "",
        standing=deciding.standing if deciding else "",
        unverified=cell.on_memory,
        differs=row.differs,
        expected="; ".join(cell.expected(si=si)),
    )


def _end(ends: tuple[Figure, ...]) -> Figure | None:
    """Return the limit of a cell; of several parts with limits of their own, none for all."""
    return ends[0] if len(ends) == 1 else None
