"""What each drawing needs, taken from a design and a rule set."""

from __future__ import annotations

from fractions import Fraction

from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    INFORMATION_MISSING,
    NOT_REGULATED,
)
from deckclause.placement.boards import Joists, Section
from deckclause.placement.from_design import DesignBoards
from deckclause.placement.layout_answer import LayoutAnswer
from deckclause.placement.place import Placement
from deckclause.report.drawing.draw_elevation import ElevationDrawing
from deckclause.report.drawing.draw_steps import StepChart
from deckclause.report.drawing.section_scene import SectionDrawing
from deckclause.report.drawing.title_block import TitleBlock
from deckclause.report.placing.steps_text import StepsReport, stand_text
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.problems import InputError


class NothingToDraw(Exception):
    """A rule set under which there is no honest drawing; the message says why."""


def block_for(name: str, rule_set: str, date: str, *cautions: str) -> TitleBlock:
    """Return the title block of a sheet; a place is read from `Place@date`."""
    place = rule_set.partition("@")[0] if "@" in rule_set else ""
    return TitleBlock(name, place, rule_set_title(rule_set), date, cautions)


def section_of(boards: DesignBoards) -> tuple[Section, tuple[str, ...]]:
    """Return the section a design describes and what was taken for granted to draw it.

    Raises NothingToDraw where the drop or a board is not known.
    """
    facts = boards.facts
    depths = [facts.get(name) for name in ("band_joist.depth", "ledger.depth")]
    if boards.missing or boards.drop is None:
        lacks = [*boards.missing, *([] if boards.drop is not None else ["ledger.below_band_joist"])]
        raise NothingToDraw(f"information missing: {', '.join(lacks)}")
    below = facts.get("joists.below_ledger_top")
    taken: list[str] = []
    joists: Joists | Fraction = "at_ledger_top"
    if isinstance(below, Fraction):
        joists = below
    else:
        taken.append(
            "Joists are drawn with tops level with the ledger's: how they stand is unknown."
        )
    floor = [facts.get(n) for n in ("floor.subfloor_thickness", "floor.finish_thickness")]
    known = [v for v in floor if isinstance(v, Fraction)]
    band, ledger = (v for v in depths if isinstance(v, Fraction))
    return (
        Section(
            band,
            ledger,
            boards.drop,
            _length(boards, "joists.depth"),
            joists,
            _length(boards, "decking.thickness"),
            sum(known, Fraction(0)) if len(known) == len(floor) else None,
            _threshold(boards),
            _named(boards, "band_joist.size", "band joist"),
            _named(boards, "ledger.size", "ledger"),
            _named(boards, "joists.size", "joist"),
        ),
        tuple(taken),
    )


def _length(boards: DesignBoards, name: str) -> Fraction | None:
    value = boards.facts.get(name)
    return value if isinstance(value, Fraction) else None


def _threshold(boards: DesignBoards) -> Fraction | None:
    known = {door.threshold for door in boards.doors if door.threshold is not None}
    only = known.pop() if len(known) == 1 else None
    return only if only is not None and only >= 0 else None


def _named(boards: DesignBoards, quantity: str, word: str) -> str:
    size = boards.facts.get(quantity)
    return f"{size} {word}" if size else word


def section_drawing(name: str, placement: Placement, date: str) -> SectionDrawing:
    """Return the section to draw. Raises NothingToDraw where no limit may honestly be drawn."""
    found = placement.asked
    if found.status not in (COMPLIES, DOES_NOT_COMPLY, NOT_REGULATED) and found.reasons:
        lacks = [f"to find out: {', '.join(found.missing)}"] if found.missing else []
        raise NothingToDraw(f"{found.words}: {'; '.join([*found.reasons, *lacks])}")
    section, taken = section_of(placement.boards)
    unsure: list[str] = []
    if found.missing:
        unsure.append(f"Unknown, so the stricter limit is drawn: {', '.join(found.missing)}.")
    clauses = dict.fromkeys(d for i in placement.fastener_limits for d in i.strict)
    if not clauses:
        unsure.append("This rule set has no clause on where a fastener may go; only wood is drawn.")
    sheathing = _length(placement.boards, "wall.sheathing_thickness") or Fraction(0)
    gap = _length(placement.boards, "wall.gap_to_sheathing") or Fraction(0)
    block = block_for(name, placement.ruleset.name, date, *taken, *unsure)
    return SectionDrawing(
        block,
        section,
        tuple(clauses),
        placement.boards.rows,
        sheathing + gap,
        undecided=found.status == INFORMATION_MISSING,
        fasteners=str(placement.boards.facts.get("fasteners.kind") or ""),
    )


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
        _named(boards, "ledger.size", "ledger"),
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
        cautions.append(f"Unknown, so the stricter limit is taken: {', '.join(table.missing)}.")
    block = block_for(report.name, table.rules.ruleset.name, date, *cautions)
    return StepChart(block, table.rows, report.wanted)
