"""What is given spoilt input: each reads it, and may only answer or refuse it in words.

A target is made once with the shipped rules; `seeds` are whole inputs to spoil, `take` reads one.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Protocol

from deckclause.api import Rules
from deckclause.compare.comparison import compare
from deckclause.designs.read_design import design_of
from deckclause.evaluate.catalogue import Catalogue
from deckclause.placement.from_rules import PlacementRules
from deckclause.placement.place import place
from deckclause.rulesets.files import RuleFiles, default_root, find_files
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.yaml_tree import parse_tree

PLACE = "Tarn Hollow@2025-03-01"


class Target(Protocol):
    """Takes input of one kind. `seeds` are whole ones."""

    seeds: tuple[bytes, ...]

    def take(self, content: bytes) -> bool:
        """Read and use the input; False where it was refused. Raises where there is a fault."""


class Designs:
    """A design, read, compared under two rule sets and placed."""

    def __init__(self, catalogue: Catalogue, folder: Path) -> None:
        del folder
        self.catalogue = catalogue
        examples = sorted((catalogue.files.root / "examples").glob("*.yaml"))
        self.seeds = tuple(path.read_bytes() for path in examples)
        self.rules = PlacementRules(catalogue.evaluator("irc-2015"), catalogue.vocabulary)

    def take(self, content: bytes) -> bool:
        """Refuse it, or answer."""
        try:
            design = self.catalogue.prepare(design_of(content, "d.yaml", self.catalogue.vocabulary))
        except InputError:
            return False
        found = compare(self.catalogue, design, ["irc-2015", PLACE], topics=[])
        assert found.exit_status in (0, 1, 3)
        place(design, self.rules)
        return True


class _RuleFile:
    """Some rule files, one of them spoilt, read as a library reads them."""

    def __init__(self, catalogue: Catalogue, paths: list[Path]) -> None:
        self.catalogue = catalogue
        self.files = catalogue.files
        self.paths = paths
        self.seeds = tuple(self.files.content(path) for path in paths)
        self._by_length = dict(zip(self.seeds, paths, strict=True))

    def library(self, path: Path, content: bytes) -> RuleLibrary:
        """Return the shipped rules with one file of other content."""
        fresh = find_files(self.files.root)
        fresh.contents.update(self.files.contents)
        fresh.contents[path] = content
        library = RuleLibrary(fresh)
        library._vocabulary = self.catalogue.vocabulary
        return library

    def nearest(self, content: bytes) -> Path:
        """Return the file an input most likely came from: the one that shares its first lines."""
        head = content[:60]
        return max(self.paths, key=lambda path: _shared(self.files.content(path), head))


def _shared(one: bytes, two: bytes) -> int:
    return next((i for i, (a, b) in enumerate(zip(one, two, strict=False)) if a != b), len(two))


class RuleSets(_RuleFile):
    """A file of an edition; the edition is read with it."""

    def __init__(self, catalogue: Catalogue, folder: Path) -> None:
        del folder
        super().__init__(catalogue, list(catalogue.files.rulesets["irc-2012"]))

    def take(self, content: bytes) -> bool:
        """Refuse it, or read the edition."""
        try:
            self.library(self.nearest(content), content).ruleset("irc-2012")
        except InputError:
            return False
        return True


class Amendments(_RuleFile):
    """An amendment, layered on the edition it names."""

    def __init__(self, catalogue: Catalogue, folder: Path) -> None:
        del folder
        super().__init__(catalogue, list(catalogue.files.amendments.values()))
        self._base = RuleLibrary(catalogue.files)

    def take(self, content: bytes) -> bool:
        """Refuse it, or layer it."""
        path = self.nearest(content)
        library = self.library(path, content)
        edition = self.files.content(path).split(b"edition:")[1].split()[0].decode()
        library._loaded[(edition,)] = self._base.load(edition)
        try:
            library.layered(edition, (path.stem,))
        except InputError:
            return False
        return True


class Registers(_RuleFile):
    """The register of places, and a place resolved in it."""

    def __init__(self, catalogue: Catalogue, folder: Path) -> None:
        del folder
        super().__init__(catalogue, [catalogue.files.register_path])

    def take(self, content: bytes) -> bool:
        """Refuse it, or resolve."""
        try:
            self.library(self.files.register_path, content).register.resolve(PLACE)
        except InputError:
            return False
        return True


class Requests:
    """A request for relief, read beside its design and checked."""

    def __init__(self, catalogue: Catalogue, folder: Path) -> None:
        from variance.requests import EXAMPLE, new_request

        self.catalogue = catalogue
        self.path = new_request(folder)
        self.seeds = (self.path.read_bytes(),)
        del EXAMPLE

    def take(self, content: bytes) -> bool:
        """Refuse it, or check it."""
        from deckclause.variance.request.build import read_request
        from deckclause.variance.request.check import check_request

        self.path.write_bytes(content)
        try:
            check_request(read_request(self.catalogue, self.path))
        except InputError:
            return False
        return True


class Archives:
    """A CSV of permits, read and put under two rule sets."""

    def __init__(self, catalogue: Catalogue, folder: Path) -> None:
        from deckclause.designs.invented.archive import write_archive
        from deckclause.impact.chunk import ChunkRunner, ImpactJob

        self.catalogue = catalogue
        self.path = folder / "permits.csv"
        write_archive(self.path, 12, 5, catalogue.vocabulary)
        self.seeds = (self.path.read_bytes(),)
        one, two = catalogue.ruleset("irc-2012"), catalogue.ruleset("irc-2018")
        self.runner = ChunkRunner(ImpactJob(one, two, catalogue.vocabulary, ("joist_span",)))

    def take(self, content: bytes) -> bool:
        """Refuse it, or say what the change of rules does."""
        from deckclause.impact.read import Archive
        from deckclause.impact.rows import Read

        self.path.write_bytes(content)
        try:
            for read in Archive(self.path, self.catalogue.vocabulary).chunks():
                assert isinstance(read, Read)
                self.runner.run(read)
        except InputError:
            return False
        return True


class SheetMaps:
    """A map of an office's sheet, read, and the sheet read by it."""

    def __init__(self, catalogue: Catalogue, folder: Path) -> None:
        from deckclause.impact.propose import Answers, propose_map
        from deckclause.impact.read import Archive
        from deckclause.impact.write_map import map_text

        self.vocabulary = catalogue.vocabulary
        self.sheet = folder / "permits.csv"
        self.map = folder / "permits.csv.columns.yaml"
        self.sheet.write_text(
            "No.;Joist;Span;Bolts\n1;2 X 8;11' 6\";1/2 lag\n;;;\n2;2x10;12.5;n/a\n", "utf-8"
        )
        answers = Answers(facts={"Bolts": "fasteners.kind", "Span": "joists.span"})
        proposed = propose_map(Archive(self.sheet, self.vocabulary), answers)
        self.seeds = (map_text(proposed, answers, self.vocabulary).encode(),)

    def take(self, content: bytes) -> bool:
        """Refuse it, or read the sheet."""
        from deckclause.impact.column_map import read_map
        from deckclause.impact.read import Archive

        self.map.write_bytes(content)
        try:
            found = read_map(self.map, self.vocabulary)
            list(Archive(self.sheet, self.vocabulary, map=found).chunks())
        except InputError:
            return False
        return True


class Mappings:
    """A design as a mapping, given to the Python interface."""

    def __init__(self, catalogue: Catalogue, folder: Path) -> None:
        del folder
        self.rules = Rules(catalogue.files.root)
        examples = sorted((catalogue.files.root / "examples").glob("*.yaml"))[:4]
        trees = [parse_tree(path.read_bytes(), path.name).data for path in examples]
        self.seeds = tuple(json.dumps(tree, indent=1).encode() for tree in trees)

    def take(self, content: bytes) -> bool:
        """Refuse it, or compare."""
        try:
            deck = json.loads(content)
        except ValueError:
            return False
        if not isinstance(deck, Mapping):
            return False
        try:
            self.rules.compare(deck, "irc-2018", topics="joist_span").to_dict()
        except InputError:
            return False
        return True


class PageBodies:
    """What is sent to the page: any answer but one that says the page itself is at fault."""

    def __init__(self, catalogue: Catalogue, folder: Path) -> None:
        from page.pages import client, opened

        self.client = client(folder, catalogue)
        design = opened(self.client)["design"]
        bodies: dict[str, Any] = {
            "open": {"source": "example", "name": "step-down-3in.yaml"},
            "evaluate": {"design": design, "under": ["irc-2012"]},
            "topic": {"design": design, "under": ["irc-2012"], "topic": "joist_span"},
            "place": {"name": "Tarn Hollow@2024-02-01"},
            "download": {"design": design, "under": ["irc-2012"], "format": "csv"},
        }
        self.seeds = tuple(
            name.encode() + b"\n" + json.dumps(body, indent=1).encode()
            for name, body in bodies.items()
        )

    def take(self, content: bytes) -> bool:
        """Send it; True where it was answered."""
        name, _, body = content.partition(b"\n")
        known = name.decode("ascii", "replace")
        known = known if known.isalpha() else "evaluate"
        answer = self.client.post(f"/api/{known}", content=body)
        assert answer.status_code < 500, answer.text
        return answer.status_code == 200


KINDS: dict[str, Any] = {
    "design": Designs,
    "rules": RuleSets,
    "amendment": Amendments,
    "register": Registers,
    "request": Requests,
    "archive": Archives,
    "sheet_map": SheetMaps,
    "mapping": Mappings,
    "page": PageBodies,
}


def target(kind: str, folder: Path) -> Target:
    """Make what takes one kind of input, with the shipped rules."""
    files: RuleFiles = find_files(default_root())
    catalogue = Catalogue.open(files.root)
    made: Target = KINDS[kind](catalogue, folder)
    return made
