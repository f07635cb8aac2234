"""The three ways a table rounds, named, so that a result says which one it used."""

from __future__ import annotations

import math
from enum import Enum

TIE = 1e-9
"""Guard against a whole number stored a hair off, in the unit being rounded."""


class Rounding(Enum):
    """How an unrounded result becomes a printed whole number."""

    DOWN = "down to the whole inch"
    NEAREST = "to the nearest inch"
    UP = "up to the whole inch"


def round_inches(value_in: float, rounding: Rounding) -> int:
    """Round a length in inches. Ties at the half go up, as in the code's span tables.

    >>> round_inches(142.47, Rounding.NEAREST), round_inches(10.01, Rounding.UP)
    (142, 11)
    """
    if rounding is Rounding.DOWN:
        return math.floor(value_in + TIE)
    if rounding is Rounding.UP:
        return math.ceil(value_in - TIE)
    return math.floor(value_in + 0.5)


def round_to(value: float, step: float) -> float:
    """Round a value to the nearest multiple of `step` (10 lb, 50 psi), half up.

    >>> round_to(334.9, 10), round_to(6160.0, 50)
    (330, 6150)
    """
    return math.floor(value / step + 0.5) * step


def feet_inches(total_in: int) -> str:
    """Print whole inches as a span table does.

    >>> feet_inches(142)
    '11-10'
    """
    feet, inches = divmod(total_in, 12)
    return f"{feet}-{inches}"
