"""Linear forms and inequalities over exact rationals, decided by Fourier-Motzkin elimination.

Source: J. B. J. Fourier (1826) and T. S. Motzkin (1936); see A. Schrijver, Theory of Linear and
Integer Programming, 1986, section 12.2.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from msgspec import Struct

ZERO = Fraction(0)


class Form(Struct, frozen=True):
    """A sum of quantities, each times a rational, and a constant."""

    terms: tuple[tuple[str, Fraction], ...] = ()
    constant: Fraction = ZERO

    @classmethod
    def of(cls, quantity: str) -> Form:
        """Return the quantity itself as a form."""
        return cls(((quantity, Fraction(1)),))

    @classmethod
    def fixed(cls, value: Fraction) -> Form:
        """Return a constant form."""
        return cls((), value)

    @property
    def is_constant(self) -> bool:
        """Whether it reads no quantity."""
        return not self.terms

    @property
    def is_plain(self) -> bool:
        """Whether it is one quantity and nothing else."""
        return len(self.terms) == 1 and self.terms[0][1] == 1 and not self.constant

    def plus(self, other: Form) -> Form:
        """Add two forms.

        >>> Form.of("a").plus(Form.of("b")).plus(Form.of("a").times(Fraction(-1))).terms
        (('b', Fraction(1, 1)),)
        """
        total = dict(self.terms)
        for name, share in other.terms:
            total[name] = total.get(name, ZERO) + share
        terms = tuple(sorted((n, s) for n, s in total.items() if s))
        return Form(terms, self.constant + other.constant)

    def times(self, factor: Fraction) -> Form:
        """Multiply by a rational."""
        if not factor:
            return Form()
        return Form(tuple((n, s * factor) for n, s in self.terms), self.constant * factor)

    def minus(self, other: Form) -> Form:
        """Subtract a form."""
        return self.plus(other.times(Fraction(-1)))

    def at(self, values: dict[str, Fraction]) -> Fraction:
        """Return its value where every quantity has one."""
        return self.constant + sum((s * values[n] for n, s in self.terms), ZERO)


class Inequality(Struct, frozen=True):
    """`form` is at most 0; less than 0 where `strict`."""

    form: Form
    strict: bool = False

    def negated(self) -> Inequality:
        """Return the inequality that holds exactly where this one does not."""
        return Inequality(self.form.times(Fraction(-1)), not self.strict)

    def holds(self, values: dict[str, Fraction]) -> bool:
        """Tell whether it holds at a point."""
        value = self.form.at(values)
        return value < 0 if self.strict else value <= 0


def eliminate(rows: Iterable[Inequality], name: str) -> list[Inequality] | None:
    """Remove a quantity: what remains holds exactly where some value of it satisfies all rows.

    None where the rows contradict each other outright.
    """
    lower: list[Inequality] = []
    upper: list[Inequality] = []
    kept: dict[Inequality, None] = {}
    for row in rows:
        share = dict(row.form.terms).get(name, ZERO)
        if share > 0:
            upper.append(Inequality(row.form.times(1 / share), row.strict))
        elif share < 0:
            lower.append(Inequality(row.form.times(-1 / share), row.strict))
        else:
            kept[row] = None
    for low in lower:
        for high in upper:
            kept[Inequality(low.form.plus(high.form), low.strict or high.strict)] = None
    remaining = []
    for row in kept:
        if row.form.is_constant:
            if not row.holds({}):
                return None
        else:
            remaining.append(row)
    return remaining


def names_of(rows: Iterable[Inequality]) -> list[str]:
    """Return every quantity the rows read, each once."""
    return list(dict.fromkeys(name for row in rows for name, _ in row.form.terms))


def solve(rows: list[Inequality]) -> dict[str, Fraction] | None:
    """Return a point that satisfies every row, or None where there is none.

    >>> a, b = Form.of("a"), Form.of("b")
    >>> solve([Inequality(a.minus(b)), Inequality(b.minus(a), strict=True)]) is None
    True
    """
    for row in rows:
        if row.form.is_constant and not row.holds({}):
            return None
    stages: list[tuple[str, list[Inequality]]] = []
    current = [row for row in rows if not row.form.is_constant]
    for name in names_of(current):
        stages.append((name, current))
        remaining = eliminate(current, name)
        if remaining is None:
            return None
        current = remaining
    point: dict[str, Fraction] = {}
    for name, stage in reversed(stages):
        point[name] = _choose(name, stage, point)
    return point


def _choose(name: str, rows: list[Inequality], point: dict[str, Fraction]) -> Fraction:
    """Choose a value of one quantity when those after it are chosen: an end, if it may be taken."""
    low: tuple[Fraction, bool] | None = None
    high: tuple[Fraction, bool] | None = None
    for row in rows:
        share = dict(row.form.terms).get(name, ZERO)
        if not share:
            continue
        rest = Form(tuple(t for t in row.form.terms if t[0] != name), row.form.constant)
        bound = -rest.at(point) / share
        if share > 0 and (high is None or (bound, not row.strict) < (high[0], not high[1])):
            high = (bound, row.strict)
        if share < 0 and (low is None or (bound, row.strict) > low):
            low = (bound, row.strict)
    return between(low, high)


def between(low: tuple[Fraction, bool] | None, high: tuple[Fraction, bool] | None) -> Fraction:
    """Return a simple value between two ends, each (value, open); an end itself if it is closed."""
    if low is not None and not low[1]:
        return low[0]
    if high is not None and not high[1]:
        return high[0]
    if low is not None and high is not None:
        return (low[0] + high[0]) / 2
    if low is not None:
        return low[0] + 1
    return high[0] - 1 if high is not None else ZERO
