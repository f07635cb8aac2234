"""What an amendment strikes and what it inserts, change by change, worked out before it is printed.

What the code says stands in this tool's own words, never in the book's; what the place enacts
stands in its own words where the amendment's file has them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from difflib import SequenceMatcher
from typing import Any

from msgspec import Struct

from deckclause.answers.markup import INSERTED, KEPT, STRUCK, Part
from deckclause.compare.rule_diff.clauses import Aspect, rule_diff
from deckclause.evaluate.words import called, fact_text
from deckclause.rulesets.layering import read_amendment_tree
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.ruleset import LoadedRuleSet
from deckclause.rulesets.sections import named_by, reached
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.upkeep.amending.effect import edition_values

ALIKE = 0.5
"""Two sentences less alike than this are struck and written anew: shreds cannot be read."""

NOT_SETTLED = "[not settled: what the ordinance says on this is still to be entered]"
SAID = ("figure", "requirement")
"""Aspects a clause's own words say already, where those change."""


class RedlineChange(Struct, frozen=True):
    """One change: the code's section, the ordinance's, what is done, the lines marked up."""

    target: str
    """The clause's key, the table's name or the quantity."""
    cites: str
    title: str
    section: str
    act: str
    lines: tuple[tuple[Part, ...], ...]
    says: str
    """The change in the place's own words."""
    standing: str
    """How well what stood there before is known; "" where nothing did."""
    own_words: bool
    """Whether what is inserted is the ordinance's own wording."""

    @property
    def now(self) -> str:
        """What its first line says once the ordinance is in force; "" of a clause struck."""
        return "".join(words for how, words in self.lines[0] if how != STRUCK).strip()


def redline(before: str, after: str) -> tuple[Part, ...]:
    """Mark up what turns one text into another, word by word.

    >>> redline("At least 36 in high.", "At least 42 in high.")
    (('kept', 'At least '), ('struck', '36 '), ('inserted', '42 '), ('kept', 'in high.'))
    >>> redline("", "New.")
    (('inserted', 'New.'),)
    """
    if not before or not after:
        return tuple((how, text) for how, text in ((STRUCK, before), (INSERTED, after)) if text)
    one, two = (re.findall(r"\S+\s*", text) for text in (before, after))
    matched = SequenceMatcher(None, one, two, autojunk=False)
    if matched.ratio() < ALIKE:
        return ((STRUCK, f"{before} "), (INSERTED, after))
    return tuple(_parts(matched, one, two))


def _parts(matched: SequenceMatcher[str], one: list[str], two: list[str]) -> Iterator[Part]:
    for what, a, b, c, d in matched.get_opcodes():
        if what == "equal":
            yield KEPT, "".join(two[c:d])
            continue
        if a < b:
            yield STRUCK, "".join(one[a:b])
        if c < d:
            yield INSERTED, "".join(two[c:d])


def redline_changes(
    library: RuleLibrary, amendment: str, before: LoadedRuleSet, after: LoadedRuleSet
) -> tuple[RedlineChange, ...]:
    """Return every change of an amendment, in its file's order, marked up.

    `after` is `before` with the amendment layered on. Raises InputError where it cannot be read.
    """
    changes = read_amendment_tree(library.files, amendment).data["changes"]
    named = {c[w] for c in changes for w in ("replace", "strike", "drop") if c.get(w)}
    writer = _Writer(library.vocabulary, before, after, frozenset(named))
    return tuple(found for change in changes for found in writer.change(change))


class _Writer:
    def __init__(
        self,
        vocabulary: Vocabulary,
        before: LoadedRuleSet,
        after: LoadedRuleSet,
        named: frozenset[str],
    ) -> None:
        self.vocabulary = vocabulary
        self.named = named
        self.before = before
        self.after = after
        self.difference = rule_diff(before.ruleset, after.ruleset, vocabulary)

    def change(self, change: dict[str, Any]) -> Iterator[RedlineChange]:
        """Yield a change as lines marked up; a change of several values yields one for each."""
        if change.get("set"):
            yield from (self._value(change, name) for name in change["set"])
        elif change.get("cells"):
            yield self._cells(change)
        elif change.get("renumber"):
            yield self._renumbered(change)
        elif change.get("range") or change.get("not_adopted"):
            yield self._sections(change)
        else:
            yield self._clause(change)

    def _clause(self, change: dict[str, Any]) -> RedlineChange:
        named = (change.get(word) for word in ("replace", "strike", "drop"))
        key = next((key for key in named if key), None) or change["add"]["key"]
        old, new = self.before.ruleset.clause(key), self.after.ruleset.clause(key)
        known = old or new
        assert known is not None  # else it could not have been layered
        one, two = (clause.says if clause is not None else "" for clause in (old, new))
        text = change.get("text") or ""
        lines = [redline(one, two)]
        if text:
            lines = [(*(((STRUCK, f"{one} "),) if one else ()), (INSERTED, text))]
        aspects = [a for a in self.aspects(key) if one == two or a.name not in SAID]
        lines += [_aspect(aspect) for aspect in aspects]
        act = "is added" if old is None else "is struck" if new is None else "is amended"
        if old is not None and new is not None and not aspects and one == two and not text:
            act = "is restated and asks what it asked"
        where = old.cites if old is not None else (change.get("cites") or known.cites)
        return RedlineChange(
            key, where, self.vocabulary.topics[known.topic].title, change.get("section") or "",
            act, tuple(lines), change.get("says") or "", old.standing if old else "", bool(text),
        )  # fmt: skip

    def aspects(self, key: str) -> list[Aspect]:
        """Return what a clause asks otherwise, how well it is known left aside."""
        found = [c for c in self.difference.changes if c.key == key and c.before and c.after]
        return [a for c in found for a in c.aspects if a.name != "standing"]

    def _sections(self, change: dict[str, Any]) -> RedlineChange:
        """Mark up every clause that sections struck or replaced at once reach."""
        lines: list[tuple[Part, ...]] = []
        for old in self.before.ruleset.clauses:
            if old.key in self.named or not any(reached(change, old.cites)):
                continue
            new = self.after.ruleset.clause(old.key)
            what: tuple[Part, ...] = ((KEPT, f"{old.cites}: "), (STRUCK, f"{old.says} "))
            lines.append(what if new is None else (*what, (INSERTED, NOT_SETTLED)))
        if text := change.get("text"):
            lines.append(((INSERTED, text),))
        act = "are struck and replaced at once"
        if change.get("not_adopted"):
            act = "are not adopted"
        elif str(change["range"].get("struck", "")) == "true":
            act = "are struck"
        where = named_by(change)
        return RedlineChange(
            where, where, "", change.get("section") or "", act, tuple(lines),
            change.get("says") or "", "", bool(change.get("text")),
        )  # fmt: skip

    def _renumbered(self, change: dict[str, Any]) -> RedlineChange:
        lines = tuple(
            ((STRUCK, f"{old} "), (INSERTED, new)) for old, new in change["renumber"].items()
        )
        return RedlineChange(
            ", ".join(change["renumber"]), ", ".join(change["renumber"]), "",
            change.get("section") or "", "are renumbered", lines, change.get("says") or "", "", False,
        )  # fmt: skip

    def _value(self, change: dict[str, Any], name: str) -> RedlineChange:
        definition = self.vocabulary.quantities[name]
        title = called(name, self.vocabulary)
        values = [
            next((s for s in held.ruleset.settings if s.quantity == name), None)
            for held in (self.before, self.after)
        ]
        old, new = (fact_text(s.value, definition) if s is not None else "" for s in values)
        given = edition_values(self.before.ruleset).get(name)
        if not old and given is not None:
            old = fact_text(given, definition)
        text = change.get("text") or ""
        marked: tuple[Part, ...] = ((KEPT, f"{title[:1].upper()}{title[1:]}: "),)
        same = old == new and not text
        if same:
            marked = (*marked, (KEPT, new))
        else:
            marked = (
                *marked, (STRUCK, f"{old or 'as the jurisdiction fixes it'} "), (INSERTED, text or new)
            )  # fmt: skip
        act = "is restated, as an earlier act has it" if same else "is fixed"
        return RedlineChange(
            name, change.get("cites") or "", title, change.get("section") or "", act,
            (marked,), change.get("says") or "", values[0].standing if values[0] else "", bool(text),
        )  # fmt: skip

    def _cells(self, change: dict[str, Any]) -> RedlineChange:
        name = change["cells"]
        raw = self.before.raw_tables[name]
        lines = []
        for cell in change["figures"]:
            old = _figure(raw["cells"], cell["at"], raw["columns"])
            lines.append(
                ((KEPT, f"{', '.join(cell['at'])}: "), (STRUCK, f"{old} "),
                 (INSERTED, cell["figure"]))
            )  # fmt: skip
        return RedlineChange(
            name, change.get("cites") or raw["cites"], raw["title"], change.get("section") or "",
            "is amended", tuple(lines), change.get("says") or "", raw["standing"], False,
        )  # fmt: skip


def _aspect(aspect: Aspect) -> tuple[Part, ...]:
    parts = ((STRUCK, f"{aspect.before} "), (INSERTED, aspect.after))
    named = (KEPT, f"{aspect.name[:1].upper()}{aspect.name[1:]}: ")
    return (named, *(part for part in parts if part[1].strip()))


def _figure(cells: Any, at: list[str], columns: list[str]) -> str:
    for key in at[:-1]:
        cells = cells[key]
    return str(cells[columns.index(at[-1])])
