"""What each drawing needs, taken from a design and a rule set."""

from __future__ import annotations

from fractions import Fraction

from deckclause.answers.sections import NothingToDraw, named
from deckclause.answers.sheet import TitleBlock
from deckclause.answers.steps import StepsReport
from deckclause.placement.layout_answer import LayoutAnswer
from deckclause.report.drawing.draw_steps import StepChart
from deckclause.report.drawing.elevation_strips import ElevationDrawing
from deckclause.report.placing.steps_text import stand_text
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.problems import InputError


def block_for(name: str, rule_set: str, date: str, *cautions: str) -> TitleBlock:
    """Return the title block of a sheet; a place is read from `Place@date`."""
    place = rule_set.partition("@")[0] if "@" in rule_set else ""
    return TitleBlock(name, place, rule_set_title(rule_set), date, cautions)


def elevation_drawing(name: str, answer: LayoutAnswer, date: str) -> ElevationDrawing:
    """Return the elevation to draw. Raises NothingToDraw where there is no line to draw."""
    from deckclause.report.placing.layout_text import reasons

    if answer.layout is None or answer.row_depths is None:
        why = "; ".join([*reasons(answer), *answer.missing])
        raise NothingToDraw(f"no layout: {why}")
    boards = answer.placement.boards
    depth = boards.facts["ledger.depth"]
    assert isinstance(depth, Fraction)
    return ElevationDrawing(
        block_for(name, answer.placement.ruleset.name, date),
        answer.layout,
        named(boards, "ledger.size", "ledger"),
        depth,
        answer.row_depths,
    )


def step_chart(report: StepsReport, date: str) -> StepChart:
    """Return the chart of sizes of the one rule set of a report.

    Raises InputError for a report on several rule sets.
    """
    if len(report.tables) != 1:
        raise InputError.single("--under", "one chart shows one rule set; name one")
    table = report.tables[0]
    cautions = [f"Taken: {stand_text(report.stand)}.", *report.taken]
    if table.missing:
        cautions.append(f"Not known, so the stricter limit is taken: {', '.join(table.missing)}.")
    block = block_for(report.name, table.rules.ruleset.name, date, *cautions)
    return StepChart(block, table.rows, report.wanted)
