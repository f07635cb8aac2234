"""The drawings of a comparison's document: the section, then the ledger in elevation."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.answers.compare.drawn import Drawn
from deckclause.answers.sheet import PaperSheet
from deckclause.report.document import Block, Heading, Paragraph
from deckclause.report.drawing.elevation_drawings import elevation_blocks, elevation_drawings
from deckclause.report.drawing.paper_section import limit_blocks, section_sheet, sheet_cautions
from deckclause.report.drawing.stated_drawings import stated_blocks


def comparison_drawings(drawn: Drawn) -> Iterator[Block]:
    """Yield what elevation, plan, stairs and sections come to, or why there is none; then all the sheets.

    The sheets lie on their sides and stand last, so that they split nothing.
    """
    sections = drawn.sections
    yield Heading(1, "The ledger in elevation", "elevation")
    yield from elevation_blocks(drawn.elevations)
    yield Heading(1, "The section", "drawings")
    for shown in sections.scenes:
        yield from limit_blocks(shown)
    if sections.scenes:
        yield sheet_cautions(sections.scenes)
    if sections.missing:
        yield Paragraph(" ".join(sections.missing), "note")
    yield from stated_blocks(drawn.stated)
    count = len(sections.scenes)
    for number, shown in enumerate(sections.scenes, 1):
        yield section_sheet(shown, PaperSheet(f"S-{number} of {count}"))
    yield from elevation_drawings(drawn.elevations, PaperSheet())
