"""What a figure rests on, how sure we are of it, and the factors behind it.

A number without its basis is dangerous: a code table may rest on tests that no equation here
covers, and a value read back from a table is not a strength of anything else.
"""

from __future__ import annotations

from enum import Enum

from msgspec import Struct


class Basis(Enum):
    """Where a figure comes from; the values are the words shown to a reader."""

    CODE_TABLE = "code table"
    CALCULATION = "calculation"
    IMPLIED = "implied by a table"
    FITTED = "calculation with choices fitted to a table"


class Standing(Enum):
    """How far a figure has been checked against its source."""

    CONFIRMED = "confirmed"
    DERIVED = "derived"
    MEMORY = "memory"
    COMMON_PRACTICE = "common practice"


class Factor(Struct, frozen=True):
    """One multiplier or input of a calculation, with its reason."""

    symbol: str
    value: float
    reason: str
    source: str
    standing: Standing

    def line(self) -> str:
        """Print the factor in one line.

        >>> Factor("CD", 1.0, "floor live load", "NDS 2.3.2", Standing.MEMORY).line()
        'CD = 1 (floor live load; NDS 2.3.2; memory)'
        """
        return (
            f"{self.symbol} = {self.value:.4g} ({self.reason}; {self.source}; "
            f"{self.standing.value})"
        )


class Check(Struct, frozen=True):
    """One limit examined and what it allows, in the unit named."""

    name: str
    allows: float
    unit: str
    source: str

    def line(self) -> str:
        """Print the check in one line.

        >>> Check("bending", 142.47, "in", "NDS 3.3").line()
        'bending allows 142.47 in (NDS 3.3)'
        """
        return f"{self.name} allows {self.allows:.2f} {self.unit} ({self.source})"


def product(factors: tuple[Factor, ...]) -> float:
    """Multiply the values of some factors.

    >>> half = Factor("a", 0.5, "", "", Standing.DERIVED)
    >>> product((half, half))
    0.25
    """
    total = 1.0
    for factor in factors:
        total *= factor.value
    return total
