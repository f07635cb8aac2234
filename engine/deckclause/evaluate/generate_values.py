"""Generate the source of conditions and values: the lower half of the scalar evaluator.

Conditions are three-valued: True, False, None (unknown). A value is a figure in ticks, None
where it is unknown, or a special result (beyond the table, not permitted, not seen).
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from deckclause.evaluate.runtime import FORBIDDEN, UNSEEN
from deckclause.evaluate.scale import Scale
from deckclause.evaluate.status import (
    ENGINEERING_REQUIRED,
)
from deckclause.evaluate.writer import SourceWriter
from deckclause.rulesets.clauses import (
    NOT_PERMITTED,
    NOT_SEEN,
    AllOf,
    AnyOf,
    Arithmetic,
    ByChoice,
    Cases,
    Condition,
    Fixed,
    Lookup,
    Not,
    Reads,
    Test,
    Value,
)
from deckclause.rulesets.vocabulary import QuantityDefinition

SPECIAL_CELLS = {NOT_PERMITTED: FORBIDDEN, NOT_SEEN: UNSEEN}


class ValueGenerator:
    """Writes facts, conditions and values of one rule set."""

    def __init__(self, quantities: Mapping[str, QuantityDefinition], scale: Scale) -> None:
        self.quantities = quantities
        self.scale = scale
        self.out = SourceWriter()
        self._read_before: dict[str, str] = {}
        self._plain: set[str] = set()
        self.top = 1
        """The indentation at which what is written is done on every way to what follows."""

    def begin(self, read_before: Mapping[str, str] | None = None) -> None:
        """Start a function or a clause: only the facts named have been read, into variables."""
        self._read_before = dict(read_before or {})
        self._plain = set(self._read_before.values())

    # -- facts --------------------------------------------------------------------------------

    def fact(self, name: str) -> str:
        """Write the reading of a fact, unless it was read before on every way to here."""
        if name in self._read_before:
            return self._read_before[name]
        variable = self.out.fresh("q")
        self._plain.add(variable)
        self.look_up(variable, name)
        if self.quantities[name].provided or self.quantities[name].fixed_by_place:
            with self.out.block(f"if {variable} is BEYOND:"):
                self.out.line(f"return ({ENGINEERING_REQUIRED}, None, None, None, 0, ({name!r},))")
        if self.out.depth == self.top:
            self._read_before[name] = variable
        return variable

    def look_up(self, variable: str, name: str) -> None:
        """Write where a fact is looked up."""
        self.out.line(f"{variable} = get({name!r})")

    def read(self, name: str) -> str:
        """Write the reading of a fact; where it is unknown, note that it is missing."""
        variable = self.fact(name)
        with self.out.block(f"if {variable} is None:"):
            self.out.line(f"m.append({name!r})")
        return variable

    def ticks(self, value: Any, kind: str) -> Any:
        """Turn a figure of a kind into ticks."""
        if not isinstance(value, Fraction):
            return value
        scaled = value * self.scale.of(kind)
        return scaled.numerator if scaled.denominator == 1 else scaled

    def literal(self, value: Any) -> str:
        """Write a figure in the source, or name it where it is no plain literal."""
        if isinstance(value, bool | str | int):
            return repr(value)
        return self.out.constant(value)

    # -- conditions ---------------------------------------------------------------------------

    def condition(self, condition: Condition) -> str:
        """Write a condition; return the variable (or literal) that holds True, False or None."""
        if isinstance(condition, Test):
            return self._test(condition)
        if isinstance(condition, Not):
            inner = self.condition(condition.part)
            result = self.out.fresh("c")
            self.out.line(f"{result} = None if {inner} is None else not {inner}")
            return result
        assert isinstance(condition, AllOf | AnyOf)
        if not condition.parts:
            return "True" if isinstance(condition, AllOf) else "False"
        return self._joined(condition)

    def _joined(self, condition: AllOf | AnyOf) -> str:
        stop, go = ("False", "True") if isinstance(condition, AllOf) else ("True", "False")
        result = self.out.fresh("c")
        mark = self.out.fresh("k")
        self.out.line(f"{result} = {go}; {mark} = len(m)")
        for number, part in enumerate(condition.parts):
            if number:
                self.out.line(f"if {result} is not {stop}:")
                self.out.indent()
            if isinstance(part, Test):
                unknown, check = self.noted_test(part)
                with self.out.block(f"if {unknown}:"):
                    if part.options is not None:
                        self.out.line(f"m.append({part.quantity!r})")
                    self.out.line(f"{result} = None")
                negation = "not " if stop == "False" else ""
                with self.out.block(f"elif {negation}({check}):"):
                    self.out.line(f"{result} = {stop}")
            else:
                inner = self.condition(part)
                self.out.line(f"if {inner} is not {go}: {result} = {inner}")
            if number:
                self.out.indent(-1)
        self.out.line(f"if {result} is not None and len(m) > {mark}: del m[{mark}:]")
        return result

    def _test(self, test: Test) -> str:
        unknown, check = self.test(test)
        result = self.out.fresh("c")
        self.out.line(f"{result} = None if {unknown} else {check}")
        return result

    def noted_test(self, test: Test) -> tuple[str, str]:
        """Do as `test` does, but leave it to the caller to note that a choice is missing."""
        if test.options is None:
            return self.test(test)
        fact = self.fact(test.quantity)
        return f"{fact} is None", self._option_check(fact, test.options)

    def test(self, test: Test) -> tuple[str, str]:
        """Write what a test reads; return when it is unknown, and what it says when it is not."""
        fact = self.read(test.quantity)
        if test.options is not None:
            return f"{fact} is None", self._option_check(fact, test.options)
        kind = self.quantities[test.quantity].kind
        checks: list[str] = []
        unknown = [f"{fact} is None"]
        none_prescribed = ""
        for bound, comparison in (
            (test.low, ">" if test.low_open else ">="),
            (test.high, "<" if test.high_open else "<="),
        ):
            if bound is None:
                continue
            figure, sure = self.value(bound, kind)
            if not sure:
                unknown.append(f"{figure} is None")
            if not sure and figure not in self._plain:
                unknown.append(f"{figure} is UNSEEN")
                # no figure is prescribed: nothing can be within it
                none_prescribed += f"False if {figure}.__class__ is Special else "
            checks.append(f"{fact} {comparison} {figure}")
        if test.low is not None and test.low == test.high and not (test.low_open or test.high_open):
            checks = [checks[0].replace(">=", "==")]
        return " or ".join(unknown), f"{none_prescribed}({' and '.join(checks)})"

    def _option_check(self, fact: str, options: tuple[str | bool, ...]) -> str:
        if len(options) == 1:
            only = options[0]
            return f"{fact} is {only}" if isinstance(only, bool) else f"{fact} == {only!r}"
        return f"{fact} in {self.out.constant(frozenset(options))}"

    # -- values -------------------------------------------------------------------------------

    def value(self, value: Value, kind: str) -> tuple[str, bool]:
        """Write a value; return its variable and whether it is sure to be a figure."""
        if isinstance(value, Fixed):
            return self.literal(self.ticks(value.value, kind)), True
        if isinstance(value, Reads):
            return self.read(value.quantity), False
        if isinstance(value, ByChoice):
            return self._by_choice(value, kind), False
        if isinstance(value, Cases):
            return self._cases(value, kind), False
        if isinstance(value, Arithmetic):
            return self._arithmetic(value, kind), False
        return self._lookup(value, kind), False

    def _by_choice(self, value: ByChoice, kind: str) -> str:
        fact = self.read(value.quantity)
        result = self.out.fresh("v")
        if all(isinstance(case, Fixed) for _, case in value.cases):
            figures = {
                choice: self.ticks(case.value, kind)
                for choice, case in value.cases
                if isinstance(case, Fixed)
            }
            table = self.out.constant(figures)
            self.out.line(f"{result} = None if {fact} is None else {table}.get({fact}, BEYOND)")
            return result
        self.out.line(f"{result} = None if {fact} is None else BEYOND")
        for choice, case in value.cases:
            with self.out.block(f"if {fact} == {choice!r}:"):
                figure, _ = self.value(case, kind)
                self.out.line(f"{result} = {figure}")
        return result

    def _cases(self, value: Cases, kind: str) -> str:
        result = self.out.fresh("v")
        self.out.line(f"{result} = BEYOND")
        for condition, case in value.cases:
            holds = self.condition(condition)
            with self.out.block(f"if {holds} is None:"):
                self.out.line(f"{result} = None")
            with self.out.block(f"elif {holds}:"):
                figure, _ = self.value(case, kind)
                self.out.line(f"{result} = {figure}")
            self.out.line("else:")
            self.out.indent()
        self.out.line("pass")
        self.out.indent(-len(value.cases))
        return result

    def _arithmetic(self, value: Arithmetic, kind: str) -> str:
        parts: list[str] = []
        sure: dict[str, bool] = {}
        for part in value.parts:
            number = value.operation == "product" and isinstance(part, Fixed)
            figure, sure_here = self.value(part, "ratio" if number else kind)
            parts.append(figure)
            sure[figure] = sure_here
        result = self.out.fresh("v")
        unsure = [f for f in parts if not sure[f]]
        if all(figure in self._plain for figure in unsure):
            self._plain.add(result)
            unknown = " or ".join(f"{figure} is None" for figure in unsure) or "False"
            text = _expression(value.operation, parts)
            self.out.line(f"{result} = None if {unknown} else {text}")
        else:
            self.out.line(f"{result} = combine({value.operation!r}, ({', '.join(parts)},))")
        return result

    def _lookup(self, value: Lookup, kind: str) -> str:
        table = value.table
        fixed = dict(value.fixed)
        facts: list[tuple[str, str]] = []
        for axis in table.axes:
            if axis.quantity in fixed:
                place = axis.keys.index(fixed[axis.quantity])
                facts.append(("", str(place)))
            else:
                facts.append((self.read(axis.quantity), ""))
        result = self.out.fresh("v")
        names = [fact for fact, _ in facts if fact]
        unknown = " or ".join(f"{name} is None" for name in names) or "False"
        with self.out.block(f"if {unknown}:"):
            self.out.line(f"{result} = None")
        with self.out.block("else:"):
            self._table_read(value, facts, result, kind)
        return result

    def _table_read(
        self, value: Lookup, facts: list[tuple[str, str]], result: str, kind: str
    ) -> None:
        table = value.table
        cells = tuple(
            SPECIAL_CELLS.get(cell, cell) if isinstance(cell, str) else self.ticks(cell, kind)
            for cell in table.cells
        )
        cell_table = self.out.constant(cells)
        width = len(table.axes[-1].keys)
        places: list[str] = []
        for axis, (fact, place) in zip(table.axes, facts, strict=True):
            if place:
                places.append(place)
                continue
            keys = tuple(self.ticks(k, self.quantities[axis.quantity].kind) for k in axis.keys)
            variable = self.out.fresh("i")
            if axis.between == "interpolate" and axis is table.axes[-1]:
                offset = _offset(places, table.axes[:-1])
                self._bail(places, result)
                row = f"{cell_table}[({offset}) * {width}:({offset}) * {width} + {width}]"
                self.out.line(
                    f"{result} = BEYOND if {_beyond(places)} else "
                    f"interpolated({self.out.constant(keys)}, {row}, {fact})"
                )
                return
            if axis.between == "exact":
                index = {key: i for i, key in enumerate(keys)}
                self.out.line(f"{variable} = {self.out.constant(index)}.get({fact}, -1)")
            else:
                self.out.line(
                    f"{variable} = place_{axis.between}({self.out.constant(keys)}, {fact})"
                )
            places.append(variable)
        offset = _offset(places, table.axes)
        self.out.line(f"{result} = BEYOND if {_beyond(places)} else {cell_table}[{offset}]")

    def _bail(self, places: list[str], result: str) -> None:
        if not places:
            self.out.line(f"{result} = BEYOND")


def _expression(operation: str, parts: list[str]) -> str:
    if operation in ("sum", "product"):
        return (" + " if operation == "sum" else " * ").join(f"({part})" for part in parts)
    return f"{'min' if operation == 'least' else 'max'}({', '.join(parts)})"


def _offset(places: list[str], axes: tuple[Any, ...]) -> str:
    text = "0"
    for place, axis in zip(places, axes, strict=True):
        text = place if text == "0" else f"({text}) * {len(axis.keys)} + {place}"
    return text


def _beyond(places: list[str]) -> str:
    checks = [f"{place} < 0" for place in places if not place.isdigit()]
    return " or ".join(checks) or "False"
