"""One topic under every rule set of a comparison."""

from __future__ import annotations

from msgspec import Struct

from deckclause.answers.compare.cell import CellAnswer
from deckclause.answers.compare.change import ChangeAnswer
from deckclause.rulesets.vocabulary import Topic


class TopicRow(Struct, frozen=True):
    """A topic with a cell for each rule set, the changes between them, and the eye it deserves.

    `attention` is one of those of `attention.py`; `begins` is the first column that regulates the
    topic where the row is set aside for having only begun.
    """

    topic: Topic
    part_title: str
    cells: tuple[CellAnswer, ...]
    changes: tuple[ChangeAnswer, ...]
    differs: bool
    status: int
    attention: str
    begins: int = 0
