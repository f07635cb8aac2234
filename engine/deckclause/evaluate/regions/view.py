"""Questions asked of a region: whether a choice is one of these, a figure at most that.

Every question is answered for the whole region, or the region is cut (Undecided).
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from deckclause.evaluate.regions.explore import Undecided
from deckclause.evaluate.regions.linear import Form, Inequality
from deckclause.evaluate.regions.space import Options, Range, Space
from deckclause.rulesets.vocabulary import QuantityDefinition

YES_NO: Options = frozenset((True, False))
ANY = Range()


def whole_space(quantities: Mapping[str, QuantityDefinition], names: list[str]) -> Space:
    """Return the region of everything the named quantities may be: nothing negative but signed."""
    ranges = {
        name: Range(Fraction(0))
        for name in names
        if quantities[name].dimension is not None and not quantities[name].signed
    }
    return Space({}, ranges, ())


class View:
    """One region, and the questions that may be asked of it."""

    def __init__(self, space: Space, quantities: Mapping[str, QuantityDefinition]) -> None:
        self.space = space
        self.quantities = quantities

    def options(self, quantity: str) -> Options:
        """Return the choices a quantity may have here."""
        found = self.space.options.get(quantity)
        if found is not None:
            return found
        definition = self.quantities[quantity]
        return YES_NO if definition.kind == "yes_no" else frozenset(definition.choices)

    def is_one_of(self, quantity: str, wanted: Options) -> bool:
        """Tell whether a choice is one of `wanted`, all over the region."""
        here = self.options(quantity)
        inside = here & wanted
        if not inside:
            return False
        if inside == here:
            return True
        raise Undecided(
            (
                self.space.with_options(quantity, inside),
                self.space.with_options(quantity, here - inside),
            )
        )

    def choice(self, quantity: str, order: tuple[str, ...]) -> str | None:
        """Return which of `order` a choice is; None where it is none of them."""
        for option in order:
            if self.is_one_of(quantity, frozenset((option,))):
                return option
        return None

    def at_most(self, one: Form, two: Form, *, strict: bool = False) -> bool:
        """Tell whether `one` is at most (less than, where strict) `two`, all over the region."""
        if not two.terms and one.is_plain:
            return self._one_measure(one.terms[0][0], two.constant, below=True, strict=strict)
        if not one.terms and two.is_plain:
            return self._one_measure(two.terms[0][0], one.constant, below=False, strict=strict)
        row = Inequality(one.minus(two), strict)
        if row.form.is_constant:
            return row.holds({})
        if len(row.form.terms) == 1:
            name, share = row.form.terms[0]
            edge = -row.form.constant / share
            return self._one_measure(name, edge, below=share > 0, strict=strict)
        yes, no = self.space.with_line(row), self.space.with_line(row.negated())
        if no.empty:
            return True
        if yes.empty:
            return False
        raise Undecided((yes, no))

    def _one_measure(self, name: str, edge: Fraction, *, below: bool, strict: bool) -> bool:
        """Tell whether a measure lies below (or above) an edge, the edge itself only if not strict."""
        here = self.space.ranges.get(name, ANY)
        if below:
            inside = Range(high=edge, high_open=strict)
            outside = Range(low=edge, low_open=not strict)
        else:
            inside = Range(low=edge, low_open=strict)
            outside = Range(high=edge, high_open=not strict)
        yes, no = here.meet(inside), here.meet(outside)
        if self.quantities[name].kind == "count":
            yes, no = yes.whole(), no.whole()
        if no.empty:
            return True
        if yes.empty:
            return False
        pieces = self.space.with_exact_range(name, yes), self.space.with_exact_range(name, no)
        raise Undecided(pieces if below else pieces[::-1])
