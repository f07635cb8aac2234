"""The comparison as a document: what to do first, then matrix, drawings, drivers and receipt.

The default is short enough to read and to print; the annex adds every finding step by step.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.answers.compare.cell import INFORMS, STRUCK, CellAnswer
from deckclause.answers.compare.row import TopicRow
from deckclause.answers.compare.together import headline
from deckclause.reading.status import status_told
from deckclause.report.cautions import CAUTIONS
from deckclause.report.comparison.agreement import agreement_words
from deckclause.report.comparison.annex import STANDINGS, annex_blocks, topic_anchors
from deckclause.report.comparison.cells import (
    INFORMED,
    alike_words,
    cell_text,
    drawn_text,
    limit_in_words,
)
from deckclause.report.comparison.changes import change_blocks
from deckclause.report.comparison.first_page import first_page, local_values, outcomes
from deckclause.report.comparison.json import comparison_data, receipt
from deckclause.report.comparison.rows_shown import rows_shown
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
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.vocabulary import Source

FOOT = (
    "Not an engineered design and not an approval. Local code, the building official and licensed "
    "practice decide."
)
WIDE_FROM = 6
"""Columns from which a table is laid on its side."""
LEGEND = (
    "Each cell tells the outcome in words, then what the design has and what is asked. Not regulated means "
    "the rule set is silent, which is never a pass. Gives: a figure the rules give; nothing is "
    "checked. (memory) marks a figure not seen in print."
)
MEMORY = " (memory)"
NO_QUESTIONS = "Nothing asked of this design is not known."
NOTHING_TO_DO = "Nothing: all that is asked complies, as far as the rules here go."
NOTHING_ON_TOPICS = (
    "Nothing on the topics looked at: all that is asked there complies, as far as the rules here go. "
    "The outcomes above are of the whole deck."
)
NO_PASS = (
    "Nothing that the rules here name. That is no pass: what is not regulated or not decided stands "
    "side by side below."
)
NO_FAILURES = "Nothing decided fails or needs an engineer."
NOT_BY_RULES = "The rules fail nothing; what keeps the deck from holding together stands above."
NO_OTHERS = "Nothing else; what is not known of how the deck holds together stands above."
NO_ANNEX = "Every finding step by step, with its sources, is written on request (--annex)."


def comparison_document(
    answer: CompareAnswer,
    sources: dict[str, Source],
    drawings: Sequence[Block] = (),
    *,
    only_differences: bool = False,
    everything: bool = False,
    annex: bool = False,
) -> Document:
    """Return a comparison as a document; `annex` adds every finding, of an answer in depth.

    `drawings` are the blocks that show the deck. `only_differences` narrows the matrix and the
    drivers, never the first page nor what is to be found out; `everything` keeps topics alike
    everywhere in the matrix.
    """
    rows = rows_shown(answer, only_differences=only_differences, everything=everything)
    aside = not (only_differences or everything)
    return _Compare(answer, sources, drawings, rows, aside=aside, annex=annex).document()


class _Compare:
    def __init__(
        self,
        answer: CompareAnswer,
        sources: dict[str, Source],
        drawings: Sequence[Block],
        rows: tuple[TopicRow, ...],
        *,
        aside: bool,
        annex: bool,
    ) -> None:
        self.answer = answer
        self.sources = sources
        self.drawings = drawings
        self.rows = rows
        self.shows_aside = aside
        self.annex = annex
        self.data = comparison_data(answer) if annex else {}
        self.anchors = topic_anchors(self.data) if annex else {}

    def document(self) -> Document:
        design = self.answer.design
        cautions = [*CAUTIONS, *self.answer.table_cautions]
        cautions = [c.replace("marked *", "marked (memory)") for c in cautions]
        return Document(
            title=design.name,
            subtitle=design.says or "One deck under several rule sets.",
            blocks=(
                Paragraph(" ".join([cautions[0], *self.warnings()]), "caution"),
                Paragraph(
                    headline(self.answer.holds_together),
                    "caution" if self.answer.passes_nothing else "plain",
                ),
                outcomes(self.answer),
                *(Paragraph(ways.words) for ways in self.answer.ways),
                Heading(1, "What to do", "act"),
                *self.actions(),
                *self.local_values(),
                Heading(1, "What to find out", "questions"),
                self.questions(),
                Heading(1, "Side by side", "matrix"),
                Paragraph(LEGEND, "note"),
                *self.matrix(),
                *self.aside(),
                Heading(1, "What changes, and what drives it", "changes"),
                *change_blocks(self.answer, self.rows, every=self.annex),
                *self.known(),
                Heading(1, "What does not comply, or needs engineering, worked out", "failures"),
                *self.failures(),
                *self.grounds(),
                Heading(1, "Cautions", "cautions"),
                Bullets(tuple(cautions)),
                # sheets of their own, last, so that none parts what belongs together
                *self.drawings,
            ),
            foot=FOOT,
            contents_on_paper=self.annex,
        )

    def known(self) -> Iterator[Block]:
        """Yield how much is known of what changed, pair by pair."""
        if self.answer.known:
            yield Heading(2, "What is known of the differences, as this deck comes out")
            yield Bullets(tuple(pair.words for pair in self.answer.known))

    def warnings(self) -> Iterator[str]:
        """Yield each rule set's own word of being held from memory, alike ones together."""
        for titles, words in self.answer.warnings:
            yield f"{titles}: {words}"

    def actions(self) -> Iterator[Block]:
        found = first_page(self.answer)
        if found is None:
            yield Paragraph(self.nothing_to_do())
        else:
            yield found

    def nothing_to_do(self) -> str:
        """Say why no action stands here: only what complies wholly is said to comply."""
        if self.answer.passes_nothing:
            return NO_OTHERS
        if self.answer.exit_status != 0:
            return NO_PASS
        return NOTHING_TO_DO if self.answer.complies_wholly else NOTHING_ON_TOPICS

    def local_values(self) -> Iterator[Block]:
        found = local_values(self.answer)
        if found is not None:
            yield found

    def failures(self) -> Iterator[Block]:
        found = self.answer.failures
        if not found:
            yield Paragraph(NOT_BY_RULES if self.answer.passes_nothing else NO_FAILURES)
            return
        yield Bullets(tuple(f"{f.text} ({'; '.join(f.places)})" for f in found))

    def questions(self) -> Block:
        answer = self.answer
        if not answer.asked and not answer.unstated:
            return Paragraph(NO_OTHERS if answer.passes_nothing else NO_QUESTIONS)
        told = [f"{q.told}." for q in answer.asked]
        told += [
            f"{u.title}: the design says nothing of it; {u.topics} topics are not known."
            for u in answer.unstated
        ]
        return Bullets(tuple(told))

    def matrix(self) -> Iterator[Block]:
        if not self.rows:
            yield Paragraph(agreement_words(self.answer))
            return
        names = self.answer.titles
        rows: list[tuple[Cell, ...]] = []
        groups: list[tuple[int, str]] = []
        part = ""
        for row in self.rows:
            if row.topic.part != part:
                part = row.topic.part
                groups.append((len(rows), row.part_title))
            rows.append((self.topic_cell(row), *map(self.cell, row.cells)))
        first = max(14, 40 - 4 * len(names))
        yield Grid(
            "Topics down, rule sets across",
            ("Topic", *names),
            tuple(rows),
            wide=len(names) >= WIDE_FROM,
            groups=tuple(groups),
            shares=(first, *[(100 - first) // len(names)] * len(names)),
        )

    def topic_cell(self, row: TopicRow) -> Cell:
        return Cell(row.topic.title, target=self.anchors.get(row.topic.name, ""))

    def cell(self, cell: CellAnswer) -> Cell:
        """Write one cell as the terminal has it, in words instead of signs."""
        status, si = cell.status_words, self.answer.si
        if cell.role == STRUCK:
            return Cell("struck by the place", status=status)
        if cell.role == INFORMS:
            return Cell(INFORMED, status=status)
        head = cell_text(cell, si=si).rstrip("*").partition(" ")[0]
        if cell.deciding is None or head in ("n/a", "silent"):
            return Cell(status_told(status), status=status)
        told = head if head in ("gives", "yes", "no") else status_told(status)
        figures = [drawn_text(cell, si=si), limit_in_words(cell, si=si)]
        figure = ", ".join(f for f in dict.fromkeys(figures) if f)
        if figure:
            told += f": {figure}"
        if cell.at_stated:
            told += f" (at the load the design states: {cell.at_stated})"
        return Cell(told + MEMORY * cell.on_memory, status=status)

    def aside(self) -> Iterator[Block]:
        """Name the topics the matrix leaves out: alike everywhere, or regulated from one on."""
        if not self.shows_aside:
            return
        si = self.answer.si
        alike: dict[str, list[str]] = {}
        for row in self.answer.alike:
            status, given = alike_words(row.cells[0], si=si)
            title = f"{row.topic.title}: {given.rstrip('*')}" if given else row.topic.title
            memory = MEMORY * any(cell.on_memory for cell in row.cells)
            alike.setdefault(status, []).append(title + memory)
        for row in self.answer.begun:
            status, _ = alike_words(row.cells[row.begins])
            words = f"not regulated before {self.answer.titles[row.begins]}, since then {status}"
            memory = MEMORY * row.cells[row.begins].on_memory
            alike.setdefault(words, []).append(row.topic.title + memory)
        if alike:
            yield Heading(2, "Alike under all of them")
            yield Bullets(tuple(f"{status}: {'; '.join(t)}." for status, t in alike.items()))

    def grounds(self) -> Iterator[Block]:
        """Yield the annex if it is asked for, how well the figures are known, and the receipt."""
        if self.annex:
            yield from annex_blocks(self.data, self.sources, self.value)
        yield Heading(1, "How well the figures are known", "standings")
        yield Paragraph(STANDINGS, "note")
        yield self.standings()
        if not self.annex:
            yield Paragraph(NO_ANNEX, "note")
        yield Heading(1, "Receipt", "receipt")
        rests_on = receipt(self.answer)
        yield Facts(
            (
                ("engine", rests_on["engine"]),
                ("schema", rests_on["schema"]),
                ("vocabulary", rests_on["vocabulary"]),
                ("design file", self.answer.design.file),
                ("design", rests_on["design"]),
            )
        )
        yield receipt_grid(rests_on)

    def standings(self) -> Grid:
        """Count the findings each rule set's outcomes rest on by their standing."""
        rows = [
            (
                Cell(card.title),
                Cell(f"{card.full_title} ({rule_set_title(card.edition)})"),
                *(Cell(str(count)) for _, count in card.standings),
            )
            for card in self.answer.cards
        ]
        caption = "Findings that decide an outcome, by how well their figures are known"
        headers = ("Rule set", "Title", *(rank for rank, _ in self.answer.cards[0].standings))
        return Grid(caption, headers, tuple(rows), shares=(20, 32, 12, 12, 12, 12))

    def value(self, value: Any) -> str:
        """Write a value of the data: a measure in the units asked for, a choice, yes or no."""
        if value is None:
            return ""
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, dict):
            return str(value["si" if self.answer.si else "text"])
        return str(value).replace("_", " ")


def receipt_grid(receipt: dict[str, Any]) -> Grid:
    """Return the rule sets of a receipt with the digest of every layer."""
    rows = [
        (
            Cell(rule_set_title(r["name"])),
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
