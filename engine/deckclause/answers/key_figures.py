"""The figures a builder asks for first, as one rule set has them for one deck: guard, stair, footing."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from deckclause.answers.figure import figure, limit_words
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Evaluation, Finding
from deckclause.evaluate.status import INFORMATION_MISSING
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.walk import clause_reads

TOPICS = {
    "guard": ("guard_height",),
    "opening": ("guard_opening",),
    "riser": ("stair_riser_height",),
    "tread": ("stair_tread_depth",),
    "footing": ("footing_depth", "footing_frost"),
}
FROST = "site.frost_depth"
NOT_HELD = "no figure held here"


class KeyFigures(Struct, frozen=True):
    """Each figure in words with * where it is from memory; NOT_HELD where there is none."""

    guard: str
    opening: str
    riser: str
    tread: str
    footing: str


def key_figures(evaluation: Evaluation, vocabulary: Vocabulary) -> KeyFigures:
    """Return the strictest limit the rule set puts on each, for this design."""
    explainer = Explainer(evaluation, vocabulary)
    asked = {
        name: [f for f in evaluation.findings if f.topic in topics]
        for name, topics in TOPICS.items()
    }
    words = {name: _words(found, explainer) for name, found in asked.items()}
    # a ball that just passes an opening of its own size is a way the clause is read: say the ball
    most, star, _ = words["opening"].removeprefix("at most ").partition(" *")
    words["opening"] = (
        f"a ball of {most} does not pass{star}" if most != NOT_HELD else f"opening: {most}"
    )
    words["footing"] = _footing(asked["footing"], explainer)
    return KeyFigures(**words)


def _footing(found: Sequence[Finding], explainer: Explainer) -> str:
    """Write how deep a footing goes; a frost line no ordinance here fixes is this deck's alone."""
    fixed = {setting.quantity for setting in explainer.evaluation.ruleset.settings}
    by_frost = [
        f for f in found if FROST in clause_reads(f.clause) and (_is_limit(f) or _is_open(f))
    ]
    if FROST in fixed or not by_frost:
        words = _words(found, explainer)
        return words if words == NOT_HELD else f"{words} below ground"
    words = _words([f for f in found if f not in by_frost], explainer)
    return "below frost" if words == NOT_HELD else f"{words} and below frost"


def _words(found: Sequence[Finding], explainer: Explainer) -> str:
    """Write the strictest of some limits; none where a clause beside them is not decided."""
    asked = [f for f in found if _is_limit(f)]
    if not asked or any(_is_open(f) for f in found):
        return NOT_HELD
    least = max((f.least for f in asked if f.least is not None), default=None)
    most = min((f.most for f in asked if f.most is not None), default=None)
    one = asked[0]
    words = limit_words(figure(least, one.kind, one.unit), figure(most, one.kind, one.unit))
    bounds = [f for f in asked if least is not None and f.least == least]
    bounds += [f for f in asked if most is not None and f.most == most]
    return f"{words} *" if any(_on_memory(f, explainer) for f in bounds) else words


def _is_limit(finding: Finding) -> bool:
    return finding.limit != (None, None)


def _is_open(finding: Finding) -> bool:
    """Tell whether not even the limit is known."""
    return finding.status == INFORMATION_MISSING and not _is_limit(finding)


def _on_memory(finding: Finding, explainer: Explainer) -> bool:
    """Tell whether the limit, or a value of the place it reads, has not been seen in print."""
    read = clause_reads(finding.clause)
    settings = [s for s in explainer.evaluation.ruleset.settings if s.quantity in read]
    return "memory" in (explainer.standing(finding), *(s.standing for s in settings))
