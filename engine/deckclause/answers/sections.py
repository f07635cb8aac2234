"""The sections of a design under rule sets, worked out for the page, a report and a sheet alike.

What is drawn is what placing the fasteners found. What nobody stated is told on the sheet; where
what is not known decides whether there is a limit at all, nothing is drawn and the reason is told.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from deckclause.answers.place_and_day import place_and_day
from deckclause.answers.section_scene import (
    JOISTS,
    LOWER,
    SILL,
    UPPER,
    Scene,
    SectionDrawing,
    scene,
)
from deckclause.answers.sheet import TitleBlock
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    INFORMATION_MISSING,
    NOT_REGULATED,
)
from deckclause.evaluate.words import called
from deckclause.placement.boards import Joists, Section, SectionError
from deckclause.placement.constraints import Distance
from deckclause.placement.from_design import DROP, DesignBoards
from deckclause.placement.from_rules import PlacementRules
from deckclause.placement.place import Placement, place
from deckclause.rulesets.names import rule_set_titles
from deckclause.rulesets.vocabulary import Vocabulary

MOST_DRAWN = 6
NO_LEDGER = "No section is drawn: the deck does not hang on a ledger, or it is not said."
NO_LIMITS = "No section is drawn: no rule set here limits where a fastener may go."
LEVEL = "Joists are drawn with tops level with the ledger's: how they stand is not known."
NO_SHEATHING = "Nothing is drawn between ledger and band joist: what lies there is not known."
ONLY_WOOD = "This rule set has no clause on where a fastener may go; only wood is drawn."


class NothingToDraw(Exception):
    """A rule set under which there is no honest drawing; the message says why."""


class SectionsAnswer(Struct, frozen=True):
    """Sections worked out, one for each way rule sets limit the fasteners; why others are not."""

    scenes: tuple[Scene, ...]
    missing: tuple[str, ...]


def sections_answer(
    design: PreparedDesign,
    evaluators: Sequence[Evaluator],
    vocabulary: Vocabulary,
    proposed: Collection[tuple[str, str]] = (),
) -> SectionsAnswer:
    """Work a design's sections out; rule sets with the same limits share one.

    `proposed` names the clauses, each with its part, from whose limits relief is asked: the
    section is then one as proposed.
    """
    if design.facts().get("deck.attachment") != "ledger":
        return SectionsAnswer((), (NO_LEDGER,))
    drawn: dict[tuple[object, ...], tuple[SectionDrawing, list[str]]] = {}
    without: dict[str, list[str]] = {}
    for evaluator in evaluators:
        name = evaluator.ruleset.name
        placement = place(design, PlacementRules(evaluator, vocabulary))
        try:
            asked = section_drawing(design.design.name, placement, vocabulary, proposed=proposed)
        except NothingToDraw as reason:
            without.setdefault(str(reason), []).append(name)
            continue
        if asked.clauses:
            same = (asked.clauses, asked.undecided, asked.block.cautions)
            drawn.setdefault(same, (asked, []))[1].append(name)
    missing = [
        f"No section is drawn under {rule_set_titles(names)}: {why}."
        for why, names in without.items()
    ]
    try:
        scenes = [scene(_named(asked, names)) for asked, names in [*drawn.values()][:MOST_DRAWN]]
    except SectionError as fault:
        return SectionsAnswer((), (f"No section is drawn: {fault}.",))
    return SectionsAnswer(tuple(scenes), tuple(missing if scenes or missing else [NO_LIMITS]))


def _named(asked: SectionDrawing, names: Sequence[str]) -> SectionDrawing:
    place_, day = place_and_day(names)
    block = replace(asked.block, place=place_, rule_set=rule_set_titles(list(names)), date=day)
    return replace(asked, block=block)


def section_drawing(
    name: str,
    placement: Placement,
    vocabulary: Vocabulary,
    date: str = "",
    proposed: Collection[tuple[str, str]] = (),
) -> SectionDrawing:
    """Return the section to draw. Raises NothingToDraw where no limit may honestly be drawn."""
    found = placement.asked
    lacks = ", ".join(called(one, vocabulary) for one in found.missing)
    if found.status not in (COMPLIES, DOES_NOT_COMPLY, NOT_REGULATED) and found.reasons:
        to_find_out = [f"to find out: {lacks}"] if found.missing else []
        raise NothingToDraw(f"{found.told}: {'; '.join([*found.reasons, *to_find_out])}")
    section, taken = section_of(placement.boards, vocabulary)
    unsure: list[str] = []
    if found.missing:
        unsure.append(f"Not known, so the stricter limit is drawn: {lacks}.")
    clauses = tuple(dict.fromkeys(d for i in placement.fastener_limits for d in i.strict))
    if not clauses:
        unsure.append(ONLY_WOOD)
    gap = between(placement.boards)
    if gap is None:
        unsure.append(NO_SHEATHING)
    rule_set = placement.ruleset.name
    place_ = rule_set.partition("@")[0] if "@" in rule_set else ""
    title = rule_set_titles([rule_set])
    return SectionDrawing(
        TitleBlock(name, place_, title, date, (*taken, *unsure)),
        section,
        clauses,
        placement.boards.rows,
        gap or Fraction(0),
        undecided=found.status == INFORMATION_MISSING,
        fasteners=str(placement.boards.facts.get("fasteners.kind") or ""),
        proposed=_proposed(placement, proposed),
        guessed=unstated(placement.boards),
    )


def unstated(boards: DesignBoards) -> frozenset[str]:
    """Name the members drawn beside the boards that nobody stated: they are drawn as guessed."""
    found = set()
    if "band_joist.directly_supported_by" not in boards.facts:
        found.add(SILL)
    if "joists.below_ledger_top" not in boards.facts or "joists.depth" not in boards.facts:
        found.add(JOISTS)
    if boards.rows is None:
        found |= {UPPER, LOWER}
    return frozenset(found)


def _proposed(placement: Placement, proposed: Collection[tuple[str, str]]) -> tuple[Distance, ...]:
    return tuple(
        distance
        for item in placement.fastener_limits
        if (item.clause.key, item.limits.part) in proposed
        for distance in item.strict
    )


def section_of(boards: DesignBoards, vocabulary: Vocabulary) -> tuple[Section, tuple[str, ...]]:
    """Return the section a design describes and what was taken for granted to draw it.

    Raises NothingToDraw where the drop or a board is not known.
    """
    facts = boards.facts
    depths = [facts.get(name) for name in ("band_joist.depth", "ledger.depth")]
    if boards.missing or boards.drop is None:
        lacks = [*boards.missing, *([] if boards.drop is not None else [DROP])]
        words = ", ".join(called(name, vocabulary) for name in lacks)
        raise NothingToDraw(f"not known: {words}")
    below = facts.get("joists.below_ledger_top")
    taken: list[str] = []
    joists: Joists | Fraction = "at_ledger_top"
    if isinstance(below, Fraction):
        joists = below
    else:
        taken.append(LEVEL)
    floor = [facts.get(n) for n in ("floor.subfloor_thickness", "floor.finish_thickness")]
    known = [v for v in floor if isinstance(v, Fraction)]
    band, ledger = (v for v in depths if isinstance(v, Fraction))
    return (
        Section(
            band,
            ledger,
            boards.drop,
            _length(boards, "joists.depth"),
            joists,
            _length(boards, "decking.thickness"),
            sum(known, Fraction(0)) if len(known) == len(floor) else None,
            _threshold(boards),
            named(boards, "band_joist.size", "band joist"),
            named(boards, "ledger.size", "ledger"),
            named(boards, "joists.size", "joist"),
        ),
        tuple(taken),
    )


def between(boards: DesignBoards) -> Fraction | None:
    """Return what lies between ledger and band joist: sheathing, and the gap or the washers in it."""
    sheathing = _length(boards, "wall.sheathing_thickness")
    gaps = [_length(boards, f"wall.{n}") for n in ("gap_to_sheathing", "drainage_washer_stack")]
    known = [gap for gap in gaps if gap is not None]
    if sheathing is None and not known:
        return None
    return (sheathing or Fraction(0)) + max(known, default=Fraction(0))


def _length(boards: DesignBoards, name: str) -> Fraction | None:
    value = boards.facts.get(name)
    return value if isinstance(value, Fraction) else None


def _threshold(boards: DesignBoards) -> Fraction | None:
    known = {door.threshold for door in boards.doors if door.threshold is not None}
    only = known.pop() if len(known) == 1 else None
    return only if only is not None and only >= 0 else None


def named(boards: DesignBoards, quantity: str, word: str) -> str:
    """Name a board by its size where that is known: `2x10 ledger`."""
    size = boards.facts.get(quantity)
    return f"{size} {word}" if size else word
