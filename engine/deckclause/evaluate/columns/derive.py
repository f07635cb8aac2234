"""Derive facts for many designs at once, by the same rules as evaluate/prepare.py.

The steps mirror PreparedDesign: facts the parts give the whole; each part completed from its own
facts and from the parts before it; then what follows from a part together with the whole; then
the distances between datums.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

import numpy as np
from msgspec import Struct, field

from deckclause.designs.derive.facts import DERIVATIONS, Derivation
from deckclause.designs.derive.plan import FRAMING, FRAMING_ORDER
from deckclause.designs.design import Design, Part
from deckclause.designs.geometry import known_distances
from deckclause.designs.plan import Plan, PlanDerivation
from deckclause.designs.whole_deck import facts_from_parts
from deckclause.evaluate.columns.chunk import Chunk
from deckclause.evaluate.columns.columns import (
    ChoiceColumn,
    Column,
    Mask,
    NumberColumn,
    Numbers,
    Taken,
    choice_column,
    number_column,
)
from deckclause.evaluate.columns.distances import facts_of_distance
from deckclause.evaluate.columns.follow import Follower, Given, choice_result, number_result
from deckclause.evaluate.columns.trace import TracedFacts, TracedParts, Trail
from deckclause.evaluate.columns.units import LARGEST_TICKS, Units
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.rulesets.vocabulary import Vocabulary

Columns = dict[str, Column]
Pair = tuple[str, str]


class FactTable(Struct, frozen=True):
    """Every fact of a chunk by (part of the deck, quantity), derived ones and distances too."""

    count: int
    columns: Mapping[tuple[str, str], Column]
    distances: Mapping[tuple[str, Pair], NumberColumn]
    left: Mask
    """Rows that must be left to the scalar evaluator."""
    prepared: dict[int, PreparedDesign] = field(default_factory=dict)
    """Designs made ready for the scalar evaluator, kept for the next rule set."""

    def find(self, group: str, quantity: str) -> Column | None:
        """Return the column a clause read for `group` sees."""
        return self.columns.get((group, quantity)) or self.columns.get(("", quantity))

    def part(self, start: int, stop: int) -> FactTable:
        """Return rows `start` to `stop` as views."""
        return FactTable(
            stop - start,
            {name: column.part(start, stop) for name, column in self.columns.items()},
            {name: column.part(start, stop) for name, column in self.distances.items()},
            self.left[start:stop],
        )

    def rows(self, places: Numbers) -> FactTable:
        """Return the rows at `places`; a column is taken when it is first read."""
        return FactTable(
            len(places),
            Taken(self.columns, lambda column: column.rows(places)),
            Taken(self.distances, lambda column: column.rows(places)),
            self.left[places],
        )

    def narrowed(self, names: Iterable[tuple[str, str | Pair]]) -> FactTable:
        """Return the table with only the columns named."""
        wanted = set(names)
        return FactTable(
            self.count,
            {name: self.columns[name] for name in self.columns if name in wanted},
            {name: self.distances[name] for name in self.distances if name in wanted},
            self.left,
        )


def fact_table(
    chunk: Chunk,
    vocabulary: Vocabulary,
    units: Units,
    pairs: Mapping[str, Iterable[Pair]],
) -> FactTable:
    """Derive every fact of a chunk; `pairs` names the distances wanted, by part of the deck."""
    return _Deriver(chunk, vocabulary, units).table(pairs)


class _Deriver:
    def __init__(self, chunk: Chunk, vocabulary: Vocabulary, units: Units) -> None:
        self.chunk = chunk
        self.vocabulary = vocabulary
        self.raw: dict[str, Columns] = {"": {}}
        left = chunk.left_whole()
        for name, raw in chunk.columns.items():
            prefix = name.partition(".")[0]
            group = prefix if vocabulary.groups[prefix].many else ""
            definition = vocabulary.quantities[name]
            column: Column
            if definition.dimension is not None:
                column, unfit = number_column(raw, units.of(name), LARGEST_TICKS)
                if unfit is not None:
                    left |= unfit
            else:
                choices: tuple[str | bool, ...] = definition.choices
                column = choice_column(
                    raw, (False, True) if definition.kind == "yes_no" else choices
                )
                if definition.kind in ("text", "date"):
                    left |= column.known_rows()
            self.raw.setdefault(group, {})[name] = column
        self._lengths = tuple(q for q, d in vocabulary.quantities.items() if d.kind == "length")
        self.stated = {
            group.name: self._stated(group.name)
            for group in vocabulary.groups.values()
            if group.many
        }
        self.follower = Follower(chunk.count, self.stated)
        self.follower.left |= left

    def _stated(self, group: str) -> Mask:
        mask = np.zeros(self.chunk.count, bool)
        for column in self.raw.get(group, {}).values():
            mask |= column.known_rows()
        return mask

    # -- steps ------------------------------------------------------------------------------------

    def table(self, pairs: Mapping[str, Iterable[Pair]]) -> FactTable:
        """Run every step."""
        whole = {**self.raw[""]}
        self._facts_from_parts(whole)
        completed = self._completed()
        once = dict(whole)
        self._derive("", once, once)
        columns: dict[tuple[str, str], Column] = {("", n): c for n, c in once.items()}
        distances: dict[tuple[str, Pair], NumberColumn] = {}
        self._distances("", once, pairs.get("", ()), distances)
        for group in self.stated:
            own = dict(completed.get(group, self.raw.get(group, {})))
            merged = {**once, **own}
            self._derive(group, merged, own)
            columns.update({(group, name): column for name, column in own.items()})
            self._distances(group, merged, pairs.get(group, ()), distances)
        return FactTable(self.chunk.count, columns, distances, self.follower.left)

    def _rows(self, mask: Mask | None = None) -> Any:
        here = ~self.follower.left if mask is None else mask & ~self.follower.left
        return np.flatnonzero(here)

    def _facts_from_parts(self, whole: Columns) -> None:
        sources = {"whole": dict(whole), **{g: self.raw.get(g, {}) for g in self.stated}}

        def rule(row: int, trail: Trail) -> Mapping[Any, Any]:
            parts = self._parts(sources, row, trail)
            facts = TracedFacts("whole", sources["whole"], row, trail)
            return facts_from_parts(Design("", "", facts, parts, "", ""))

        for name, given in self.follower.follow(rule, self._rows(), sources).items():
            whole[name] = self._column(name, given, whole.get(name))

    def _parts(self, sources: Mapping[str, Columns], row: int, trail: Trail) -> TracedParts:
        return TracedParts(
            {
                group: (Part("", TracedFacts(group, sources[group], row, trail)),)
                for group, stated in self.stated.items()
                if stated[row]
            },
            trail,
        )

    def _completed(self) -> dict[str, Columns]:
        completed: dict[str, Columns] = {}
        for group in FRAMING_ORDER:
            own = dict(self.raw.get(group, {}))
            if not own:
                continue
            self._derive(group, own, own)
            seen = {g: completed.get(g, self.raw.get(g, {})) for g in self.stated}
            for derivation in FRAMING.get(group, ()):
                sources = {"whole": self.raw[""], "own": dict(own), **seen}
                rule = self._framing_rule(derivation, sources)
                stated = own.get(derivation.quantity)
                self._apply(derivation.quantity, rule, own, sources, stated, self.stated[group])
            completed[group] = own
        return completed

    def _framing_rule(
        self, derivation: PlanDerivation, sources: Mapping[str, Columns]
    ) -> Callable[[int, Trail], Mapping[Any, Any]]:
        def rule(row: int, trail: Trail) -> Mapping[Any, Any]:
            facts = TracedFacts("whole", sources["whole"], row, trail)
            plan = Plan(facts, self._parts(sources, row, trail))
            own = Part("", TracedFacts("own", sources["own"], row, trail))
            return {derivation.quantity: derivation.compute(plan, own)}

        return rule

    def _derive(self, group: str, visible: Columns, into: Columns) -> None:
        """Apply the rules for facts of one group to the facts `visible`, adding to `into`."""
        for derivation in DERIVATIONS:
            if self.vocabulary.quantities[derivation.quantity].of != group:
                continue
            sources = {"here": visible}
            rule = _plain_rule(derivation, visible)
            self._apply(derivation.quantity, rule, into, sources, visible.get(derivation.quantity))
            if derivation.quantity in into:
                visible[derivation.quantity] = into[derivation.quantity]

    def _apply(
        self,
        name: str,
        rule: Callable[[int, Trail], Mapping[Any, Any]],
        into: Columns,
        sources: Mapping[str, Columns],
        stated: Column | None,
        mask: Mask | None = None,
    ) -> None:
        if stated is not None:
            unknown = ~stated.known_rows()
            mask = unknown if mask is None else mask & unknown
        given = self.follower.follow(rule, self._rows(mask), sources).get(name)
        if given is not None:
            into[name] = self._column(name, given, stated)

    def _column(self, name: str, given: Given, stated: Column | None) -> Column:
        definition = self.vocabulary.quantities[name]
        if definition.dimension is None:
            assert not isinstance(stated, NumberColumn)
            choices: tuple[str | bool, ...] = definition.choices
            if definition.kind == "yes_no":
                choices = (False, True)
            return choice_result(given, self.chunk.count, choices, stated)
        assert not isinstance(stated, ChoiceColumn)
        column, unfit = number_result(given, self.chunk.count, stated)
        self.follower.left[unfit] = True
        return column

    def _distances(
        self,
        group: str,
        facts: Columns,
        pairs: Iterable[Pair],
        into: dict[tuple[str, Pair], NumberColumn],
    ) -> None:
        for pair in pairs:
            lengths = facts_of_distance(pair, self._lengths)
            seen = {name: column for name, column in facts.items() if name in lengths}
            rule = _distance_rule(pair, seen)
            given = self.follower.follow(rule, self._rows(), {"here": seen}).get(pair)
            if given is not None:
                column, unfit = number_result(given, self.chunk.count, None)
                self.follower.left[unfit] = True
                into[group, pair] = column


def _distance_rule(pair: Pair, facts: Columns) -> Callable[[int, Trail], Mapping[Any, Any]]:
    def rule(row: int, trail: Trail) -> Mapping[Any, Any]:
        return {pair: known_distances(TracedFacts("here", facts, row, trail)).get(pair)}

    return rule


def _plain_rule(
    derivation: Derivation, facts: Columns
) -> Callable[[int, Trail], Mapping[Any, Any]]:
    def rule(row: int, trail: Trail) -> Mapping[Any, Any]:
        return {derivation.quantity: derivation.compute(TracedFacts("here", facts, row, trail))}

    return rule
