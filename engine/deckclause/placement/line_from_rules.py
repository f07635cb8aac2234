"""The line along a ledger: its boards from the design, its limits from the rule set.

Limits come from the clauses measured along the ledger and from the one on spacing; nothing else
sets a figure. What the wood alone asks (a fastener stands in one piece) is labelled so.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from itertools import accumulate
from typing import Any

from msgspec import Struct

from deckclause.designs.design import Facts
from deckclause.designs.dressed_sizes import dressed_size
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import COMPLIES, INFORMATION_MISSING, NOT_REGULATED
from deckclause.placement.constraints import exact_length_text
from deckclause.placement.from_design import fields_on_ledger
from deckclause.placement.from_rules import PlacementRules, RuleLimit
from deckclause.placement.ledger_line import (
    UNKNOWN_SPLICES_ADVICE,
    ClearBand,
    EndLimit,
    LayoutError,
    LedgerLine,
    Run,
    SpacingField,
    clear_of_joists,
    joist_lines,
    with_every_joist_line_an_end,
)
from deckclause.placement.spacing_limits import spacing_limits
from deckclause.quantities import length_text

LEDGER_END, BAND_END = "ledger.end", "band_joist.end"
ANY, FIRST = "fasteners.any", "fasteners.first"
NAMES = {LEDGER_END: "ledger", BAND_END: "band joist"}
ROWS = ("lower", "upper")
PAST_THE_LEDGER = Fraction(48)
"""Where the band joist's ends are not known it is taken to run on past the ledger, this far (in)."""


class LineAnswer(Struct, frozen=True):
    """A line ready to lay out, or why it is not.

    `missing` names quantities to ask for; `reasons` say what else stands in the way; `status`
    is COMPLIES where `line` is there.
    """

    status: int
    line: LedgerLine | None
    missing: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()
    limits: tuple[RuleLimit, ...] = ()
    clearance: Fraction | None = None
    """What is kept clear on each side of every joist, inches; None where joists are not kept clear."""
    clearance_stated: bool = False


HANGER_CLEARANCE = Fraction(3, 2)
"""Kept clear on each side of a joist where nothing is stated: a hanger's flange, and room for a
washer (in); common practice, no source."""


class _Wanting(Exception):
    """Names what is missing, or why no line can be drawn."""

    def __init__(self, status: int, missing: tuple[str, ...] = (), reason: str = "") -> None:
        super().__init__(reason)
        self.status, self.missing, self.reason = status, missing, reason


def line_of(
    design: PreparedDesign, rules: PlacementRules, *, splices_unknown: bool = False
) -> LineAnswer:
    """Return the line along a design's ledger under a rule set.

    With `splices_unknown` every floor joist line may be an end of a band joist piece. Raises
    LayoutError for boards that cannot stand as stated.
    """
    limits = rules.limits(design, "along")
    stated = isinstance(design.facts().get("fasteners.clear_of_joists"), Fraction)
    try:
        line = _line(design, rules, limits, splices_unknown)
        clearance = _clearance(design) if line.clear else None
        return LineAnswer(
            COMPLIES, line, limits=limits, clearance=clearance, clearance_stated=stated
        )
    except _Wanting as wanting:
        reasons = (wanting.reason,) if wanting.reason else ()
        return LineAnswer(wanting.status, None, wanting.missing, reasons, limits)


def _line(
    design: PreparedDesign,
    rules: PlacementRules,
    limits: tuple[RuleLimit, ...],
    splices_unknown: bool,
) -> LedgerLine:
    facts = design.facts()
    blocked = [i for i in limits if i.limits.is_incomplete]
    if blocked:
        worst = max(blocked, key=lambda i: i.limits.status)
        reason = f"{worst.clause.cites}: {worst.limits.reason}"
        raise _Wanting(worst.limits.status, worst.limits.missing, reason)
    found = _all_of(
        lambda: _ledger(design),
        lambda: _band_joist(design, _ledger_or_none(design), splices_unknown),
        lambda: _fields(design, rules, _ledger_or_none(design)),
        lambda: _floor_joists(facts, _ledger_or_none(design)) if splices_unknown else (),
    )
    ledger, band_joist, fields = found[:3]
    first = _end_limit(LEDGER_END, limits, facts)
    if first.most is None:
        words = "this rule set does not say how near its end a ledger's first fastener must be"
        raise _Wanting(NOT_REGULATED, (), words)
    line = LedgerLine(
        ledger,
        band_joist,
        first,
        _end_limit(BAND_END, limits, facts),
        fields,
        _clear(design, ledger),
        ("one",) if facts.get("fasteners.staggered") is False else ROWS,
    )
    if splices_unknown and "band_joist_pieces" not in design.design.parts:
        return with_every_joist_line_an_end(line, _floor_joists(facts, ledger))
    return line


def _all_of(*steps: Callable[[], Any]) -> list[Any]:
    """Take every step; raise what is wanting in any of them together, not only the first's."""
    found: list[Any] = []
    wanting: list[_Wanting] = []
    for step in steps:
        try:
            found.append(step())
        except _Wanting as fault:
            wanting.append(fault)
    if wanting:
        worst = max(wanting, key=lambda w: w.status)
        missing = dict.fromkeys(name for w in wanting for name in w.missing)
        raise _Wanting(worst.status, tuple(missing), str(worst))
    return found


def _ledger_or_none(design: PreparedDesign) -> Run:
    """Return the ledger, or one of an inch where its own is not known: the rest is asked for all the same."""
    try:
        return _ledger(design)
    except _Wanting:
        return Run(Fraction(0), Fraction(1))


def _length(facts: Facts, name: str) -> Fraction:
    value = facts.get(name)
    if not isinstance(value, Fraction):
        raise _Wanting(INFORMATION_MISSING, (name,))
    return value


def pieces(design: PreparedDesign, group: str) -> tuple[Fraction, ...] | None:
    """Return the lengths of the pieces of a board line; None where they are not stated."""
    parts = design.design.parts.get(group)
    if not parts:
        return None
    return tuple(_length(part.facts, f"{group}.length") for part in parts)


def _ledger(design: PreparedDesign) -> Run:
    lengths = pieces(design, "ledger_pieces")
    if lengths is None:
        return Run(Fraction(0), _length(design.facts(), "ledger.length"))
    return _run(Fraction(0), lengths, "ledger")


def _run(start: Fraction, lengths: tuple[Fraction, ...], name: str) -> Run:
    short = [n for n in lengths if n <= 0]
    if short:
        raise LayoutError(f"a piece of the {name} is {exact_length_text(short[0])} long")
    ends = tuple(start + length for length in accumulate(lengths))
    return Run(start, ends[-1], ends[:-1], name)


def _band_joist(design: PreparedDesign, ledger: Run, splices_unknown: bool) -> Run:
    lengths = pieces(design, "band_joist_pieces")
    begins = isinstance(design.facts().get("band_joist.begins_left_of_ledger"), Fraction)
    if lengths is not None and (begins or not splices_unknown):
        left = _length(design.facts(), "band_joist.begins_left_of_ledger")
        return _run(ledger.start - left, lengths, "band joist")
    if splices_unknown:
        return Run(ledger.start - PAST_THE_LEDGER, ledger.end + PAST_THE_LEDGER, (), "band joist")
    unknown = ("band_joist_pieces.length", "band_joist.begins_left_of_ledger")
    raise _Wanting(INFORMATION_MISSING, unknown, UNKNOWN_SPLICES_ADVICE)


def _floor_joists(facts: Facts, ledger: Run) -> tuple[Fraction, ...]:
    spacing, first = _all_of(
        lambda: _length(facts, "floor.joist_spacing"),
        lambda: _length(facts, "floor.first_joist_from_ledger_end"),
    )
    if spacing <= 0:
        raise LayoutError("floor.joist_spacing must be more than 0 in")
    before = (first + PAST_THE_LEDGER) // spacing
    return joist_lines(first - before * spacing, spacing, ledger.end + PAST_THE_LEDGER)


def _end_limit(end: str, limits: tuple[RuleLimit, ...], facts: Facts) -> EndLimit:
    """Return how near an end fasteners may and the first must stand."""
    least = [d for i in limits if i.datums == (end, ANY) for d in i.strict if d.least is not None]
    most = [d for i in limits if i.datums == (end, FIRST) for d in i.strict if d.most is not None]
    name = NAMES[end]
    nearest = max((d.least for d in least if d.least is not None), default=None)
    farthest = min((d.most for d in most if d.most is not None), default=None)
    cites = "; ".join(dict.fromkeys(d.cites for d in (*least, *most)))
    if nearest is None:
        diameter = facts.get("fasteners.diameter")
        half = (diameter if isinstance(diameter, Fraction) else Fraction(1, 2)) / 2
        words = f"no clause: half a fastener's width from an end of the {name}"
        return EndLimit(half, farthest, words, cites)
    return EndLimit(nearest, farthest, f"end distance on the {name}", cites)


def _fields(design: PreparedDesign, rules: PlacementRules, ledger: Run) -> tuple[SpacingField, ...]:
    """Return the joist fields that hang on the ledger, left to right, with their spacing limits."""
    names = fields_on_ledger(design)
    found: list[SpacingField] = []
    at = ledger.start
    for name in names:
        facts = design.facts("joists", name)
        width = (
            ledger.end - ledger.start if len(names) == 1 else _length(facts, "joists.field_width")
        )
        most, label, cites = _spacing(design, rules, name, facts)
        found.append(SpacingField(at, at + width, most, label, cites))
        at += width
    if not found:
        raise _Wanting(NOT_REGULATED, (), "no joists hang on the ledger")
    if at < ledger.end:
        raise LayoutError(
            f"the joist fields are {exact_length_text(at - ledger.start)} wide together; the "
            f"ledger is {exact_length_text(ledger.end - ledger.start)} long"
        )
    return tuple(found)


def _spacing(
    design: PreparedDesign, rules: PlacementRules, name: str, facts: Facts
) -> tuple[Fraction, str, str]:
    """Return the greatest spacing for one joist field: the rule set's, or less where stated."""
    limits = spacing_limits(design, rules, name)
    for item in limits:
        if item.is_incomplete:
            raise _Wanting(item.status, item.missing, f"{item.clause.cites}: {item.reason}")
    bounds = [
        (branch.most, item.clause.cites)
        for item in limits
        for branch in item.strict
        if branch.most is not None
    ]
    if not bounds:
        words = "this rule set sets no greatest spacing of the fasteners"
        raise _Wanting(NOT_REGULATED, (), words)
    most, cites = min(bounds, key=lambda pair: pair[0] or Fraction(0))
    assert most is not None
    span = facts.get("joists.span")
    where = f"{length_text(span, 'ft')} joists" if isinstance(span, Fraction) else "the joists"
    stated: Any = facts.get("fasteners.spacing")
    if isinstance(stated, Fraction) and 0 < stated < most:
        return stated, f"spacing stated for {where}; {exact_length_text(most)} allowed", cites
    return most, f"spacing for {where}", cites


def _clearance(design: PreparedDesign) -> Fraction:
    """Return what is kept clear on each side of a joist: as stated, or a hanger's flange."""
    stated = design.facts().get("fasteners.clear_of_joists")
    return stated if isinstance(stated, Fraction) else HANGER_CLEARANCE


def _clear(design: PreparedDesign, ledger: Run) -> tuple[ClearBand, ...]:
    """Return the parts kept clear of joists and hangers.

    None where 0 is stated, and none where nothing is stated and the joists' places are not known:
    the layout then says that they are not kept clear.
    """
    clearance = _clearance(design)
    if clearance == 0:
        return ()
    try:
        return _clear_by(design, ledger, clearance)
    except _Wanting:
        if isinstance(design.facts().get("fasteners.clear_of_joists"), Fraction):
            raise
        return ()


def _clear_by(design: PreparedDesign, ledger: Run, clearance: Fraction) -> tuple[ClearBand, ...]:
    found: list[ClearBand] = []
    at = ledger.start
    names = fields_on_ledger(design)
    for name in names:
        facts = design.facts("joists", name)
        end = ledger.end if len(names) == 1 else at + _length(facts, "joists.field_width")
        first = at + _length(facts, "joists.first_from_field_end")
        lines = joist_lines(first, _length(facts, "joists.spacing"), min(end, ledger.end))
        found += clear_of_joists(lines, _joist_thickness(facts), clearance)
        at = end
    return tuple(found)


def _joist_thickness(facts: Facts) -> Fraction:
    size = facts.get("joists.size")
    dressed = dressed_size(size) if isinstance(size, str) else None
    if dressed is None:
        raise _Wanting(INFORMATION_MISSING, ("joists.size",))
    return dressed[0]
