"""The shipped rule tables beside their calculations, for the validation page."""

from __future__ import annotations

from functools import cache

from deckclause.engineering.basis import Basis
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.derived_checks import RuleRecord, derived_check, rule_records
from deckclause.evaluate.expectations.neighbours import Neighbours, count_neighbours
from deckclause.evaluate.tables.basis import (
    MISSED,
    NONE,
    UNSEEN,
    CellBasis,
    TableBasis,
    table_basis,
)
from deckclause.evaluate.words import fact_text, scalar_text

HEAD = """## The shipped rule tables

Every cell of every table in `rules/`, beside the calculation of its family. The printed table is the
rule; where the two differ the table stands and the difference is listed here. **confirmed** and
**memory** count the cells of each standing that were met, of those compared. Agreement raises no
standing. `deckclause basis RULESET TABLE --all` prints the same for one table, and
`deckclause basis RULESET TABLE KEY=VALUE ...` the working of one cell.
"""

ESTABLISHED = """### Which calculations check remembered figures

A calculation checks remembered figures where there are at least six confirmed cells of its rule and it
meets nine in ten of them; cells that books print alike count once. Only then is a difference a flag.
Where none of them is for snow, the load and duration of the snow rows are an assumption of their own.

"""


EXPECTED = """### What the methods say to expect where print was not seen

For a cell not seen `compare` shows what its method gives, as a question for the book. These are the
figures of like kind the method was held against: **printed** were seen in a named source, **memory**
were not. Books that print a figure alike count once; a figure from memory for which another has been
given too counts as missed; figures that a cap or a least size of the table gives are not counted. **off, unsafe
side** is the most by which the method passes a figure on the side that is less safe, **off, safe side** the most on the other.
A method that meets fewer than half says nothing. Which cells it misses stands below.

"""


@cache
def tables() -> tuple[TableBasis, ...]:
    """Every table of every edition and guide, in order."""
    catalogue = Catalogue.open()
    books = [catalogue.ruleset(name) for name in catalogue.files.rulesets]
    return tuple(table_basis(book, table) for book in books for table in book.tables)


@cache
def records() -> dict[str, RuleRecord]:
    """The confirmed cells of each family."""
    catalogue = Catalogue.open()
    return rule_records(catalogue.ruleset(name) for name in catalogue.files.rulesets)


def counts() -> dict[str, Neighbours]:
    """The figures of each kind that its method meets and misses, counted now."""
    catalogue = Catalogue.open()
    return count_neighbours(catalogue.ruleset(name) for name in catalogue.files.rulesets)


def section() -> str:
    """The whole section: counts, what is established, reasons, misses."""
    parts = [HEAD, _counts(), "", ESTABLISHED + _established(), "", EXPECTED + _expected(), ""]
    return "\n".join([*parts, _reasons(), _misses()])


def _of(pair: tuple[int, int]) -> str:
    return f"{pair[0]}/{pair[1]}" if pair[1] else ""


def _counts() -> str:
    lines = [
        "| rule set | table | printed as | basis | confirmed | memory | print not seen | no calculation |",
        "| --- | --- | --- | --- | --- | --- | --- | --- |",
    ]
    for one in tables():
        bases = dict.fromkeys(_basis(c) for c in one.cells if c.explanation)
        cells = [
            one.ruleset, one.table.name, one.table.cites, "; ".join(bases),
            _of(one.met_of("confirmed")), _of(one.met_of("memory")),
            str(len(one.with_verdict(UNSEEN)) or ""), str(len(one.with_verdict(NONE)) or ""),
        ]  # fmt: skip
        lines.append(f"| {' | '.join(cells)} |".replace("  ", " "))
    return "\n".join(lines)


def _basis(cell: CellBasis) -> str:
    assert cell.explanation is not None
    return {Basis.FITTED: "fitted"}.get(cell.explanation.basis, cell.explanation.basis.value)


def _established() -> str:
    rules = {c.calculation.rule for one in tables() for c in one.cells if c.calculation}
    lines = [
        "| calculation | confirmed cells met | of them for snow | checks remembered figures |",
        "| --- | --- | --- | --- |",
    ]
    for rule in sorted(rules):
        found = records().get(rule, RuleRecord(rule, 0, 0))
        verdict = "yes" if found.established else "no"
        lines.append(f"| {rule} | {found.met}/{found.confirmed} | {found.snow} | {verdict} |")
    return "\n".join(lines)


def _expected() -> str:
    lines = [
        "| figures | printed met | memory met | for snow met | off, unsafe side | off, safe side | "
        "nothing permitted, method gives a figure | says what to expect |",
        "| --- | --- | --- | --- | --- | --- | --- | --- |",
    ]
    for kind, near in counts().items():
        pairs = (
            (near.printed_met, near.printed),
            (near.memory_met, near.memory),
            (near.snow_met, near.snow),
        )
        off = (f"{near.unsafe_in} in" if near.unsafe_in else "", f"{near.safe_in} in" if near.safe_in else "")  # fmt: skip
        cells = [kind, *map(_of, pairs), *off, str(near.barred or ""), "yes" if near.may_tell else "no"]  # fmt: skip
        lines.append(f"| {' | '.join(cells)} |".replace("  ", " "))
    return "\n".join(lines)


def _reasons() -> str:
    found: dict[str, dict[str, int]] = {}
    for one in tables():
        for cell in one.with_verdict(NONE):
            where = found.setdefault(cell.reason.partition(";")[0], {})
            name = f"{one.ruleset} {one.table.name}"
            where[name] = where.get(name, 0) + 1
    lines = ["### Cells without a calculation", ""]
    for reason, where in found.items():
        places = "; ".join(f"{name}, {count}" for name, count in where.items())
        lines.append(f"- {reason}. ({places})")
    return "\n".join([*lines, ""])


def _misses() -> str:
    lines = ["### Cells the calculation misses", ""]
    missed = [one for one in tables() if one.with_verdict(MISSED)]
    total = sum(len(one.with_verdict(MISSED)) for one in missed)
    confirmed = sum(c.standing == "confirmed" for one in missed for c in one.with_verdict(MISSED))
    lines.append(
        f"{total} in all, {confirmed} of them confirmed (explained under Joists below). `flag`: the "
        "rule is established, so the remembered figure is doubted."
    )
    for one in missed:
        lines += ["", f"**{one.ruleset}, {one.table.cites} ({one.table.name})**", "",
                  "| cell | printed | standing | calculated | |", "| --- | --- | --- | --- | --- |"]  # fmt: skip
        lines += [_miss(cell) for cell in one.with_verdict(MISSED)]
    return "\n".join([*lines, ""])


def _miss(cell: CellBasis) -> str:
    quantities = _quantities()
    keys = ", ".join(fact_text(key, quantities[name]) for name, key in cell.facts.items())
    unit = "ft" if cell.table.in_feet else "in"
    printed = scalar_text(cell.printed, cell.table.kind, unit)
    computed = scalar_text(cell.calculated, cell.table.kind, unit)
    raw = cell.explanation.unrounded_in
    shown = computed if raw is None else f"{computed} ({raw:.2f} in)"
    check = derived_check(cell, records())
    flag = "flag" if check is not None and check.flagged else ""
    return f"| {keys} | {printed} | {cell.standing} | {shown} | {flag} |"


@cache
def _quantities():
    return Catalogue.open().vocabulary.quantities
