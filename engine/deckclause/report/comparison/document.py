"""The comparison as a document: what to do first, then matrix, drawings, drivers and receipt.

The default is short enough to read and to print; the annex adds every finding step by step.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

from deckclause.compare.comparison import Comparison, ComparisonRow
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.explain import RANK
from deckclause.evaluate.findings import TopicOutcome
from deckclause.evaluate.status import NOT_REGULATED, STATUS_WORDS
from deckclause.report.cautions import CAUTIONS
from deckclause.report.comparison.annex import STANDINGS, annex_blocks, topic_anchors
from deckclause.report.comparison.cells import INFORMS, SETS, alike_words
from deckclause.report.comparison.changes import change_blocks
from deckclause.report.comparison.failures import failures
from deckclause.report.comparison.first_page import first_page, local_values
from deckclause.report.comparison.json import comparison_data, receipt
from deckclause.report.comparison.open_questions import open_questions
from deckclause.report.comparison.table import ComparisonText, column_title
from deckclause.report.document import (
    Block,
    Bullets,
    Cell,
    Document,
    Facts,
    Grid,
    Heading,
    Paragraph,
)
from deckclause.report.drawing.design_drawings import section_drawings
from deckclause.report.drawing.elevation_drawings import elevation_blocks
from deckclause.report.rule_sets.table_cautions import table_cautions

FOOT = (
    "Not an engineered design and not an approval. Local code, the building official and licensed "
    "practice decide."
)
WIDE_FROM = 6
"""Columns from which a table is laid on its side."""
LEGEND = (
    "Each cell tells the outcome in words, then the limit or value in force. Not regulated means "
    "the rule set is silent, which is never a pass. Sets: a figure the rules give; nothing is "
    "checked. (memory) marks a figure not seen in print."
)
MEMORY = " (memory)"
NO_QUESTIONS = "Nothing asked of this design is unknown."
NO_FAILURES = "Nothing decided fails or needs an engineer."
NO_ANNEX = "Every finding step by step, with its sources, is written on request (--annex)."


def comparison_document(
    catalogue: Catalogue,
    comparison: Comparison,
    *,
    only_differences: bool = False,
    everything: bool = False,
    annex: bool = False,
    si: bool = False,
) -> Document:
    """Return a comparison as a document; `annex` adds every finding.

    `only_differences` narrows the matrix and the drivers, never the first page nor what is to be
    found out; `everything` keeps topics alike everywhere in the matrix.
    """
    text = ComparisonText(comparison, catalogue.vocabulary, si=si, everything=everything)
    shown = text
    if only_differences:
        shown = ComparisonText(comparison, catalogue.vocabulary, si=si, only_differences=True)
    return _Compare(catalogue, text, shown, annex=annex).document()


class _Compare:
    def __init__(
        self, catalogue: Catalogue, text: ComparisonText, shown: ComparisonText, *, annex: bool
    ) -> None:
        self.catalogue = catalogue
        self.comparison = text.comparison
        self.vocabulary = catalogue.vocabulary
        self.text = text
        self.shown = shown
        self.annex = annex
        self.data = comparison_data(catalogue, self.comparison) if annex else {}
        self.anchors = topic_anchors(self.data) if annex else {}

    def document(self) -> Document:
        design = self.comparison.design.design
        cautions = [*CAUTIONS, *table_cautions(self.comparison.rows)]
        cautions = [c.replace("marked *", "marked (memory)") for c in cautions]
        return Document(
            title=design.name,
            subtitle=design.says or "One deck under several rule sets.",
            blocks=(
                Paragraph(cautions[0], "caution"),
                Heading(1, "What to do", "act"),
                first_page(self.text),
                *self.local_values(),
                Heading(1, "What does not comply, or needs engineering", "failures"),
                *self.failures(),
                Heading(1, "What to find out", "questions"),
                self.questions(),
                Heading(1, "Side by side", "matrix"),
                Paragraph(LEGEND, "note"),
                *self.matrix(),
                *self.aside(),
                *self.drawings(),
                Heading(1, "What changes, and what drives it", "changes"),
                *change_blocks(self.shown),
                *self.grounds(),
                Heading(1, "Cautions", "cautions"),
                Bullets(tuple(cautions)),
            ),
            foot=FOOT,
            contents_on_paper=self.annex,
        )

    def local_values(self) -> Iterator[Block]:
        found = local_values(self.text)
        if found is not None:
            yield found

    def failures(self) -> Iterator[Block]:
        found = failures(self.comparison.rows, self.text.explainers)
        if not found:
            yield Paragraph(NO_FAILURES)
            return
        yield Bullets(tuple(f"{words} ({'; '.join(at)})" for words, at in found.items()))

    def questions(self) -> Block:
        asked = open_questions([*self.text.rows, *self.text.alike], self.text.explainers)
        if not asked and not self.text.unstated:
            return Paragraph(NO_QUESTIONS)
        told = [f"{q} - for: {', '.join(t)}." for q, t in asked.items()]
        for part, count in self.text.unstated.items():
            title = self.vocabulary.parts[part]
            told.append(f"{title}: the design says nothing of it; {count} topics are undecided.")
        return Bullets(tuple(told))

    def matrix(self) -> Iterator[Block]:
        if not self.shown.rows:
            yield Paragraph("The rule sets agree on everything asked.")
            return
        names = [column_title(e.ruleset.name) for e in self.comparison.evaluators]
        rows: list[tuple[Cell, ...]] = []
        groups: list[tuple[int, str]] = []
        part = ""
        for row in self.shown.rows:
            if row.topic.part != part:
                part = row.topic.part
                groups.append((len(rows), self.vocabulary.parts[part]))
            cells = (self.cell(i, o) for i, o in enumerate(row.outcomes))
            rows.append((self.topic_cell(row), *cells))
        first = max(14, 40 - 4 * len(names))
        yield Grid(
            "Topics down, rule sets across",
            ("Topic", *names),
            tuple(rows),
            wide=len(names) >= WIDE_FROM,
            groups=tuple(groups),
            shares=(first, *[(100 - first) // len(names)] * len(names)),
        )

    def topic_cell(self, row: ComparisonRow) -> Cell:
        return Cell(row.topic.title, target=self.anchors.get(row.topic.name, ""))

    def cell(self, column: int, outcome: TopicOutcome) -> Cell:
        """Write one cell as the terminal has it, in words instead of signs."""
        status = STATUS_WORDS[outcome.status]
        if outcome.governing is None:
            return Cell("struck by the place" if outcome.struck else status, status=status)
        short = self.text.cell(column, outcome)
        head, _, figure = short.rstrip("*").partition(" ")
        told = head if head in (SETS, "yes", "no") else status
        if outcome.only_informs:
            told = INFORMS
        if head == "struck":
            told = "struck by the place"
        if figure:
            told += f": {in_words(figure)}"
        return Cell(told + MEMORY * short.endswith("*"), status=status)

    def aside(self) -> Iterator[Block]:
        """Name the topics the matrix leaves out: alike everywhere, or regulated from one on."""
        if self.shown is not self.text:
            return
        alike: dict[str, list[str]] = {}
        for row in self.text.alike:
            first = row.outcomes[0]
            memory = self.text.from_memory(0, first)
            status, given = alike_words(first, memory=memory, si=self.text.si)
            title = f"{row.topic.title}: {given}" if given else row.topic.title
            alike.setdefault(status, []).append(title.replace("*", MEMORY))
        for row in self.text.begun:
            column = [o.status for o in row.outcomes].count(NOT_REGULATED)
            name = column_title(self.comparison.evaluators[column].ruleset.name)
            status, _ = alike_words(row.outcomes[column])
            words = f"not regulated before {name}, since then {status}"
            alike.setdefault(words, []).append(row.topic.title)
        if alike:
            yield Heading(2, "Alike under all of them")
            yield Bullets(tuple(f"{status}: {'; '.join(t)}." for status, t in alike.items()))

    def drawings(self) -> Iterator[Block]:
        drawn = section_drawings(self.comparison.evaluations, self.vocabulary)
        yield Heading(1, "The section", "drawings", wide=bool(drawn.drawings))
        yield from drawn.drawings
        if drawn.missing:
            yield Paragraph(drawn.missing, "note")
        yield Heading(1, "The ledger in elevation", "elevation")
        yield from elevation_blocks(self.catalogue, self.comparison.evaluations)

    def grounds(self) -> Iterator[Block]:
        """Yield the annex if it is asked for, how well the figures are known, and the receipt."""
        if self.annex:
            yield from annex_blocks(self.data, self.vocabulary, self.value)
        yield Heading(1, "How well the figures are known", "standings")
        yield Paragraph(STANDINGS, "note")
        yield self.standings()
        if not self.annex:
            yield Paragraph(NO_ANNEX, "note")
        yield Heading(1, "Receipt", "receipt")
        rests_on = receipt(self.catalogue, self.comparison)
        yield Facts(
            (
                ("engine", rests_on["engine"]),
                ("schema", rests_on["schema"]),
                ("vocabulary", rests_on["vocabulary"]),
                ("design file", self.comparison.design.design.file),
                ("design", rests_on["design"]),
            )
        )
        yield receipt_grid(rests_on)

    def standings(self) -> Grid:
        """Count the findings each rule set's outcomes rest on by their standing."""
        rows = []
        for column, evaluator in enumerate(self.comparison.evaluators):
            explainer = self.text.explainers[column]
            counts = Counter(
                explainer.standing(o.governing)
                for row in self.comparison.rows
                if (o := row.outcomes[column]).governing is not None
            )
            name = Cell(column_title(evaluator.ruleset.name))
            about = Cell(f"{evaluator.ruleset.title} ({evaluator.ruleset.edition})")
            rows.append((name, about, *(Cell(str(counts[rank])) for rank in RANK)))
        caption = "Findings that decide an outcome, by how well their figures are known"
        headers = ("Rule set", "Title", *RANK)
        return Grid(caption, headers, tuple(rows), shares=(20, 32, 12, 12, 12, 12))

    def value(self, value: Any) -> str:
        """Write a value of the data: a measure in the units asked for, a choice, yes or no."""
        if value is None:
            return ""
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, dict):
            return str(value["si" if self.text.si else "text"])
        return str(value).replace("_", " ")


SIGNS = ((">= ", "at least "), ("<= ", "at most "), ("= ", "exactly "))


def in_words(figure: str) -> str:
    """Write the signs of a narrow column in words, and a choice without its brackets.

    >>> in_words("<= 9 ft 9 in")
    'at most 9 ft 9 in'
    """
    for sign, words in SIGNS:
        if figure.startswith(sign):
            return words + figure.removeprefix(sign)
    return figure.removeprefix("(").removesuffix(")")


def receipt_grid(receipt: dict[str, Any]) -> Grid:
    """Return the rule sets of a receipt with the digest of every layer."""
    rows = [
        (
            Cell(column_title(r["name"])),
            Cell(layer["name"]),
            Cell(layer["kind"]),
            Cell(" ".join(x for x in (layer["place"], layer["ordinance"], layer["adopted"]) if x)),
            Cell(layer["digest"]),
        )
        for r in receipt["rule_sets"]
        for layer in r["layers"]
    ]
    headers = ("Rule set", "Layer", "Kind", "Act", "sha256")
    caption = "What each rule set was made of"
    return Grid(caption, headers, tuple(rows), shares=(17, 17, 13, 20, 33))
