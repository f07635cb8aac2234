"""Clauses read on a whole region of designs: the one reader, with another hand.

What a clause means stands in reading/reader.py; here stand only what a fact is on a region (a
quantity that may be anything in it, or what a clause or place gives) and how two figures compare
there (the region is cut where they cross). All inputs are known: unknown is what a clause may give
and does not.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import Any

from msgspec.structs import replace

from deckclause.evaluate.regions.asked import CONFLICT, Asked, Bound, together
from deckclause.evaluate.regions.linear import Form
from deckclause.evaluate.regions.view import View
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
)
from deckclause.reading import forms
from deckclause.reading.forms import Branch, Rule
from deckclause.reading.reader import Near, NoBounds, NoFigure, Reader
from deckclause.reading.special import BEYOND, FORBIDDEN, Special
from deckclause.reading.status import Status
from deckclause.reading.trace import BranchRead, Missing

FREE = object()
"""What a fact source answers for a quantity that is an input of its own."""


class NotLinear(Exception):
    """A product of two quantities: its regions are not cut by straight lines."""


class RegionReader(Reader[Asked]):
    """Reads clauses on one region; `source` gives what clauses and places provide.

    Every question the region does not answer as a whole raises Undecided, with the pieces it is
    to be asked of.
    """

    def __init__(self, view: View, source: Callable[[str], object]) -> None:
        super().__init__()
        self.view = view
        self.source = source

    # -- facts and figures ------------------------------------------------------------------------

    def look_up(self, name: str) -> Any:
        """Return a quantity's value as a figure; a choice is cut until it is one of its options."""
        found = self.source(name)
        if found is not FREE:
            return found
        definition = self.view.quantities[name]
        if definition.dimension is not None:
            return Form.of(name)
        if definition.choices:
            return self.view.choice(name, definition.choices)
        return self.view.is_one_of(name, frozenset((True,)))

    def distance(self, span: forms.Span) -> None:
        """Return None: a distance is limited here, never read."""
        return

    def constant(self, figure: Fraction | str | bool) -> Form | str | bool:
        """Return a number as a form without terms, anything else as it is."""
        return Form.fixed(figure) if isinstance(figure, Fraction) else figure

    def is_one_of(self, fact: forms.Fact, options: Sequence[str | bool]) -> bool | None:
        """Tell whether a choice is one of the options, without asking which where it is an input."""
        if self.source(fact.name) is FREE:
            return self.view.is_one_of(fact.name, frozenset(options))
        value = self.fact(fact)
        return None if value is None else value in options

    def at_most(self, one: Any, two: Any, *, strict: bool = False) -> bool:
        """Compare two forms, all over the region."""
        return self.view.at_most(one, two, strict=strict)

    def combine(self, operation: str, one: Form, two: Form) -> Form:
        """Combine two forms. Raises NotLinear for a product of two quantities."""
        if operation == "sum":
            return one.plus(two)
        if operation == "product":
            if one.is_constant:
                return two.times(one.constant)
            if two.is_constant:
                return one.times(two.constant)
            raise NotLinear(operation)
        smaller = self.view.at_most(one, two)
        return one if smaller is (operation == "least") else two

    def between(self, low: Form, high: Form, keys: tuple[Fraction, Fraction], value: Form) -> Form:
        """Interpolate between two printed figures: a form in what the table is entered with."""
        slope = (high.constant - low.constant) / (keys[1] - keys[0])
        return low.plus(value.minus(Form.fixed(keys[0])).times(slope))

    def entries(self, keys: Sequence[forms.Key], entered: Sequence[Any]) -> list[Near]:
        """Return where the axes are entered, up to the first that is not: more would cut for nothing."""
        found: list[Near] = []
        for key, value in zip(keys, entered, strict=True):
            found.append(self.near(key, value))
            if not found[-1].places:
                break
        return found

    # -- outcomes ---------------------------------------------------------------------------------

    def settled(self, status: Status, beyond: str = "") -> Asked:
        """Return an outcome that is a status and no more."""
        return Asked(status)

    def held(self, met: bool | None) -> Asked:
        """Return what a condition comes to that is met, not met, or unknown."""
        if met is None:
            return Asked(INFORMATION_MISSING)
        return Asked(COMPLIES if met else DOES_NOT_COMPLY)

    def gives(self, ask: forms.Gives) -> Asked:
        """Return the value given."""
        figure = self.value(ask.value)
        if figure is None or isinstance(figure, Special):
            return without_figure(figure)
        return Asked(COMPLIES, (), (figure,))

    def limits(self, ask: forms.Limits | forms.Member) -> Asked:
        """Return the bounds of an input; whether they are met, of what clauses or a place give."""
        given, subject = self._subject(ask.subject)
        if isinstance(ask, forms.Member):
            return self._bounded(given, Bound(subject, one_of=frozenset(ask.options)))
        found = self.bounds(ask)
        if isinstance(found, NoBounds):
            return without_figure(found.why)
        return self._bounded(given, Bound(subject, *found))

    def _subject(self, subject: forms.Subject) -> tuple[object, str]:
        if isinstance(subject, forms.Span):
            return FREE, f"{subject.start} to {subject.end}"
        given = self.source(subject.name)
        if given is BEYOND:
            raise NoFigure(subject.name)
        return given, subject.name

    def _bounded(self, given: object, bound: Bound) -> Asked:
        """Return what a bound asks; decided here where its subject is no input of a design."""
        if given is FREE:
            return Asked(COMPLIES, (bound,))
        if given is None:
            return Asked(INFORMATION_MISSING)
        met = bound.one_of is None or given in bound.one_of
        if isinstance(given, Form):
            met = (bound.least is None or self.view.at_most(bound.least, given)) and (
                bound.most is None or self.view.at_most(given, bound.most)
            )
        return Asked(COMPLIES, (replace(bound, decided=True),)) if met else Asked(DOES_NOT_COMPLY)

    # -- branches ---------------------------------------------------------------------------------

    def parts_from(self, governing: Asked, other: Asked, *, gives: bool) -> bool:
        """Tell whether another branch may ask something else: other limits are another thing."""
        return governing.status == INFORMATION_MISSING or other != governing

    def undecided(self, outcome: Asked, missing: tuple[Missing, ...]) -> Asked:
        """Return that it is not known what is asked."""
        return Asked(INFORMATION_MISSING)

    def strictest(
        self, read: list[BranchRead[Asked]], *, gives: bool
    ) -> tuple[BranchRead[Asked], Asked, tuple[Branch, ...]]:
        """Return what all readings ask together: what meets the strictest meets each.

        Neither of two values given is the stricter: readings that differ leave it open.
        """
        found = together(self.view, [r.outcome for r in read])
        if len(found.provided) < 2:
            return read[0], found, ()
        return read[0], Asked(INFORMATION_MISSING), tuple(r.branch for r in read[1:])

    def conflict(self, rule: Rule, one: int, two: int) -> Asked:
        """Say that the rule set is at fault here."""
        return Asked(CONFLICT)


def without_figure(figure: Special | None) -> Asked:
    """Return what is asked where there is no figure: fail closed."""
    if figure is BEYOND:
        return Asked(ENGINEERING_REQUIRED)
    return Asked(DOES_NOT_COMPLY if figure is FORBIDDEN else INFORMATION_MISSING)
