"""The library of rule sets: everything the rules folder can answer, read when asked for."""

from __future__ import annotations

from pathlib import Path

from deckclause.rulesets.drafts import Draft, amendment_named, draft_of, refuse_draft_in_force
from deckclause.rulesets.files import RuleFiles, default_root, find_files
from deckclause.rulesets.layering import layer_amendment
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
        self._loaded: dict[tuple[str, ...], LoadedRuleSet] = {}

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

    def resolve(self, name: str) -> InForce | Draft | str:
        """Tell what a name means: a rule set's id, what is in force at `Place@date`, or a draft.

        Raises InputError for a name that is none of them.
        """
        if "@" in name:
            return self.register.resolve(name)
        if name in self.files.rulesets:
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
        chain = (meaning.edition, *meaning.amendments, meaning.label)
        if chain not in self._loaded:
            loaded = self._base(meaning.edition)
            for amendment in meaning.amendments:
                loaded = layer_amendment(
                    self.files, self.vocabulary, loaded, amendment, meaning.label
                )
            self._loaded[chain] = _renamed(loaded, meaning)
        return self._loaded[chain]

    def ruleset(self, name: str) -> RuleSet:
        """Return the rule set of an id or a `Place@date`. Raises InputError."""
        return self.load(name).ruleset

    def _base(self, name: str) -> LoadedRuleSet:
        if (name,) not in self._loaded:
            self._loaded[(name,)] = read_ruleset(self.files, self.vocabulary, name, self._base)
        return self._loaded[(name,)]


def _renamed(loaded: LoadedRuleSet, meaning: InForce | Draft) -> LoadedRuleSet:
    from dataclasses import replace

    from deckclause.rulesets.files import digest

    base = loaded.ruleset
    if isinstance(meaning, Draft):
        title = f"{base.title}, with {meaning.name}: a draft, not in force"
    else:
        refuse_draft_in_force(meaning.label, [(x.name, x.adopted) for x in base.layers])
        title = f"{meaning.place}, {meaning.day}: {base.title}"
    ruleset = replace(
        base,
        name=meaning.label,
        title=title,
        kind="place",
        digest=digest(base.digest, meaning.label),
        left_out=meaning.left_out_words,
    )
    return LoadedRuleSet(ruleset, loaded.raw_clauses, loaded.raw_tables)
