"""The comparison as text: a matrix fitted to the terminal, what drives each change, what to ask."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from textwrap import wrap

from tabulate import tabulate

from deckclause.compare.comparison import Comparison, ComparisonRow
from deckclause.compare.words import ChangeWords
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import TopicOutcome
from deckclause.evaluate.notices import notices_by_name
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
)
from deckclause.report.cautions import CAUTIONS
from deckclause.report.comparison.cells import LEGEND, alike_words, cell_text, figure_text
from deckclause.report.comparison.failures import failures
from deckclause.report.comparison.open_questions import open_questions
from deckclause.report.fitted_table import table
from deckclause.rulesets.vocabulary import Vocabulary


class ComparisonText:
    """Writes one comparison as text."""

    def __init__(
        self,
        comparison: Comparison,
        vocabulary: Vocabulary,
        *,
        width: int = 100,
        si: bool = False,
        only_differences: bool = False,
        everything: bool = False,
    ) -> None:
        self.comparison = comparison
        self.vocabulary = vocabulary
        self.width = max(width, 60)
        self.si = si
        self.only_differences = only_differences
        self.words = ChangeWords(comparison, vocabulary, si=si)
        self.rows = [r for r in comparison.rows if r.differs or not only_differences]
        self.alike: list[ComparisonRow] = []
        self.begun: list[ComparisonRow] = []
        self.unstated: dict[str, int] = {}
        if not everything and not only_differences:
            self._set_aside()
        self.explainers = [Explainer(e, vocabulary, si=si) for e in comparison.evaluations]

    def _set_aside(self) -> None:
        """Keep from the matrix what needs no one's attention, and parts the design says nothing of."""
        parts: dict[str, list[ComparisonRow]] = {}
        for row in self.rows:
            parts.setdefault(row.topic.part, []).append(row)
        design = self.comparison.design.design
        stated = {*design.facts, *(f for ps in design.parts.values() for p in ps for f in p.facts)}
        reads_of = _reads_by_key(self.comparison)
        for part, rows in parts.items():
            if _unstated(rows, stated, reads_of):
                self.unstated[part] = len(rows)
        shown = [r for r in self.rows if r.topic.part not in self.unstated]
        one = len(self.comparison.evaluators) == 1
        quiet = [s for s in _NO_ATTENTION if not (one and s == INFORMATION_MISSING)]
        self.alike = [r for r in shown if not r.differs and r.status in quiet]
        self.begun = [r for r in shown if _begins_and_complies(r)]
        aside = {r.topic.name for r in (*self.alike, *self.begun)}
        self.rows = [r for r in shown if r.topic.name not in aside]

    def lines(self, depth: Iterable[str] = ()) -> Iterator[str]:
        """Yield the whole report, line by line; `depth` stands before the cautions."""
        design = self.comparison.design.design
        yield f"{design.name}" + (f": {design.says}" if design.says else "")
        yield ""
        if self.rows:
            yield self.matrix()
            yield from self._wrapped(LEGEND)
        else:
            yield "The rule sets agree on everything asked."
        yield from self._alike()
        yield from self._notices()
        yield from self._failures()
        yield from self._changes()
        yield from self._questions()
        yield from depth
        yield ""
        for caution in CAUTIONS:
            yield from self._wrapped(caution)

    def matrix(self, table_format: str = "simple") -> str:
        """Return the matrix: topics down, rule sets across."""
        names = [column_title(e.ruleset.name) for e in self.comparison.evaluators]
        body: list[list[str]] = []
        part = ""
        for row in self.rows:
            if row.topic.part != part and table_format == "simple":
                part = row.topic.part
                body.append([self.vocabulary.parts[part].upper(), *([""] * len(names))])
            body.append([row.topic.title, *(self.cell(i, o) for i, o in enumerate(row.outcomes))])
        if table_format == "simple":
            return table(["", *names], body, self.width)
        return tabulate(body, headers=["", *names], tablefmt=table_format, disable_numparse=True)

    def cell(self, column: int, outcome: TopicOutcome) -> str:
        """Write one cell: status, then the limit or value in force."""
        return cell_text(outcome, memory=self.from_memory(column, outcome), si=self.si)

    def from_memory(self, column: int, outcome: TopicOutcome) -> bool:
        """Tell whether the figure that decides an outcome is unverified."""
        finding = outcome.governing
        return finding is not None and self.explainers[column].standing(finding) == "memory"

    def _wrapped(self, text: str, indent: str = "") -> Iterator[str]:
        yield from wrap(
            text, self.width, initial_indent=indent, subsequent_indent=indent + "  "
        ) or [""]

    def _alike(self) -> Iterator[str]:
        groups: dict[str, dict[str, list[str]]] = {}
        for row in sorted(self.alike, key=lambda row: row.status != INFORMATION_MISSING):
            outcome = row.outcomes[0]
            status, given = alike_words(outcome, memory=self.from_memory(0, outcome), si=self.si)
            title = f"{row.topic.title}: {given}" if given else row.topic.title
            part = self.vocabulary.parts[row.topic.part]
            groups.setdefault(status, {}).setdefault(part, []).append(title)
        alike = "ALIKE UNDER ALL OF THEM: " if len(self.comparison.evaluators) > 1 else ""
        for status, parts in groups.items():
            yield ""
            yield f"{alike}{status if alike else status.upper()}   (--all shows the figures)"
            for part, titles in parts.items():
                yield from self._wrapped(f"{part}: {'; '.join(titles)}", "  ")
        yield from self._begun()
        if self.unstated:
            yield ""
            yield "NOT STATED IN THE DESIGN, SO UNDECIDED   (--part NAME asks about one)"
            names = [
                f"{self.vocabulary.parts[part]} ({part}, {count} topics)"
                for part, count in self.unstated.items()
            ]
            yield from self._wrapped("; ".join(names), "  ")

    def _begun(self) -> Iterator[str]:
        first: dict[str, list[str]] = {}
        for row in self.begun:
            column = [o.status for o in row.outcomes].count(NOT_REGULATED)
            name = self.comparison.evaluators[column].ruleset.name
            outcome = row.outcomes[column]
            words, given = alike_words(
                outcome, memory=self.from_memory(column, outcome), si=self.si
            )
            limit = f": {given}" if given else f" {figure_text(outcome, si=self.si)}"
            first.setdefault(f"{name} on: {words}", []).append(f"{row.topic.title}{limit}".rstrip())
        if first:
            yield ""
            yield "REGULATED ONLY FROM A LATER RULE SET ON, AND ALIKE SINCE   (--all shows the figures)"
        for head, titles in first.items():
            yield from self._wrapped(f"from {head}: {'; '.join(titles)}", "  ")

    def _notices(self) -> Iterator[str]:
        found = self.notices()
        if found:
            yield ""
            yield "NOTE"
        for notice in found:
            yield from self._wrapped(f"{notice}.", "  ")

    def notices(self) -> tuple[str, ...]:
        """Return what must be said of the design itself and of each rule set's own values."""
        said = notices_by_name(self.comparison.evaluations, self.vocabulary, si=self.si)
        return tuple(f"{name}: {says}" for name, told in said.items() for says in told)

    def _failures(self) -> Iterator[str]:
        shown = self.rows if self.only_differences else self.comparison.rows
        said = failures(shown, self.explainers)
        if said:
            yield ""
            yield "WHAT DOES NOT COMPLY, OR NEEDS ENGINEERING"
        for text, places in said.items():
            yield from self._wrapped(f"{text} ({'; '.join(places)})", "  ")

    def _changes(self) -> Iterator[str]:
        changed = [(row, change) for row in self.rows for change in row.changes]
        if not changed:
            return
        yield ""
        yield "WHAT CHANGES, AND WHAT DRIVES IT (each exchange of clauses was evaluated)"
        yield from self._first_regulated()
        for row, change in changed:
            if self._only_adds(row, change.first):
                continue
            yield from self._wrapped(f"{row.topic.title}. {self.words.head(row, change)}", "  ")
            for line in self.words.because(change):
                yield from self._wrapped(f"because {line}", "    ")
            shares = self.words.shares(row, change)
            if shares:
                yield from self._wrapped("shares: " + ", ".join(shares), "    ")

    def _only_adds(self, row: ComparisonRow, first: int) -> bool:
        return row.outcomes[first].status == NOT_REGULATED and not row.outcomes[first].struck

    def _first_regulated(self) -> Iterator[str]:
        added: dict[tuple[int, int], list[str]] = {}
        for row in self.rows:
            for change in row.changes:
                if self._only_adds(row, change.first):
                    added.setdefault((change.first, change.second), []).append(row.topic.title)
        for (one, two), titles in sorted(added.items()):
            names = [self.comparison.evaluators[i].ruleset.name for i in (one, two)]
            text = f"{names[1]} regulates what {names[0]} leaves silent: {'; '.join(titles)}."
            yield from self._wrapped(text, "  ")
            for row in self.rows:
                practice = row.outcomes[one].practice
                if practice and row.topic.title in titles:
                    note = f"common practice under {names[0]}, no requirement: {practice}"
                    yield from self._wrapped(note, "    ")

    def _questions(self) -> Iterator[str]:
        asked = open_questions([*self.rows, *self.alike], self.explainers)
        if asked:
            yield ""
            yield "WHAT TO FIND OUT"
        for question, titles in asked.items():
            yield from self._wrapped(f"{question} - for: {', '.join(titles)}", "  ")


_NO_ATTENTION = (COMPLIES, NOT_APPLICABLE, NOT_REGULATED, INFORMATION_MISSING)
_COMMON_GROUPS = ("site", "deck", "loads", "design")


def _reads_by_key(comparison: Comparison) -> list[dict[str, tuple[str, ...]]]:
    """Return for each rule set what each of its clauses reads."""
    return [
        dict(zip((c.key for c in e.ruleset.clauses), e.plan.reads, strict=True))
        for e in comparison.evaluators
    ]


def _unstated(
    rows: list[ComparisonRow], stated: set[str], reads_of: list[dict[str, tuple[str, ...]]]
) -> bool:
    """Tell whether the design says nothing of a part of the deck, so that nothing is decided."""
    statuses = {o.status for row in rows for o in row.outcomes}
    if INFORMATION_MISSING not in statuses or statuses & {COMPLIES, DOES_NOT_COMPLY}:
        return False
    reads = {
        name
        for row in rows
        for known, outcome in zip(reads_of, row.outcomes, strict=True)
        for finding in outcome.findings
        for name in known.get(finding.key, ())
        if name.split(".")[0] not in _COMMON_GROUPS
    }
    return not reads & stated


def _begins_and_complies(row: ComparisonRow) -> bool:
    """Tell whether a row is silent at first and complies alike from some rule set on."""
    statuses = [o.status for o in row.outcomes]
    begun = statuses.count(NOT_REGULATED)
    return (
        0 < begun < len(statuses)
        and set(statuses[:begun]) == {NOT_REGULATED}
        and set(statuses[begun:]) <= {COMPLIES, NOT_APPLICABLE}
        and len(set(row.compared[begun:])) == 1
        and not any(o.struck for o in row.outcomes)
    )


def column_title(name: str) -> str:
    """Write a rule set's name as a column title: `irc-2012` as `IRC 2012`.

    >>> column_title("irc-2012")
    'IRC 2012'
    """
    if "@" in name:
        return name.replace("@", " @ ")
    head, _, tail = name.rpartition("-")
    return f"{head.upper()} {tail}" if head and tail.isdigit() else name
