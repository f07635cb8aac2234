"""The form of a request: the published form's parts in order, a field for each question.

Fields, questions and who wants them come from what `request new` and `request check` read; the
words of the legal tests come from the rules. There is no list of fields here.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from deckclause.answers.request.annexes import alternatives
from deckclause.answers.request.items import asked_items, item_heading
from deckclause.evaluate.words import name_text
from deckclause.page.request_answers import ATTACHMENTS, DECLARED, EVIDENCE, WHY_NOT
from deckclause.report.document import Grid
from deckclause.report.request.annex import alternative_grid
from deckclause.report.request.parts import item_grid
from deckclause.rulesets.relief import FormPart
from deckclause.variance.request.build import Request, RequestItem
from deckclause.variance.request.check import (
    HARDSHIP,
    ITEM_GROUND,
    Checked,
    Lack,
    wanted_fields,
)
from deckclause.variance.request.fields import FILLED_LATER, ITEMS, Field, fields
from deckclause.variance.request.model import ATTACHMENT_KINDS

REST = "Other particulars"
REST_ASKS = "Neither this form nor this kind of relief asks for them; what you write is printed."
ALTERNATIVES = "items.alternatives_considered"
ARGUMENT, LEGAL_TESTS = "items.ground_argument", "legal_tests"


class FieldView(Struct, frozen=True):
    """One field as the page shows it.

    `kind` is `words`, `declaration`, `ground`, `evidence` or `attachments`; `name` is the field's
    own, without its item; `id` tells it from that of every other item. `tests` are the legal
    tests it answers, in the rules' words.
    """

    id: str
    name: str
    title: str
    asks: str
    kind: str
    rows: int
    value: str
    tests: tuple[str, ...]
    wanted_by: str
    empty: bool
    note: str
    choices: tuple[tuple[str, str], ...]

    @property
    def described_by(self) -> str:
        """The ids of what is said beside the field, for a screen reader."""
        parts = {
            "asks": self.asks, "tests": self.tests, "note": self.note, "wanted": self.wanted_by
        }  # fmt: skip
        return " ".join(f"{self.id}-{part}" for part, said in parts.items() if said)


class ItemView(Struct, frozen=True):
    """One item: what the engine knows of it, and the fields of one part of the form."""

    number: int
    clause: str
    part: str
    title: str
    fields: tuple[FieldView, ...]


class GroupView(Struct, frozen=True):
    """One part of the form; `folded` where nothing in it is asked for.

    `table` holds the changes that would avoid relief, where the part asks why they are not taken.
    """

    title: str
    asks: str
    fields: tuple[FieldView, ...]
    items: tuple[ItemView, ...]
    folded: bool
    table: Grid | None


class PaperView(Struct, frozen=True):
    """One attachment."""

    id: str
    title: str
    kind: str


class RequestView(Struct, frozen=True):
    """Everything the form of a request shows."""

    kind: str
    decided_by: str
    form: str
    published_as: str
    standing: str
    rule_set: str
    every_test: bool
    asked: Grid
    groups: tuple[GroupView, ...]
    papers: tuple[PaperView, ...]
    paper_kinds: tuple[str, ...]
    changes: tuple[str, ...]


def request_view(request: Request, checked: Checked) -> RequestView:
    """Return the form of a request, with what is written in it."""
    return _View(request, checked).view()


class _View:
    def __init__(self, request: Request, checked: Checked) -> None:
        self.request = request
        self.fields = fields()
        self.wanted = wanted_fields(request.kind, request.form, request.local)
        self.missing = {(lack.field, lack.item) for lack in checked.missing}
        self.placed: set[str] = set()

    def view(self) -> RequestView:
        request = self.request
        return RequestView(
            request.kind.title,
            request.kind.decided_by,
            request.form.title,
            request.form.published_as,
            request.kind.standing,
            request.case.evaluator.ruleset.name,
            request.kind.needs_every_test,
            item_grid(asked_items(request)),
            tuple(self.groups()),
            tuple(
                PaperView(p["id"], p["title"], p.get("kind") or "")
                for p in request.tree.data.get(ATTACHMENTS) or ()
            ),
            ATTACHMENT_KINDS,
            tuple(
                f"{name_text(name)}: {text}"
                for name, text in (request.tree.data.get("with_changes") or {}).items()
            ),
        )

    def groups(self) -> Iterator[GroupView]:
        """Yield the form's parts, the legal tests where they are no part of it, then the rest."""
        parts = self.request.form.parts
        for number, part in enumerate(parts, 1):
            group = self.group(f"{number}. {part.title}", part.asks, self.names(part))
            if group is not None:
                yield group
        tests = self.group("The legal tests", self.need(), self.test_fields())
        if tests is not None:
            yield tests
        rest = [name for name in self.fields if name not in self.placed]
        needed = self.group(REST, "", [name for name in rest if name in self.wanted])
        if needed is not None:
            yield needed
        others = self.group(f"{REST}, if you want", REST_ASKS, rest, folded=True)
        if others is not None:
            yield others

    def need(self) -> str:
        if self.request.kind.needs_every_test:
            return "Every test must be met."
        return "One ground is relied on: name it and argue it."

    def names(self, part: FormPart) -> list[str]:
        return [*part.holds, *(self.test_fields() if LEGAL_TESTS in part.computed else ())]

    def test_fields(self) -> list[str]:
        kind = self.request.kind
        ground = [] if kind.needs_every_test else [ITEM_GROUND]
        return [*ground, *dict.fromkeys(test.field for test in kind.tests)]

    def group(
        self, title: str, asks: str, names: list[str], *, folded: bool = False
    ) -> GroupView | None:
        """Return one part with the fields not placed before; None where it has none."""
        mine = [self.fields[n] for n in dict.fromkeys(names) if n not in self.placed]
        if not mine:
            return None
        self.placed.update(field.name for field in mine)
        in_items = [field for field in mine if field.in_item]
        return GroupView(
            title,
            asks,
            (
                *(self.field(field) for field in mine if not field.in_item),
                *(self.why_not() if any(f.name == ALTERNATIVES for f in mine) else ()),
            ),
            tuple(self.item(item, in_items) for item in self.request.items) if in_items else (),
            folded,
            self.changes() if any(f.name == ALTERNATIVES for f in mine) else None,
        )

    def why_not(self) -> Iterator[FieldView]:
        """Ask of each change that would avoid relief why it is not made."""
        asked = self.request.tree.data.get(WHY_NOT.removesuffix(".")) or {}
        for number, (change, said) in enumerate(asked.items(), 1):
            yield FieldView(
                f"request-{WHY_NOT}{number}",
                f"{WHY_NOT}{change}",
                f"Why not change {number}: {change}",
                "One or two sentences; printed beside the change.",
                "words",
                1,
                str(said or ""),
                (),
                "",
                False,
                "",
                (),
            )

    def changes(self) -> Grid | None:
        """Return the changes of the design that would avoid relief; None where none is found."""
        found = tuple(alternatives(self.request))
        return alternative_grid(found) if found else None

    def item(self, item: RequestItem, asked: list[Field]) -> ItemView:
        return ItemView(
            item.number,
            item.clause,
            item.words.get("part") or "",
            item_heading(item, self.request.case.vocabulary),
            tuple(self.field(field, item) for field in asked),
        )

    def field(self, field: Field, item: RequestItem | None = None) -> FieldView:
        number = item.number if item else 0
        return FieldView(
            f"request-{Lack(field.name, number, '', '').where}",
            field.name.removeprefix(ITEMS),
            field.title,
            _asks(field),
            _kind(field.name),
            3 if item else 1,
            self.value(field, item),
            self.tests(field.name),
            self.wanted.get(field.name, ""),
            (field.name, number) in self.missing,
            self.note(field.name),
            self.grounds() if field.name == ITEM_GROUND else (),
        )

    def value(self, field: Field, item: RequestItem | None) -> str:
        written = self.request.written(field.name, item)
        if field.name == ATTACHMENTS or not written:
            return ""
        if field.name.startswith(DECLARED):
            return "yes" if str(written).lower() in ("yes", "true") else ""
        return ", ".join(written) if isinstance(written, list) else str(written)

    def tests(self, name: str) -> tuple[str, ...]:
        tests = self.request.kind.tests
        if name == ARGUMENT and not self.request.kind.needs_every_test:
            return tuple(f"{_plain(t.key)}: {t.asks}" for t in tests)
        return tuple(t.asks for t in tests if t.field == name)

    def grounds(self) -> tuple[tuple[str, str], ...]:
        return tuple((t.key, f"{_plain(t.key)}: {t.asks}") for t in self.request.kind.tests)

    def note(self, name: str) -> str:
        local = self.request.local
        if name == HARDSHIP and local is not None and local.hardship_accepted is False:
            return f"{local.place} does not accept hardship as a reason: leave it empty."
        return "Filled in once the request is filed." if name in FILLED_LATER else ""


def _asks(field: Field) -> str:
    """Return the question, where it says more than the title."""
    says_no_more = field.title.lower().endswith(field.asks.lower().rstrip("."))
    return "" if says_no_more else field.asks


def _plain(key: str) -> str:
    return key.replace("_", " ")


def _kind(name: str) -> str:
    if name.startswith(DECLARED):
        return "declaration"
    kinds = {ITEM_GROUND: "ground", EVIDENCE: "evidence", ATTACHMENTS: "attachments"}
    return kinds.get(name, "words")
