"""Documents told once, as plain blocks, and written as HTML, PDF and Word."""

from deckclause.report.document.model import (
    Block,
    Bullets,
    Cell,
    Details,
    Document,
    Drawing,
    Facts,
    Grid,
    Heading,
    Paragraph,
    Redline,
    Signature,
    Unwritten,
    goes_with_drawing,
    is_head,
)

__all__ = [
    "Block",
    "Bullets",
    "Cell",
    "Details",
    "Document",
    "Drawing",
    "Facts",
    "Grid",
    "Heading",
    "Paragraph",
    "Redline",
    "Signature",
    "Unwritten",
    "goes_with_drawing",
    "is_head",
]
