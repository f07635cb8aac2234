"""A ledger's layout as text: schedule, count to buy, limits, or why there is none."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from tabulate import tabulate

from deckclause.evaluate.status import NOT_REGULATED, STATUS_TOLD
from deckclause.placement.constraints import exact_length_text
from deckclause.placement.layout_answer import LayoutAnswer, grip, least_length
from deckclause.placement.ledger_line import EndLimit, Run
from deckclause.placement.schedule import COLUMNS
from deckclause.placement.sums import conflict_text
from deckclause.quantities import length_text
from deckclause.report.cautions import CAUTIONS
from deckclause.rulesets.names import rule_set_heading
from deckclause.rulesets.vocabulary import Vocabulary

KIND_WORDS = {"through_bolt": "through bolts", "lag_screw": "lag screws"}
WITH_EACH = {
    "through_bolt": "two washers and a nut with each",
    "lag_screw": "a washer with each",
}
"""What goes with each fastener: common practice, check the rule set's own words."""


def layout_lines(
    name: str, answer: LayoutAnswer, vocabulary: Vocabulary, width: int
) -> Iterator[str]:
    """Yield the layout under one rule set."""
    ruleset = answer.placement.ruleset
    yield rule_set_heading(ruleset.name, ruleset.title)
    if answer.layout is None or not answer.layout.is_feasible:
        yield from _none(answer, vocabulary, width)
        return
    yield from _wrapped(f"{name}: {count_text(answer)}", width, "  ")
    for words in (*rows_lines(answer), *line_lines(answer)):
        yield from _wrapped(words, width, "  ")
    if answer.placement.asked.status == NOT_REGULATED or not answer.placement.speaks_of_band_joist:
        yield from _wrapped(
            "No clause keeps the rows from the band joist's edges: only the wood bounds them.",
            width,
            "  ",
        )
    for caution in answer.layout.cautions:
        yield from _wrapped(f"caution: {caution}", width, "  ")
    body = [row.cells() for row in answer.schedule]
    yield from tabulate(body, COLUMNS, disable_numparse=True).splitlines()


def count_text(answer: LayoutAnswer) -> str:
    """Write what to buy: how many, how thick, how long at the least, and what goes with each.

    Raises AssertionError for an answer without a layout.
    """
    assert answer.layout is not None
    facts = answer.placement.boards.facts
    kind = str(facts.get("fasteners.kind"))
    diameter = facts.get("fasteners.diameter")
    words = f"{answer.layout.count} {KIND_WORDS.get(kind, 'fasteners')}"
    if not isinstance(diameter, str | bool | None):
        words += f", {length_text(diameter)} diameter"
    through, least = grip(facts), least_length(facts)
    if least is not None:
        words += f", {exact_length_text(least)} long or longer"
    if kind in WITH_EACH:
        words += f", {WITH_EACH[kind]} (common practice)"
    if through is not None:
        words += f"; they pass through {exact_length_text(through)} from face to face"
    return f"{words}. Fewer cannot comply: proved by the farthest-right method."


def clear_text(answer: LayoutAnswer) -> str:
    """Say whether joists and their hangers are kept clear, by how much and on whose word."""
    line = answer.line
    assert line.line is not None
    if line.clearance is not None:
        whose = "as stated" if line.clearance_stated else "common practice, not stated"
        return (
            f"{len(line.line.clear)} joists kept clear of fasteners, {exact_length_text(line.clearance)} "
            f"on each side ({whose})"
        )
    if line.clearance_stated:
        return "caution: joists and hangers are not kept clear, as stated"
    return (
        "caution: joists and hangers are NOT kept clear: where the joists stand is not stated "
        "(joists.spacing, joists.first_from_field_end)"
    )


def rows_lines(answer: LayoutAnswer) -> Iterator[str]:
    """Say where the rows stand."""
    assert answer.row_depths is not None
    told = "chosen near the middle of what is permitted" if answer.rows_chosen else "as stated"
    rows = ", ".join(
        f"{row} row {exact_length_text(depth)}" for row, depth in answer.row_depths.items()
    )
    yield f"rows below the ledger's top ({told}): {rows}."


def line_lines(answer: LayoutAnswer) -> Iterator[str]:
    """Say the boards and limits along the ledger."""
    line = answer.line.line
    assert line is not None
    yield f"ledger: {run_text(line.ledger)}; band joist: {run_text(line.band_joist)}"
    yield f"from the ends: {end_text(line.ledger_ends)}; {end_text(line.band_joist_ends)}"
    for part in line.fields:
        cites = f" ({part.cites})" if part.cites else ""
        yield f"{part.label}: at most {exact_length_text(part.most)}{cites}"
    yield clear_text(answer)


def run_text(run: Run) -> str:
    """Write a line of boards: its length and where it is spliced."""
    words = length_text(run.end - run.start, "ft")
    if run.start:
        words += f" from {exact_length_text(run.start)}"
    if len(run.splices) > 6:
        return f"{words}, {len(run.splices)} possible splices"
    if run.splices:
        places = ", ".join(exact_length_text(s) for s in run.splices)
        words += f", spliced at {places} from the ledger's left end"
    return words


def end_text(limit: EndLimit) -> str:
    """Write an end limit."""
    words = f"{limit.label}, at least {exact_length_text(limit.least)}"
    if limit.most is not None:
        words += f", the first within {exact_length_text(limit.most)}"
    return f"{words} ({limit.cites})" if limit.cites else words


def _none(answer: LayoutAnswer, vocabulary: Vocabulary, width: int) -> Iterator[str]:
    yield f"  no layout: {STATUS_TOLD[answer.status]}"
    for reason in reasons(answer):
        yield from _wrapped(reason, width, "    ")
    for name in answer.missing:
        definition = vocabulary.quantities.get(name)
        yield from _wrapped(definition.ask if definition else name, width, "    ")


def reasons(answer: LayoutAnswer) -> tuple[str, ...]:
    """Return why there is no layout."""
    found: list[str] = list(answer.line.reasons)
    if answer.layout is not None:
        found += [conflict.text() for conflict in answer.layout.conflicts]
    if answer.status == answer.placement.asked.status:
        found += answer.placement.asked.reasons
        found += [conflict_text(c) for c in answer.placement.asked.conflicts.conflicts]
    return tuple(dict.fromkeys(found))


def caution_lines(width: int) -> Iterator[str]:
    """Yield the cautions every output carries."""
    yield ""
    for caution in CAUTIONS:
        yield from _wrapped(caution, width)


def _wrapped(text: str, width: int, indent: str = "") -> list[str]:
    return wrap(text, max(width, 60), initial_indent=indent, subsequent_indent=indent + "  ") or [
        ""
    ]
