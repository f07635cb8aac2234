"""The loads of the deck tables: 40 psf live or a ground snow load, with 10 psf dead."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from deckclause.engineering.inputs import psi
from deckclause.engineering.members.adjustment import LoadDuration
from deckclause.quantities import LENGTH, PRESSURE, Quantity

PSF = Fraction(1, 144)


def psf(value: int | Fraction) -> Quantity:
    """Return a load per area from pounds per square foot."""
    return Quantity(Fraction(value) * PSF, PRESSURE)


def length_in(value: int | Fraction) -> Quantity:
    """Return a length from inches."""
    return Quantity(Fraction(value), LENGTH)


LIVE = psf(40)
DEAD = psf(10)


class DeckLoad(Struct, frozen=True):
    """The variable load of a table with its duration; dead load stands beside it."""

    variable: Quantity
    duration: LoadDuration

    @property
    def total(self) -> Quantity:
        """Variable plus 10 psf dead load."""
        return self.variable + DEAD

    @property
    def text(self) -> str:
        """The load in words."""
        kind = "snow" if self.duration is LoadDuration.SNOW else "live"
        return f"{float(self.variable.value / PSF):g} psf {kind} + 10 psf dead"


LIVE_LOAD = DeckLoad(LIVE, LoadDuration.OCCUPANCY)


def snow_load(ground_snow: Quantity) -> DeckLoad:
    """Return the snow case: the full ground snow load, uniform, duration factor 1.15.

    >>> snow_load(psf(50)).text
    '50 psf snow + 10 psf dead'
    """
    psi(ground_snow, "ground snow load")
    return DeckLoad(ground_snow, LoadDuration.SNOW)
