"""What the page does for its reader: open, evaluate, explain, save, write reports.

A request is answered from what it carries; between requests nothing of a design is kept.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from fractions import Fraction
from typing import Any

from deckclause.compare.comparison import Comparison, compare
from deckclause.designs.design import Design
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.words import fact_text
from deckclause.page.folder import MAX_DESIGN_BYTES, SUFFIXES, AlreadyThere, Folder
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
from deckclause.page.view import ResultsView, results_view
from deckclause.quantities import QuantityError, parse_quantity
from deckclause.report.design_template import STARTERS
from deckclause.rulesets.problems import InputError

BEGIN_WITH = 3
"""Editions a fresh page holds a design against: the newest ones."""


@dataclass(frozen=True, slots=True)
class Evaluated:
    """A comparison as the page shows it, with what could not be read and how values were read."""

    read: ReadDesign
    comparison: Comparison | None
    view: ResultsView | None
    readings: dict[str, str]


@dataclass(frozen=True, slots=True)
class Drawn:
    """The section under one rule set, or why it is not drawn."""

    rule_set: str
    svg: str
    words: str


class Bench:
    """Answers what the page asks, from one catalogue and one folder."""

    def __init__(self, catalogue: Catalogue, folder: Folder) -> None:
        self.catalogue = catalogue
        self.folder = folder
        self.examples = self._examples()

    def _examples(self) -> dict[str, Any]:
        where = self.catalogue.files.root / "examples"
        return {p.name: p for p in sorted(where.glob("*.yaml"))} if where.is_dir() else {}

    def warm_up(self) -> None:
        """Answer once under every edition a request may name, so that no first answer is slow."""
        given = self.open(ToOpen(source="new"))["design"]
        under = self.start()["editions"][-MOST_RULE_SETS:]
        if under:
            found = self.evaluate(ToEvaluate(design=given, under=under))
            if found.comparison is not None:
                self.drawn(found.comparison, "")

    def start(self) -> dict[str, Any]:
        """Return what a fresh page offers: designs, examples, rule sets, places with their dates."""
        files = self.catalogue.files
        kinds: dict[str, list[str]] = {"edition": [], "guide": []}
        for name, paths in files.rulesets.items():
            kinds["guide" if files.root / "guides" in paths[0].parents else "edition"].append(name)
        return {
            "folder": str(self.folder.root),
            "designs": self.folder.names(),
            "examples": list(self.examples),
            "editions": kinds["edition"],
            "guides": kinds["guide"],
            "begin_with": kinds["edition"][-BEGIN_WITH:],
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
            return {"file": "my-deck.yaml", "base": "", "design": typed, "left_out": []}
        content, name = self._content(asked)
        opened = open_text(content, name, self.catalogue.vocabulary)
        return {
            "file": name if name.endswith(SUFFIXES) else "design.yaml",
            "base": content.decode("utf-8-sig"),
            "design": opened.typed.model_dump(),
            "left_out": list(opened.left_out),
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

    def evaluate(self, asked: ToEvaluate, *, everything: bool = False) -> Evaluated:
        """Hold a design against rule sets. Raises InputError for a rule set that is none."""
        vocabulary = self.catalogue.vocabulary
        read = read_typed(asked.design, "the form", vocabulary)
        if read.design is None:
            return Evaluated(read, None, None, {})
        comparison = self._compare(read.design, asked.under)
        view = results_view(comparison, vocabulary, everything=everything)
        return Evaluated(read, comparison, view, self._readings(asked.design))

    def _compare(self, design: Design, under: list[str]) -> Comparison:
        names = []
        for name in under:
            meaning = self.catalogue.resolve(name)
            names.append(meaning if isinstance(meaning, str) else meaning.label)
        prepared = self.catalogue.prepare(design)
        return compare(self.catalogue, prepared, list(dict.fromkeys(names)))

    def drawn(self, comparison: Comparison, rule_set: str) -> Drawn:
        """Draw the section under one of the rule sets: the one named, or else the last."""
        from deckclause.answers.sections import sections_answer
        from deckclause.report.drawing.design_drawings import section_drawings

        by_name = {e.ruleset.name: e for e in comparison.evaluators}
        name = rule_set if rule_set in by_name else list(by_name)[-1]
        drawn = section_drawings(
            sections_answer(comparison.design, [by_name[name]], self.catalogue.vocabulary)
        )
        if not drawn.drawings:
            return Drawn(name, "", drawn.missing)
        return Drawn(name, drawn.drawings[0].svg, drawn.drawings[0].description)

    def _readings(self, typed: TypedDesign) -> dict[str, str]:
        """Return how each measure was read, where that is not how it was typed."""
        found = {name: (name, text) for name, text in typed.facts.items()}
        for group, parts in typed.parts.items():
            for index, part in enumerate(parts):
                for key, text in part.facts.items():
                    found[f"{group}[{index}].{key}"] = (f"{group}.{key}", text)
        readings = ((field, self._reading(*entry)) for field, entry in found.items())
        return {field: words for field, words in readings if words}

    def _reading(self, quantity: str, text: str) -> str:
        definition = self.catalogue.vocabulary.quantities.get(quantity)
        if definition is None or definition.dimension is None or not text:
            return ""
        try:
            value: Fraction = parse_quantity(text, definition.dimension).value
        except QuantityError:
            return ""
        words = fact_text(value, definition)
        return "" if words == text else words

    def file_design(self, asked: WithFile) -> tuple[str, Design]:
        """Return the design file that would be saved, and the design it reads as.

        Raises InputError where a value cannot be read: no report is written of half a design.
        """
        from deckclause.designs.read_design import design_of

        text = merged(asked.design, asked.base, self.catalogue.vocabulary).text
        return text, design_of(text.encode(), asked.file, self.catalogue.vocabulary)

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
        return {"file": asked.file, "base": result.text, "kept": result.kept}

    def place(self, name: str) -> dict[str, Any]:
        """Tell that a place and day have rules in force. Raises InputError where they have none."""
        meaning = self.catalogue.resolve(name)
        return {"name": meaning if isinstance(meaning, str) else meaning.label}

    def topic(self, asked: ToExplain) -> dict[str, Any]:
        """Return everything on one topic, step by step. Raises InputError for a topic that is none."""
        from deckclause.answers.compare.build import compare_answer
        from deckclause.report.comparison.json import comparison_data

        vocabulary = self.catalogue.vocabulary
        if asked.topic not in vocabulary.topics:
            raise InputError.single(asked.topic, "is not a topic")
        read = read_typed(asked.design, "the form", vocabulary)
        if read.design is None:
            raise InputError.single("the form", "could not be read")
        prepared = self.catalogue.prepare(read.design)
        comparison = compare(self.catalogue, prepared, asked.under, topics=[asked.topic], pairs=[])
        row: dict[str, Any] = comparison_data(compare_answer(comparison, vocabulary, depth=True))[
            "topics"
        ][0]
        sources = vocabulary.sources
        return {
            **row,
            "titles": {name: asdict(source)["title"] for name, source in sources.items()},
        }
