"""The comparison as text: a matrix fitted to the terminal, what drives each change, what to ask."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from textwrap import wrap

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.answers.compare.row import TopicRow
from deckclause.answers.compare.together import lacking_lines
from deckclause.report.cautions import CAUTIONS
from deckclause.report.comparison.agreement import agreement_words
from deckclause.report.comparison.cells import alike_words, figure_text, legend
from deckclause.report.comparison.first_screen import first_screen, warning_lines, ways_lines
from deckclause.report.comparison.matrix import matrix_lines
from deckclause.report.comparison.rows_shown import rows_shown
from deckclause.report.comparison.together import together_lines


class ComparisonText:
    """Writes one comparison as text."""

    def __init__(
        self,
        answer: CompareAnswer,
        *,
        width: int = 100,
        only_differences: bool = False,
        everything: bool = False,
        narrowed: bool = False,
        why: bool = False,
    ) -> None:
        """Write `answer`; `narrowed` leaves out the first screen, `why` tells every driver."""
        self.answer = answer
        self.si = answer.si
        self.width = max(width, 60)
        self.only_differences = only_differences
        self.everything = everything or only_differences
        self.narrowed = narrowed or only_differences
        self.why = why or narrowed or only_differences
        self.rows = rows_shown(answer, only_differences=only_differences, everything=everything)

    def lines(self, depth: Iterable[str] = ()) -> Iterator[str]:
        """Yield the whole report, line by line; `depth` stands before the cautions."""
        design = self.answer.design
        if self.narrowed:
            yield from self._wrapped(f"{design.name}" + (f": {design.says}" if design.says else ""))
            yield from together_lines(self.answer.holds_together, self.width)
            yield from ways_lines(self.answer, self.width)
            yield from warning_lines(self.answer, self.width)
        else:
            yield from first_screen(self.answer, self.width)
        yield ""
        if not self.narrowed and list(lacking_lines(self.answer.holds_together)):
            yield from together_lines(self.answer.holds_together, self.width)
            yield ""
        if self.rows:
            yield from matrix_lines(self.answer, self.rows, self.width)
            yield from self._wrapped(legend(self.rows))
        else:
            yield from self._wrapped(agreement_words(self.answer))
        if not self.everything:
            yield from self._aside()
        yield from self._told()
        yield from self._failures()
        yield from self._changes()
        yield from self._known()
        yield from self._questions()
        yield from depth
        yield ""
        for caution in CAUTIONS:
            yield from self._wrapped(caution)

    def _wrapped(self, text: str, indent: str = "") -> Iterator[str]:
        yield from wrap(
            text, self.width, initial_indent=indent, subsequent_indent=indent + "  "
        ) or [""]

    def _aside(self) -> Iterator[str]:
        answer = self.answer
        groups: dict[str, dict[str, list[str]]] = {}
        alike_rows = sorted(answer.alike, key=_missing_first)
        for row in alike_rows:
            status, given = alike_words(row.cells[0], si=self.si)
            told = status == "complies" and any(c.on_memory for c in row.cells)
            star = "*" if told else ""
            title = f"{row.topic.title}: {given}" if given else row.topic.title + star
            groups.setdefault(status, {}).setdefault(row.part_title, []).append(title)
        alike = "ALIKE UNDER ALL OF THEM: " if len(answer.cards) > 1 else ""
        for status, parts in groups.items():
            count = sum(map(len, parts.values()))
            memory = sum(title.endswith("*") for titles in parts.values() for title in titles)
            under = " under one or more" if alike else ""
            known = f", {memory} of {count} on memory{under}" if memory else ""
            yield ""
            head = f"{alike}{status if alike else status.upper()}{known}"
            yield from self._wrapped(f"{head}   (--all shows the figures)")
            for part, titles in parts.items():
                yield from self._wrapped(f"{part}: {'; '.join(titles)}", "  ")
        yield from self._begun()
        if answer.unstated:
            yield ""
            head = "NOT STATED IN THE DESIGN, SO NOT KNOWN"
            yield from self._wrapped(f"{head}   (--part NAME asks about one)")
            names = [f"{u.title} ({u.part}, {u.topics} topics)" for u in answer.unstated]
            yield from self._wrapped("; ".join(names), "  ")

    def _begun(self) -> Iterator[str]:
        first: dict[str, list[str]] = {}
        for row in self.answer.begun:
            cell = row.cells[row.begins]
            name = self.answer.titles[row.begins]
            words, given = alike_words(cell, si=self.si)
            limit = f": {given}" if given else f" {figure_text(cell, si=self.si)}".rstrip()
            star = "*" if cell.on_memory and not given else ""
            first.setdefault(f"{name} on: {words}", []).append(f"{row.topic.title}{limit}{star}")
        if first:
            yield ""
            head = "REGULATED ONLY FROM A LATER RULE SET ON, AND ALIKE SINCE"
            yield from self._wrapped(f"{head}   (--all shows the figures)")
        for head, titles in first.items():
            yield from self._wrapped(f"from {head}: {'; '.join(titles)}", "  ")

    def _told(self) -> Iterator[str]:
        if self.answer.told:
            yield ""
            yield "NOTE"
        for told in self.answer.told:
            for says in told.says:
                yield from self._wrapped(f"{told.title}: {says}.", "  ")

    def _failures(self) -> Iterator[str]:
        answer = self.answer
        said = answer.failures_where_they_differ if self.only_differences else answer.failures
        if said:
            yield ""
            yield "WHAT DOES NOT COMPLY, OR NEEDS ENGINEERING"
        for failure in said:
            yield from self._wrapped(f"{failure.text} ({'; '.join(failure.places)})", "  ")

    def _changes(self) -> Iterator[str]:
        changed = [(row, change) for row in self.rows for change in row.changes]
        told = [(row, c) for row, c in changed if self.why or (c.weighty and not c.only_adds)]
        quiet = len(changed) - len(told)
        if not changed:
            return
        yield ""
        head = "WHAT CHANGES, AND WHAT DRIVES IT (each exchange of clauses was evaluated)"
        yield from self._wrapped(head)
        if self.why:
            yield from self._first_regulated()
        for row, change in told:
            if change.only_adds:
                continue
            yield from self._wrapped(f"{row.topic.title}. {change.head}", "  ")
            for line in change.driver.told:
                yield from self._wrapped(line, "      " if line.startswith("- ") else "    ")
            if change.driver.shares_told:
                shares = ", ".join(change.driver.shares_told)
                yield from self._wrapped(f"shares: {shares}", "    ")
        if quiet:
            more = "more differences" if told else "differences"
            words = f"{quiet} {more} in which nothing fails and no outcome parts"
            yield from self._wrapped(f"{words}   (--why shows what drives them)", "  ")

    def _known(self) -> Iterator[str]:
        if self.answer.known:
            yield ""
            yield from self._wrapped("WHAT IS KNOWN OF THE DIFFERENCES, as this deck comes out")
        for pair in self.answer.known:
            yield from self._wrapped(pair.words, "  ")

    def _first_regulated(self) -> Iterator[str]:
        titles = self.answer.titles
        added: dict[tuple[int, int], list[TopicRow]] = {}
        for row in self.rows:
            for change in row.changes:
                if change.only_adds:
                    added.setdefault((change.first, change.second), []).append(row)
        for (one, two), rows in sorted(added.items()):
            topics = "; ".join(row.topic.title for row in rows)
            text = f"{titles[two]} regulates what {titles[one]} leaves silent: {topics}."
            yield from self._wrapped(text, "  ")
            for row in rows:
                practice = row.cells[one].practice
                if practice:
                    note = f"common practice under {titles[one]}, no requirement: {practice}"
                    yield from self._wrapped(note, "    ")

    def _questions(self) -> Iterator[str]:
        asked = self.answer.questions if self.everything else self.answer.asked
        if asked:
            yield ""
            yield "WHAT TO FIND OUT"
        for question in asked:
            yield from self._wrapped(f"{question.words} - for: {', '.join(question.topics)}", "  ")
            for line in question.expected:
                yield from self._wrapped(line, "    ")


def _missing_first(row: TopicRow) -> bool:
    return row.cells[0].status_words != "information missing"
