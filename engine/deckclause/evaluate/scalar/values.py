"""Print facts, truths and values of the lowered form as Python, in ticks.

What is printed follows reading/reader.py line by line: the same order of reading, the same ways
out. `m` is the tuple of facts missing so far; a decided truth puts it back to what it was.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from fractions import Fraction
from math import prod
from typing import Any, Protocol

from msgspec import Struct

from deckclause.evaluate.scalar.page import Page
from deckclause.evaluate.scale import Scale
from deckclause.reading import forms
from deckclause.reading.fold import parts_of
from deckclause.reading.reader import CELL_WORDS
from deckclause.reading.status import ENGINEERING_REQUIRED, Status


class Var(Struct, frozen=True):
    """A printed value: its text, and whether it may be None or a special value."""

    text: str
    may_be_none: bool = False
    may_be_special: bool = False

    def __str__(self) -> str:
        return self.text


class Result(Struct, frozen=True):
    """What a clause or a branch comes to, as texts."""

    status: Status
    value: str = "None"
    least: str = "None"
    most: str = "None"
    missing: str = "None"


class Deliver(Protocol):
    """Prints how a result is handed on; what follows it in the same block is never reached."""

    def __call__(self, result: Result) -> None:
        """Print it."""


class ValuePrinter:
    """Prints what is read. `given` names the facts a clause of this rule set may fail to give."""

    def __init__(self, page: Page, scale: Scale, given: frozenset[str]) -> None:
        self.page = page
        self.scale = scale
        self.given = given
        self.deliver: Deliver = self._nowhere
        self.of_part = False
        """Whether facts are looked up in the whole deck first and then in a part of it."""
        self._read: dict[str, str] = {}
        self._top = 0

    def _nowhere(self, result: Result) -> None:
        raise NotImplementedError

    @contextmanager
    def begun(self, read: Mapping[str, str]) -> Iterator[None]:
        """Begin a stretch of which every line at this depth is reached: `read` was read before."""
        before = self._read, self._top
        self._read, self._top = dict(read), self.page.depth
        yield
        self._read, self._top = before

    # -- facts ------------------------------------------------------------------------------------

    def look_up(self, variable: str, name: str) -> None:
        """Print the looking up of a fact into a variable."""
        self.page.line(f"{variable} = get({name!r})")
        if self.of_part and name not in self.given:
            self.page.line(f"if {variable} is None: {variable} = own({name!r})")

    def fact(self, fact: forms.Fact) -> str:
        """Print the reading of a fact, unless every way here has read it; return its variable."""
        if fact.name in self._read:
            return self._read[fact.name]
        variable = self.page.fresh("q")
        self.look_up(variable, fact.name)
        if fact.name in self.given:
            with self.page.block(f"if {variable} is BEYOND:"):
                self.deliver(Result(ENGINEERING_REQUIRED, missing=f"({fact.name!r},)"))
        if self.page.depth == self._top:
            self._read[fact.name] = variable
        return variable

    def noted(self, subject: forms.Subject) -> str:
        """Print the reading of a fact or distance, and the note that it is missing if it is."""
        name: Any
        if isinstance(subject, forms.Span):
            name, variable = (subject.start, subject.end), self.page.fresh("q")
            self.page.line(f"{variable} = D[{name!r}]")
        else:
            name, variable = subject.name, self.fact(subject)
        self.page.line(f"if {variable} is None: m += ({name!r},)")
        return variable

    # -- figures ----------------------------------------------------------------------------------

    def ticks(self, value: Any, kind: str) -> Any:
        """Turn a figure into ticks of a kind; what is no number stays as it is."""
        if not isinstance(value, Fraction):
            return value
        scaled = value * self.scale.of(kind)
        return scaled.numerator if scaled.denominator == 1 else scaled

    def _converted(self, variable: Var, factor: Fraction) -> Var:
        """Print a number times a factor that changes its ticks; usually there is none."""
        if factor == 1:
            return variable
        result = self.page.fresh("v")
        number = self.page.literal(factor)
        text = f"{variable} * {number}"
        if variable.may_be_none or variable.may_be_special:
            text = (
                f"{variable} if {variable} is None or {variable}.__class__ is Special else {text}"
            )
        self.page.line(f"{result} = {text}")
        return Var(result, variable.may_be_none, variable.may_be_special)

    # -- truths -----------------------------------------------------------------------------------

    def truth(self, node: forms.Truth) -> str:
        """Print a truth; return the variable that holds True, False or None."""
        match node:
            case forms.OneOf() | forms.Within():
                return self._test(node)
            case forms.Opposite(part):
                inner, result = self.truth(part), self.page.fresh("c")
                self.page.line(f"{result} = None if {inner} is None else not {inner}")
                return result
            case forms.Every(parts):
                return self._joined(parts, go=True)
            case forms.Some(parts):
                return self._joined(parts, go=False)

    def _test(self, node: forms.OneOf | forms.Within) -> str:
        result, mark = self.page.fresh("c"), ""
        if not all(isinstance(part, forms.Fact | forms.Constant) for part in parts_of(node)):
            mark = self.page.fresh("k")  # a bound that is no figure decides, whatever it lacked
            self.page.line(f"{mark} = m")
        unknown, check = self.test(node)
        self.page.line(f"{result} = None if {unknown} else {check}")
        if mark:
            self.page.line(f"if {result} is not None: m = {mark}")
        return result

    def _joined(self, parts: tuple[forms.Truth, ...], *, go: bool) -> str:
        """Print parts that are read until one stops them; `go` is what lets the next be read."""
        result, mark = self.page.fresh("c"), self.page.fresh("k")
        self.page.line(f"{result} = {go}; {mark} = m")
        depth = self.page.depth
        for number, part in enumerate(parts):
            if number:
                self.page.line(f"if {result} is not {not go}:")
                self.page.depth += 1
            inner = self.truth(part)
            self.page.line(f"if {inner} is not {go}: {result} = {inner}")
        self.page.depth = depth
        self.page.line(f"if {result} is not None: m = {mark}")
        return result

    def test(self, node: forms.OneOf | forms.Within) -> tuple[str, str]:
        """Print what a test reads; return when it is unknown, and what it says when it is not."""
        if isinstance(node, forms.OneOf):
            fact = self.noted(node.fact)
            return f"{fact} is None", self.among(fact, node.options)
        fact = self.noted(node.fact)
        unknown, special, checks = [f"{fact} is None"], [], []
        for bound, comparison in (
            (node.low, ">" if node.low_open else ">="),
            (node.high, "<" if node.high_open else "<="),
        ):
            if bound is None:
                continue
            figure = self.value(bound, node.fact.kind)
            if figure.may_be_none:
                unknown.append(f"{figure} is None")
            if figure.may_be_special:
                unknown.append(f"{figure} is UNSEEN")
                special.append(f"False if {figure}.__class__ is Special else ")
            checks.append(f"{fact} {comparison} {figure}")
        return " or ".join(unknown), f"{''.join(special)}({' and '.join(checks) or True})"

    def among(self, fact: str, options: tuple[str | bool, ...]) -> str:
        """Write the check that a fact is one of the options."""
        if len(options) == 1:
            only = options[0]
            return f"{fact} is {only}" if isinstance(only, bool) else f"{fact} == {only!r}"
        return f"{fact} in {self.page.constant(frozenset(options))}"

    # -- values -----------------------------------------------------------------------------------

    def value(self, node: forms.Value, kind: str) -> Var:
        """Print a value in ticks of `kind`."""
        match node:
            case forms.Constant(figure, its):
                found = Var(self.page.literal(self.ticks(figure, its)))
            case forms.Fact() | forms.Span():
                found = Var(self.noted(node), may_be_none=True)
            case forms.ByChoice():
                found = self._by_choice(node)
            case forms.FirstCase():
                found = self._first_case(node)
            case forms.Combined():
                return self._combined(node, kind)
            case forms.Cell():
                found = self._cell(node)
        if not self.scale.is_measured(kind) and not self.scale.is_measured(node.kind):
            return found
        return self._converted(found, Fraction(self.scale.of(kind), self.scale.of(node.kind)))

    def _by_choice(self, node: forms.ByChoice) -> Var:
        fact, result = self.noted(node.chosen), self.page.fresh("v")
        if all(isinstance(case, forms.Constant) for _, case in node.cases):
            figures = {
                choice: self.ticks(case.value, node.kind)
                for choice, case in node.cases
                if isinstance(case, forms.Constant)
            }
            table = self.page.constant(figures)
            self.page.line(f"{result} = None if {fact} is None else {table}.get({fact}, BEYOND)")
            return Var(result, True, True)
        self.page.line(f"{result} = None if {fact} is None else BEYOND")
        word = "if"
        for choice, case in node.cases:
            with self.page.block(f"{word} {fact} == {choice!r}:"):
                self.page.line(f"{result} = {self.value(case, node.kind)}")
            word = "elif"
        return Var(result, True, True)

    def _first_case(self, node: forms.FirstCase) -> Var:
        result, depth = self.page.fresh("v"), self.page.depth
        for when, case in node.cases:
            holds = self.truth(when)
            self.page.line(f"if {holds} is None: {result} = None")
            with self.page.block(f"elif {holds}:"):
                self.page.line(f"{result} = {self.value(case, node.kind)}")
            self.page.line("else:")
            self.page.depth += 1
        self.page.line(f"{result} = BEYOND")
        self.page.depth = depth
        return Var(result, True, True)

    def _combined(self, node: forms.Combined, kind: str) -> Var:
        if node.operation == "product":
            parts = [self.value(part, part.kind) for part in node.parts]
            ticks = prod(self.scale.of(part.kind) for part in node.parts)
        else:
            parts = [self.value(part, node.kind) for part in node.parts]
            ticks = self.scale.of(node.kind)
        result = self.page.fresh("v")
        texts = [str(part) for part in parts]
        if any(part.may_be_special for part in parts):
            self.page.line(f"{result} = combine({node.operation!r}, ({', '.join(texts)},))")
        else:
            unknown = " or ".join(f"{p} is None" for p in parts if p.may_be_none)
            text = _expression(node.operation, texts)
            self.page.line(f"{result} = {f'None if {unknown} else ' if unknown else ''}{text}")
        found = Var(result, any(p.may_be_none for p in parts), any(p.may_be_special for p in parts))
        return self._converted(found, Fraction(self.scale.of(kind), ticks))

    # -- tables -----------------------------------------------------------------------------------

    def _cell(self, node: forms.Cell) -> Var:
        entered = [self._entered(key) for key in node.keys]
        result = self.page.fresh("v")
        unknown = " or ".join(f"{e} is None" for e in entered if e.may_be_none)
        if unknown:
            self.page.line(f"if {unknown}: {result} = None")
            with self.page.block("else:"):
                self._read_table(node, entered, result)
        else:
            self._read_table(node, entered, result)
        return Var(result, bool(unknown), True)

    def _entered(self, key: forms.Key) -> Var:
        if isinstance(key.entered, forms.Constant):
            return Var(str(key.keys.index(key.entered.value)))
        return Var(self.noted(key.entered), may_be_none=True)

    def _read_table(self, node: forms.Cell, entered: list[Var], result: str) -> None:
        figures = self.page.constant(
            tuple(
                CELL_WORDS[c] if isinstance(c, str) else self.ticks(c, node.kind)
                for c in node.table.cells
            )
        )
        *first, last = zip(node.keys, entered, strict=True)
        places = [self._place(key, value) for key, value in first]
        if last[0].between == "interpolate":
            width = len(last[0].keys)
            offset = _offset(places, [len(key.keys) for key, _ in first])
            row = f"{figures}[({offset}) * {width}:({offset}) * {width} + {width}]"
            keys = self.page.constant(self._keys(last[0]))
            text = f"interpolated({keys}, {row}, {last[1]})"
        else:
            places.append(self._place(*last))
            text = f"{figures}[{_offset(places, [len(key.keys) for key in node.keys])}]"
        outside = " or ".join(f"{place} < 0" for place in places if not place.isdigit())
        self.page.line(f"{result} = {f'BEYOND if {outside} else ' if outside else ''}{text}")

    def _keys(self, key: forms.Key) -> tuple[Any, ...]:
        return tuple(self.ticks(k, key.entered.kind) for k in key.keys)

    def _place(self, key: forms.Key, entered: Var) -> str:
        """Print which key of an axis is read, -1 for none; return its variable or its number."""
        if not entered.may_be_none:
            return entered.text
        variable, keys = self.page.fresh("i"), self._keys(key)
        if key.between == "exact":
            index = self.page.constant({k: place for place, k in enumerate(keys)})
            self.page.line(f"{variable} = {index}.get({entered}, -1)")
        else:
            self.page.line(
                f"{variable} = place_{key.between}({self.page.constant(keys)}, {entered})"
            )
        return variable


def _expression(operation: str, parts: list[str]) -> str:
    if operation in ("sum", "product"):
        return (" + " if operation == "sum" else " * ").join(f"({part})" for part in parts)
    return f"{'min' if operation == 'least' else 'max'}(({', '.join(parts)},))"


def _offset(places: list[str], sizes: list[int]) -> str:
    text = ""
    for place, size in zip(places, sizes, strict=True):
        text = f"({text}) * {size} + {place}" if text else place
    return text or "0"
