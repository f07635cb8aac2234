"""A region of the input space: choices, ranges, and inequalities between quantities."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import ceil, floor

from msgspec import Struct, field

from deckclause.evaluate.regions.linear import Form, Inequality, between, solve
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.vocabulary import QuantityDefinition

Options = frozenset[str | bool]


class Range(Struct, frozen=True):
    """The values of one measure, from an end to an end; None where there is no end."""

    low: Fraction | None = None
    low_open: bool = False
    high: Fraction | None = None
    high_open: bool = False

    @property
    def empty(self) -> bool:
        """Whether no value lies in it."""
        if self.low is None or self.high is None:
            return False
        return self.low > self.high or (self.low == self.high and (self.low_open or self.high_open))

    def holds(self, value: Fraction) -> bool:
        """Tell whether a value lies in it."""
        if self.low is not None and (value < self.low or (value == self.low and self.low_open)):
            return False
        return not (
            self.high is not None and (value > self.high or (value == self.high and self.high_open))
        )

    def meet(self, other: Range) -> Range:
        """Return what lies in both."""
        low, low_open = self.low, self.low_open
        if other.low is not None and (low is None or (other.low, other.low_open) > (low, low_open)):
            low, low_open = other.low, other.low_open
        high, high_open = self.high, self.high_open
        if other.high is not None and (
            high is None or (other.high, not other.high_open) < (high, not high_open)
        ):
            high, high_open = other.high, other.high_open
        return Range(low, low_open, high, high_open)

    def whole(self) -> Range:
        """Return the range narrowed to the whole numbers in it."""
        low, high = self.low, self.high
        if low is not None:
            least = ceil(low)
            low = Fraction(least + 1 if self.low_open and least == low else least)
        if high is not None:
            most = floor(high)
            high = Fraction(most - 1 if self.high_open and most == high else most)
        return Range(low, False, high, False)

    def rows(self, quantity: str) -> list[Inequality]:
        """Write the range as inequalities."""
        rows = []
        form = Form.of(quantity)
        if self.low is not None:
            rows.append(Inequality(Form.fixed(self.low).minus(form), self.low_open))
        if self.high is not None:
            rows.append(Inequality(form.minus(Form.fixed(self.high)), self.high_open))
        return rows

    def middle(self) -> Fraction:
        """Return a value in it: an end that may be taken, else one between."""
        low = (self.low, self.low_open) if self.low is not None else None
        high = (self.high, self.high_open) if self.high is not None else None
        return between(low, high)


class Space(Struct, frozen=True):
    """A region. Quantities not named are unrestricted."""

    options: Mapping[str, Options] = field(default_factory=dict)
    ranges: Mapping[str, Range] = field(default_factory=dict)
    lines: tuple[Inequality, ...] = ()

    def with_options(self, quantity: str, options: Options) -> Space:
        """Return the part of the region where a choice is one of `options`."""
        return Space({**self.options, quantity: options}, self.ranges, self.lines)

    def with_range(self, quantity: str, narrower: Range) -> Space:
        """Return the part of the region where a measure lies in a range as well."""
        return self.with_exact_range(quantity, self.ranges.get(quantity, Range()).meet(narrower))

    def with_exact_range(self, quantity: str, limits: Range) -> Space:
        """Return the region with a measure's range put in place of what it was."""
        return Space(self.options, {**self.ranges, quantity: limits}, self.lines)

    def with_line(self, line: Inequality) -> Space:
        """Return the part of the region where an inequality holds as well."""
        return Space(self.options, self.ranges, (*self.lines, line))

    @property
    def empty(self) -> bool:
        """Whether no design lies in it."""
        if any(not o for o in self.options.values()) or any(r.empty for r in self.ranges.values()):
            return True
        return bool(self.lines) and solve(self._rows()) is None

    def _rows(self) -> list[Inequality]:
        """Return the lines with the ranges of every quantity that hangs together with them."""
        names = {name for line in self.lines for name, _ in line.form.terms}
        rows = list(self.lines)
        for name in sorted(names):
            rows += self.ranges.get(name, Range()).rows(name)
        return rows

    def holds(self, facts: Mapping[str, Scalar]) -> bool:
        """Tell whether known facts lie in the region; a fact it restricts must be known."""
        for name, options in self.options.items():
            if facts.get(name) not in options:
                return False
        for name, limits in self.ranges.items():
            value = facts.get(name)
            if not isinstance(value, Fraction) or not limits.holds(value):
                return False
        numbers = {n: v for n, v in facts.items() if isinstance(v, Fraction)}
        for line in self.lines:
            if any(name not in numbers for name, _ in line.form.terms):
                return False
            if not line.holds(numbers):
                return False
        return True

    def point(self, quantities: Mapping[str, QuantityDefinition]) -> dict[str, Scalar]:
        """Return facts of one design in the region, for the quantities it restricts."""
        facts: dict[str, Scalar] = {}
        for name, options in self.options.items():
            order = quantities[name].choices or (True, False)
            facts[name] = next(o for o in order if o in options)
        facts.update({name: limits.middle() for name, limits in self.ranges.items()})
        if self.lines:
            facts.update(solve(self._rows()) or {})
        return facts
