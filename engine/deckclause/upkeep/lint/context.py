"""Everything the checks look at, read once: files, rule sets, places, and what could not be read."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from deckclause.evaluate.plan import Plan, make_plan
from deckclause.reading.lower import Lowered
from deckclause.rulesets.clauses import Table
from deckclause.rulesets.files import RuleFiles
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.problems import InputError, Problem
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary
from deckclause.rulesets.yaml_tree import Tree, parse_tree
from deckclause.upkeep.lint.finding import Place

if TYPE_CHECKING:
    from deckclause.upkeep.lint.kept_surveys import KeptSurveys


class ReadSet(Struct, frozen=True):
    """A rule set as read, with the order its clauses are evaluated in."""

    ruleset: RuleSet
    plan: Plan
    lowered: Lowered
    """The clauses in the form every reader reads, shared by the rule sets of one context."""

    @property
    def is_place(self) -> bool:
        """Whether amendments of a place stand on it."""
        return self.ruleset.kind == "place"


class Trees(Mapping[Path, Tree]):
    """The rules folder's files as plain data: `looked_at` are gone through, any can be asked for.

    One that cannot be read is not there, and `problems` is told why.
    """

    def __init__(
        self, files: RuleFiles, looked_at: Iterable[Path], problems: list[Problem]
    ) -> None:
        self._files, self._problems = files, problems
        self._read: dict[Path, Tree | None] = {}
        self._looked_at = [path for path in looked_at if self._tree(path) is not None]

    def __getitem__(self, path: Path) -> Tree:
        found = self._tree(path)
        if found is None:
            raise KeyError(path)
        return found

    def __iter__(self) -> Iterator[Path]:
        return iter(self._looked_at)

    def __len__(self) -> int:
        return len(self._looked_at)

    def _tree(self, path: Path) -> Tree | None:
        if path not in self._read:
            self._read[path] = None
            if self._files.root in path.parents and path.is_file():
                self._read[path] = self._parsed(path)
        return self._read[path]

    def _parsed(self, path: Path) -> Tree | None:
        try:
            return parse_tree(self._files.content(path), self._files.name(path))
        except InputError as fault:
            self._problems += fault.problems
            return None


class LintContext:
    """What the checks look at.

    `only` narrows the rule sets by name, None means all of them; `looked_at` narrows the files gone
    through by their names, as where one place of thousands is asked for. `like` is a context of the
    same library: what it read and surveyed is not read and surveyed again. `kept` has what earlier
    runs surveyed; `compiled` gives a rule set ready to run by its name, kept or made, and raises
    InputError where it cannot.
    """

    def __init__(
        self,
        library: RuleLibrary,
        only: tuple[str, ...] | None = None,
        looked_at: frozenset[str] | None = None,
        like: LintContext | None = None,
        kept: KeptSurveys | None = None,
        compiled: Callable[[str], object] | None = None,
    ) -> None:
        self.library = library
        self.kept: KeptSurveys | None = kept if like is None else like.kept
        self.compiled: Callable[[str], object] | None = compiled if like is None else like.compiled
        self.files: RuleFiles = library.files
        self.problems: list[Problem] = []
        self.surveys: dict[Any, Any] = {} if like is None else like.surveys
        """How clauses run all over the input space, by all a survey rests on (`Surveyor`)."""
        self.narrowed = looked_at is not None
        self.sets: list[ReadSet] = []
        self._plans: dict[tuple[int, ...], Plan] = {}
        paths = sorted(self.files.root.rglob("*.yaml"))
        if looked_at is not None:
            paths = [path for path in paths if self.files.name(path) in looked_at]
        self.looked_at = frozenset(paths)
        self.trees: Mapping[Path, Tree] = (
            Trees(self.files, paths, self.problems) if like is None else like.trees
        )
        self.vocabulary: Vocabulary | None = None
        try:
            self.vocabulary = library.vocabulary
        except InputError as fault:
            self.problems += fault.problems
        self.lowered = Lowered(self.quantities)
        if self.vocabulary is not None:
            if only is None:
                only = (*self.files.rulesets, *self._places(), *self._drafts())
            else:
                self.problems += self._register_faults()
            for name in only:
                self._read_set(name)

    @property
    def quantities(self) -> dict[str, QuantityDefinition]:
        """The vocabulary's quantities; none where it could not be read."""
        return self.vocabulary.quantities if self.vocabulary else {}

    @property
    def editions(self) -> list[ReadSet]:
        """The editions read, by year."""
        found = [s for s in self.sets if s.ruleset.kind == "edition"]
        return sorted(found, key=lambda s: (s.ruleset.published, s.ruleset.name))

    @property
    def books(self) -> list[ReadSet]:
        """Editions and guides, without places."""
        return [s for s in self.sets if not s.is_place]

    def place_of(self, table: Table, ruleset: RuleSet) -> Place:
        """Return where a table of a rule set stands."""
        for layer in ruleset.layers:
            for path in self.files.rulesets.get(layer.name, ()):
                tree = self.trees.get(path)
                if (
                    tree
                    and isinstance(tree.data, dict)
                    and table.name in (tree.data.get("tables") or {})
                ):
                    return Place(tree.file, tree.line(("tables", table.name)))
        return Place(ruleset.name)

    def named_trees(self, folder: str) -> Iterator[tuple[Path, Tree]]:
        """Yield path and tree of every file under a folder of the rules folder."""
        root = self.files.root / folder
        for path, tree in self.trees.items():
            if root in path.parents:
                yield path, tree

    def _read_set(self, name: str) -> None:
        try:
            ruleset = self.library.ruleset(name)
            self.sets.append(ReadSet(ruleset, self._plan(ruleset), self.lowered))
        except InputError as fault:
            self.problems += fault.problems

    def _plan(self, ruleset: RuleSet) -> Plan:
        """Return the order of clauses; places that only set values share their edition's."""
        clauses = tuple(map(id, ruleset.clauses))
        if clauses not in self._plans:  # the rule sets read keep their clauses
            self._plans[clauses] = make_plan(ruleset, self.quantities)
        return self._plans[clauses]

    def _register_faults(self) -> list[Problem]:
        try:
            return [problem for _, problem in self.library.register.faults]
        except InputError as fault:
            return list(fault.problems)

    def _drafts(self) -> list[str]:
        """Return the amendments in force nowhere; each is read on its edition alone."""
        try:
            places = self.library.register.places.values()
        except InputError:
            return []  # reported by the places
        named = {a for place in places for adoption in place.adoptions for a in adoption.amendments}
        return [name for name in self.files.amendments if name not in named]

    def _places(self) -> list[str]:
        """Return `Place@date` for every day on which what is in force at a place changes."""
        try:
            register = self.library.register
        except InputError as fault:
            self.problems += fault.problems
            return []
        self.problems += [problem for _, problem in register.faults]
        names: list[str] = []
        for place in register.places.values():
            own = {a.begins for a in place.adoptions}
            days = set(own)
            outer = place
            while outer.within:
                if outer.within not in register.places:
                    break  # its lines are at fault, which is told
                outer = register.places[outer.within]
                days |= {a.begins for a in outer.adoptions}
                days |= {a.ends for a in outer.adoptions if a.ends}
            for day in sorted(days):
                name = f"{place.name}@{day}"
                try:
                    names += register.ways(name)
                except InputError as fault:
                    if day in own:
                        self.problems += fault.problems
        return names


def walk_entries(
    data: Any, path: tuple[str | int, ...] = ()
) -> Iterator[tuple[tuple[str | int, ...], Any]]:
    """Yield path and value of every mapping in plain data, outermost first."""
    if isinstance(data, dict):
        yield path, data
        for key, entry in data.items():
            yield from walk_entries(entry, (*path, key))
    elif isinstance(data, list):
        for i, entry in enumerate(data):
            yield from walk_entries(entry, (*path, i))
