"""The table of sizes as text: a line for each ledger and band joist, a column for each joist."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from textwrap import wrap

from tabulate import tabulate

from deckclause.answers.steps import StepsReport
from deckclause.placement.constraints import exact_length_text
from deckclause.placement.from_rules import RuleLimit, speaks_of_band_joist
from deckclause.placement.steps import StepRow
from deckclause.placement.steps_from_rules import Stand, StepTable
from deckclause.placement.sums import conflict_text, extreme_text
from deckclause.report.cautions import CAUTIONS
from deckclause.report.placing.place_text import range_text
from deckclause.rulesets.names import rule_set_heading, rule_set_titles
from deckclause.rulesets.vocabulary import Vocabulary


def stand_text(stand: Stand) -> str:
    """Say how the joists meet the ledger."""
    if isinstance(stand, Fraction):
        return f"joist tops {exact_length_text(stand)} below the ledger's top"
    return f"joist {stand}s level with the ledger's {stand}"


def steps_lines(
    report: StepsReport, vocabulary: Vocabulary, width: int, *, proofs: bool = False
) -> Iterator[str]:
    """Yield the report, cautions at the end; with `proofs`, the sum behind each figure."""
    yield from _wrapped(
        f"{report.name}: {report.measure}, by sizes of lumber; {stand_text(report.stand)}", width
    )
    for words in report.taken:
        yield from _wrapped(words, width)
    if report.wanted is not None and report.told:
        wanted = exact_length_text(report.wanted)
        yield f"Wanted: {wanted}. A + marks each combination that allows exactly so much."
    if report.missing:
        lacks = ", ".join(vocabulary.called(name) for name in report.missing)
        wanted = "" if report.wanted is None else f" whether {exact_length_text(report.wanted)} can"
        yield from _wrapped(
            f"The step down from the floor is not known{wanted and ', nor' + wanted + ' be had'}, for "
            f"want of {lacks}. Given instead: how far the joist tops lie below the band joist's top.",
            width,
        )
    for table in report.tables:
        yield ""
        yield from _table(report, table, width)
        if proofs:
            yield from _proofs(report, table, width)
    yield from _questions(report, vocabulary, width)
    yield ""
    for caution in CAUTIONS:
        yield from _wrapped(caution, width)


def _table(report: StepsReport, table: StepTable, width: int) -> Iterator[str]:
    ruleset = table.rules.ruleset
    yield rule_set_heading(ruleset.name, ruleset.title)
    yield from silence_lines(table.limits, width)
    joists = list(dict.fromkeys(r.joist_size for r in table.rows))
    body: list[list[str]] = []
    for ledger in dict.fromkeys(r.ledger_size for r in table.rows):
        whole = [r for r in table.rows if r.ledger_size == ledger]
        if all(r.excluded for r in whole):
            body.append([ledger, "any", "excluded", *(["-"] * len(joists))])
            continue
        for band in dict.fromkeys(r.band_joist_size for r in whole):
            rows = [r for r in whole if r.band_joist_size == band]
            body.append([ledger, band, drop_text(rows), *(cell_text(report, r) for r in rows)])
    heads = ["ledger", "band\njoist", "drop of\nledger", *(f"{j}\njoists" for j in joists)]
    each = max(12, (width - 24 - 2 * len(heads)) // (len(joists) + 1))
    yield from tabulate(
        body, heads, disable_numparse=True, maxcolwidths=[None, None, *([each] * (len(heads) - 2))]
    ).splitlines()
    reasons: dict[str, dict[str, None]] = {}
    for row in table.rows:
        if row.excluded is not None:
            reason = f"{row.excluded.reason} ({row.excluded.cites})"
            reasons.setdefault(reason, {})[row.ledger_size] = None
    for reason, ledgers in reasons.items():
        yield from _wrapped(f"excluded, {', '.join(ledgers)} ledger: {reason}", width, "  ")


def silence_lines(limits: tuple[RuleLimit, ...], width: int) -> Iterator[str]:
    """Say where only the wood bounds a figure."""
    fasteners = [i for i in limits if not i.is_at_door]
    if not fasteners:
        yield from _wrapped(
            "No clause on where a fastener may go: not regulated, never a pass. Only the wood and "
            "the doors bound these figures.",
            width,
        )
    elif not speaks_of_band_joist(fasteners):
        yield from _wrapped(
            "No limit on the band joist: only the wood ends the drop; a fastener at its very edge is "
            "no permission.",
            width,
        )


def drop_text(rows: list[StepRow]) -> str:
    """Write the drop of the ledger that a pair of boards allows, or its shortfall."""
    row = rows[0]
    if row.excluded is not None:
        return "excluded"
    if row.drop is None:
        short = row.shortfall
        return "no place" if short is None else f"no place: {exact_length_text(short)} too much"
    return range_text(row.drop)


def cell_text(report: StepsReport, row: StepRow) -> str:
    """Write one combination: its range, marked where it allows what is wanted, or why not."""
    if row.excluded is not None or row.drop is None:
        return "-"
    found = report.range_of(row)
    if found is None:
        short = row.shortfall
        return "no step" if short is None else f"none: {exact_length_text(short)} too much"
    mark = " +" if report.allows(row) else ""
    return f"{range_text(found)}{mark}"


def _proofs(report: StepsReport, table: StepTable, width: int) -> Iterator[str]:
    yield "  sums behind the figures:"
    for row in table.rows:
        head = (
            f"{row.ledger_size} ledger, {row.band_joist_size} band joist, {row.joist_size} joists"
        )
        found = report.range_of(row)
        if found is not None and found.greatest.value is not None:
            yield from _wrapped(f"{head}: {extreme_text(found.greatest)}", width, "    ")
        for conflict in row.conflicts.conflicts:
            yield from _wrapped(f"{head}: {conflict_text(conflict)}", width, "    ")


def _questions(report: StepsReport, vocabulary: Vocabulary, width: int) -> Iterator[str]:
    asked: dict[str, dict[str, None]] = {}
    for table in report.tables:
        for name in table.missing:
            asked.setdefault(name, {})[table.rules.ruleset.name] = None
    for name in report.missing:
        asked.setdefault(name, {}).update({t.rules.ruleset.name: None for t in report.tables})
    if asked:
        yield ""
        yield "WHAT TO FIND OUT (until then the stricter limit is taken)"
    for name, rulesets in asked.items():
        definition = vocabulary.quantities.get(name)
        ask = definition.ask if definition else name
        yield from _wrapped(f"{ask} - for: {rule_set_titles(list(rulesets))}", width, "  ")


def _wrapped(text: str, width: int, indent: str = "") -> Iterable[str]:
    return wrap(text, max(width, 60), initial_indent=indent, subsequent_indent=indent + "  ") or [
        ""
    ]
