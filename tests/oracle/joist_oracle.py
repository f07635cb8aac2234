"""A second, plain implementation of the joist clauses of 2015, 2018 and 2021.

Written from the published sources named beside each clause and table, without the engine or its
rule files. `evaluate_joists(edition, parts)` returns, for every topic, `(status, limit)`; `parts`
holds the facts of each joist field, site facts among them, read as the ledger oracle reads facts
(see `ledger_oracle`). Where several fields or clauses speak, the worst status counts, with the
limit of the first finding of that status.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

from oracle.boards import DRESSED_DEPTH
from oracle.conditions import (
    COMPLIES,
    ENGINEERING,
    FAILS,
    MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
    Facts,
    Finding,
    Truth,
    Value,
    all_of,
    at_least,
    at_most,
    equals,
    negated,
    outside,
    required,
    unless,
)
from oracle.joist_tables import (
    BACK_SPANS,
    CANTILEVERS_2018,
    CANTILEVERS_2021,
    SNOW_ROWS,
    SPACINGS,
    SPANS_2015,
    SPANS_2015_WITH_CANTILEVER,
    SPANS_2018,
    SPANS_2021,
)

# Headings of the 2015 to 2021 joist tables: species that share one set of rows.
GROUPS = {
    "southern_pine": "southern",
    "douglas_fir_larch": "douglas",
    "hem_fir": "douglas",
    "spruce_pine_fir": "douglas",
    "redwood": "redwood",
    "western_cedar": "redwood",
    "ponderosa_pine": "redwood",
    "red_pine": "redwood",
}
NOMINAL_DEPTH = {"2x6": 6, "2x8": 8, "2x10": 10, "2x12": 12}
SpacingTable = dict[tuple[str, str], tuple[Fraction, ...]]


# --- what several clauses read ----------------------------------------------------------------
def row_key(facts: Facts) -> tuple[str, str] | None:
    species, size = facts.get("joists.species"), facts.get("joists.size")
    if species not in GROUPS or size is None:
        return None
    return GROUPS[str(species)], str(size)


def species_is_listed(facts: Facts) -> Truth:
    species = facts.get("joists.species")
    return None if species is None else species in GROUPS


def in_the_tables(facts: Facts, greatest_snow: int) -> Truth:
    # Snow: a 2015/2018 table is for 40 psf alone (Fine Homebuilding on the ledger note, NADRA on
    # the 2021 rows); the 2021 tables end at 70 psf, above which one designs (memory). No row serves
    # a species that is not listed or a spacing above 24 in.
    return all_of(
        at_most(facts.get("site.ground_snow_load"), greatest_snow),
        species_is_listed(facts),
        at_most(facts.get("joists.spacing"), SPACINGS[-1]),
    )


def at_spacing(table: SpacingTable, facts: Facts) -> Fraction | None:
    """Return the cell of the next wider tabulated spacing; None beyond 24 in or where unknown."""
    key, spacing = row_key(facts), facts.get("joists.spacing")
    if key is None or spacing is None:
        return None
    cells = zip(SPACINGS, table[key], strict=True)
    return next((cell for widest, cell in cells if spacing <= widest), None)  # type: ignore[operator]


def share(value: Value | None, parts: int) -> Fraction | None:
    return None if value is None else Fraction(value) / parts  # type: ignore[arg-type]


def held_to(value: Value | None, limit: Fraction | None) -> Finding:
    """Hold a value to a greatest figure, either of which may be unknown."""
    return (MISSING, None) if limit is None else required(at_most(value, limit), limit)


# --- spans ------------------------------------------------------------------------------------
def span_2015(facts: Facts) -> list[Finding]:
    # Table R507.5: two sets of columns. Building-code forum thread 30889: a cantilever to a quarter
    # of the adjacent span reads its own columns; one no longer than the joist's nominal depth (note
    # f) goes with the columns without cantilever.
    span, cantilever = facts.get("joists.span"), facts.get("joists.cantilever")
    stopped = outside(True, in_the_tables(facts, 40))
    if stopped:
        return [stopped]
    plain = held_to(span, at_spacing(SPANS_2015, facts))
    reaching = held_to(span, at_spacing(SPANS_2015_WITH_CANTILEVER, facts))
    size = facts.get("joists.size")
    if size is None:
        return [(MISSING, None)]
    long = negated(at_most(cantilever, NOMINAL_DEPTH[str(size)]))
    status, limit = unless(plain, long, reaching)
    return [(status, None if long is None else limit)]


def span_2018(facts: Facts) -> list[Finding]:
    stopped = outside(True, in_the_tables(facts, 40))
    return [stopped or held_to(facts.get("joists.span"), at_spacing(SPANS_2018, facts))]


def span_2021(facts: Facts) -> list[Finding]:
    # NADRA on RB187-19: rows of 50, 60 and 70 psf ground snow beside 40 psf live; a load between
    # two rows reads the heavier.
    stopped = outside(True, in_the_tables(facts, 70))
    if stopped:
        return [stopped]
    snow = facts["site.ground_snow_load"]
    load = next(row for row in SNOW_ROWS if snow <= row)  # type: ignore[operator]
    return [held_to(facts.get("joists.span"), at_spacing(SPANS_2021[load], facts))]


# --- cantilevers ------------------------------------------------------------------------------
def has_cantilever(facts: Facts) -> Truth:
    return negated(at_most(facts.get("joists.cantilever"), 0))


def cantilever_2015(facts: Facts) -> list[Finding]:
    # Building-code forum thread 30889: to a quarter of the actual adjacent span, or, by note f, to
    # the nominal depth of the joist.
    stopped = outside(has_cantilever(facts), in_the_tables(facts, 40))
    if stopped:
        return [stopped]
    cantilever, size = facts["joists.cantilever"], facts.get("joists.size")
    quarter = held_to(cantilever, share(facts.get("joists.span"), 4))
    if size is None:
        return [quarter if quarter[0] == COMPLIES else (MISSING, None)]
    nominal = Fraction(NOMINAL_DEPTH[str(size)])
    return [unless(quarter, at_most(cantilever, nominal), (COMPLIES, nominal))]


def cantilever_2018(facts: Facts) -> list[Finding]:
    # Table R507.6 (2018), from memory: a cantilever for each species, size and spacing; the section
    # beside it, from memory too, keeps it within a quarter of the joist span.
    cantilever, span = facts.get("joists.cantilever"), facts.get("joists.span")
    snow = at_most(facts.get("site.ground_snow_load"), 40)
    stopped = outside(has_cantilever(facts), snow)
    if stopped:
        return [stopped]
    cell = at_spacing(CANTILEVERS_2018, facts)
    by_table = outside(True, in_the_tables(facts, 40)) or held_to(cantilever, cell)
    return [by_table, held_to(cantilever, share(span, 4))]


def cantilever_2021(facts: Facts) -> list[Finding]:
    # Table R507.6 (2021), from memory: read at the actual back span, interpolated, never
    # extrapolated; the figures for snow above 40 psf and for redwood 2x10 and 2x12 are not known,
    # and a figure not known passes nobody.
    snow, span = facts.get("site.ground_snow_load"), facts.get("joists.span")
    not_known = all_of(has_cantilever(facts), at_most(snow, 70), negated(at_most(snow, 40)))
    if not_known:
        return [(MISSING, None)]
    within = all_of(at_least(span, BACK_SPANS[0]), at_most(span, BACK_SPANS[-1]))
    stopped = outside(has_cantilever(facts), all_of(in_the_tables(facts, 40), within))
    key = row_key(facts)
    if stopped or key is None:
        return [stopped or (MISSING, None)]
    limit = interpolated(CANTILEVERS_2021[key], Fraction(span))  # type: ignore[arg-type]
    if limit == "NP":
        return [(FAILS, None)]
    return [held_to(facts.get("joists.cantilever"), None if isinstance(limit, str) else limit)]


def interpolated(cells: tuple[Fraction | str, ...], span: Fraction) -> Fraction | str:
    """Interpolate between two back spans; beside a cell that permits none, none is permitted."""
    after = next(i for i, back_span in enumerate(BACK_SPANS) if span <= back_span)
    high = cells[after]
    if BACK_SPANS[after] == span or isinstance(high, str):
        return high
    low = cells[after - 1]
    assert not isinstance(low, str)
    way = (span - BACK_SPANS[after - 1]) / (BACK_SPANS[after] - BACK_SPANS[after - 1])
    return low + way * (high - low)


# --- bearing, notches, holes ------------------------------------------------------------------
def bearing(facts: Facts) -> list[Finding]:
    # Fine Homebuilding on the 2015 code and a connector maker's engineering blog, May 2025: 1-1/2
    # in on wood or metal, 3 in on concrete or masonry. A hanger has its own topic.
    on = facts.get("joists.bearing_on")
    stopped = outside(negated(equals(on, "hanger")))
    if stopped:
        return [stopped]
    least = Fraction(3) if on in ("concrete", "masonry") else Fraction(3, 2)
    return [required(at_least(facts.get("joists.bearing_length"), least), least)]


def notches(facts: Facts) -> list[Finding]:
    # R502.8.1, by The Journal of Light Construction on notching (2012) and an inspector's page on
    # 2021: depth/6 deep, depth/3 long, none in the middle third, depth/4 at the ends.
    stopped = outside(equals(facts.get("joists.notched"), True))
    if stopped:
        return [stopped]
    depth = DRESSED_DEPTH.get(str(facts.get("joists.size")))
    return [
        held_to(facts.get("joists.notch_depth"), share(depth, 6)),
        held_to(facts.get("joists.notch_length"), share(depth, 3)),
        required(equals(facts.get("joists.notch_in_middle_third"), False)),
        held_to(facts.get("joists.end_notch_depth"), share(depth, 4)),
    ]


def holes(facts: Facts) -> list[Finding]:
    # R502.8.1, same sources: a hole to depth/3, 2 in from edges, other holes and notches.
    stopped = outside(equals(facts.get("joists.bored"), True))
    if stopped:
        return [stopped]
    depth = DRESSED_DEPTH.get(str(facts.get("joists.size")))
    two = Fraction(2)
    return [
        held_to(facts.get("joists.hole_diameter"), share(depth, 3)),
        required(at_least(facts.get("joists.hole_edge_distance"), two), two),
    ]


Rule = Callable[[Facts], list[Finding]]
COMMON: dict[str, Rule] = {"joist_bearing": bearing, "joist_notches": notches, "joist_holes": holes}
EDITIONS: dict[str, dict[str, Rule]] = {
    "irc-2015": {"joist_span": span_2015, "joist_cantilever": cantilever_2015, **COMMON},
    "irc-2018": {"joist_span": span_2018, "joist_cantilever": cantilever_2018, **COMMON},
    "irc-2021": {"joist_span": span_2021, "joist_cantilever": cantilever_2021, **COMMON},
}
BADNESS = (NOT_REGULATED, NOT_APPLICABLE, COMPLIES, MISSING, ENGINEERING, FAILS)


def evaluate_joists(edition: str, parts: Sequence[Facts]) -> dict[str, Finding]:
    """Return (status, limit) of every topic; KeyError for an edition not here."""
    findings: dict[str, Finding] = {}
    for topic, rule in EDITIONS[edition].items():
        found = [finding for facts in parts for finding in rule(facts)]
        findings[topic] = max(found, key=lambda finding: BADNESS.index(finding[0]))
    return findings
