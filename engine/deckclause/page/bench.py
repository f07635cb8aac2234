"""What the page does for its reader: open, evaluate, explain, save, write reports.

A request is answered from what it carries: every clause is evaluated for every answer. Of the
answer before only words are taken over, and only those no changed fact has a part in (`kept`).
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from msgspec import Struct
from msgspec.structs import asdict

from deckclause.answers.compare.build import compare_answer
from deckclause.answers.compare.kept import Kept
from deckclause.answers.outlines.views import VIEWS
from deckclause.compare.comparison import Comparison, compare
from deckclause.designs.design import Design
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.words import fact_text
from deckclause.page.board.views import board_data
from deckclause.page.cards import CardsView, cards_view
from deckclause.page.drafts import Draft, Drafts
from deckclause.page.folder import MAX_DESIGN_BYTES, AlreadyThere, Folder
from deckclause.page.matrix import MatrixView, matrix_view
from deckclause.page.merge import merged
from deckclause.page.opened import open_text
from deckclause.page.typed import (
    MOST_RULE_SETS,
    ToEvaluate,
    ToExplain,
    ToOpen,
    ToSave,
    TypedDesign,
    WithFile,
)
from deckclause.page.typed_text import ReadDesign, read_typed
from deckclause.quantities import QuantityError, parse_quantity
from deckclause.report.design_template import STARTERS
from deckclause.rulesets.files import digest
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.problems import InputError

if TYPE_CHECKING:
    from deckclause.variance.relief import ReliefReport

MOST_RELIEFS = 3
"""Reliefs kept: choosing one, and writing the request for it, ask for the same again."""
MOST_READINGS = 2000
"""Typed measures kept as read: an edit changes one of a deck's hundred."""
BEGIN_WITH = 3
"""Editions a fresh page holds a design against: the newest ones."""


class Evaluated(Struct, frozen=True):
    """A comparison as the page shows it, with what could not be read and how values were read.

    `matrix` is None where it was not asked for; `why` tells that changes were explained.
    """

    read: ReadDesign
    comparison: Comparison | None
    view: CardsView | None
    matrix: MatrixView | None
    readings: dict[str, str]
    why: bool = False


def _opened(file: str, base: str, design: dict[str, Any]) -> dict[str, Any]:
    """Return what the browser is told of a design it opens, before anything else is known of it."""
    return {
        "file": file,
        "base": base,
        "design": design,
        "left_out": [],
        "digest": "",
        "moved": False,
        "unsaved": False,
        "under": [],
        "steps": "",
        "draft": "",
    }


class Bench:
    """Answers what the page asks, from one catalogue and one folder."""

    def __init__(self, catalogue: Catalogue, folder: Folder) -> None:
        self.catalogue = catalogue
        self.folder = folder
        self.drafts = Drafts(folder)
        self.examples = self._examples()
        self._kept = Kept()
        self._reading = lru_cache(MOST_READINGS)(self._read_as)
        self._reliefs: dict[tuple[str, str, str], ReliefReport] = {}

    def _examples(self) -> dict[str, Any]:
        where = self.catalogue.files.found("examples")
        return {p.name: p for p in sorted(where.glob("*.yaml"))} if where.is_dir() else {}

    def warm_up(self) -> None:
        """Answer once under every edition a request may name, so that no first answer is slow."""
        given = self.open(ToOpen(source="new"))["design"]
        under = self.start()["editions"][-MOST_RULE_SETS:]
        if under:
            found = self.evaluate(ToEvaluate(design=given, under=under))
            if found.comparison is not None:
                for view in VIEWS:
                    board_data(found.comparison, self.catalogue.vocabulary, view)

    def start(self) -> dict[str, Any]:
        """Return what a fresh page offers: designs, examples, rule sets, places with their dates."""
        files = self.catalogue.files
        editions = list(files.of_kind("editions"))
        guides = [name for name in files.rulesets if name not in editions]
        return {
            "folder": str(self.folder.root),
            "designs": self.folder.names(),
            "drafts": self.drafts.names(),
            "examples": list(self.examples),
            "editions": editions,
            "guides": guides,
            "titles": {name: rule_set_title(name) for name in files.rulesets},
            "begin_with": editions[-BEGIN_WITH:],
            "places": [
                {
                    "name": place.name,
                    "says": place.says,
                    "invented": place.invented,
                    "adoptions": [
                        {
                            "edition": a.edition,
                            "from": a.begins.isoformat(),
                            "until": a.ends.isoformat() if a.ends else "",
                        }
                        for a in place.adoptions
                    ],
                }
                for place in self.catalogue.register.places.values()
            ],
        }

    def open(self, asked: ToOpen) -> dict[str, Any]:
        """Open a design. Raises InputError where it is none or stands nowhere the page may read."""
        if asked.source == "new":
            facts = {n: t for n, t in STARTERS.items() if not n.startswith("joists.")}
            joists = {n.split(".")[1]: t for n, t in STARTERS.items() if n.startswith("joists.")}
            parts = {"joists": [{"name": "", "origin": None, "facts": joists}]}
            typed = {"name": "A new deck", "says": "", "facts": facts, "parts": parts}
            return _opened(self.folder.free_name("my-deck"), "", typed)
        draft = self.drafts.of(asked.name) if asked.source == "folder" else None
        if draft is not None and draft.kept.unsaved and not asked.as_saved:
            return self._taken_up(draft)
        content, name = self._content(asked)
        opened = open_text(content, name, self.catalogue.vocabulary)
        file = name if asked.source == "folder" else self._name_for(name)
        given = _opened(
            file,
            content.decode("utf-8-sig"),
            opened.typed.model_dump(),
        )
        given["left_out"] = list(opened.left_out)
        if asked.source == "folder":
            given["digest"] = digest(content)
            if draft is not None:
                given["under"] = draft.kept.under
                given["draft"] = draft.digest
            same = draft is not None and draft.kept.digest == given["digest"]
            if draft is not None and same and not draft.kept.unsaved:
                given["steps"] = draft.kept.steps
        return given

    def _name_for(self, name: str) -> str:
        """Return the name a deck from elsewhere goes by: its own, where one of that name may stand."""
        try:
            self.folder.path(name)
        except InputError:
            return self.folder.free_name("design")
        if self.drafts.of(name):  # another deck is being worked on under it
            return self.folder.free_name(name.rpartition(".")[0])
        return name

    def _taken_up(self, draft: Draft) -> dict[str, Any]:
        """Return a design as it was last worked on, and whether its file is another since."""
        kept = draft.kept
        given = _opened(kept.file, kept.base, kept.design.model_dump())
        try:
            now = digest(self.folder.read(kept.file))
        except InputError:
            now = ""
        return {
            **given,
            "digest": kept.digest,
            "moved": now != kept.digest,
            "unsaved": True,
            "under": kept.under,
            "steps": kept.steps,
            "draft": draft.digest,
        }

    def _content(self, asked: ToOpen) -> tuple[bytes, str]:
        if asked.source == "folder":
            return self.folder.read(asked.name), asked.name
        if asked.source == "example":
            if asked.name not in self.examples:
                raise InputError.single(asked.name, "there is no such example")
            return self.examples[asked.name].read_bytes(), asked.name
        content = asked.text.encode()
        if len(content) > MAX_DESIGN_BYTES:
            raise InputError.single(asked.name, f"is over {MAX_DESIGN_BYTES:,} bytes; no design is")
        return content, asked.name or "design.yaml"

    def evaluate(self, asked: ToEvaluate) -> Evaluated:
        """Hold a design against rule sets. Raises InputError for a rule set that is none.

        What drives each change is sought only where it is asked for: it costs as much again.
        """
        vocabulary = self.catalogue.vocabulary
        read = read_typed(asked.design, "the form", vocabulary)
        if read.design is None:
            return Evaluated(read, None, None, None, {})
        comparison = self._compare(
            read.design, asked.under, why=asked.why, last=self._kept.comparison
        )
        kept = self._kept.rows(comparison, si=asked.si)
        answer = compare_answer(comparison, vocabulary, si=asked.si, kept=kept)
        self._kept.take(comparison, answer)
        return Evaluated(
            read,
            comparison,
            cards_view(answer),
            matrix_view(answer) if asked.matrix else None,
            self._readings(asked.design, si=asked.si),
            asked.why,
        )

    def _compare(
        self,
        design: Design,
        under: list[str],
        *,
        why: bool = True,
        last: Comparison | None = None,
    ) -> Comparison:
        prepared = self.catalogue.prepare(design)
        pairs = None if why else ()
        return compare(self.catalogue, prepared, self.rule_sets(under), pairs=pairs, last=last)

    def rule_sets(self, under: list[str]) -> list[str]:
        """Return each rule set once, by its own name. Raises InputError for one that is none."""
        meanings = (self.catalogue.resolve(name) for name in under)
        names = (m if isinstance(m, str) else m.label for m in meanings)
        return list(dict.fromkeys(names))

    def _readings(self, typed: TypedDesign, *, si: bool) -> dict[str, str]:
        """Return how each measure was read, where that is not how it was typed."""
        found = {name: (name, text) for name, text in typed.facts.items()}
        for group, parts in typed.parts.items():
            for index, part in enumerate(parts):
                for key, text in part.facts.items():
                    found[f"{group}[{index}].{key}"] = (f"{group}.{key}", text)
        readings = ((field, self._reading(*entry, si)) for field, entry in found.items())
        return {field: words for field, words in readings if words}

    def _read_as(self, quantity: str, text: str, si: bool) -> str:
        definition = self.catalogue.vocabulary.quantities.get(quantity)
        if definition is None or definition.dimension is None or not text:
            return ""
        try:
            value: Fraction = parse_quantity(text, definition.dimension).value
        except QuantityError:
            return ""
        words = fact_text(value, definition, si=si)
        return "" if words == text else words

    def file_design(self, asked: WithFile) -> tuple[str, Design]:
        """Return the design file that would be saved, and the design it reads as.

        Raises InputError where a value cannot be read: no report is written of half a design.
        """
        from deckclause.designs.read_design import design_of

        text = merged(asked.design, asked.base, self.catalogue.vocabulary).text
        return text, design_of(text.encode(), asked.file, self.catalogue.vocabulary)

    def relief(self, asked: WithFile, under: str) -> ReliefReport:
        """Work out what would make the design comply; what was worked out last is kept.

        Raises InputError as `file_design` does.
        """
        from deckclause.variance.relief import relief_report

        text, design = self.file_design(asked)
        key = (text, asked.file, under)
        found = self._reliefs.pop(key, None)
        if found is None:
            found = relief_report(self.catalogue, self.catalogue.prepare(design), under)
        self._reliefs[key] = found
        while len(self._reliefs) > MOST_RELIEFS:
            self._reliefs.pop(next(iter(self._reliefs)))
        return found

    def compared(self, asked: WithFile, under: list[str]) -> Comparison:
        """Compare the design file that would be saved. Raises InputError as `file_design` does."""
        return self._compare(self.file_design(asked)[1], under)

    def save(self, asked: ToSave) -> dict[str, Any]:
        """Save a design into the folder. Raises AlreadyThere, or InputError."""
        result = merged(asked.design, asked.base, self.catalogue.vocabulary)
        try:
            self.folder.save(asked.file, result.text, asked.replacing)
        except AlreadyThere as there:
            there.kept = result.kept
            raise
        self.drafts.drop(asked.was or asked.file, asked.draft)
        return {
            "file": asked.file,
            "base": result.text,
            "kept": result.kept,
            "digest": digest(result.text.encode()),
        }

    def place(self, name: str) -> dict[str, Any]:
        """Tell that a place and day have rules in force. Raises InputError where they have none."""
        meaning = self.catalogue.resolve(name)
        return {"name": meaning if isinstance(meaning, str) else meaning.label}

    def topic(self, asked: ToExplain) -> dict[str, Any]:
        """Return everything on one topic, step by step. Raises InputError for a topic that is none."""
        from deckclause.report.comparison.json import comparison_data

        vocabulary = self.catalogue.vocabulary
        if asked.topic not in vocabulary.topics:
            raise InputError.single(asked.topic, "is not a topic")
        read = read_typed(asked.design, "the form", vocabulary)
        if read.design is None:
            raise InputError.single("the form", "could not be read")
        prepared = self.catalogue.prepare(read.design)
        comparison = compare(self.catalogue, prepared, asked.under, topics=[asked.topic], pairs=[])
        row: dict[str, Any] = comparison_data(
            compare_answer(comparison, vocabulary, si=asked.si, depth=True)
        )["topics"][0]
        sources = vocabulary.sources
        return {
            **row,
            "first": asked.first,
            "si": asked.si,
            "titles": {name: asdict(source)["title"] for name, source in sources.items()},
        }
