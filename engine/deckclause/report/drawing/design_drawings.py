"""The section drawings of one design: one for each way the rule sets limit the fasteners."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from fractions import Fraction

from deckclause.designs.design import Facts
from deckclause.evaluate.findings import Evaluation
from deckclause.placement.boards import Section, SectionError
from deckclause.placement.constraints import Distance
from deckclause.placement.from_design import DROP, JOISTS, ROWS, section_facts
from deckclause.placement.from_findings import clause_limits
from deckclause.report.comparison.place_and_day import place_and_day
from deckclause.report.document import Drawing
from deckclause.report.drawing.draw_section import draw_section, summary
from deckclause.report.drawing.draw_two_sections import draw_two_sections
from deckclause.report.drawing.section_scene import SectionDrawing, scene
from deckclause.report.drawing.title_block import TitleBlock
from deckclause.rulesets.vocabulary import Vocabulary

DATUMS_DRAWN = ("band_joist.", "ledger.", "fasteners.")
MOST_DRAWN = 6


@dataclass(frozen=True, slots=True)
class Drawn:
    """Drawings, and why there is none where there is none."""

    drawings: tuple[Drawing, ...]
    missing: str = ""


def section_drawings(
    evaluations: Sequence[Evaluation],
    vocabulary: Vocabulary,
    proposed: Collection[tuple[str, str]] = (),
) -> Drawn:
    """Draw the design's section under rule sets; those with the same limits share one drawing.

    `proposed` names the clauses, each with its part, from whose limits relief is asked: the
    section is then drawn as proposed.
    """
    design = evaluations[0].design
    if design.facts().get("deck.attachment") != "ledger":
        return Drawn(
            (), "No section is drawn: the deck does not hang on a ledger, or it is not said."
        )
    facts = section_facts(design)
    section = section_of(facts)
    if section is None:
        return Drawn(
            (), "No section is drawn: depths of band joist and ledger or the drop are not known."
        )
    limits: dict[tuple[Distance, ...], list[str]] = {}
    for evaluation in evaluations:
        found = _limits(evaluation, vocabulary)
        limits.setdefault(found, []).append(evaluation.ruleset.name)
    limits.pop((), None)
    asked = [
        SectionDrawing(
            _block(design.design.name, names),
            section,
            clauses,
            rows_of(facts),
            _gap(facts),
            fasteners=str(facts.get("fasteners.kind") or ""),
            proposed=_proposed(evaluations[0], vocabulary, proposed),
        )
        for clauses, names in limits.items()
    ]
    try:
        return Drawn(tuple(_drawn(asked[:MOST_DRAWN])), "" if asked else NO_LIMITS)
    except SectionError as fault:
        return Drawn((), f"No section is drawn: {fault}.")


def _proposed(
    evaluation: Evaluation, vocabulary: Vocabulary, clauses: Collection[tuple[str, str]]
) -> tuple[Distance, ...]:
    limits = clause_limits(evaluation, vocabulary) if clauses else ()
    return tuple(c.distance for c in limits if (c.finding.key, c.finding.part) in clauses)


def _block(title: str, names: Sequence[str]) -> TitleBlock:
    place, day = place_and_day(names)
    return TitleBlock(title, place, ", ".join(names), day)


NO_LIMITS = "No section is drawn: no rule set here limits where a fastener may go."


def _drawn(asked: list[SectionDrawing]) -> list[Drawing]:
    if len(asked) == 2:
        names = " and ".join(a.block.rule_set for a in asked)
        words = " ".join(f"{a.block.rule_set}: {summary(scene(a))}" for a in asked)
        return [Drawing(draw_two_sections(*asked), f"Section under {names}.", words)]
    return [Drawing(draw_section(a), _caption(a), summary(scene(a))) for a in asked]


def _caption(drawing: SectionDrawing) -> str:
    if drawing.proposed:
        return f"Section as proposed; limits of {drawing.block.rule_set}."
    return f"Section under {drawing.block.rule_set}."


def section_of(facts: Facts) -> Section | None:
    """Return the boards of a design to draw; None where a depth or the drop is not known."""
    band, ledger, drop = (facts.get(n) for n in ("band_joist.depth", "ledger.depth", DROP))
    if not (
        isinstance(band, Fraction) and isinstance(ledger, Fraction) and isinstance(drop, Fraction)
    ):
        return None
    joists = facts.get(JOISTS)
    floor = [facts.get(f"floor.{n}_thickness") for n in ("subfloor", "finish")]
    return Section(
        band_joist_depth=band,
        ledger_depth=ledger,
        drop=drop,
        joist_depth=_length(facts, "joists.depth"),
        joists=joists if isinstance(joists, Fraction) else "at_ledger_top",
        decking=_length(facts, "decking.thickness") if isinstance(joists, Fraction) else None,
        floor_build_up=sum((f for f in floor if isinstance(f, Fraction)), Fraction(0))
        if all(isinstance(f, Fraction) for f in floor)
        else None,
        band_joist_name=f"{facts.get('band_joist.size', '')} band joist".strip(),
        ledger_name=f"{facts.get('ledger.size', '')} ledger".strip(),
        joist_name=f"{facts.get('joists.size', '')} joist".strip(),
    )


def rows_of(facts: Facts) -> tuple[Fraction, Fraction] | None:
    """Return the rows as designed, where both are stated."""
    upper, lower = (facts.get(row) for row in ROWS)
    if isinstance(upper, Fraction) and isinstance(lower, Fraction):
        return upper, lower
    return None


def _length(facts: Facts, name: str) -> Fraction | None:
    value = facts.get(name)
    return value if isinstance(value, Fraction) else None


def _gap(facts: Facts) -> Fraction:
    between = [facts.get(f"wall.{n}") for n in ("sheathing_thickness", "drainage_washer_stack")]
    return sum((b for b in between if isinstance(b, Fraction)), Fraction(0))


def _limits(evaluation: Evaluation, vocabulary: Vocabulary) -> tuple[Distance, ...]:
    return tuple(
        limit.distance
        for limit in clause_limits(evaluation, vocabulary)
        if limit.distance.start.startswith(DATUMS_DRAWN)
        and limit.distance.end.startswith(DATUMS_DRAWN)
    )
