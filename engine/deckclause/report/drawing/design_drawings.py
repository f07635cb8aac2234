"""The section drawings of one design: one for each way the rule sets limit the fasteners."""

from __future__ import annotations

from msgspec import Struct

from deckclause.answers.section_scene import Scene
from deckclause.answers.sections import SectionsAnswer
from deckclause.report.document import Drawing
from deckclause.report.drawing.draw_section import draw_section, summary
from deckclause.report.drawing.draw_two_sections import draw_two_sections


class Drawn(Struct, frozen=True):
    """Drawings, and why there is none where there is none."""

    drawings: tuple[Drawing, ...]
    missing: str = ""


def section_drawings(answer: SectionsAnswer) -> Drawn:
    """Draw the sections worked out for a design; two stand on one sheet."""
    return Drawn(tuple(_drawn(answer.scenes)), " ".join(answer.missing))


def _drawn(scenes: tuple[Scene, ...]) -> list[Drawing]:
    if len(scenes) == 2:
        titles = [shown.drawing.block.rule_set for shown in scenes]
        words = " ".join(
            f"{title}: {described(shown)}" for title, shown in zip(titles, scenes, strict=True)
        )
        return [
            Drawing(draw_two_sections(*scenes), f"Section under {' and '.join(titles)}.", words)
        ]
    return [Drawing(draw_section(shown), caption(shown), described(shown)) for shown in scenes]


def caption(shown: Scene) -> str:
    """Say under which rule set a section is drawn, and whether as proposed."""
    rule_set = shown.drawing.block.rule_set
    if shown.drawing.proposed:
        return f"Section as proposed; limits of {rule_set}."
    return f"Section under {rule_set}."


def described(shown: Scene) -> str:
    """Tell in words what a section shows, and what was taken for granted to draw it."""
    return " ".join([summary(shown), *shown.drawing.block.cautions])
