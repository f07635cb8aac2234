"""The section as a board to work on: what stands where, how far each member may be moved, and why.

The limits are those that placing the fasteners solves (`placement.place`), one range a rule set. A
member nobody stated is told apart, drawn where it would usually stand, and never has a range.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from deckclause.answers.section_scene import (
    BAND,
    DECKING,
    FLOOR,
    LEDGER,
    LOWER,
    SHEATHING,
    UPPER,
    Scene,
    SectionDrawing,
    scene,
)
from deckclause.answers.section_scene import JOISTS as JOIST
from deckclause.answers.sections import between, named, unstated
from deckclause.answers.sheet import TitleBlock
from deckclause.compare.placement_rows import PlacementRows
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import NOT_APPLICABLE, STATUS_WORDS
from deckclause.evaluate.words import called
from deckclause.placement.answers import Ask, Extreme
from deckclause.placement.boards import Section, SectionError
from deckclause.placement.constraints import Distance, exact_length_text
from deckclause.placement.from_design import (
    DROP,
    JOISTS,
    MEASURES,
    ROWS,
    SURFACE,
    DesignBoards,
    fields_on_ledger,
    hung_within_ledger,
)
from deckclause.placement.from_rules import PlacementRules, RuleLimit
from deckclause.placement.place import Placement, StepDown, place
from deckclause.placement.solve import solve
from deckclause.placement.verdict import Verdict, verdict
from deckclause.rulesets.names import short_titles
from deckclause.rulesets.vocabulary import Vocabulary

USUAL_DEPTH, USUAL_SHEATHING = Fraction(37, 4), Fraction(1, 2)
"""Where nobody stated them: a 2x10 board, half-inch sheathing, drawn as a question."""
MOVED = {DROP: LEDGER, ROWS[0]: UPPER, ROWS[1]: LOWER, JOISTS: JOIST}


class End(Struct, frozen=True):
    """How far a measure may go one way: the figure, and the clauses that end it; `wood` where none."""

    value: Fraction
    because: str
    wood: bool = False


class Reach(Struct, frozen=True):
    """What one rule set leaves a measure; `words` says why there is no range, or what it rests on."""

    rule_set: str
    title: str
    least: End | None
    most: End | None
    words: str = ""


class Handle(Struct, frozen=True):
    """A member that can be moved: the measure it changes, where that begins, and its limits.

    `zero` is where the measure counts from, inches below the band joist's top; `value` None where
    it is not stated. `low` and `high` are the ends of the wood. `fields` are the joist fields, by
    place in the design, that state it; empty where it is one figure of the deck.
    """

    quantity: str
    member: str
    zero: Fraction
    value: Fraction | None
    low: Fraction
    high: Fraction
    reaches: tuple[Reach, ...]
    fields: tuple[int, ...] = ()


class StepReading(Struct, frozen=True):
    """One step down as drawn, by its datum, and the greatest each rule set leaves it."""

    name: str
    asked: Fraction | None
    greatest: tuple[tuple[str, str], ...]


class SectionBoard(Struct, frozen=True):
    """The section of one deck under several rule sets, to be looked at and moved.

    `verdicts` are what each rule set, by its title, makes of drop and rows as stated. `rows_off`:
    the rows as stated do not lie one above the other on the ledger, so others are drawn.
    """

    scene: Scene
    handles: tuple[Handle, ...]
    steps: tuple[StepReading, ...]
    verdicts: tuple[tuple[str, str], ...]
    rows_off: bool


def section_board(
    design: PreparedDesign,
    evaluators: Sequence[Evaluator],
    vocabulary: Vocabulary,
    found: PlacementRows | None = None,
) -> SectionBoard | None:
    """Return the section as a board; None for a deck that does not hang on a ledger, or may not.

    `found` are the limits a comparison of this design under these rule sets worked out already.
    Raises SectionError where the boards, as stated, cannot stand.
    """
    if design.facts().get("deck.attachment") != "ledger" or not evaluators:
        return None
    if found is None:
        placements = [place(design, PlacementRules(e, vocabulary)) for e in evaluators]
    else:
        pairs = zip(found.rules, found.limits, strict=True)
        placements = [place(design, rules, limits) for rules, limits in pairs]
    builder = _Builder(design, placements, vocabulary)
    return builder.board()


class _Builder:
    def __init__(
        self, design: PreparedDesign, placements: list[Placement], vocabulary: Vocabulary
    ) -> None:
        self.design = design
        self.placements = placements
        self.vocabulary = vocabulary
        self.boards = placements[0].boards
        names = [p.ruleset.name for p in placements]
        self.titles = dict(zip(names, short_titles(names), strict=True))
        self.guessed = set(unstated(self.boards))

    def board(self) -> SectionBoard:
        section = self.section()
        limits = [i for p in self.placements for i in p.fastener_limits]
        clauses = tuple(dict.fromkeys(d for item in limits for d in item.strict))
        rows = self.rows(section.ledger_depth)
        gap = between(self.boards)
        if gap is None:
            self.guessed.add(SHEATHING)
        kind = str(self.boards.facts.get("fasteners.kind") or "")
        block = TitleBlock(self.design.design.name, "", "", "", ())
        drawing = SectionDrawing(
            block, section, clauses, rows, USUAL_SHEATHING if gap is None else gap, fasteners=kind
        )
        open_ = any(p.asked.reasons for p in self.placements)
        shown = scene(replace(drawing, guessed=frozenset(self.guessed), limits_open=open_))
        verdicts = tuple(
            (self.titles[p.ruleset.name], STATUS_WORDS[p.status]) for p in self.placements
        )
        return SectionBoard(
            shown,
            tuple(self.handles(shown)),
            tuple(self.steps()),
            verdicts,
            self.boards.rows is not None and rows is None,
        )

    # -- what stands there ------------------------------------------------------------------------

    def depth(self, quantity: str, member: str) -> Fraction:
        value = self.boards.facts.get(quantity)
        if isinstance(value, Fraction):
            return value
        self.guessed.add(member)
        return USUAL_DEPTH

    def section(self) -> Section:
        """Return the boards as stated; what nobody stated as it would usually be, and guessed."""
        facts, boards = self.boards.facts, self.boards
        band, ledger = self.depth("band_joist.depth", BAND), self.depth("ledger.depth", LEDGER)
        if boards.drop is None:
            self.guessed.add(LEDGER)
        below, depth = facts.get(JOISTS), facts.get("joists.depth")
        decking = facts.get("decking.thickness")
        if not isinstance(decking, Fraction):
            self.guessed.add(DECKING)
        floor = [facts.get(n) for n in ("floor.subfloor_thickness", "floor.finish_thickness")]
        known = [v for v in floor if isinstance(v, Fraction)]
        if len(known) < len(floor):
            self.guessed.add(FLOOR)
        return Section(
            band,
            ledger,
            boards.drop if boards.drop is not None else Fraction(0),
            depth if isinstance(depth, Fraction) else None,
            below if isinstance(below, Fraction) else "at_ledger_top",
            decking if isinstance(decking, Fraction) else None,
            sum(known, Fraction(0)) if len(known) == len(floor) else None,
            None,
            named(boards, "band_joist.size", "band joist"),
            named(boards, "ledger.size", "ledger"),
            named(boards, "joists.size", "joist"),
        )

    def rows(self, depth: Fraction) -> tuple[Fraction, Fraction] | None:
        """Return the rows as stated; none where one is not, or they do not lie on the ledger."""
        rows = self.boards.rows
        if rows is not None and 0 <= rows[0] < rows[1] <= depth:
            return rows
        self.guessed |= {UPPER, LOWER}
        return None

    # -- how far each may go ----------------------------------------------------------------------

    def handles(self, shown: Scene) -> Iterator[Handle]:
        section = shown.drawing.section
        band, ledger = section.band_joist_depth, section.ledger_depth
        yield self.handle(DROP, Fraction(0), self.boards.drop, band)
        for row in ROWS:
            value = self.boards.facts.get(row)
            stated = value if isinstance(value, Fraction) else None
            yield self.handle(row, shown.drop, stated, ledger)
        names = fields_on_ledger(self.design)
        every = [part.name for part in self.design.design.parts.get("joists", ())]
        if names:
            below = self.boards.facts.get(JOISTS)
            stated = below if isinstance(below, Fraction) else None
            fields = tuple(i for i, name in enumerate(every) if name in names)
            yield self.handle(JOISTS, shown.drop, stated, ledger, fields)

    def handle(
        self,
        quantity: str,
        zero: Fraction,
        value: Fraction | None,
        high: Fraction,
        fields: tuple[int, ...] = (),
    ) -> Handle:
        reaches = tuple(self.reach(p, quantity) for p in self.placements)
        return Handle(
            quantity, MOVED[quantity], zero, value,
            Fraction(0), high, reaches, fields,
        )  # fmt: skip

    def reach(self, placement: Placement, quantity: str) -> Reach:
        """Return what a rule set leaves one measure, as `place` solves it."""
        name = placement.ruleset.name
        title = self.titles[name]
        if self.boards.missing:
            lacks = ", ".join(called(n, self.vocabulary) for n in self.boards.missing)
            return Reach(name, title, None, None, f"not known: {lacks}")
        found = self.judged(placement, quantity)
        if found.status == NOT_APPLICABLE:
            return Reach(name, title, None, None, "does not apply to this deck")
        if found.reasons:
            return Reach(name, title, None, None, f"{found.told}: {'; '.join(found.reasons)}")
        if not found.is_feasible:
            return Reach(name, title, None, None, "no place is left: see what fails on its card")
        start, end = MEASURES[quantity]
        known = {datum for d in found.distances for datum in (d.start, d.end)}
        if not {start, end} <= known:
            return Reach(name, title, None, None, "nothing limits it here")
        asks = [Ask(start, end, "least"), Ask(start, end, "greatest")]
        least, most = (_end(x) for x in solve(found.distances, asks).extremes)
        lacks = ", ".join(called(n, self.vocabulary) for n in found.missing)
        told = [f"not known, so the stricter limit: {lacks}"] if lacks else []
        if quantity in ROWS and self.boards.drop is None:
            told.append("at some drop of the ledger, which is not stated")
        return Reach(name, title, least, most, "; ".join(told))

    def judged(self, placement: Placement, quantity: str) -> Verdict:
        """Return the system a measure is free in: the drop at any door, rows at the drop as drawn."""
        if quantity == DROP:
            doors = placement.with_doors
            return doors if doors.is_feasible else placement.any_drop
        if quantity in ROWS:
            return placement.at_drop
        return self.joists_free(placement.boards, placement.limits)

    @staticmethod
    def joists_free(boards: DesignBoards, limits: Sequence[RuleLimit]) -> Verdict:
        """Return the system the joists are free in: the ledger's depth, and the steps at the doors."""
        facts = {n: v for n, v in boards.facts.items() if n not in (JOISTS, SURFACE)}
        doors = tuple(replace(door, measured=None) for door in boards.doors)
        open_ = replace(boards, facts=facts, doors=doors)
        distances: list[Distance] = [*open_.distances(open_rows=True)]
        if isinstance(facts.get("joists.depth"), Fraction):
            distances += hung_within_ledger()
        return verdict(distances, [item for item in limits if item.is_at_door], boards.missing)

    # -- the step down ----------------------------------------------------------------------------

    def steps(self) -> Iterator[StepReading]:
        for index, step in enumerate(self.placements[0].step_downs):
            greatest = []
            for placement in self.placements:
                if index < len(placement.step_downs):
                    words = _greatest(placement.step_downs[index], placement.with_doors)
                    greatest.append((self.titles[placement.ruleset.name], words))
            yield StepReading(step.name, step.asked, tuple(greatest))


def _greatest(step: StepDown, found: Verdict) -> str:
    """Say how far a step may go; what engineering, or a thing not known, may yet limit is no figure."""
    if found.reasons:
        return found.told
    if found.solution is not None and not found.is_feasible:
        return "none, no place is left"
    if step.range is None:
        return "not known"
    greatest = step.range.greatest.value
    words = "no limit" if greatest is None else exact_length_text(greatest)
    return f"{words}, not known in full" if step.missing else words


def _end(extreme: Extreme) -> End | None:
    if extreme.value is None:
        return None
    clauses = [link.distance for link in extreme.chain if link.distance.kind == "clause"]
    words = "; ".join(f"{d.label}, {d.cites}" if d.cites else d.label for d in clauses)
    return End(extreme.value, words or "the wood ends there", wood=not words)


__all__ = ["SectionBoard", "SectionError", "section_board"]
