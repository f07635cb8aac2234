"""The sixteen clauses written by hand in plain Python: what the generated functions are held to.

Every clause gives the same findings as the engine: status, value, least, most, and the facts that
are missing. Facts are whole ticks, choices and yes or no.
"""

# ruff: noqa: PLR0912 - long and straight, as code tuned by hand is

from __future__ import annotations

from bisect import bisect_left
from typing import Any

from deckclause.reading.branch import Branch

NOT_APPLICABLE, COMPLIES, MISSING, ENGINEERING, FAILS = range(1, 6)
OWN, FIRST = Branch("own"), Branch("exception", 1)
TICKS = 8128
SPANS = tuple(12 * TICKS * feet for feet in (6, 8, 10, 12, 14, 16, 18))
CELLS = {
    "lag_screw": tuple(TICKS * c for c in (30, 23, 18, 15, 13, 11, 10)),
    "through_bolt": tuple(TICKS * c for c in (36, 36, 34, 29, 24, 21, 19)),
    "through_bolt_thick_assembly": tuple(TICKS * c for c in (36, 36, 29, 24, 21, 18, 16)),
}
LOWER = {"2x8": 11 * TICKS // 2, "2x10": 13 * TICKS // 2, "2x12": 15 * TICKS // 2}
SPECIES = frozenset(
    ("spruce_pine_fir", "hem_fir", "douglas_fir_larch", "southern_pine", "douglas_fir")
)
WOOD = frozenset(("none", "wood_structural_panel", "lumber"))
BOLTS = frozenset(("lag_screw", "through_bolt"))
BANDS = frozenset(("sawn_lumber", "laminated_veneer_lumber"))
NAILS = frozenset(("toenail", "nail"))
SIZES = frozenset(LOWER)
GRADES = frozenset(("select_structural", "no_1", "no_2"))
UPPER_ROW = ("ledger.top_edge", "fasteners.upper_row")
LOWER_ROW = ("ledger.top_edge", "fasteners.lower_row")
BOTTOM = ("fasteners.lower_row", "ledger.bottom_edge")
ROWS = ("fasteners.upper_row", "fasteners.lower_row")

SPACING = 10
ONCE = (*range(10), *range(11, 16))

Found = tuple[int, Any, Any, Any, int, tuple[Any, ...] | None]
"""(status, value, least, most, which branch governed, missing facts)."""
Row = tuple[int, str, Found]
NA: Found = (NOT_APPLICABLE, None, None, None, OWN, None)
OK: Found = (COMPLIES, None, None, None, OWN, None)
FAIL: Found = (FAILS, None, None, None, OWN, None)
OUT: Found = (ENGINEERING, None, None, None, OWN, None)
NO_ASSEMBLY: Found = (ENGINEERING, None, None, None, OWN, ("fasteners.assembly",))
NO_COVER: Found = (ENGINEERING, None, None, None, OWN, ("band_joist.covered_by_table",))


def missing(*names: Any) -> Found:
    return (MISSING, None, None, None, OWN, names)


def holds(value: Any, good: Any, name: str) -> Found:
    if value is None:
        return missing(name)
    return OK if value == good else FAIL


def among(value: Any, options: frozenset[str], name: str) -> Found:
    if value is None:
        return missing(name)
    return (COMPLIES if value in options else FAILS, value, None, None, OWN, None)


def between(value: Any, least: Any, most: Any, pair: Any) -> Found:
    if value is None:
        return (MISSING, None, least, most, OWN, (pair,))
    good = (least is None or value >= least) and (most is None or value <= most)
    return (COMPLIES if good else FAILS, value, least, most, OWN, None)


def evaluate(
    facts: dict[str, Any], parts: list[tuple[str, dict[str, Any]]], where: Any
) -> list[Row]:
    """Return the findings of the sixteen clauses: once, and the spacing for each joist field."""
    get = facts.get
    attached = get("deck.attachment")
    if attached != "ledger":
        every = missing("deck.attachment") if attached is None else NA
        rows = [(number, "", every) for number in ONCE]
        return rows + [(SPACING, name, every) for name, _ in parts]
    kind = get("fasteners.kind")
    band = get("band_joist.kind")
    size = get("ledger.size")
    diameter = get("fasteners.diameter")
    rows = []
    add = rows.append
    no_kind = missing("fasteners.kind") if kind is None else None
    add((0, "", no_kind or (FAIL if kind in NAILS else OK)))
    name = "deck.connection_can_be_inspected"
    add((1, "", holds(get(name), True, name)))
    add((2, "", holds(get("wall.veneer"), "none", "wall.veneer")))
    add((3, "", holds(get("ledger.carries_beam"), False, "ledger.carries_beam")))
    add((4, "", among(size, SIZES, "ledger.size")))
    add((5, "", among(get("ledger.grade"), GRADES, "ledger.grade")))
    bolted = kind in BOLTS
    add((6, "", no_kind or (OK if bolted else OUT)))
    covered = cover(get, band)
    assembly: Any = no_kind or NA
    if bolted:
        half = TICKS // 2
        if diameter is None:
            add((7, "", missing("fasteners.diameter")))
        else:
            add((7, "", (COMPLIES, diameter, half, half, OWN, None) if diameter == half else OUT))
        assembly = assemble(get, kind)
    else:
        add((7, "", no_kind or NA))
    add((8, "", covered))
    add((9, "", assembly))
    add((11, "", holds(get("fasteners.staggered"), True, "fasteners.staggered")))
    add((12, "", between(where[UPPER_ROW], 2 * TICKS, None, UPPER_ROW)))
    add((13, "", between(where[BOTTOM], 3 * TICKS // 4, None, BOTTOM)))
    add((14, "", lower_row(get, size, band, kind, where[LOWER_ROW])))
    add((15, "", between(where[ROWS], 13 * TICKS // 8, 5 * TICKS, ROWS)))
    for name, part in parts:
        add((SPACING, name, spacing(get, part.get, kind, band, diameter, covered, assembly)))
    return rows


def cover(get: Any, band: Any) -> Found:
    if band is None:
        return missing("band_joist.kind")
    if band not in BANDS:
        return NA
    thickness = get("band_joist.thickness")
    if band == "sawn_lumber":
        species = get("band_joist.species")
        if thickness is not None and thickness < 3 * TICKS // 2:
            return OUT
        if species is not None and species not in SPECIES:
            return OUT
        lacking = [
            n
            for n, v in (("band_joist.thickness", thickness), ("band_joist.species", species))
            if v is None
        ]
    else:
        depth = get("band_joist.depth")
        if thickness is not None and thickness < TICKS:
            return OUT
        if depth is not None and depth < 19 * TICKS // 2:
            return OUT
        lacking = [
            n
            for n, v in (("band_joist.thickness", thickness), ("band_joist.depth", depth))
            if v is None
        ]
    return missing(*lacking) if lacking else (COMPLIES, True, None, None, OWN, None)


def assemble(get: Any, kind: str) -> Found:
    sheathing = get("wall.sheathing_kind")
    thickness = get("wall.sheathing_thickness")
    stack = get("wall.drainage_washer_stack")
    wood = None if sheathing is None else sheathing in WOOD
    together = None if thickness is None or stack is None else thickness + stack
    thin = None if together is None else together <= TICKS // 2
    lacking = [
        name
        for name, value in (
            ("wall.sheathing_kind", sheathing),
            ("wall.sheathing_thickness", thickness),
            ("wall.drainage_washer_stack", stack),
        )
        if value is None
    ]
    if wood and thin:
        return (COMPLIES, kind, None, None, OWN, None)
    first_open = wood is not False and thin is not False
    if first_open:
        return missing(*lacking)
    if kind == "lag_screw":
        return OUT
    small = None if stack is None else stack <= TICKS // 2
    near = None if together is None else together <= TICKS
    bare = None if stack is None else stack == 0
    either = True if bare or wood else None if bare is None or wood is None else False
    if small and near and either:
        return (COMPLIES, "through_bolt_thick_assembly", None, None, OWN, None)
    if small is False or near is False or either is False:
        return OUT
    return missing(*lacking)


def spacing(
    get: Any, own: Any, kind: Any, band: Any, diameter: Any, covered: Found, assembly: Any
) -> Found:
    if kind is None:
        return missing("fasteners.kind")
    if kind not in BOLTS:
        return NA
    snow = get("site.ground_snow_load")
    if diameter is not None and diameter != TICKS // 2:
        return OUT
    if band is not None and band not in BANDS:
        return OUT
    if covered[0] == ENGINEERING:
        return NO_COVER
    if snow is not None and snow > 4000:
        return OUT
    lacking = [
        name
        for name, value in (
            ("fasteners.diameter", diameter),
            ("band_joist.kind", band),
            ("site.ground_snow_load", snow),
        )
        if value is None
    ]
    if covered[0] == MISSING:
        lacking += covered[5] or ()
    if lacking:
        return missing(*lacking)
    if assembly[0] == ENGINEERING:
        return NO_ASSEMBLY
    span = own("joists.span")
    spaced = get("fasteners.spacing")
    if assembly[0] == MISSING:
        return missing(*(assembly[5] or ()))
    if span is None:
        return missing("joists.span")
    if span > SPANS[-1]:
        return OUT
    most = CELLS[assembly[1]][bisect_left(SPANS, span)]
    if spaced is None:
        return (MISSING, None, None, most, OWN, ("fasteners.spacing",))
    return (COMPLIES if spaced <= most else FAILS, spaced, None, most, OWN, None)


def lower_row(get: Any, size: Any, band: Any, kind: Any, lower: Any) -> Found:
    """By the ledger's size; less for a 2x8 on a 2x8 band joist with lag screws (branch 1)."""
    if size is None:
        base: Found = missing("ledger.size")
    elif size not in LOWER:
        base = OUT
    else:
        base = between(lower, LOWER[size], None, LOWER_ROW)
    board = get("band_joist.size")
    facts = ((size, "2x8"), (band, "sawn_lumber"), (board, "2x8"), (kind, "lag_screw"))
    if any(value is not None and value != wanted for value, wanted in facts):
        return base
    lesser = between(lower, 9 * TICKS // 2, None, LOWER_ROW)
    names = ("ledger.size", "band_joist.kind", "band_joist.size", "fasteners.kind")
    lacking = [name for (value, _), name in zip(facts, names, strict=True) if value is None]
    if not lacking:
        return (*lesser[:4], FIRST, lesser[5])
    if base[0] == lesser[0] != MISSING:
        return base
    return missing(*lacking)
