"""The parts of the form, and what stands in them: answers, tests, items, papers, signatures."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from deckclause.answers.request.answer import Answered, AskedItem, ItemAnswers, Part, RequestAnswer
from deckclause.report.document import (
    Block,
    Bullets,
    Cell,
    Facts,
    Grid,
    Heading,
    Paragraph,
    Signature,
    Unwritten,
)

COMPUTED: dict[str, str] = {
    "kind": "Kind of relief",
    "design": "The design",
    "rule_set": "The code as adopted",
    "item_table": "The figures",
    "legal_tests": "The legal tests",
    "alternatives": "Changes that would avoid relief",
    "precedents": "Who already permits it",
    "drawings": "Drawings",
    "calculations": "Calculation sheet",
    "clocks": "Time limits and fees",
    "signatures": "Signatures",
}
"""What can be put into a part besides the applicant's words, each with its heading."""
IN_ANNEX = {
    "calculations": "Calculation sheet: Annex A.",
    "drawings": "Drawings, and all the design states: Annex B.",
    "alternatives": "Changes of the design that would avoid relief, each judged: Annex C.",
    "precedents": "Published rules that permit it, with their sources: Annex D.",
}
"""What stands in an annex, with the words that point there."""
STANDINGS = (
    "Standing says how well a figure is known. Confirmed: seen in a named published source. Derived: "
    "computed by a named rule. Memory: not checked against any source. Common practice: a habit of "
    "the trade."
)
ITEM_HEADERS = ("Item", "Section as adopted", "Requirement, in our own words", "Required",
                "Value asked for", "Short by", "Standing")  # fmt: skip
LINES = ("Name", "Signature", "Date")


def told(answer: Answered) -> str | Unwritten:
    """Return what the applicant wrote, where it stands, or its visibly empty place."""
    if answer.where:
        return _see(answer.where)
    return answer.words or answer.instead or Unwritten(answer.asks)


def _see(where: str) -> str:
    """Point to the place that prints an answer.

    >>> _see("paragraph 2 of the letter")
    'See paragraph 2 of the letter.'
    """
    return f"See {where}."


def told_paragraph(answer: Answered) -> Paragraph:
    """Return an answer as a paragraph of the applicant's own, or its empty place."""
    if answer.words and not answer.where:
        return Paragraph(answer.words, "applicant", answer.mark)
    tone = "note" if answer.where or answer.instead else "plain"
    return Paragraph(told(answer), tone)  # type: ignore[arg-type]


class PartBlocks:
    """Lays out the parts of one request's form, each computed block once."""

    def __init__(self, answer: RequestAnswer) -> None:
        self.answer = answer
        self.said: set[str] = set()

    def part(self, part: Part) -> Iterator[Block]:
        """Yield one part under its heading."""
        title = f"{part.number}. {part.title}" if part.number else part.title
        yield Heading(1, title, f"part-{part.number}" if part.number else "particulars")
        if part.asks and not self.answer.complete:
            yield Paragraph(part.asks, "note")
        if part.whole:
            yield Facts(tuple((a.title, told(a)) for a in part.whole))
        yield from self.in_items(part.in_items)
        if part.attachments:
            yield from self.attachments()
        for name in part.computed:
            yield from self.computed(name)

    def in_items(self, items: tuple[ItemAnswers, ...]) -> Iterator[Block]:
        """Yield each item's answers: short pointers in rows, the applicant's words as paragraphs."""
        for item in items:
            if item.heading:
                yield Heading(2, item.heading)
            level = 3 if item.heading else 2
            for answer in item.answers:
                if answer.where:
                    continue
                yield Heading(level, answer.title)
                yield told_paragraph(answer)
            pointed = tuple((a.title, told(a)) for a in item.answers if a.where)
            if pointed:
                yield Facts(pointed)

    def computed(self, name: str) -> Iterator[Block]:
        """Yield one computed block, or where it stands; KeyError for a name that is none."""
        builders: dict[str, Callable[[], Iterator[Block]]] = {
            "kind": self.code,
            "design": self.design,
            "rule_set": self.code,
            "item_table": self.item_table,
            "legal_tests": self.legal_tests,
            "clocks": self.clocks,
            "signatures": self.signatures,
        }
        self.said.add(name)
        if name in IN_ANNEX:
            yield Paragraph(IN_ANNEX[name], "note")
            return
        yield from builders[name]()

    def left(self) -> Iterator[Block]:
        """Yield what every request carries and no part of the form has named."""
        for name in ("rule_set", "design", "item_table", "legal_tests", "clocks", "signatures"):
            if name not in self.said:
                found = list(self.computed(name))
                if found:
                    yield Heading(1, COMPUTED[name], name.replace("_", "-"))
                    yield from found

    def code(self) -> Iterator[Block]:
        """Yield, once, the code as adopted, the kind of relief and what places set."""
        if "code" in self.said:
            return
        self.said.add("code")
        yield Facts(self.answer.code)
        if self.answer.place_values:
            yield Paragraph("Values set by ordinance that the clauses read in place of any other:")
            yield Bullets(self.answer.place_values)

    def design(self) -> Iterator[Block]:
        """Yield the design in short; all it states stands in an annex."""
        yield Facts(self.answer.design)

    def item_table(self) -> Iterator[Block]:
        """Yield the table of items, with what the standings mean."""
        yield item_grid(self.answer.items)
        yield Paragraph(STANDINGS, "note")

    def legal_tests(self) -> Iterator[Block]:
        """Yield each legal test as a question with the applicant's answer, or where it stands."""
        tests = self.answer.tests
        yield Paragraph(tests.says, "note")
        for item in tests.items:
            if item.heading:
                yield Heading(2, item.heading)
            rows = tuple((Cell(a.title), Cell(told(a))) for a in item.answers)
            yield Grid("Tests", ("Test", "The applicant's answer"), rows, shares=(45, 55))

    def clocks(self) -> Iterator[Block]:
        """Yield the local time limits and fees; nothing where none are known here."""
        if self.answer.clocks:
            yield Facts(self.answer.clocks)

    def attachments(self) -> Iterator[Block]:
        """Yield the list of attachments, each with the items it bears out."""
        self.said.add("attachments")
        if not self.answer.papers:
            yield Paragraph(Unwritten("attachments: plans, photos, reports, letters"))
            return
        rows = tuple(
            (
                Cell(p.id),
                Cell(p.title),
                Cell(p.kind),
                Cell(p.items),
                Cell("Annex E" if p.content else "enclosed"),
            )
            for p in self.answer.papers
        )
        headers = ("Id", "Title", "Kind", "Items", "Where")
        yield Grid("Attachments", headers, rows, shares=(8, 46, 18, 14, 14))

    def signatures(self) -> Iterator[Block]:
        """Yield the signature blocks, left empty; the decision has its own after the letter."""
        yield Signature("Owner", LINES)
        yield Signature("Applicant", LINES)
        yield Signature(
            "Design professional, where required", ("Name", "Licence, seal", *LINES[1:])
        )


def item_grid(items: tuple[AskedItem, ...]) -> Grid:
    """Return section as adopted, requirement, value asked for, what it is short by."""
    rows = tuple(
        (
            Cell(str(item.number)),
            Cell(item.section),
            Cell(item.requirement),
            Cell(item.required),
            Cell(item.value),
            Cell(item.short),
            Cell(item.standing),
        )
        for item in items
    )
    return Grid("Items asked for", ITEM_HEADERS, rows, shares=(7, 17, 31, 12, 11, 9, 13))
