"""One value of a design or a rule, exact, with the words for it in either kind of units."""

from __future__ import annotations

from msgspec import Struct

from deckclause.evaluate.words import scalar_text
from deckclause.rulesets.clauses import Scalar


class Figure(Struct, frozen=True):
    """A measure in inch-pound-degree units, a choice, or yes or no."""

    value: Scalar
    kind: str
    unit: str = ""

    def text(self, *, si: bool = False) -> str:
        """Write the value as a carpenter reads it, or in SI units."""
        return scalar_text(self.value, self.kind, self.unit, si=si)


def figure(value: Scalar | None, kind: str, unit: str = "") -> Figure | None:
    """Return a value as a figure; None stays None."""
    return None if value is None else Figure(value, kind, unit)


def limit_words(least: Figure | None, most: Figure | None, *, si: bool = False) -> str:
    """Write a limit: `at least 2 in`, `1-5/8 in to 5 in`, `exactly 2 in`; nothing without one."""
    if least is not None and most is not None:
        if least.value == most.value:
            return f"exactly {least.text(si=si)}"
        return f"{least.text(si=si)} to {most.text(si=si)}"
    if least is not None:
        return f"at least {least.text(si=si)}"
    return f"at most {most.text(si=si)}" if most is not None else ""
