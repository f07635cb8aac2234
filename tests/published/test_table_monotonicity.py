"""Every table of every edition and guide: a heavier case never gets a lighter requirement.

Each pair of neighbouring cells along each measured axis is compared, and along member sizes. The
violations found are listed with what they are; a new one fails, and so does one that goes away.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise, product

import pytest

from deckclause.rulesets.clauses import Table
from published.rule_tables import library

FRAMING = ("awc-dca6-2009", "awc-dca6-2012", "awc-dca6-2015", "irc-2009", "irc-2012", "irc-2015",
           "irc-2018", "irc-2021", "irc-2024")  # fmt: skip
HEAVIER_WITH_MORE = {
    "loads.framing_table_snow",
    "loads.ledger_table_snow",
    "joists.span",
    "joists.spacing",
    "beams.joist_span",
    "beams.effective_joist_span",
    "posts.tributary_area",
    "posts.beam_span",
    "posts.joist_span",
    "footings.tributary_area",
    "footings.beam_span",
    "footings.joist_span",
}
LIGHTER_WITH_MORE = {"site.soil_bearing"}
SIZES = (
    ("2x6", "2x8", "2x10", "2x12"),
    ("1-2x6", "1-2x8", "1-2x10", "1-2x12"),
    ("2-2x6", "2-2x8", "2-2x10", "2-2x12"),
    ("3-2x6", "3-2x8", "3-2x10", "3-2x12"),
    ("4x6", "4x8", "4x10", "4x12"),
    *(tuple(f"{plies}-2x{depth}" for plies in (1, 2, 3)) for depth in (6, 8, 10, 12)),
    ("4x4", "4x6", "6x6", "8x8"),
)
NEEDS_MORE = {"footing_sizes"}
"""Tables of least sizes; all others give greatest spans, heights or spacings."""
BY_RULE = {("irc-2021", "joist_cantilevers"), ("irc-2024", "joist_cantilevers")}
"""Read by the joist span beside the cantilever: it rises as a quarter of the span, then falls."""


def tables() -> Iterator[tuple[str, Table]]:
    for ruleset in FRAMING:
        for table in library().ruleset(ruleset).tables:
            yield ruleset, table


def figure(value: Fraction | str) -> Fraction | None:
    """`not permitted` is a span of nothing; what has not been seen cannot be compared."""
    if isinstance(value, str):
        return Fraction(0) if value == "not permitted" else None
    return value


def chains(table: Table) -> Iterator[tuple[int, tuple[int, ...], bool]]:
    """Yield axis number, key places in order of growing need, and whether cells may only shrink."""
    for number, axis in enumerate(table.axes):
        places = tuple(range(len(axis.keys)))
        if axis.quantity in HEAVIER_WITH_MORE:
            yield number, places, True
        elif axis.quantity in LIGHTER_WITH_MORE:
            yield number, places[::-1], True
        for sizes in SIZES:
            known = tuple(axis.keys.index(size) for size in sizes if size in axis.keys)
            if axis.quantity.endswith(".size") and len(known) > 1:
                yield number, known, False


def violations(table: Table) -> Iterator[tuple[str, ...]]:
    for number, places, shrinks in chains(table):
        others = [range(len(a.keys)) if i != number else (0,) for i, a in enumerate(table.axes)]
        for rest in product(*others):
            row = []
            for place in places:
                at = tuple(place if i == number else r for i, r in enumerate(rest))
                value = figure(table.cells[table.position(at)])
                if value is not None:
                    row.append((at, value))
            for (_, lighter), (at, heavier) in pairwise(row):
                may_shrink = shrinks != (table.name in NEEDS_MORE)
                if (heavier > lighter) if may_shrink else (heavier < lighter):
                    keys = [a.keys[i] for a, i in zip(table.axes, at, strict=True)]
                    yield tuple(str(k) for k in (table.axes[number].quantity, *keys))


def test_the_tables_are_all_here():
    names = {(ruleset, table.name) for ruleset, table in tables()}
    assert len(names) >= 30
    assert ("irc-2021", "ledger_spacing") in names


def cantilevers_at_the_table_span(ruleset: str, name: str) -> bool:
    return name in ("joist_cantilevers", "joist_overhangs") and (ruleset, name) not in BY_RULE


@pytest.mark.parametrize(("ruleset", "table"), list(tables()), ids=lambda x: getattr(x, "name", x))
def test_a_heavier_case_never_gets_a_lighter_requirement(ruleset, table):
    found = set(violations(table))
    if (ruleset, table.name) in BY_RULE:
        found = {one for one in found if one[0] != "joists.span"}
    if cantilevers_at_the_table_span(ruleset, table.name):
        # Not a misprint: the figure belongs to the span of its own column. A wider spacing has a
        # shorter span, whose tip turns less, so the cantilever grows until bending makes the span,
        # and its quarter, short. Only spacing may do so.
        assert {one[0] for one in found} <= {"joists.spacing"}
        found = {one for one in found if one[0] != "joists.spacing"}
    if table.name == "joist_spans" and any(a.quantity == "joists.span_columns" for a in table.axes):
        found = {one for one in found if one[0] != "joists.span_columns"}
    assert found == set()


def test_what_grows_with_spacing_is_known():
    """Steps from 12 to 16 in or 16 to 24 in at which the cantilever grows, for the reason above."""
    grown = {
        (ruleset, table.name): sum(one[0] == "joists.spacing" for one in violations(table))
        for ruleset, table in tables()
        if cantilevers_at_the_table_span(ruleset, table.name)
    }
    assert grown == {
        ("irc-2018", "joist_cantilevers"): 15,
        ("awc-dca6-2012", "joist_overhangs"): 17,
        ("awc-dca6-2015", "joist_overhangs"): 17,
    }


def test_a_cantilever_column_never_spans_farther_than_the_plain_one():
    for ruleset in ("irc-2015", "awc-dca6-2009"):
        table = next(t for t in library().ruleset(ruleset).tables if t.name == "joist_spans")
        half = len(table.cells) // 2
        for plain, with_cantilever in zip(table.cells[:half], table.cells[half:], strict=True):
            if not isinstance(plain, str) and not isinstance(with_cantilever, str):
                assert with_cantilever <= plain


def test_cantilevers_of_2021_rise_as_a_quarter_and_then_fall_or_stay():
    for ruleset, name in BY_RULE:
        table = next(t for t in library().ruleset(ruleset).tables if t.name == name)
        spans = table.axes[-1].keys
        for start in range(0, len(table.cells), len(spans)):
            row = [figure(c) for c in table.cells[start : start + len(spans)]]
            if None in row:
                continue
            peak = row.index(max(row))
            assert row[:peak] == sorted(row[:peak])
            assert row[peak:] == sorted(row[peak:], reverse=True)
            for span, cell in zip(spans, row, strict=True):
                assert cell <= span / 4
