"""The comparison as a document: matrix, what drives the differences, drawings, findings, receipt.

Every fact comes from `comparison_data`; nothing is worked out anew.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from deckclause.compare.comparison import Comparison
from deckclause.evaluate.catalogue import Catalogue
from deckclause.report.compare_json import comparison_data
from deckclause.report.compare_table import ComparisonText, column_title
from deckclause.report.design_drawings import section_drawings
from deckclause.report.document import (
    Block,
    Bullets,
    Cell,
    Details,
    Document,
    Facts,
    Grid,
    Heading,
    Paragraph,
)
from deckclause.report.elevation_drawings import elevation_blocks
from deckclause.report.finding_rows import (
    FINDING_HEADERS,
    FINDING_SHARES,
    OPEN_HEADERS,
    OPEN_SHARES,
    finding_rows,
    is_undecided,
    limit_text,
    open_rows,
)
from deckclause.report.open_questions import open_questions
from deckclause.report.sources_block import source_rows
from deckclause.rulesets.vocabulary import Vocabulary

FOOT = (
    "Not an engineered design and not an approval. Local code, the building official and licensed "
    "practice decide."
)
WIDE_FROM = 6
"""Columns from which a table is laid on its side."""


def comparison_document(
    catalogue: Catalogue,
    comparison: Comparison,
    *,
    only_differences: bool = False,
    si: bool = False,
) -> Document:
    """Return a comparison as a document."""
    data = comparison_data(catalogue, comparison, only_differences=only_differences)
    drawn = section_drawings(comparison.evaluations, catalogue.vocabulary)
    drawings: list[Block] = [*drawn.drawings]
    if drawn.missing:
        drawings.append(Paragraph(drawn.missing, "note"))
    drawings.append(Heading(1, "The ledger in elevation", "elevation"))
    drawings += elevation_blocks(catalogue, comparison.evaluations)
    text = ComparisonText(
        comparison,
        catalogue.vocabulary,
        si=si,
        only_differences=only_differences,
        everything=True,
    )
    return _Compare(data, catalogue.vocabulary, si, text).document(drawings)


class _Compare:
    def __init__(
        self, data: dict[str, Any], vocabulary: Vocabulary, si: bool, text: ComparisonText
    ) -> None:
        self.data = data
        self.text = text
        self.vocabulary = vocabulary
        self.measure_in = "si" if si else "text"

    def document(self, drawings: Sequence[Block]) -> Document:
        data = self.data
        return Document(
            title=data["design"]["name"],
            subtitle=data["design"]["says"] or "One deck under several rule sets.",
            blocks=(
                *(Paragraph(c, "caution") for c in data["cautions"][:1]),
                Heading(1, "Rule sets and outcomes", "outcomes"),
                self.outcomes(),
                Heading(1, "Side by side", "matrix"),
                Paragraph(LEGEND, "note"),
                self.matrix(),
                Heading(1, "What changes, and what drives it", "changes"),
                *self.changes(),
                Heading(1, "The section", "drawings"),
                *drawings,
                Heading(1, "What to find out", "questions"),
                self.questions(),
                Heading(1, "Every finding", "findings"),
                *(self.topic(row) for row in data["topics"] if not is_undecided(row)),
                *self.undecided(),
                Heading(1, "Sources and how well each figure is known", "sources"),
                Paragraph(STANDINGS, "note"),
                self.sources(),
                Heading(1, "Receipt", "receipt"),
                *self.receipt(),
                Heading(1, "Cautions", "cautions"),
                Bullets(tuple(data["cautions"])),
            ),
            foot=FOOT,
        )

    def value(self, value: Any) -> str:
        """Write a value of the data: a measure in the units asked for, a choice, yes or no."""
        if value is None:
            return ""
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, dict):
            return str(value[self.measure_in])
        return str(value).replace("_", " ")

    def outcomes(self) -> Grid:
        rows = tuple(
            (
                Cell(column_title(r["name"])),
                Cell(r["title"]),
                Cell(r["kind"]),
                Cell(r["edition"]),
                Cell(r["status"], status=r["status"]),
            )
            for r in self.data["rule_sets"]
        )
        headers = ("Rule set", "Title", "Kind", "Edition", "Outcome of the whole")
        return Grid("What each rule set makes of the design as a whole", headers, rows)

    def matrix(self) -> Grid:
        names = [column_title(r["name"]) for r in self.data["rule_sets"]]
        rows: list[tuple[Cell, ...]] = []
        groups: list[tuple[int, str]] = []
        part = ""
        for row in self.data["topics"]:
            if row["part"] != part:
                part = row["part"]
                groups.append((len(rows), self.vocabulary.parts[part]))
            cells = (self.outcome_cell(o) for o in row["outcomes"])
            target = "undecided" if is_undecided(row) else _anchor(row)
            rows.append((Cell(row["title"], target=target), *cells))
        return Grid(
            "Topics down, rule sets across",
            ("Topic", *names),
            tuple(rows),
            wide=len(names) >= WIDE_FROM,
            groups=tuple(groups),
            shares=(
                first := max(14, 40 - 4 * len(names)),
                *[(100 - first) // len(names)] * len(names),
            ),
        )

    def outcome_cell(self, outcome: dict[str, Any]) -> Cell:
        words = outcome["status"]
        if outcome["struck"] and not outcome["findings"]:
            words = "struck by the place"
        limit = limit_text(outcome, self.value)
        if limit:
            words += f": {limit}"
        governing = [f for f in outcome["findings"] if f["clause"] == outcome["governing"]]
        told = outcome["status"] not in ("not applicable", "not regulated")
        if told and any(f["standing"] == "memory" for f in governing):
            words += " (memory)"
        return Cell(words, status=outcome["status"])

    def changes(self) -> Iterator[Block]:
        changed = [(row, change) for row in self.data["topics"] for change in row["changes"]]
        if not changed:
            yield Paragraph("No outcome changes from one rule set to the next.")
        yield from _newly_regulated(changed)
        for row, change in changed:
            first, second = _outcome(row, change["from"]), _outcome(row, change["to"])
            if _only_adds(first):
                continue
            yield Heading(
                2, f"{row['title']}: {column_title(change['from'])} to {column_title(change['to'])}"
            )
            yield Facts(
                (
                    (change["from"], self.outcome_cell(first).text),
                    (change["to"], self.outcome_cell(second).text),
                    ("because", "\n".join(change["because"])),
                    *(
                        (f"share of {s['clause']}", self.value(s["amount"]))
                        for s in change["shares"]
                    ),
                )
            )

    def questions(self) -> Block:
        asked = open_questions(self.text.rows, self.text.explainers)
        if not asked:
            return Paragraph("Nothing asked of this design is unknown.")
        return Bullets(tuple(f"{q} For: {', '.join(t)}." for q, t in asked.items()))

    def topic(self, row: dict[str, Any]) -> Details:
        rows = tuple(finding_rows(row, self.value))
        found = [f for o in row["outcomes"] for f in o["findings"]]
        notes = dict.fromkeys(f"{f['clause']}: {f['note']}" for f in found if f["note"])
        caption = f"{row['title']}: every finding"
        grid = Grid(caption, FINDING_HEADERS, rows, shares=FINDING_SHARES)
        blocks: tuple[Block, ...] = (Paragraph(row["question"], "note"), grid)
        if notes:
            blocks = (*blocks, Bullets(tuple(notes)))
        return Details(row["title"], blocks, _anchor(row))

    def undecided(self) -> Iterator[Block]:
        rows = [row for row in self.data["topics"] if is_undecided(row)]
        if rows:
            yield Heading(1, "Not decided, or not applicable", "undecided")
            yield Paragraph(UNDECIDED_SAYS, "note")
            found = tuple(open_rows(rows, self.value))
            yield Grid("Clauses on them", OPEN_HEADERS, found, shares=OPEN_SHARES)

    def sources(self) -> Grid:
        findings = [
            f for row in self.data["topics"] for o in row["outcomes"] for f in o["findings"]
        ]
        used = [(s, f["standing"]) for f in findings for s in f["sources"]]
        return source_rows(used, self.vocabulary)

    def receipt(self) -> Iterator[Block]:
        receipt = self.data["receipt"]
        yield Facts(
            (
                ("engine", receipt["engine"]),
                ("schema", receipt["schema"]),
                ("vocabulary", receipt["vocabulary"]),
                ("design file", self.data["design"]["file"]),
                ("design", receipt["design"]),
            )
        )
        yield receipt_grid(receipt)


LEGEND = (
    "Each cell tells the outcome in words, then the limit in force. Not regulated means the rule set "
    "is silent, which is never a pass. (memory) marks a figure not seen in print."
)
STANDINGS = (
    "confirmed: seen in the source named. derived: worked out by a named rule. memory: not seen in "
    "print; read the code before relying on it. common practice: a fact of the trade."
)
UNDECIDED_SAYS = (
    "On these topics no rule set here comes to a decision on this design: what is missing is listed "
    "under what to find out. Nothing unknown is counted as complying."
)


def receipt_grid(receipt: dict[str, Any]) -> Grid:
    """Return the rule sets of a receipt with the digest of every layer."""
    rows = [
        (
            Cell(r["name"]),
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
    return Grid(caption, headers, tuple(rows), shares=(16, 18, 10, 22, 34))


def _outcome(row: dict[str, Any], name: str) -> dict[str, Any]:
    found: dict[str, Any] = next(o for o in row["outcomes"] if o["rule_set"] == name)
    return found


def _only_adds(first: dict[str, Any]) -> bool:
    return first["status"] == "not regulated" and not first["struck"]


def _newly_regulated(changed: Sequence[tuple[dict[str, Any], dict[str, Any]]]) -> Iterator[Block]:
    """Name together the topics one rule set leaves silent and the next regulates."""
    added: dict[tuple[str, str], list[str]] = {}
    for row, change in changed:
        if _only_adds(_outcome(row, change["from"])):
            added.setdefault((change["from"], change["to"]), []).append(row["title"])
    for (one, two), titles in added.items():
        names = f"{column_title(two)} regulates what {column_title(one)} leaves silent"
        yield Heading(2, names)
        yield Paragraph("; ".join(titles) + ".")


def _anchor(row: dict[str, Any]) -> str:
    return f"topic-{row['topic'].replace('_', '-')}"
