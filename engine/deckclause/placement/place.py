"""Where the fasteners of one design may go under one rule set, and how far its deck may step down."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import cached_property

from msgspec import Struct

from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import COMPLIES, INFORMATION_MISSING
from deckclause.placement.answers import Ask, Extreme
from deckclause.placement.boards import (
    BAND_TOP,
    DECK_SURFACE,
    FLOOR,
    JOISTS_TOP,
    LEDGER_TOP,
    LOWER_ROW,
    UPPER_ROW,
)
from deckclause.placement.constraints import Distance
from deckclause.placement.from_design import (
    THRESHOLD_HEIGHT,
    DesignBoards,
    boards_of,
    missing_for_step_down,
)
from deckclause.placement.from_rules import PlacementRules, RuleLimit, speaks_of_band_joist
from deckclause.placement.solve import solve
from deckclause.placement.steps import Range
from deckclause.placement.verdict import Verdict, not_applicable, verdict
from deckclause.rulesets.ruleset import RuleSet

FROM_FLOOR = "step down from the floor inside to the deck"
ROW_PAIRS = ((LEDGER_TOP, UPPER_ROW), (LEDGER_TOP, LOWER_ROW), (UPPER_ROW, LOWER_ROW))


class StepDown(Struct, frozen=True):
    """How far the deck's surface may lie below the floor, or below one door's threshold.

    `range` holds under every limit, doors included; `by_bolts` is the greatest under the
    fasteners' limits alone. Both are None where the geometry does not tell them; `missing` then
    says what would.
    """

    name: str
    start: str
    range: Range | None
    by_bolts: Extreme | None
    asked: Fraction | None
    missing: tuple[str, ...] = ()


class Placement(Struct, frozen=True, dict=True):
    """The answers for one design under one rule set; ranges are solved when they are asked for.

    `asked` judges the drop and the rows as the design states them, `at_drop` the drop with the
    rows free, `any_drop` both free. `with_doors` judges any drop under the doors' limits as well.
    """

    ruleset: RuleSet
    boards: DesignBoards
    limits: tuple[RuleLimit, ...]
    asked: Verdict
    at_drop: Verdict
    any_drop: Verdict
    with_doors: Verdict

    @cached_property
    def drop(self) -> Range | None:
        """The range of the ledger's drop, over every drop."""
        return _range(self.any_drop, BAND_TOP, LEDGER_TOP)

    @cached_property
    def joist_drop(self) -> Range | None:
        """The range of the joists' tops below the band joist's top, over every drop."""
        return _range(self.any_drop, BAND_TOP, JOISTS_TOP)

    @cached_property
    def rows(self) -> tuple[Range, ...]:
        """The rows' ranges at the drop asked (over every drop where none is).

        The upper and the lower row below the ledger's top, and the distance between them.
        """
        shown = self.at_drop if self.at_drop.is_feasible else self.any_drop
        return tuple(r for pair in ROW_PAIRS if (r := _range(shown, *pair)) is not None)

    @cached_property
    def step_downs(self) -> tuple[StepDown, ...]:
        """The step down from the floor, then at each door whose threshold is known."""
        return step_downs(self.boards, self.any_drop, self.with_doors, self.limits)

    @property
    def status(self) -> int:
        """The status of the design as stated; an unknown drop leaves it open."""
        if self.asked.status == COMPLIES and self.boards.drop is None:
            return INFORMATION_MISSING
        return self.asked.status

    @property
    def fastener_limits(self) -> tuple[RuleLimit, ...]:
        """The limits on where a fastener may go."""
        return tuple(item for item in self.limits if not item.is_at_door)

    @property
    def speaks_of_band_joist(self) -> bool:
        """Whether any limit is measured from the band joist: without one, only the wood ends a drop."""
        return speaks_of_band_joist(self.limits)


def place(
    design: PreparedDesign, rules: PlacementRules, limits: tuple[RuleLimit, ...] | None = None
) -> Placement:
    """Solve a design under a rule set. Raises InputError where a clause's exceptions conflict.

    `limits` are those the rules have for this design, where they are worked out already.
    """
    boards = boards_of(design)
    limits = rules.limits(design) if limits is None else limits
    fasteners = [item for item in limits if not item.is_at_door]
    free = boards.distances(open_drop=True, open_rows=True)
    any_drop = _judge(free, fasteners, boards)
    at_drop = _judge(boards.distances(open_rows=True), fasteners, boards)
    asked = at_drop if boards.rows is None else _judge(boards.distances(), fasteners, boards)
    with_doors = _judge(free, list(limits), boards)
    return Placement(rules.ruleset, boards, limits, asked, at_drop, any_drop, with_doors)


def _judge(
    distances: Sequence[Distance], limits: Sequence[RuleLimit], boards: DesignBoards
) -> Verdict:
    if boards.facts.get("deck.attachment") == "freestanding":
        return not_applicable()
    return verdict(distances, limits, boards.missing)


def _range(found: Verdict, start: str, end: str) -> Range | None:
    known = {datum for d in found.distances for datum in (d.start, d.end)}
    if not found.is_feasible or not {start, end} <= known:
        return None
    asks = [Ask(start, end, "least"), Ask(start, end, "greatest")]
    least, greatest = solve(found.distances, asks).extremes
    if least.value is None and greatest.value is None:
        return None
    return Range(least, greatest)


def step_downs(
    boards: DesignBoards, any_drop: Verdict, with_doors: Verdict, limits: Sequence[RuleLimit]
) -> tuple[StepDown, ...]:
    """Return the step down from the floor, then at each door whose threshold is known."""
    missing = missing_for_step_down(boards)
    unknown = [d for d in boards.doors if d.threshold is None and _limited(d.datum, limits)]
    ask = (*missing, *([THRESHOLD_HEIGHT] if unknown and not missing else []))
    found = [_step_down(FROM_FLOOR, FLOOR, boards, any_drop, with_doors, ask)]
    for door in boards.doors:
        if door.threshold is not None:
            name = f"step down at {door.name or 'the door'}, from its threshold to the deck"
            found.append(_step_down(name, door.datum, boards, any_drop, with_doors, missing))
    return tuple(found)


def _limited(datum: str, limits: Sequence[RuleLimit]) -> bool:
    return any(datum in (d.start, d.end) for item in limits for d in item.strict)


def _step_down(
    name: str,
    start: str,
    boards: DesignBoards,
    any_drop: Verdict,
    with_doors: Verdict,
    missing: tuple[str, ...],
) -> StepDown:
    bolts = _range(any_drop, start, DECK_SURFACE)
    told = bolts is not None
    asked = None
    if boards.drop is not None:
        rigid = [d for d in boards.distances(open_rows=True) if d.is_rigid]
        known = {datum for d in rigid for datum in (d.start, d.end)}
        if {start, DECK_SURFACE} <= known:
            answer = solve(rigid, [Ask(start, DECK_SURFACE)])
            asked = answer.extremes[0].value if answer.is_feasible else None
    return StepDown(
        name,
        start,
        _range(with_doors, start, DECK_SURFACE) if told else None,
        None if bolts is None else bolts.greatest,
        asked,
        missing,
    )
