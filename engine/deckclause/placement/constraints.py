"""Distances between datums on a vertical section: the one form of limit placement knows."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from msgspec import Struct
from msgspec.structs import force_setattr

Kind = Literal["clause", "boards"]
Exact = Fraction | int


def exact(value: Exact, what: str) -> Fraction:
    """Return `value` (inches) as a Fraction; raise TypeError for anything not exact.

    >>> exact(2, "end distance")
    Fraction(2, 1)
    """
    if type(value) is Fraction:
        return value  # nearly all are: asked for every bound of every system solved
    if isinstance(value, bool) or not isinstance(value, int | Fraction):
        raise TypeError(
            f"{what}: {value!r} is not exact; give a whole number or a Fraction of inches"
        )
    return Fraction(value)


class Distance(Struct, frozen=True):
    """What one rule, or one board, says of two datums.

    `position(end) - position(start)` lies within `[least, most]`, in inches, positions measured
    downward along one vertical section. Either bound may be open (None), not both.

    `kind` is `clause` for a rule and `boards` for what the lumber and the design fix (a dressed
    depth, the drop asked for). `cites` says where the rule stands; `standing` how well it is
    known (confirmed, derived, memory, common practice).

    Raises ValueError for a distance with no bound or with one datum at both ends, TypeError for
    a bound that is not exact.

    >>> Distance("ledger.top_edge", "fasteners.lower_row", Fraction(13, 2), None, "lower row")
    Distance(ledger.top_edge -> fasteners.lower_row, at least 6-1/2 in, 'lower row')
    """

    start: str
    end: str
    least: Fraction | None
    most: Fraction | None
    label: str
    cites: str = ""
    standing: str = ""
    kind: Kind = "clause"

    def __post_init__(self) -> None:
        if not self.start or not self.end:
            raise ValueError(f"'{self.label}' names no datum; give both a start and an end")
        if self.start == self.end:
            raise ValueError(f"'{self.label}' measures {self.start} from itself; give two datums")
        if self.least is None and self.most is None:
            raise ValueError(f"'{self.label}' sets no bound; give a least, a most, or both")
        if self.kind not in ("clause", "boards"):
            raise ValueError(f"'{self.label}': kind is 'clause' or 'boards', not {self.kind!r}")
        for name in ("least", "most"):
            value = getattr(self, name)
            if value is not None and type(value) is not Fraction:
                force_setattr(self, name, exact(value, f"'{self.label}' {name}"))

    @property
    def is_rigid(self) -> bool:
        """Whether the boards fix the distance at one length."""
        return self.kind == "boards" and self.least is not None and self.least == self.most

    def __repr__(self) -> str:
        return f"Distance({self.start} -> {self.end}, {self.bounds_text()}, {self.label!r})"

    def bounds_text(self) -> str:
        """Print the bounds as a carpenter says them.

        >>> Distance("a", "b", Fraction(13, 8), Fraction(5), "row spacing").bounds_text()
        '1-5/8 in to 5 in'
        """
        if self.least is not None and self.least == self.most:
            return exact_length_text(self.least)
        if self.most is None:
            assert self.least is not None
            return f"at least {exact_length_text(self.least)}"
        if self.least is None:
            return f"at most {exact_length_text(self.most)}"
        return f"{exact_length_text(self.least)} to {exact_length_text(self.most)}"


def fixed(start: str, end: str, length: Exact, label: str, *, cites: str = "") -> Distance:
    """Return the distance the boards fix at one length (inches).

    >>> fixed("band_joist.top_edge", "band_joist.bottom_edge", Fraction(37, 4), "a 2x10's depth")
    Distance(band_joist.top_edge -> band_joist.bottom_edge, 9-1/4 in, "a 2x10's depth")
    """
    value = exact(length, label)
    return Distance(start, end, value, value, label, cites, "derived", "boards")


def exact_length_text(value: Exact) -> str:
    """Print a length so that nothing is lost: where 1/64 in cannot say it, add the fraction.

    >>> exact_length_text(Fraction(13, 2)), exact_length_text(Fraction(1, 3))
    ('6-1/2 in', 'about 5/16 in (exactly 1/3)')
    """
    from deckclause.quantities import length_text

    text = length_text(value)
    return f"{text} (exactly {value})" if text.startswith("about") else text
