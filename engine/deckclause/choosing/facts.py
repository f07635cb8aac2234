"""What a design's facts are for any combination of choices, put together from few of them.

Most facts change with one choice, some with two, none with all: a ledger's depth with its size,
what a beam carries with the joists. Which fact changes with which choice is found by changing one
choice at a time, beside the first and beside the last option of all the others. A combination is
then put together from the facts of smaller combinations, each prepared once by the ordinary way.
What is chosen in the end is evaluated whole, so that a fact put together wrongly comes to light.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from fractions import Fraction
from typing import Any

from deckclause.choosing.members import Variable, with_choice
from deckclause.designs.design import Design, Facts
from deckclause.designs.geometry import READ, known_distances
from deckclause.evaluate.prepare import PreparedDesign, TickDistances, TickFacts
from deckclause.evaluate.scale import Scale
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.vocabulary import QuantityDefinition

Prepare = Callable[[Design], PreparedDesign]
Values = tuple[Scalar, ...]
Name = str | tuple[str, str]
"""A quantity, or the distance between two datums."""
Place = tuple[str, int]
"""A group and the number of a part in it; the whole deck is ("", 0)."""
WHOLE: Place = ("", 0)
WITH_A_SECTION = ("joists", "doors")
"""Parts that datums of the section belong to; the others stand on the section of the whole deck."""
Sets = tuple[tuple[tuple[str, ...], Values], ...]
"""Sets of choices that facts change with, each with the options taken."""
Changes = dict[Place, dict[str, Scalar | None]]
"""By place, the facts that a combination gives another value; None where it gives none."""


class ChoiceFacts:
    """The facts of a design for any combination of some choices."""

    def __init__(self, design: Design, chosen: Sequence[Variable], prepare: Prepare) -> None:
        self._design = design
        self._prepare = prepare
        self._options = {v.quantity: v.options for v in chosen}
        self._first = {v.quantity: v.options[0] for v in chosen}
        self._base = self._prepared({})
        self.base = _facts(self._base)
        self.of: dict[Name, set[str]] = {}
        self._alone: dict[tuple[str, Scalar], dict[Place, Facts]] = {}
        self._find_influence(chosen)
        self._changes: dict[tuple[tuple[str, ...], Values], Changes] = {}
        self._ticks: dict[tuple[Any, ...], Any] = {}
        self._decks: dict[Sets, ChosenDeck] = {}

    @property
    def quantities(self) -> Mapping[str, QuantityDefinition]:
        """The vocabulary's quantities."""
        return self._base.quantities

    def on(self, names: Iterable[Name]) -> frozenset[str]:
        """Return the choices that any of the facts and distances depends on."""
        return frozenset(choice for name in names for choice in self.of.get(name, ()))

    def deck(
        self, names: tuple[str, ...], values: Values, read: Iterable[tuple[str, ...]]
    ) -> ChosenDeck:
        """Return the facts of one combination; all other choices stand at their first option.

        `read` are the sets of choices, in order, that facts to be read change with together.
        """
        at = dict(zip(names, values, strict=True))
        sets = tuple((own, tuple(at[n] for n in own)) for own in read)
        return self._decks.setdefault(sets, ChosenDeck(self, sets))

    def together(self, names: Iterable[Name], within: Iterable[str]) -> list[tuple[str, ...]]:
        """Return the sets of choices `within` some that facts named change with, each in order."""
        read = {n for n in names if isinstance(n, str)}
        read |= set(READ) if any(not isinstance(n, str) for n in names) else set()
        inside = set(within)
        sets = {frozenset(self.of[n]) for n in read if n in self.of}
        return sorted(tuple(n for n in self._options if n in s) for s in sets if s <= inside)

    # -- what ChosenDeck asks -------------------------------------------------------------------

    def named(self, group: str) -> list[str]:
        """Return the names of a group's parts."""
        return [part.name for part in self._base.design.values(group)]

    def ticks(self, place: Place, scale: Scale) -> dict[str, Any]:
        """Return the facts at a place, in ticks, where every choice stands at its first option."""
        key = (place, scale)
        if key not in self._ticks:
            self._ticks[key] = self._in_ticks(self.base[place], scale)
        found: dict[str, Any] = self._ticks[key]
        return found

    def changes(self, names: tuple[str, ...], values: Values) -> Changes:
        """Return what a combination changes of the facts that depend on just these choices."""
        key = (names, values)
        if key not in self._changes:
            facts = self._facts_at(names, values)
            own = [
                n for n, choices in self.of.items() if choices == set(names) and isinstance(n, str)
            ]
            self._changes[key] = {
                place: {n: here.get(n) for n in own if here.get(n) != self.base[place].get(n)}
                for place, here in facts.items()
            }
        return self._changes[key]

    def changed_ticks(
        self, names: tuple[str, ...], values: Values, place: Place, scale: Scale
    ) -> dict[str, Any]:
        """Return the changes of one place in ticks."""
        key = (names, values, place, scale)
        if key not in self._ticks:
            changed = self.changes(names, values).get(place, {})
            self._ticks[key] = self._in_ticks(changed, scale)
        found: dict[str, Any] = self._ticks[key]
        return found

    def _in_ticks(self, facts: Mapping[str, Any], scale: Scale) -> dict[str, Any]:
        return {
            name: scale.ticks(value, self._base.quantities[name])
            if isinstance(value, Fraction)
            else value
            for name, value in facts.items()
        }

    # -- which fact changes with which choice ---------------------------------------------------

    def _prepared(self, choice: Mapping[str, Scalar]) -> PreparedDesign:
        return self._prepare(with_choice(self._design, {**self._first, **choice}))

    def _facts_at(self, names: tuple[str, ...], values: Values) -> dict[Place, Facts]:
        if len(names) == 1 and (names[0], values[0]) in self._alone:
            return self._alone[names[0], values[0]]
        return _facts(self._prepared(dict(zip(names, values, strict=True))))

    def _find_influence(self, chosen: Sequence[Variable]) -> None:
        last = {v.quantity: v.options[-1] for v in chosen}
        beside_last = _facts(self._prepared(last))
        for variable in chosen:
            name = variable.quantity
            for option in samples(variable):
                here = _facts(self._prepared({name: option}))
                self._alone[name, option] = here
                self._note(name, self.base, here)
            for option in _ends(variable):
                self._note(name, beside_last, _facts(self._prepared({**last, name: option})))

    def _note(
        self, choice: str, before: Mapping[Place, Facts], after: Mapping[Place, Facts]
    ) -> None:
        for place, facts in after.items():
            stood = before[place]
            differ = _differing(stood, facts)
            for name in differ:
                self.of.setdefault(name, set()).add(choice)
            if place[0] in ("", *WITH_A_SECTION) and any(n in READ for n in differ):
                one, two = known_distances(stood), known_distances(facts)
                for pair in one.keys() | two.keys():
                    if one.get(pair) != two.get(pair):
                        self.of.setdefault(pair, set()).add(choice)


class ChosenDeck:
    """One combination as an evaluator reads it (`evaluate.evaluator.InTicks`)."""

    __slots__ = ("_facts", "_kept", "_sets")

    def __init__(self, facts: ChoiceFacts, sets: Sequence[tuple[tuple[str, ...], Values]]) -> None:
        self._facts = facts
        self._sets = sets
        self._kept: dict[tuple[Place, Scale], TickFacts] = {}

    def once(self, scale: Scale) -> TickFacts:
        """Return the facts of the deck as a whole in ticks."""
        return self._at(WHOLE, scale)

    def parts(self, group: str, scale: Scale) -> tuple[tuple[str, TickFacts], ...]:
        """Return name and facts in ticks of each part of a group."""
        names = self._facts.named(group)
        if (group, 0) not in self._facts.base:
            return tuple((name, self._at(WHOLE, scale)) for name in names)
        return tuple((name, self._at((group, n), scale)) for n, name in enumerate(names))

    def _at(self, place: Place, scale: Scale) -> TickFacts:
        key = (place, scale)
        if key not in self._kept:
            exact: dict[str, Scalar | None] = {**self._facts.base[place]}
            ticks = dict(self._facts.ticks(place, scale))
            for names, values in self._sets:
                exact.update(self._facts.changes(names, values).get(place, {}))
                ticks.update(self._facts.changed_ticks(names, values, place, scale))
            self._kept[key] = TickFacts(ticks, TickDistances(exact, scale))
        return self._kept[key]


def _differing(one: Facts, two: Facts) -> list[str]:
    found = [n for n, value in two.items() if (was := one.get(n)) is not value and was != value]
    return [*found, *(n for n in one if n not in two)]


def samples(variable: Variable) -> tuple[Scalar, ...]:
    """Return options to change a fact by: every choice; of measures the ends and one between.

    What is worked out from a measure changes with every change of it, or at an end.
    """
    if all(isinstance(option, Fraction) for option in variable.options):
        return _ends(variable)
    return variable.options


def _ends(variable: Variable) -> tuple[Scalar, ...]:
    options = variable.options
    return tuple(dict.fromkeys((options[0], options[len(options) // 2], options[-1])))


def _facts(design: PreparedDesign) -> dict[Place, Facts]:
    """Return the facts, derived ones included, of the whole deck and of each part stated."""
    found: dict[Place, Facts] = {WHOLE: design.facts()}
    for group in design.design.parts:
        for number, (_, facts) in enumerate(design.named_parts(group)):
            found[group, number] = facts
    return found
