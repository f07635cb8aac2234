"""What a clause asks of one subject, branch by branch, with what is unknown kept and not decided.

A finding says whether a value complies; placement asks instead what values would, while the gates or
an exception may still be open. The words are read by the same reader; only nothing is decided.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from deckclause.reading import forms
from deckclause.reading.branch import Branch
from deckclause.reading.exact import ExactReader, Facts
from deckclause.reading.reader import NoBounds, NoFigure
from deckclause.reading.special import BEYOND, FORBIDDEN, UNSEEN, Special
from deckclause.reading.status import (
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    Status,
)
from deckclause.reading.trace import Missing, Step

Bounds = tuple[Fraction | None, Fraction | None]
"""Least and most; None where open."""
NO_FIGURE: dict[Special | None, tuple[Status, str]] = {
    BEYOND: (ENGINEERING_REQUIRED, "no figure is prescribed for this case"),
    FORBIDDEN: (DOES_NOT_COMPLY, "the table says not permitted"),
    UNSEEN: (INFORMATION_MISSING, "the figure has not been seen in print; read the code"),
    None: (INFORMATION_MISSING, "what the figure depends on is not known"),
}


class Gate(Struct, frozen=True):
    """What came of applies, scope or an exception's condition; `beyond`: it has no figure here."""

    holds: bool | None
    beyond: str = ""


class BranchBounds(Struct, frozen=True):
    """What one branch asks of the subject.

    `bounds` is None where it gives none: then `status` and `reason` say why, or, with no reason,
    the branch does not speak of the subject.
    """

    branch: Branch
    bounds: Bounds | None
    standing: str
    status: Status | None = None
    reason: str = ""
    is_about_subject: bool = False
    """Whether the branch sets a limit on the subject, be its figure known or not."""

    @property
    def most(self) -> Fraction | None:
        """The most it allows; None where open or not given."""
        return self.bounds[1] if self.bounds else None


class BoundsReader(ExactReader):
    """Reads one clause's bounds on one subject; `missing` gathers what was unknown."""

    def __init__(self, rule: forms.Rule, subject: forms.Subject, facts: Facts) -> None:
        super().__init__(facts)
        self.rule = rule
        self.of = subject

    def gate(self, node: forms.Truth) -> Gate:
        """Read a gate or an exception's condition."""
        holds, _, beyond = self.decided(node)
        return Gate(holds, beyond)

    def branch_bounds(self, branch: Branch) -> BranchBounds:
        """Read what a branch asks of the subject, as if it governed."""
        ask = self.rule.ask(branch)
        mark = len(self._steps)
        standing = branch.standing(self.rule.clause)
        try:
            found = self._bounds(ask)
        except NoFigure as none:
            found = ENGINEERING_REQUIRED, f"{none.quantity} has no figure here"
        step = Step(ask, None, tuple(self._steps[mark:]))
        del self._steps[mark:]
        if found is None:
            return BranchBounds(branch, None, standing)
        if isinstance(found[0], Status):
            about = isinstance(ask, forms.Limits)
            return BranchBounds(branch, None, standing, *found, about)
        return BranchBounds(branch, found, weakest(standing, step))

    def _bounds(self, ask: forms.Ask) -> Bounds | tuple[Status, str] | None:
        match ask:
            case forms.Settled(status, why, text):
                if why in ("waived", "informs"):
                    return None, None
                return status, f"not modelled: {text}" if why == "unmodelled" else text
            case forms.Limits(subject) if subject == self.of:
                found = self.bounds(ask)
                return NO_FIGURE[found.why] if isinstance(found, NoBounds) else found
            case forms.Member(subject, _) if subject == self.of:
                return None, None
            case _:
                return None

    @property
    def lacking(self) -> tuple[Missing, ...]:
        """What was unknown, each once."""
        return tuple(dict.fromkeys(self.missing))


STANDINGS = ("confirmed", "derived", "common practice", "memory")
"""Standings from the best founded to the least."""


def weakest(standing: str, step: Step) -> str:
    """Return the weakest standing among a branch's words and the printed cells read under a step."""
    cells = (cell.standing for s in step.walk() if s.cell is not None for cell in s.cell.cells)
    return max([standing, *cells], key=STANDINGS.index)
