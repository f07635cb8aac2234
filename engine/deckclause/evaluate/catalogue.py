"""Rule sets ready to run, by name; from the cache where their content has not changed."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

import deckclause
from deckclause.evaluate.cache import Cache, cache_folder
from deckclause.evaluate.evaluator import Compiled, Evaluator
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.rulesets.files import HOLDS_TOGETHER, RuleFiles, default_root, digest, find_files
from deckclause.rulesets.names import name_as_given
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import Vocabulary

if TYPE_CHECKING:
    from deckclause.designs.design import Design
    from deckclause.rulesets.drafts import Draft
    from deckclause.rulesets.library import RuleLibrary
    from deckclause.rulesets.register import InForce, Register


class Catalogue:
    """What a run needs of the rules folder, each read once, YAML only where the cache is stale."""

    def __init__(self, files: RuleFiles, cache: Cache) -> None:
        self.files = files
        self.cache = cache
        self._library: RuleLibrary | None = None
        self._vocabulary: Vocabulary | None = None
        self._register: Register | None = None
        self._evaluators: dict[str, Evaluator] = {}
        self._in_force: dict[
            tuple[str, tuple[str, ...], tuple[str, ...], tuple[str, ...]], Compiled
        ] = {}

    @classmethod
    def open(cls, root: Path | None = None, *, cached: bool = True) -> Catalogue:
        """Open the rules folder `root`, or the shipped one."""
        return cls(find_files(root or default_root()), Cache(cache_folder() if cached else None))

    @property
    def library(self) -> RuleLibrary:
        """The library beneath, for what needs the YAML itself."""
        if self._library is None:
            from deckclause.rulesets.library import RuleLibrary

            self._library = RuleLibrary(self.files)
        return self._library

    @property
    def vocabulary(self) -> Vocabulary:
        """The vocabulary. Raises InputError with every fault of its files."""
        if self._vocabulary is None:
            files = self.files
            witnesses = (path for name in files.rulesets for path in files.witness_paths(name))
            content = files.digest_of(
                *files.vocabulary_paths()[:2], *files.sources_paths(), *witnesses
            )
            key = self._key("vocabulary", content)
            found = self.cache.load(key)
            if isinstance(found, Vocabulary):
                self._vocabulary = found
            else:
                self._vocabulary = self.library.vocabulary
                self.cache.store(key, self._vocabulary)
        return self._vocabulary

    @property
    def register(self) -> Register:
        """The register of places. Raises InputError with every fault of its file."""
        from deckclause.rulesets.register import Register

        if self._register is None:
            if not self.files.register_paths():
                return Register({})
            names = " ".join([*self.files.rulesets, *self.files.amendments])
            content = self.files.digest_of(*self.files.register_paths())
            key = self._key("register", content, names)
            found = self.cache.load(key)
            if isinstance(found, Register):
                self._register = found
            else:
                self._register = self.library.register
                self.cache.store(key, self._register)
        return self._register

    def resolve(self, name: str) -> InForce | Draft | str:
        """Tell what a name means, also one written as outputs print it.

        Raises InputError for one that means nothing.
        """
        name = name_as_given(name, self.files.rulesets)
        if name in self.files.rulesets or name == HOLDS_TOGETHER:
            return name
        if "@" in name:
            return self.register.resolve(name)
        return self.library.resolve(name)

    def evaluator(self, name: str) -> Evaluator:
        """Return a rule set ready to run, by id or `Place@date`. Raises InputError."""
        if name not in self._evaluators:
            self._evaluators[name] = self._evaluator(name)
        return self._evaluators[name]

    def hold(self, evaluator: Evaluator) -> None:
        """Know a rule set no file holds, such as one tried before it is saved, by its own name."""
        self._evaluators[evaluator.ruleset.name] = evaluator

    def coherence(self) -> Evaluator | None:
        """Return what asks whether a deck holds together; None for a rules folder without it."""
        return self.evaluator(HOLDS_TOGETHER) if self.files.asks_holds_together else None

    def ruleset(self, name: str) -> RuleSet:
        """Return a rule set by id or `Place@date`. Raises InputError."""
        return self.evaluator(name).ruleset

    def _evaluator(self, name: str) -> Evaluator:
        from deckclause.evaluate.ready import make_ready

        meaning = self.resolve(name)
        if isinstance(meaning, str):
            return make_ready(self._compiled(meaning, ()), self.vocabulary.quantities)
        from msgspec.structs import replace

        from deckclause.rulesets.named import named

        compiled = self._compiled(
            meaning.edition, meaning.amendments, meaning.ground, meaning.lets_fall
        )
        asked = replace(compiled, ruleset=named(compiled.ruleset, meaning))
        return make_ready(asked, self.vocabulary.quantities)

    def _compiled(
        self,
        edition: str,
        amendments: tuple[str, ...],
        ground: tuple[str, ...] = (),
        lets_fall: tuple[str, ...] = (),
    ) -> Compiled:
        """Return what is in force, ready: kept by its edition and amendments, not place or day."""
        asked = (edition, amendments, ground, lets_fall if ground else ())
        if asked in self._in_force:
            return self._in_force[asked]
        text = self.files.text_digest(edition)  # and of every edition it carries from
        changes = self.files.digest_of(*map(self.files.amendment_path, amendments))
        if ground:
            kept = self.files.digest_of(*map(self.files.amendment_path, ground))
            changes = digest(changes, kept, *asked[3])
        where = self.files.name(self.files.root)  # the files a clause is said to stand in
        key = self._key("ruleset", where, edition, self.vocabulary.digest, text, changes)
        found = self.cache.load(key)
        if not isinstance(found, Compiled):
            from deckclause.evaluate.compile import compile_ruleset

            ruleset = self.library.in_force(*asked).ruleset
            found = compile_ruleset(ruleset, self.vocabulary.quantities)
            self.cache.store(key, found)
        self._in_force[asked] = found
        return found

    def design(self, path: Path) -> PreparedDesign:
        """Read a design file and make it ready. Raises InputError with every fault."""
        from deckclause.rulesets.read_file import read_bytes

        return self.prepare(self._design(read_bytes(path), str(path)))

    def prepare(self, design: Design) -> PreparedDesign:
        """Make a design ready."""
        return PreparedDesign(design, self.vocabulary.quantities)

    def _design(self, content: bytes, file: str) -> Design:
        from deckclause.designs.design import Design

        key = self._key("design", self.vocabulary.digest, file, digest(content))
        found = self.cache.load(key)
        if isinstance(found, Design):
            return found
        from deckclause.designs.read_design import design_of

        design = design_of(content, file, self.vocabulary)
        self.cache.store(key, design)
        return design

    def _key(self, kind: str, *parts: str) -> str:
        return f"{kind}-{digest(deckclause.__version__, ENGINE_DIGEST, *parts)[:32]}"


PACKAGES_COMPILED_FROM = ("quantities", "rulesets", "reading", "designs", "evaluate")


def _engine_digest() -> str:
    """Tell one state of the engine's own code from another: names, sizes and times of its files.

    Every package a compiled rule set depends on counts: figures are parsed by quantities/, read and
    layered by rulesets/, and compiled against what designs/ derives.
    """
    package = Path(__file__).resolve().parents[1]
    facts = []
    for name in PACKAGES_COMPILED_FROM:
        for folder, _, files in os.walk(package / name):
            for file in files:
                if file.endswith(".py"):
                    path = os.path.join(folder, file)
                    state = os.stat(path)
                    facts.append(f"{path} {state.st_size} {state.st_mtime_ns}")
    return digest("\n".join(sorted(facts)))


ENGINE_DIGEST = _engine_digest()
