"""Follow a derivation on one design and learn the formula it took and when it takes it.

The rules that derive facts (evaluate/prepare.py) are written for one design. To derive them
for many at once, each rule is run on one row with numbers that remember how they were worked
out and what was asked of them. The formula then holds, exactly, for every row that gives the
same answers to the same questions; the other rows are followed in turn.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

from msgspec import Struct, field

from deckclause.rulesets.clauses import Scalar

Formula = tuple[Any, ...]
"""("fact", name), ("number", Fraction), or (operation, formula, formula)."""
FactName = tuple[str, str]
"""(which set of facts, quantity): the same quantity may stand in several sets."""


class Untraceable(Exception):
    """A rule asked something that cannot be asked of a whole column."""


class Trail(Struct):
    """What a rule asked on its way, with the answers: those that share them share its formula."""

    known: dict[FactName, bool] = field(default_factory=dict)
    choices: dict[FactName, str | bool] = field(default_factory=dict)
    compared: list[tuple[str, Formula, Formula, bool]] = field(default_factory=list)
    stated: dict[str, bool] = field(default_factory=dict)

    def compare(self, operation: str, one: Formula, two: Formula, answer: bool) -> bool:
        """Note the answer to a comparison; return it."""
        if one != two:
            self.compared.append((operation, one, two, answer))
        return answer


class TracedNumber(Fraction):
    """A fraction that remembers the formula it came from."""

    trail: Trail
    formula: Formula

    def __new__(cls, value: Fraction, trail: Trail, formula: Formula) -> TracedNumber:
        """Make a number of a value, with its formula."""
        made = super().__new__(cls, value)
        made.trail = trail
        made.formula = formula
        return made

    def _plain(self) -> Fraction:
        return Fraction(self._numerator, self._denominator)  # type: ignore[attr-defined]

    def _work(self, operation: str, other: object, *, swapped: bool = False) -> Any:
        pair = _pair(other)
        if pair is None:
            return NotImplemented
        value, formula = pair
        one, two = (value, self._plain()) if swapped else (self._plain(), value)
        first, second = (formula, self.formula) if swapped else (self.formula, formula)
        result = {
            "add": lambda: one + two,
            "subtract": lambda: one - two,
            "multiply": lambda: one * two,
            "divide": lambda: one / two,
        }[operation]()
        return TracedNumber(result, self.trail, (operation, first, second))

    def _ask(self, operation: str, other: object, answer: bool) -> bool:
        pair = _pair(other)
        if pair is None:
            raise Untraceable(f"compared with {type(other).__name__}")
        return self.trail.compare(operation, self.formula, pair[1], answer)

    def __add__(self, other: object) -> Any:
        return self._work("add", other)

    def __radd__(self, other: object) -> Any:
        return self._work("add", other, swapped=True)

    def __sub__(self, other: object) -> Any:
        return self._work("subtract", other)

    def __rsub__(self, other: object) -> Any:
        return self._work("subtract", other, swapped=True)

    def __mul__(self, other: object) -> Any:
        return self._work("multiply", other)

    def __rmul__(self, other: object) -> Any:
        return self._work("multiply", other, swapped=True)

    def __truediv__(self, other: object) -> Any:
        return self._work("divide", other)

    def __rtruediv__(self, other: object) -> Any:
        return self._work("divide", other, swapped=True)

    def __neg__(self) -> Any:
        return self._work("subtract", 0, swapped=True)

    def __lt__(self, other: Any) -> bool:
        return self._ask("less", other, self._plain() < _value(other))

    def __le__(self, other: Any) -> bool:
        return self._ask("less_equal", other, self._plain() <= _value(other))

    def __gt__(self, other: Any) -> bool:
        return self._ask("greater", other, self._plain() > _value(other))

    def __ge__(self, other: Any) -> bool:
        return self._ask("greater_equal", other, self._plain() >= _value(other))

    def __eq__(self, other: object) -> bool:
        if _pair(other) is None:
            return False
        return self._ask("equal", other, self._plain() == _value(other))

    def __hash__(self) -> int:  # type: ignore[override]
        return hash(self._plain())

    def __bool__(self) -> bool:
        return self != 0

    @property
    def numerator(self) -> int:
        """Refuse: a numerator is not the same formula on every row."""
        raise Untraceable("asked for a numerator")

    @property
    def denominator(self) -> int:
        """Refuse: a denominator is not the same formula on every row."""
        raise Untraceable("asked for a denominator")

    def __abs__(self) -> Any:
        return -self if self < 0 else self

    def _refuse(self, *_: object) -> Any:
        raise Untraceable("rounded or raised to a power")

    __floor__ = __ceil__ = __round__ = __trunc__ = __int__ = __float__ = _refuse  # type: ignore[assignment]
    __floordiv__ = __rfloordiv__ = __mod__ = __rmod__ = __pow__ = __rpow__ = _refuse


def _pair(other: object) -> tuple[Fraction, Formula] | None:
    if isinstance(other, TracedNumber):
        return other._plain(), other.formula
    if isinstance(other, int | Fraction) and not isinstance(other, bool):
        return Fraction(other), ("number", Fraction(other))
    return None


def _value(other: object) -> Fraction:
    pair = _pair(other)
    if pair is None:
        raise Untraceable(f"compared with {type(other).__name__}")
    return pair[0]


class TracedFacts(dict[str, Scalar]):
    """The facts of one row that note which of them are asked for."""

    def __init__(self, label: str, facts: Mapping[str, Any], row: int, trail: Trail) -> None:
        super().__init__()
        self._label = label
        self._facts = facts
        self._row = row
        self._trail = trail

    def get(self, name: str, default: Any = None) -> Any:
        """Return a fact, noting that it was asked for."""
        if name not in self:
            return default
        value = self._facts[name].value(self._row)
        if isinstance(value, str | bool):
            self._trail.choices[self._label, name] = value
            return value
        return TracedNumber(value, self._trail, ("fact", (self._label, name)))

    def __getitem__(self, name: str) -> Any:
        if name not in self:
            raise KeyError(name)
        return self.get(name)

    def __contains__(self, name: object) -> bool:
        column = self._facts.get(str(name))
        if column is None:
            return False
        known = column.value(self._row) is not None
        self._trail.known[self._label, str(name)] = known
        return known

    def _refuse(self, *_: object) -> Any:
        raise Untraceable("asked for every fact")

    keys = values = items = copy = __len__ = _refuse

    def __iter__(self) -> Iterator[str]:
        raise Untraceable("asked for every fact")

    def __or__(self, _: Any) -> Any:
        raise Untraceable("asked for every fact")


class TracedParts(dict[str, Any]):
    """The parts of one row that note which groups are asked for."""

    def __init__(self, parts: Mapping[str, Any], trail: Trail) -> None:
        super().__init__()
        self._parts = parts
        self._trail = trail

    def get(self, group: str, default: Any = None) -> Any:
        """Return the parts of a group, noting that they were asked for."""
        return self._parts[group] if group in self else default

    def __getitem__(self, group: str) -> Any:
        if group not in self:
            raise KeyError(group)
        return self._parts[group]

    def __contains__(self, group: object) -> bool:
        stated = group in self._parts
        self._trail.stated[str(group)] = stated
        return stated

    def _refuse(self, *_: object) -> Any:
        raise Untraceable("asked for every part")

    keys = values = items = copy = __len__ = _refuse

    def __iter__(self) -> Iterator[str]:
        raise Untraceable("asked for every part")
