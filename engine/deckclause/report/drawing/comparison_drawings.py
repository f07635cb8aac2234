"""The drawings of a comparison's document: the section, then the ledger in elevation."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.answers.sections import sections_answer
from deckclause.compare.comparison import Comparison
from deckclause.evaluate.catalogue import Catalogue
from deckclause.report.document import Block, Heading, Paragraph
from deckclause.report.drawing.design_drawings import section_drawings
from deckclause.report.drawing.elevation_drawings import elevation_blocks


def comparison_drawings(catalogue: Catalogue, comparison: Comparison) -> Iterator[Block]:
    """Yield the section and the elevation, or why there is none."""
    drawn = section_drawings(
        sections_answer(comparison.design, comparison.evaluators, catalogue.vocabulary)
    )
    yield Heading(1, "The section", "drawings", wide=bool(drawn.drawings))
    yield from drawn.drawings
    if drawn.missing:
        yield Paragraph(drawn.missing, "note")
    yield Heading(1, "The ledger in elevation", "elevation")
    yield from elevation_blocks(catalogue, comparison.evaluations)
