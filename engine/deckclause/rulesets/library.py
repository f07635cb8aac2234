"""The library of rule sets: everything the rules folder can answer, read when asked for."""

from __future__ import annotations

from pathlib import Path

from deckclause.rulesets.drafts import Draft, amendment_named, draft_of
from deckclause.rulesets.files import HOLDS_TOGETHER, RuleFiles, default_root, find_files
from deckclause.rulesets.ground import Staying, layer_ground, staying
from deckclause.rulesets.layering import layer_amendment
from deckclause.rulesets.named import named
from deckclause.rulesets.names import name_as_given
from deckclause.rulesets.problems import InputError, suggestion
from deckclause.rulesets.read_ruleset import read_ruleset
from deckclause.rulesets.read_vocabulary import read_vocabulary
from deckclause.rulesets.register import InForce, Register, alike, read_register
from deckclause.rulesets.ruleset import LoadedRuleSet, RuleSet
from deckclause.rulesets.vocabulary import Vocabulary


class RuleLibrary:
    """Reads rule sets from a rules folder, each once."""

    def __init__(self, files: RuleFiles) -> None:
        self.files = files
        self._vocabulary: Vocabulary | None = None
        self._register: Register | None = None
        self._beneath: dict[tuple[str, str], dict[tuple[str, ...], None]] | None = None
        self._loaded: dict[tuple[str, ...], LoadedRuleSet] = {}
        self._written: dict[str, LoadedRuleSet] = {}

    @classmethod
    def open(cls, root: Path | None = None) -> RuleLibrary:
        """Open the rules folder `root`, or the shipped one."""
        return cls(find_files(root or default_root()))

    @property
    def vocabulary(self) -> Vocabulary:
        """The vocabulary, read on first use."""
        if self._vocabulary is None:
            self._vocabulary = read_vocabulary(self.files)
        return self._vocabulary

    @property
    def register(self) -> Register:
        """The register, read on first use."""
        if self._register is None:
            self._register = read_register(self.files)
        return self._register

    def take_register(self, register: Register) -> None:
        """Take the register of these very files where it was kept: thousands of places take seconds."""
        self._register = register

    @property
    def beneath(self) -> dict[tuple[str, str], dict[tuple[str, ...], None]]:
        """What each amendment is layered on, by its id and edition: the amendments before it.

        Found once for all of them: a register may hold thousands of places.
        """
        if self._beneath is None:
            self._beneath = {}
            for place in self.register.places.values():
                for adoption in place.adoptions:
                    meaning = self.register.resolve(f"{place.name}@{adoption.begins}")
                    for number, name in enumerate(meaning.amendments):
                        chains = self._beneath.setdefault((name, meaning.edition), {})
                        chains[meaning.amendments[:number]] = None
        return self._beneath

    def resolve(self, name: str) -> InForce | Draft | str:
        """Tell what a name means: a rule set's id, what is in force at `Place@date`, or a draft.

        Raises InputError for a name that is none of them.
        """
        name = name_as_given(name, self.files.rulesets)
        if "@" in name:
            return self.register.resolve(name)
        if name in self.files.rulesets or name == HOLDS_TOGETHER:
            return name
        if amendment := amendment_named(self.files, name):
            return draft_of(self.files, self.register, amendment)
        known = [*self.files.rulesets, *self.register.places]
        if any(alike(p) == alike(name) for p in self.register.places):
            raise InputError.single(name, f"is a place; say which day, as {name}@2024-05-01")
        raise InputError.single(
            name,
            "is not an edition, a guide, a place@date or a draft amendment."
            f"{suggestion(name, [*known, *self.files.amendments])}",
        )

    def load(self, name: str) -> LoadedRuleSet:
        """Return a rule set with the data its clauses were read from."""
        meaning = self.resolve(name)
        if isinstance(meaning, str):
            return self._base(meaning)
        loaded = self.in_force(
            meaning.edition, meaning.amendments, meaning.ground, meaning.lets_fall
        )
        ruleset = named(loaded.ruleset, meaning)
        return LoadedRuleSet(ruleset, loaded.raw_clauses, loaded.raw_tables)

    def in_force(
        self,
        edition: str,
        amendments: tuple[str, ...],
        ground: tuple[str, ...] = (),
        lets_fall: tuple[str, ...] = (),
    ) -> LoadedRuleSet:
        """Return an edition with amendments in order: what is in force, wherever and whenever.

        Of `ground`, nearest first, only the values of the ground stay that nothing nearer sets.
        Raises InputError where an amendment cannot be layered.
        """
        stays: tuple[Staying, ...] = ()
        if ground:
            stays = staying(self.files, self.vocabulary, amendments, ground, lets_fall)
        return self.layered(edition, amendments, stays)

    def layered(
        self, edition: str, amendments: tuple[str, ...], stays: tuple[Staying, ...] = ()
    ) -> LoadedRuleSet:
        """Return an edition with the values of the ground that stay, then amendments in order.

        Raises InputError where one cannot be layered.
        """
        chain = (edition, *(f"{name}: {' '.join(kept)}" for name, kept in stays), *amendments)
        if not amendments and not stays:
            return self._base(edition)
        if not amendments:
            if chain not in self._loaded:
                below = self.layered(edition, (), stays[1:])
                self._loaded[chain] = layer_ground(
                    self.files, self.vocabulary, below, stays[0], f"{edition} at the place"
                )
            return self._loaded[chain]
        if chain not in self._loaded:
            below = self.layered(edition, amendments[:-1], stays)
            label = f"{edition} with {', '.join(amendments)}"
            self._loaded[chain] = layer_amendment(
                self.files, self.vocabulary, below, amendments[-1], label
            )
        return self._loaded[chain]

    def beneath_draft(self, place: str, edition: str) -> LoadedRuleSet:
        """Return what an amendment of a place, not in force yet, would change. Raises InputError."""
        return self.layered(edition, self.register.beneath_draft(place, edition))

    def ruleset(self, name: str) -> RuleSet:
        """Return the rule set of an id or a `Place@date`. Raises InputError."""
        return self.load(name).ruleset

    def as_written(self, name: str) -> LoadedRuleSet:
        """Return an edition or guide as its own files have it, what witnesses read left aside."""
        if name not in self._written:
            self._written[name] = read_ruleset(self.files, self.vocabulary, name, self.as_written)
        return self._written[name]

    def _base(self, name: str) -> LoadedRuleSet:
        if (name,) not in self._loaded:
            from deckclause.rulesets.witness import read_records
            from deckclause.rulesets.witnessed import witnessed

            records = read_records(self.files, name)
            loaded = witnessed(self.files, self.vocabulary, self.as_written(name), records)
            self._loaded[(name,)] = loaded
        return self._loaded[(name,)]
