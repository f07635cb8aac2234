"""The figures a builder asks for first, as one rule set has them for one deck: guard, stair, footing."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from deckclause.answers.figure import figure, limit_words
from deckclause.evaluate.findings import Evaluation, Finding

TOPICS = {
    "guard": ("guard_height",),
    "opening": ("guard_opening",),
    "riser": ("stair_riser_height",),
    "tread": ("stair_tread_depth",),
    "footing": ("footing_depth", "footing_frost"),
}
NOT_HELD = "no figure held here"


@dataclass(frozen=True, slots=True)
class KeyFigures:
    """Each figure in words with * where it is from memory; NOT_HELD where there is none."""

    guard: str
    opening: str
    riser: str
    tread: str
    footing: str


def key_figures(evaluation: Evaluation) -> KeyFigures:
    """Return the strictest limit the rule set puts on each, for this design."""
    words = {name: _words(evaluation.findings, topics) for name, topics in TOPICS.items()}
    # a ball that just passes an opening of its own size is a way the clause is read: say the ball
    most, star, _ = words["opening"].removeprefix("at most ").partition(" *")
    words["opening"] = (
        f"a ball of {most} does not pass{star}" if most != NOT_HELD else f"opening: {most}"
    )
    return KeyFigures(**words)


def _words(findings: Iterable[Finding], topics: tuple[str, ...]) -> str:
    asked = [f for f in findings if f.topic in topics and (f.least, f.most) != (None, None)]
    if not asked:
        return NOT_HELD
    least = max((f.least for f in asked if f.least is not None), default=None)
    most = min((f.most for f in asked if f.most is not None), default=None)
    one = asked[0]
    words = limit_words(figure(least, one.kind, one.unit), figure(most, one.kind, one.unit))
    memory = any(
        f.clause.standing == "memory" for f in asked if f.least == least and f.most == most
    )
    return f"{words} *" if memory else words
