"""Write an amendment from a plain description: which clause, by key or section, and what it says now."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any

from msgspec import Struct, field
from msgspec.structs import replace

from deckclause.evaluate.words import ClauseWords, called
from deckclause.rulesets.clauses import Clause, Limit, Provides
from deckclause.rulesets.fingerprint import fingerprint
from deckclause.rulesets.problems import InputError, suggestion
from deckclause.rulesets.ruleset import DRAFT, LoadedRuleSet
from deckclause.rulesets.schema import VERSION
from deckclause.rulesets.schema_check import HINT
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.upkeep.amending.exceptions import ExceptionNote, exception_notes
from deckclause.upkeep.amending.own_words import (
    amended_limit,
    as_yaml,
    figure_text,
    own_words,
    quoted,
)

NO_ORDINANCE = "draft ordinance"


class Description(Struct, frozen=True):
    """Whose amendment it is, of what, and how well its figures are known."""

    name: str
    place: str
    edition: str
    ordinance: str
    adopted: str
    source: str = "memory"
    standing: str = "memory"


class Change(Struct, frozen=True):
    """One change, as a person would say it: a clause by key or section, or values fixed."""

    clause: str = ""
    section: str = ""
    says: str = ""
    ordinance_section: str = ""
    strike: bool = False
    bounds: dict[str, str] = field(default_factory=dict)
    settings: dict[str, str] = field(default_factory=dict)
    struck_exceptions: tuple[int, ...] = ()
    keep_exceptions: bool = False
    where: dict[str, Any] = field(default_factory=dict)
    """Where the new bounds hold, as the file's conditions are written; elsewhere the clause stays."""


class Exceptions(Struct, frozen=True):
    """What becomes of the exceptions of a clause that is amended."""

    clause: str
    stay: tuple[ExceptionNote, ...]
    struck: tuple[ExceptionNote, ...]
    decided: bool
    """Whether the description says what is to become of them."""

    @property
    def undecided(self) -> bool:
        """Whether one that permits less stays without anybody having said so."""
        return not self.decided and any(note.permits_less for note in self.stay)


def default_id(place: str, edition: str) -> str:
    """Return an amendment's id: the place and the edition's year.

    >>> default_id("Otter Brook", "irc-2021")
    'otter-brook-2021'
    """
    words = re.sub(r"[^a-z0-9]+", "-", place.casefold()).strip("-")
    return f"{words}-{edition.rsplit('-', 1)[-1]}"


def exception_lines(held: Exceptions) -> list[str]:
    """Say which exceptions of a clause stay and which are struck, a line each."""
    lines = [f"stays: {note.says}" for note in held.stay]
    for note in held.struck:
        lost = "; with it this demand is lost" if note.guards else ""
        lines.append(f"struck: {note.number}. {note.words}{lost}")
    return lines


def refuse_undecided(found: Sequence[Exceptions]) -> None:
    """Raise InputError where an exception stays that permits less, and nobody said so."""
    open_ones = [held.clause for held in found if held.undecided]
    if open_ones:
        raise InputError.single(
            "amend",
            f"{', '.join(open_ones)}: an exception stays that permits less than the amended limit; "
            "nothing was written. Strike it with --strike-exception N, or keep it knowingly with "
            "--keep-exceptions",
        )


def find_clause(loaded: LoadedRuleSet, key: str, section: str) -> str:
    """Return the key of the clause meant. Raises InputError naming what could be meant."""
    ruleset = loaded.ruleset
    if key:
        if ruleset.clause(key) is None:
            near = suggestion(key, [c.key for c in ruleset.clauses])
            raise InputError.single("--clause", f"{ruleset.name} has no clause '{key}'.{near}")
        return key
    wanted = _plain(section)
    exact = [c for c in ruleset.clauses if wanted in [_plain(p) for p in c.cites.split(",")]]
    found = exact or [c for c in ruleset.clauses if wanted in _plain(c.cites)]
    if len(found) == 1:
        return found[0].key
    if not found:
        known = [p.strip() for c in ruleset.clauses for p in c.cites.split(",")]
        raise InputError.single(
            "--section",
            f"no clause of {ruleset.name} cites '{section}'.{suggestion(section, known)}",
        )
    choices = "; ".join(f"{c.key} ({c.says})" for c in found[:12])
    raise InputError.single(
        "--section", f"{section} has {len(found)} clauses; say which with --clause: {choices}"
    )


def _plain(text: str) -> str:
    return re.sub(r"\s+", " ", text).strip().casefold()


class AmendmentWriter:
    """Writes changes against one rule set; keeps what becomes of exceptions, to be shown."""

    def __init__(
        self, description: Description, loaded: LoadedRuleSet, vocabulary: Vocabulary
    ) -> None:
        self.description = description
        self.loaded = loaded
        self.vocabulary = vocabulary
        self.words = ClauseWords(vocabulary)
        self.exceptions: list[Exceptions] = []

    def text(self, changes: list[Change]) -> str:
        """Write the whole amendment, commented. Raises InputError where it says too little."""
        d = self.description
        title = f"{d.place} amendments to {self.loaded.ruleset.title}"
        adopted = d.adopted or DRAFT
        head = [
            f"{HINT}../schema/{VERSION}/amendment.json",
            "# What one place changes in one edition. Each change names the clause and records its",
            "# fingerprint: when the clause changes, the amendment is refused until it is re-affirmed.",
            *(["# A DRAFT: adopted by nobody and in force nowhere."] if adopted == DRAFT else []),
            f"amendment: {d.name}",
            "kind: amendment",
            f"title: {quoted(title)}",
            f"place: {quoted(d.place)}",
            f"edition: {d.edition}",
            f"ordinance: {quoted(d.ordinance or NO_ORDINANCE)}",
            f"adopted: {adopted}",
            "# How well these figures are known: confirmed only with the published source in hand.",
            f"standing: {d.standing}",
            f"sources: [{d.source}]",
            "changes:",
        ]
        return "\n".join([*head, *self.lines(changes)]) + "\n"

    def lines(self, changes: list[Change]) -> list[str]:
        """Write the changes alone, as entries of `changes`. Raises InputError."""
        if not changes:
            raise InputError.single(
                "amend",
                "says no change: give --clause KEY with a bound (--at-least ...) or --strike, or "
                "--set QUANTITY=VALUE",
            )
        return [line for change in changes for line in self._change(change)]

    def _change(self, change: Change) -> Iterator[str]:
        if change.settings:
            values = ", ".join(f"{n}: {quoted(v)}" for n, v in change.settings.items())
            named = ", ".join(
                f"{called(n, self.vocabulary)}: {v}" for n, v in change.settings.items()
            )
            says = change.says or f"{named[:1].upper()}{named[1:]}."
            yield from _opening(change, says)
            yield f"    set: {{{values}}}"
            return
        key = find_clause(self.loaded, change.clause, change.section)
        clause = self.loaded.ruleset.clause(key)
        assert clause is not None
        _refuse_no_change(change, clause, self.words)
        yield f"  # {clause.cites} said: {clause.says}"
        yield f"  # ({self.words.requirement(clause.requirement)}; {clause.standing})"
        mark = f'    fingerprint: "{fingerprint(self.loaded.raw_clauses[key], self.loaded.raw_tables)}"'
        if change.strike:
            yield from _opening(change, change.says or f"{clause.cites} is struck.")
            yield from (f"    strike: {key}", mark)
            return
        yield from self._exception_comments(change, clause)
        says = change.says
        if not says and isinstance(clause.requirement, Limit) and change.bounds:
            says = own_words(clause.requirement, change.bounds, self.vocabulary)
        yield from _opening(change, says or f"Exceptions of {clause.cites} are struck.")
        yield from (f"    replace: {key}", mark, "    to:")
        figures = {
            word: figure_text(figure, clause.requirement, self.vocabulary)
            for word, figure in change.bounds.items()
        }
        if not change.where:
            if says:
                yield f"      says: {quoted(says)}"
            yield from (f"      {word}: {quoted(figure)}" for word, figure in figures.items())
        raw = self.loaded.raw_clauses[key].get("unless") or []
        left = [e for i, e in enumerate(raw, 1) if i not in change.struck_exceptions]
        if change.where:
            left.append(self._somewhere(change, figures, says))
        if change.where or change.struck_exceptions:
            yield from as_yaml({"unless": left}, 6)
        if not change.where:  # else the clause itself stays as it is, and as well known
            yield f"      standing: {self.description.standing}"
            yield f"      sources: [{self.description.source}]"

    def _somewhere(self, change: Change, figures: dict[str, str], says: str) -> dict[str, Any]:
        """Return the exception that holds the new figures where they are asked."""
        for name in change.where:
            if name not in self.vocabulary.quantities:
                near = suggestion(name, self.vocabulary.quantities)
                raise InputError.single("--where", f"there is no quantity '{name}'.{near}")
        return {
            "when": change.where,
            **figures,
            "says": says,
            "standing": self.description.standing,
            "sources": [self.description.source],
        }

    def _exception_comments(self, change: Change, clause: Clause) -> Iterator[str]:
        limit = clause.requirement
        if isinstance(limit, Limit) and change.bounds and not change.where:
            limit = amended_limit(limit, change.bounds, self.vocabulary)
        notes = exception_notes(replace(clause, requirement=limit), limit, self.vocabulary)
        for number in change.struck_exceptions:
            if not 1 <= number <= len(notes):
                have = f"has {len(notes)}, numbered from 1" if notes else "has none"
                raise InputError.single(
                    "--strike-exception", f"there is no exception {number}: {clause.key} {have}"
                )
        stay = tuple(n for n in notes if n.number not in change.struck_exceptions)
        struck = tuple(n for n in notes if n.number in change.struck_exceptions)
        decided = change.keep_exceptions or bool(struck)
        if notes:
            self.exceptions.append(Exceptions(clause.key, stay, struck, decided))
        if stay:
            yield "  # Exceptions of the clause that stay:"
            yield from (f"  #   {note.says}" for note in stay)
        if struck:
            yield "  # Exceptions of the clause that are struck:"
            for note in struck:
                lost = "; WITH IT THIS DEMAND IS LOST" if note.guards else ""
                yield f"  #   {note.number}. {note.words}{lost}"


def _refuse_no_change(change: Change, clause: Clause, words: ClauseWords) -> None:
    """Raise InputError where the change could change nothing, and say what would."""
    requirement = clause.requirement
    if change.strike:
        return
    if not change.bounds and not change.struck_exceptions:
        raise InputError.single(
            clause.key,
            "the description says no change of it: give a bound (--at-least ...), --strike or "
            "--strike-exception N",
        )
    if change.bounds and isinstance(requirement, Provides):
        figure = next(iter(change.bounds.values()))
        raise InputError.single(
            clause.key,
            "gives a value that a place fixes; a bound on it would change nothing. Say it so: "
            f'--set {requirement.quantity}="{figure}"',
        )
    if change.bounds and not isinstance(requirement, Limit):
        raise InputError.single(
            clause.key,
            f"sets no figure ({words.requirement(requirement)}); a bound would change nothing. "
            "Strike it (--strike), or write what it asks instead in the file, under `to:`",
        )


def _opening(change: Change, says: str) -> Iterator[str]:
    if change.ordinance_section:
        yield f"  - section: {quoted(change.ordinance_section)}"
        yield f"    says: {quoted(says)}"
    else:
        yield f"  - says: {quoted(says)}"
