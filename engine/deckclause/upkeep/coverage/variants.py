"""Every single slip in a clause: one figure, choice, key or exception of it is another.

A rule set's boundary designs are complete where for each slip some design comes out otherwise.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

from msgspec import Struct, field
from msgspec.structs import replace

from deckclause.evaluate.regions.space import Range, Space
from deckclause.rulesets.clauses import (
    NOT_PERMITTED,
    NOT_SEEN,
    AllOf,
    Arithmetic,
    ByChoice,
    Cases,
    Clause,
    Condition,
    Distance,
    Fixed,
    Limit,
    Lookup,
    MustBe,
    Not,
    NotPermitted,
    Provides,
    Reads,
    Requirement,
    Table,
    Test,
    Value,
)
from deckclause.rulesets.vocabulary import QuantityDefinition
from deckclause.rulesets.walk import requirement_values, requirements, value_lookups

STEPS = {
    "length": Fraction(1, 16),
    "load": Fraction(1, 144),
    "area": Fraction(144),
    "line_load": Fraction(1, 12),
    "force": Fraction(1),
    "count": Fraction(1),
    "angle": Fraction(1),
}
"""The smallest slip told apart, in inch-pound units: 1/16 in, 1 psf, 1 sq ft, 1 plf, 1 lb, 1, 1 deg."""
OTHER_STEP = Fraction(1, 100)


class Variant(Struct, frozen=True):
    """A clause with one slip, where it matters, and what the slip is."""

    says: str
    clause: Clause
    near: Space = field(default_factory=Space)
    """Where the slip can show, if it is bound to one place: an edge, a choice."""


class _Slip(Struct, frozen=True):
    says: str
    new: Any
    near: Space = field(default_factory=Space)


def step_of(subject: str | Distance, quantities: Mapping[str, QuantityDefinition]) -> Fraction:
    """Return the smallest slip told apart, of a quantity or a distance."""
    kind = "length" if isinstance(subject, Distance) else quantities[subject].kind
    return STEPS.get(kind, OTHER_STEP)


def variants(clause: Clause, quantities: Mapping[str, QuantityDefinition]) -> Iterator[Variant]:
    """Yield every variant of a clause that differs in one place (cells of tables apart)."""
    maker = _Maker(quantities)
    for gate in ("applies", "scope"):
        for slip in maker.condition(getattr(clause, gate)):
            changed = replace(clause, **{gate: slip.new})
            yield Variant(f"{gate}: {slip.says}", changed, slip.near)
    for slip in maker.requirement(clause.requirement):
        yield Variant(slip.says, replace(clause, requirement=slip.new), slip.near)
    for number, exception in enumerate(clause.exceptions, 1):
        before, after = clause.exceptions[: number - 1], clause.exceptions[number:]
        yield Variant(f"no exception {number}", replace(clause, exceptions=(*before, *after)))
        for part, slips in (
            ("when", maker.condition(exception.when)),
            ("requirement", maker.requirement(exception.requirement)),
        ):
            for slip in slips:
                other = replace(exception, **{part: slip.new})
                changed = replace(clause, exceptions=(*before, other, *after))
                yield Variant(f"exception {number}: {slip.says}", changed, slip.near)
    for number, reading in enumerate(clause.readings, 1):
        before_, after_ = clause.readings[: number - 1], clause.readings[number:]
        for slip in maker.requirement(reading.requirement):
            another = replace(reading, requirement=slip.new)
            changed = replace(clause, readings=(*before_, another, *after_))
            yield Variant(f"reading {number}: {slip.says}", changed, slip.near)


def cell_variants(
    clause: Clause, quantities: Mapping[str, QuantityDefinition]
) -> Iterator[tuple[tuple[str, int], Variant]]:
    """Yield, by table (its name) and place, every variant of a clause with one cell a slip away."""
    for lookup, step in _lookups_of(clause, quantities):
        table = lookup.table
        for place, cell in enumerate(table.cells):
            near = _keys_of(table, place, dict(lookup.fixed))
            for other in _other_cells(cell, step) if near is not None else ():
                cells = (*table.cells[:place], other, *table.cells[place + 1 :])
                changed = _with_table(clause, table, replace(table, cells=cells))
                words = f"table {table.name}, cell {place + 1}: {other} for {cell}"
                yield (table.name, place), Variant(words, changed, near or Space())


def _other_cells(cell: Fraction | str, step: Fraction) -> tuple[Fraction | str, ...]:
    if isinstance(cell, Fraction):
        return cell + step, cell - step
    return (NOT_SEEN if cell == NOT_PERMITTED else NOT_PERMITTED,)


def _keys_of(table: Table, place: int, fixed: Mapping[str, Fraction | str]) -> Space | None:
    """Return where exactly a cell is read; None where a key that is fixed rules it out."""
    options: dict[str, frozenset[str | bool]] = {}
    ranges: dict[str, Range] = {}
    for axis in reversed(table.axes):
        place, index = divmod(place, len(axis.keys))
        key = axis.keys[index]
        if axis.quantity in fixed:
            if fixed[axis.quantity] != key:
                return None
        elif isinstance(key, str):
            options[axis.quantity] = frozenset((key,))
        else:
            ranges[axis.quantity] = Range(key, False, key, False)
    return Space(options, ranges)


def _lookups_of(
    clause: Clause, quantities: Mapping[str, QuantityDefinition]
) -> Iterator[tuple[Lookup, Fraction]]:
    """Yield every reading of a table in a clause, each once, with the slip of what it is for."""
    seen: dict[Lookup, None] = {}
    for requirement in requirements(clause):
        if not isinstance(requirement, Limit | Provides):
            continue
        subject = requirement.subject if isinstance(requirement, Limit) else requirement.quantity
        for value in requirement_values(requirement):
            for lookup in value_lookups(value):
                if lookup not in seen:
                    seen[lookup] = None
                    yield lookup, step_of(subject, quantities)


def _with_table(part: Any, old: Table, new: Table) -> Any:
    """Return a part of a clause with another table in the place of one."""
    if part is old:
        return new
    if isinstance(part, tuple):
        return tuple(_with_table(inner, old, new) for inner in part)
    if isinstance(part, Struct) and not isinstance(part, Table):
        before = {n: getattr(part, n) for n in part.__struct_fields__}
        after = {n: _with_table(v, old, new) for n, v in before.items()}
        changed = {n: v for n, v in after.items() if v is not before[n] and v != before[n]}
        return replace(part, **changed) if changed else part
    return part


class _Maker:
    """Makes the slips of conditions, values and requirements."""

    def __init__(self, quantities: Mapping[str, QuantityDefinition]) -> None:
        self.quantities = quantities

    # -- conditions -----------------------------------------------------------------------------

    def condition(self, condition: Condition) -> Iterator[_Slip]:
        if isinstance(condition, Test):
            yield from self._test(condition)
        elif isinstance(condition, Not):
            for slip in self.condition(condition.part):
                yield _Slip(slip.says, Not(slip.new), slip.near)
        else:
            kind = AllOf if isinstance(condition, AllOf) else type(condition)
            for i, part in enumerate(condition.parts):
                for slip in self.condition(part):
                    parts = (*condition.parts[:i], slip.new, *condition.parts[i + 1 :])
                    yield _Slip(slip.says, kind(parts), slip.near)

    def _test(self, test: Test) -> Iterator[_Slip]:
        if test.options is not None:
            yield from self._options(test)
            return
        step = step_of(test.quantity, self.quantities)
        for word, bound in (("low", test.low), ("high", test.high)):
            if bound is None:
                continue
            for slip in self.value(bound, step):
                near = slip.near
                if isinstance(bound, Fixed) and isinstance(slip.new, Fixed):
                    near = _between(test.quantity, bound.value, slip.new.value)
                changed = replace(test, **{word: slip.new})
                yield _Slip(f"{test.quantity}, {slip.says}", changed, near)

    def _options(self, test: Test) -> Iterator[_Slip]:
        assert test.options is not None
        for option in self.quantities[test.quantity].choices or (True, False):
            inside = option in test.options
            options = (
                tuple(o for o in test.options if o != option) if inside else (*test.options, option)
            )
            words = "without" if inside else "with"
            near = Space({test.quantity: frozenset((option,))})
            yield _Slip(f"{test.quantity} {words} {option}", replace(test, options=options), near)

    # -- requirements ---------------------------------------------------------------------------

    def requirement(self, requirement: Requirement) -> Iterator[_Slip]:
        if isinstance(requirement, MustBe | NotPermitted):
            for slip in self.condition(requirement.condition):
                changed = replace(requirement, condition=slip.new)
                yield _Slip(slip.says, changed, slip.near)
        elif isinstance(requirement, Provides):
            step = STEPS.get(self.quantities[requirement.quantity].kind, OTHER_STEP)
            for slip in self.value(requirement.value, step):
                yield _Slip(slip.says, replace(requirement, value=slip.new), slip.near)
        elif isinstance(requirement, Limit):
            yield from self._limit(requirement)

    def _limit(self, limit: Limit) -> Iterator[_Slip]:
        step = step_of(limit.subject, self.quantities)
        for word in ("least", "most", "exactly"):
            value = getattr(limit, word)
            if value is not None:
                for slip in self.value(value, step):
                    yield _Slip(
                        f"{word}: {slip.says}", replace(limit, **{word: slip.new}), slip.near
                    )
        if limit.one_of is not None and isinstance(limit.subject, str):
            for slip in self._options(Test(limit.subject, limit.one_of)):
                changed: Any = replace(limit, one_of=slip.new.options)
                yield _Slip(slip.says, changed, slip.near)

    # -- values ---------------------------------------------------------------------------------

    def value(self, value: Value, step: Fraction) -> Iterator[_Slip]:
        if isinstance(value, Fixed):
            yield from self._fixed(value, step)
        elif isinstance(value, ByChoice):
            for i, (choice, case) in enumerate(value.cases):
                for slip in self.value(case, step):
                    cases = (*value.cases[:i], (choice, slip.new), *value.cases[i + 1 :])
                    near = slip.near.with_options(value.quantity, frozenset((choice,)))
                    yield _Slip(f"for {choice}, {slip.says}", replace(value, cases=cases), near)
        elif isinstance(value, Cases):
            yield from self._cases(value, step)
        elif isinstance(value, Lookup):
            yield from self._keys(value)
        else:
            yield from self._moved(value, step)
            if isinstance(value, Arithmetic):
                for i, part in enumerate(value.parts):
                    inner = OTHER_STEP if value.operation == "product" else step
                    for slip in () if isinstance(part, Reads) else self.value(part, inner):
                        parts = (*value.parts[:i], slip.new, *value.parts[i + 1 :])
                        yield _Slip(slip.says, replace(value, parts=parts), slip.near)

    def _fixed(self, value: Fixed, step: Fraction) -> Iterator[_Slip]:
        figure = value.value
        if isinstance(figure, bool):
            yield _Slip("the other of yes and no", Fixed(not figure))
        elif isinstance(figure, str):
            yield _Slip("another choice", Fixed(f"not {figure}"))
        else:
            yield _Slip("a step more", Fixed(figure + step))
            yield _Slip("a step less", Fixed(figure - step))

    def _moved(self, value: Value, step: Fraction) -> Iterator[_Slip]:
        yield _Slip("a step more", Arithmetic("sum", (value, Fixed(step))))
        yield _Slip("a step less", Arithmetic("sum", (value, Fixed(-step))))

    def _cases(self, value: Cases, step: Fraction) -> Iterator[_Slip]:
        for i, (when, case) in enumerate(value.cases):
            before, after = value.cases[:i], value.cases[i + 1 :]
            for slip in self.condition(when):
                cases = (*before, (slip.new, case), *after)
                yield _Slip(f"case {i + 1}: {slip.says}", replace(value, cases=cases), slip.near)
            for slip in self.value(case, step):
                cases = (*before, (when, slip.new), *after)
                yield _Slip(f"case {i + 1}: {slip.says}", replace(value, cases=cases), slip.near)

    def _keys(self, value: Lookup) -> Iterator[_Slip]:
        """Move each key of a table that is a figure; its cells are read one by one elsewhere."""
        table = value.table
        fixed = dict(value.fixed)
        for a, axis in enumerate(table.axes):
            if axis.quantity in fixed:
                continue
            step = step_of(axis.quantity, self.quantities)
            for k, key in enumerate(axis.keys):
                if isinstance(key, str):
                    continue
                for moved in (key + step, key - step):
                    keys = (*axis.keys[:k], moved, *axis.keys[k + 1 :])
                    axes = (*table.axes[:a], replace(axis, keys=keys), *table.axes[a + 1 :])
                    words = (
                        f"{axis.quantity}, key {k + 1} a step {'more' if moved > key else 'less'}"
                    )
                    changed = replace(value, table=replace(table, axes=axes))
                    yield _Slip(words, changed, _between(axis.quantity, key, moved))


def _between(quantity: str, one: object, two: object) -> Space:
    """Return where a figure lies from one end of a slip to the other, both included."""
    if not isinstance(one, Fraction) or not isinstance(two, Fraction):
        return Space()
    return Space({}, {quantity: Range(min(one, two), False, max(one, two), False)})
