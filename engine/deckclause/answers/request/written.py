"""What the applicant wrote, put where it is printed: once, and pointed to from everywhere else."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from deckclause.answers.request.answer import Answered, ItemAnswers, LegalTests, Part
from deckclause.answers.request.items import item_heading
from deckclause.rulesets.relief import FormPart
from deckclause.variance.request.build import Request, RequestItem
from deckclause.variance.request.check import HARDSHIP, ITEM_GROUND, ground_of, wanted_fields
from deckclause.variance.request.fields import FILLED_LATER, ITEMS, Field, fields

ATTACHMENTS, EVIDENCE = "attachments", "items.evidence"
NOT_PLEADED = "Not pleaded: not accepted as a reason here."
REST = "Particulars the form has no part for"


class Writing:
    """The applicant's answers, and where each is printed first."""

    def __init__(self, request: Request) -> None:
        self.request = request
        self.fields = fields()
        self.wanted = wanted_fields(request.kind, request.form, request.local)
        self.placed: dict[tuple[str, int], str] = {}

    def answer(
        self, name: str, item: RequestItem | None, place: str, *, mark: str = "", title: str = ""
    ) -> Answered:
        """Return an answer to be printed at a place, or the place where it stands already."""
        field = self.fields[name]
        key = (name, item.number if item else 0)
        words = self._words(name, item)
        where = self.placed.get(key, "") if words else ""
        if words and not where:
            self.placed[key] = place
        instead = ""
        if not words and name == HARDSHIP and name not in self.wanted:
            instead = NOT_PLEADED
        return Answered(name, title or field.title, field.asks, words, where, mark, instead)

    def _words(self, name: str, item: RequestItem | None) -> str:
        value = self.request.written(name, item)
        if name.startswith("declarations."):
            declared = str(value).lower() in ("yes", "true")
            return f"declared: {self.fields[name].asks}" if declared else ""
        return ", ".join(value) if isinstance(value, list) else value or ""

    def in_items(self, names: Iterable[str], place: str) -> Iterator[ItemAnswers]:
        """Yield the answers of each item to some fields."""
        asked = [n for n in names if n != EVIDENCE]
        if not asked:
            return
        for item in self.request.items:
            yield ItemAnswers(
                self.heading(item), tuple(self.answer(name, item, place) for name in asked)
            )

    def heading(self, item: RequestItem) -> str:
        """Return an item's heading; none where there is one item, whose heading says nothing new."""
        if len(self.request.items) < 2:
            return ""
        return item_heading(item, self.request.case.vocabulary)

    def part(self, number: int, part: FormPart) -> Part:
        """Return one part of the form."""
        place = f"part {number}"
        whole = [n for n in part.holds if not n.startswith(ITEMS) and n != ATTACHMENTS]
        return Part(
            number,
            part.title,
            part.asks,
            tuple(self.answer(name, None, place) for name in whole),
            tuple(self.in_items((n for n in part.holds if n.startswith(ITEMS)), place)),
            ATTACHMENTS in part.holds,
            tuple(part.computed),
        )

    def rest(self) -> Part | None:
        """Return what no part of the form holds: written, or wanted by the kind, all the same."""
        held = {name for part in self.request.form.parts for name in part.holds}
        held |= {name for name, _ in self.placed} | self.tested() | {EVIDENCE, ATTACHMENTS}
        rest = [f for f in self.fields.values() if f.name not in held]
        whole = [f.name for f in rest if not f.in_item and self._is_shown(f)]
        items = [f.name for f in rest if f.in_item and self._is_shown(f)]
        if not whole and not items:
            return None
        return Part(
            0,
            REST,
            "",
            tuple(self.answer(name, None, REST.lower()) for name in whole),
            tuple(self.in_items(items, REST.lower())),
            attachments=False,
            computed=(),
        )

    def tested(self) -> set[str]:
        """Name the fields the legal tests print."""
        ground = set() if self.request.kind.needs_every_test else {ITEM_GROUND}
        return {test.field for test in self.request.kind.tests} | ground

    def _is_shown(self, field: Field) -> bool:
        if field.name.startswith(("declarations.", "drawing.")):
            return False  # declared in their own part; printed in the sheet's title block
        if field.in_item:
            written = any(self.request.written(field.name, i) for i in self.request.items)
        else:
            written = bool(self.request.written(field.name))
        return written or (field.name in self.wanted and field.name not in FILLED_LATER)

    def tests(self, place: str) -> LegalTests:
        """Return each legal test as a question, with its answer or where it stands."""
        kind = self.request.kind
        say = "Every test must be met." if kind.needs_every_test else "One ground is relied on."
        items = []
        for item in self.request.items:
            if kind.needs_every_test:
                told = [self.answer(t.field, item, place, title=t.asks) for t in kind.tests]
            else:
                told = list(self._grounds(item, place))
            items.append(ItemAnswers(self.heading(item), tuple(told)))
        return LegalTests(f"{say} Tests in our own words ({kind.standing}).", tuple(items))

    def _grounds(self, item: RequestItem, place: str) -> Iterator[Answered]:
        ground = ground_of(self.request, item)
        options = ", ".join(t.key.replace("_", " ") for t in self.request.kind.tests)
        asks = ground.asks if ground is not None else f"Which ground: {options}?"
        named = (self.request.written(ITEM_GROUND, item) or "").replace("_", " ")
        yield Answered(ITEM_GROUND, "Ground relied on", asks, named)
        yield self.answer("items.ground_argument", item, place, title=asks)
