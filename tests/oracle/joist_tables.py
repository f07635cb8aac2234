"""Span and cantilever figures of deck joists, feet-inches, for the joist oracle.

Columns of the span tables are joist spacings of 12, 16 and 24 in; those of the cantilever table by
back span are 4, 6, 8 ... 18 ft. `NP` is not permitted, `?` a figure no source and no memory gave.

- 2015 (Table R507.5): a southern pine handout in the 2015 layout (docslib.org 8073521) and an
  article on the 2015 table (doorwaysmagazine.com); Michigan Residential Code 2015 for most of the
  Douglas fir-larch row; the other rows of cantilevered 2x10 and 2x12 from memory. Douglas
  fir-larch group 2x6 at 16 in: remembered as 8-8, printed 8-6; the lesser is read.
- 2018 (Table R507.6): from memory, the 2015 spans without cantilever; where AWC DCA 6 (2012/2015)
  and the NDS arithmetic give less (2x6 at 16 and 24 in, redwood 2x6 at 24 in), the lesser is read.
- 2021 (Table R507.6): from memory; 40 psf equals AWC DCA 6 (2012/2015), Table 2.
"""

from __future__ import annotations

from fractions import Fraction

SPACINGS = (Fraction(12), Fraction(16), Fraction(24))
BACK_SPANS = tuple(Fraction(12 * feet) for feet in range(4, 19, 2))
SNOW_ROWS = (40, 50, 60, 70)

_SPANS_2015 = """
southern  9-11 9-0 7-7    13-1 11-10 9-8   16-2 14-0 11-5    18-0 16-6 13-6
douglas   9-6 8-6 7-2     12-6 11-1 9-1    15-8 13-7 11-1    18-0 15-9 12-10
redwood   8-10 8-0 7-0    11-8 10-7 8-8    14-11 13-0 10-7   17-5 15-1 12-4
"""
_SPANS_2015_WITH_CANTILEVER = """
southern  6-8 6-8 6-8     10-1 10-1 9-8    14-6 14-0 11-5    18-0 16-6 13-6
douglas   6-3 6-3 6-3     9-5 9-5 9-1      13-7 13-7 11-1    18-0 15-9 12-10
redwood   5-7 5-7 5-7     8-6 8-6 8-6      12-3 12-3 10-7    16-5 15-1 12-4
"""
_SPANS_2018 = """
southern  9-11 9-0 7-7    13-1 11-10 9-8   16-2 14-0 11-5    18-0 16-6 13-6
douglas   9-6 8-4 6-10    12-6 11-1 9-1    15-8 13-7 11-1    18-0 15-9 12-10
redwood   8-10 8-0 6-10   11-8 10-7 8-8    14-11 13-0 10-7   17-5 15-1 12-4
"""
_SPANS_2021 = {
    40: _SPANS_2018,
    50: """
southern  9-2 8-4 7-4     12-1 11-0 9-5    15-5 13-9 11-3    18-0 16-2 13-2
douglas   8-10 8-0 6-8    11-7 10-7 8-11   14-10 13-3 10-10  17-9 15-5 12-7
redwood   8-3 7-6 6-6     10-10 9-10 8-6   13-10 12-7 10-5   16-9 14-9 12-1
""",
    60: """
southern  8-7 7-10 6-10   11-4 10-4 8-9    14-6 12-9 10-5    17-3 15-0 12-3
douglas   8-4 7-6 6-2     10-11 9-11 8-3   13-11 12-4 10-0   16-6 14-3 11-8
redwood   7-9 7-0 6-2     10-2 9-3 7-11    13-0 11-9 9-7     15-9 13-8 11-2
""",
    70: """
southern  8-2 7-5 6-5     10-9 9-9 8-2     13-9 11-11 9-9    16-2 14-0 11-5
douglas   7-11 7-1 5-9    10-5 9-5 7-8     13-3 11-6 9-5     15-5 13-4 10-11
redwood   7-4 6-8 5-10    9-8 8-10 7-4     12-4 11-0 9-0     14-9 12-9 10-5
""",
}
_CANTILEVERS_2018 = """
southern  1-3 1-4 1-6     2-1 2-3 2-5      3-4 3-6 2-10      4-6 4-2 3-4
douglas   1-2 1-3 1-5     1-11 2-1 2-3     3-1 3-5 2-9       4-6 3-11 3-3
redwood   1-0 1-1 1-2     1-8 1-10 2-0     2-8 2-10 2-8      3-10 3-9 3-1
"""
_CANTILEVERS_2021 = """
southern 2x6   1-0 1-6 1-5 NP   NP   NP   NP   NP
southern 2x8   1-0 1-6 2-0 2-6  2-3  NP   NP   NP
southern 2x10  1-0 1-6 2-0 2-6  3-0  3-4  3-4  NP
southern 2x12  1-0 1-6 2-0 2-6  3-0  3-6  4-0  4-1
douglas  2x6   1-0 1-6 1-4 NP   NP   NP   NP   NP
douglas  2x8   1-0 1-6 2-0 2-3  2-0  NP   NP   NP
douglas  2x10  1-0 1-6 2-0 2-6  3-0  3-3  NP   NP
douglas  2x12  1-0 1-6 2-0 2-6  3-0  3-6  3-11 3-11
redwood  2x6   1-0 1-4 1-1 NP   NP   NP   NP   NP
redwood  2x8   1-0 1-6 2-0 1-11 NP   NP   NP   NP
redwood  2x10  ?   ?   ?   ?    ?    ?    ?    ?
redwood  2x12  ?   ?   ?   ?    ?    ?    ?    ?
"""

Cell = Fraction | str


def _cell(text: str) -> Cell:
    """Read feet-inches into inches; `NP` and `?` stay as they are."""
    feet, dash, inches = text.partition("-")
    return Fraction(12 * int(feet) + int(inches)) if dash else text


def _by_spacing(text: str) -> dict[tuple[str, str], tuple[Fraction, ...]]:
    table = {}
    for line in text.strip().splitlines():
        group, *cells = line.split()
        for number, size in enumerate(("2x6", "2x8", "2x10", "2x12")):
            row = [_cell(cell) for cell in cells[3 * number : 3 * number + 3]]
            table[group, size] = tuple(cell for cell in row if isinstance(cell, Fraction))
    return table


def _by_back_span(text: str) -> dict[tuple[str, str], tuple[Cell, ...]]:
    table = {}
    for line in text.strip().splitlines():
        group, size, *cells = line.split()
        table[group, size] = tuple(map(_cell, cells))
    return table


SPANS_2015 = _by_spacing(_SPANS_2015)
SPANS_2015_WITH_CANTILEVER = _by_spacing(_SPANS_2015_WITH_CANTILEVER)
SPANS_2018 = _by_spacing(_SPANS_2018)
SPANS_2021 = {load: _by_spacing(text) for load, text in _SPANS_2021.items()}
CANTILEVERS_2018 = _by_spacing(_CANTILEVERS_2018)
CANTILEVERS_2021 = _by_back_span(_CANTILEVERS_2021)
