"""The drawings of a deck as it is stated, by name, and what is said where there is none."""

from __future__ import annotations

from msgspec import Struct

from deckclause.answers.outlines.elevation import elevation_outline
from deckclause.answers.outlines.limits import Limits
from deckclause.answers.outlines.model import Outline
from deckclause.answers.outlines.plan import plan_outline
from deckclause.answers.outlines.stairs import stairs_outline
from deckclause.evaluate.prepare import PreparedDesign

OUTLINES = {"elevation": elevation_outline, "plan": plan_outline, "stairs": stairs_outline}
VIEWS = ("section", *OUTLINES)
"""Every drawing of the deck; the section is solved, the others are outlines."""
NONE = {
    "elevation": "No elevation is drawn: the deck does not hang on a ledger, or it is not said.",
    "stairs": "No stairs are drawn: the deck is stated to have none.",
}
GROUPS = {
    "elevation": ("ledger", "fasteners", "band_joist_pieces"),
    "plan": ("joists", "beams", "posts", "footings"),
    "stairs": ("stairs",),
}
"""Parts of a deck, one of which must be stated for a drawing to have anything to show."""


class StatedView(Struct, frozen=True):
    """One drawing of a deck as stated; `outline` is None for a deck stated to be without.

    `lacks` are the parts it would show, where the design states none of them.
    """

    view: str
    outline: Outline | None
    lacks: tuple[str, ...]


def stated_view(view: str, design: PreparedDesign) -> StatedView:
    """Return one drawing of a design as it is stated, with no rule set's limits."""
    stated = {name.partition(".")[0] for name in design.design.facts}
    stated |= {group for group, parts in design.design.parts.items() if parts}
    lacks = () if stated & set(GROUPS[view]) else GROUPS[view]
    return StatedView(view, OUTLINES[view](design, Limits(())), lacks)
