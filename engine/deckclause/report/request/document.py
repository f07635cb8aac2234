"""The request as a document: the form's parts in order, then whatever no part held.

Two kinds of words stand apart: what the engine worked out, and what the applicant wrote (marked as
the applicant's). A field nobody filled shows as empty. Nothing else is said.
"""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.evaluate.catalogue import Catalogue
from deckclause.report.document import (
    Block,
    Bullets,
    Document,
    Drawing,
    Facts,
    Heading,
    Paragraph,
    Unwritten,
)
from deckclause.report.request.annex import RequestAnnexes
from deckclause.report.request.computed import (
    ANNEX_CALCULATIONS,
    ANNEX_DESIGN,
    AS_IN_LETTER,
    COMPUTED,
    IN_LETTER,
    RequestBlocks,
)
from deckclause.report.request.letter import letter_blocks
from deckclause.rulesets.relief import FormPart
from deckclause.variance.request.build import Request, RequestItem
from deckclause.variance.request.check import HARDSHIP, ITEM_GROUND, Checked, wanted_fields
from deckclause.variance.request.fields import FILLED_LATER, ITEMS, Field, fields

FOOT = (
    "A draft for the applicant to complete and sign. Not an engineered design and not an approval: "
    "the official or board decides."
)
FOOT_FILED = "Not an engineered design and not an approval: the official or board decides."
APPENDICES = ("item_table", "legal_tests", "alternatives", "precedents", "drawings", "clocks",
              "signatures")  # fmt: skip
"""What every request carries, in the form's own part where it has one, else at the end."""
OWN_BLOCK = ("attachments",)


def request_document(catalogue: Catalogue, request: Request, checked: Checked) -> Document:
    """Return the request as a document; empty fields show as empty."""
    return _Document(catalogue, request, checked).document()


def request_drawings(request: Request) -> tuple[Drawing, ...]:
    """Return the drawings that go with a request."""
    blocks = RequestBlocks(request.case.catalogue, request).drawings()
    return tuple(block for block in blocks if isinstance(block, Drawing))


class _Document:
    def __init__(self, catalogue: Catalogue, request: Request, checked: Checked) -> None:
        self.request = request
        self.checked = checked
        self.fields = fields()
        self.wanted = wanted_fields(request.kind, request.form, request.local)
        self.computed = RequestBlocks(catalogue, request)
        self.annexes = RequestAnnexes(self.computed)
        # the legal tests print these answers themselves, in a part of the form or at the end
        self.placed = {test.field for test in request.kind.tests}
        if not request.kind.needs_every_test:
            self.placed.add(ITEM_GROUND)

    def document(self) -> Document:
        request = self.request
        kind = request.kind
        blocks: list[Block] = [Paragraph(c, "caution") for c in self._head()]
        blocks += self.summary()
        *parts, last = enumerate(request.form.parts, 1)
        for number, part in parts:
            blocks += self.part(number, part)
        signed = "signatures" in last[1].computed
        if not signed:
            blocks += self.part(*last)
        # what a form has no part for stands before the signatures
        self.placed.update(last[1].holds, last[1].computed)
        blocks += self.left_over()
        blocks += self.appendices()
        if signed:
            blocks += self.part(*last)
        blocks += self.closing()
        name = request.case.design.design.name
        return Document(
            title=f"{kind.title}: {name}",
            subtitle=f"To {kind.decided_by}, under {request.case.evaluator.ruleset.title}.",
            blocks=tuple(blocks),
            foot=FOOT if request.written("state") == "draft" else FOOT_FILED,
            contents_on_paper=False,
        )

    def _head(self) -> Iterator[str]:
        if self.request.written("state") == "draft":
            yield "Draft, unsigned. Not an engineered design and not an approval."
        if self.checked.missing:
            count = len(self.checked.missing)
            fields = (
                "1 field is empty and is" if count == 1 else f"{count} fields are empty and are"
            )
            yield f"Not complete: {fields} shown as not written."

    def summary(self) -> Iterator[Block]:
        """Yield what is asked, before anything else."""
        yield from letter_blocks(self.computed, frozenset(self.wanted))
        self.placed |= {"summary", "date"}

    def part(self, number: int, part: FormPart) -> Iterator[Block]:
        yield Heading(1, f"{number}. {part.title}", f"part-{number}")
        yield Paragraph(part.asks, "note")
        if "drawings" in part.computed:
            # first: a drawing lies on a page of its own, and the heading with it
            yield from self.computed.blocks("drawings")
        whole = [self.fields[n] for n in part.holds if not n.startswith(ITEMS)]
        told = ("summary", "date")  # the letter has them
        plain = tuple(f for f in whole if f.name not in (*OWN_BLOCK, *told))
        if plain:
            yield Facts(tuple((f.title, self.told(f)) for f in plain))
        if any(f.name in OWN_BLOCK for f in whole):
            yield from self.computed.attachments()
        yield from self.items([self.fields[n] for n in part.holds if n.startswith(ITEMS)])
        self.placed.update(part.holds)
        for name in (n for n in part.computed if n != "drawings"):
            yield from self.computed.blocks(name)
        self.placed.update(part.computed)

    def items(self, asked: list[Field]) -> Iterator[Block]:
        if not asked:
            return
        several = len(self.request.items) > 1
        for item in self.request.items:
            if several:
                yield Heading(2, self.computed.item_title(item))
            for field in asked:
                yield Heading(3 if several else 2, field.title)
                yield from self.told_item(field, item)

    def told(self, field: Field) -> str | Unwritten:
        """Return what the applicant wrote in a field, or its empty place."""
        if field.name.startswith("declarations."):
            declared = str(self.request.written(field.name)).lower() in ("yes", "true")
            return f"declared: {field.asks}" if declared else Unwritten(field.asks)
        return self.request.written(field.name) or Unwritten(field.asks)

    def told_item(self, field: Field, item: RequestItem) -> Iterator[Block]:
        value = self.request.written(field.name, item)
        if isinstance(value, list):
            yield Paragraph(", ".join(value) or Unwritten(field.asks), "applicant")
        elif value and field.name in IN_LETTER:
            yield Paragraph(AS_IN_LETTER, "note")
        elif value:
            yield Paragraph(value, "applicant")
        elif field.name == HARDSHIP and field.name not in self.wanted:
            yield Paragraph("Not pleaded: not accepted as a reason here.", "note")
        else:
            yield Paragraph(Unwritten(field.asks))

    def left_over(self) -> Iterator[Block]:
        """Print every field the form has no part for: wanted by the kind, or written all the same."""
        rest = [f for f in self.fields.values() if f.name not in self.placed]
        whole = [f for f in rest if not f.in_item and f.name not in OWN_BLOCK]
        shown = [f for f in whole if self.request.written(f.name) or f.name in self.wanted]
        shown = [f for f in shown if f.name not in FILLED_LATER or self.request.written(f.name)]
        shown = [f for f in shown if not f.name.startswith("declarations.")]
        in_items = [
            f for f in rest
            if f.in_item and (f.name in self.wanted or self._written_anywhere(f))
        ]  # fmt: skip
        if shown or in_items:
            yield Heading(1, "Other statements of the applicant", "further")
        if shown:
            yield Facts(tuple((f.title, self.told(f)) for f in shown))
        yield from self.items(in_items)
        if "attachments" not in self.placed:
            yield Heading(1, "Attachments", "attachments")
            yield from self.computed.attachments()

    def _written_anywhere(self, field: Field) -> bool:
        return any(self.request.written(field.name, item) for item in self.request.items)

    def appendices(self) -> Iterator[Block]:
        for name in APPENDICES:
            if name not in self.placed:
                found = list(self.computed.blocks(name))
                if found:
                    yield Heading(1, COMPUTED[name], name.replace("_", "-"))
                    yield from found

    def closing(self) -> Iterator[Block]:
        yield Heading(1, "Cautions", "cautions")
        yield Bullets(self.annexes.cautions())
        if self.checked.notes:
            yield Bullets(tuple(f"{n[0].upper()}{n[1:].rstrip('.')}." for n in self.checked.notes))
        yield Heading(1, f"{ANNEX_DESIGN}. The design", "annex-design")
        yield from self.annexes.design()
        yield Heading(1, f"{ANNEX_CALCULATIONS}. Calculation sheets", "calculations")
        yield from self.annexes.calculations()
        yield Heading(1, "Annex C. Sources and how well each figure is known", "sources")
        yield self.annexes.sources()
        yield Heading(1, "Annex D. What this rests on", "receipt")
        yield from self.annexes.receipt()
        if self.checked.missing:
            yield Heading(1, "Still empty in this draft", "empty")
            yield Bullets(tuple(self._empty()))

    def _empty(self) -> Iterator[str]:
        for lack in self.checked.missing:
            item = f"Item {lack.item}, " if lack.item else ""
            yield f"{item}{self.fields[lack.field].title}: {lack.asks}"
