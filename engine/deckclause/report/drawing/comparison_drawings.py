"""The drawings of a comparison's document: the section, then the ledger in elevation."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.answers.sections import sections_answer
from deckclause.answers.sheet import PaperSheet
from deckclause.compare.comparison import Comparison
from deckclause.evaluate.catalogue import Catalogue
from deckclause.report.document import Block, Heading, Paragraph
from deckclause.report.drawing.elevation_drawings import elevation_blocks
from deckclause.report.drawing.paper_section import limit_blocks, section_sheet, sheet_cautions


def comparison_drawings(catalogue: Catalogue, comparison: Comparison) -> Iterator[Block]:
    """Yield the elevation, the limits of each section, then the sections as sheets, or why there is none.

    The sheets lie on their sides and stand last.
    """
    found = sections_answer(comparison.design, comparison.evaluators, catalogue.vocabulary)
    yield Heading(1, "The ledger in elevation", "elevation")
    yield from elevation_blocks(catalogue, comparison.evaluations)
    yield Heading(1, "The section", "drawings")
    for shown in found.scenes:
        yield from limit_blocks(shown)
    if found.scenes:
        yield sheet_cautions(found.scenes)
    if found.missing:
        yield Paragraph(" ".join(found.missing), "note")
    count = len(found.scenes)
    for number, shown in enumerate(found.scenes, 1):
        yield section_sheet(shown, PaperSheet(f"S-{number} of {count}"))
