"""Where the fasteners of a design may go and how far its deck may step down, as text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from textwrap import wrap

from deckclause.answers.placing import PlaceAnswer
from deckclause.placement.answers import Extreme
from deckclause.placement.constraints import Distance, exact_length_text
from deckclause.placement.place import Placement, StepDown
from deckclause.placement.steps import Range
from deckclause.placement.sums import conflict_text, extreme_text
from deckclause.placement.verdict import Verdict
from deckclause.placement.zones import BoardZone, RoomyRows
from deckclause.report.cautions import CAUTIONS
from deckclause.rulesets.names import rule_set_heading, rule_set_titles
from deckclause.rulesets.vocabulary import Vocabulary

ROW_WORDS = (
    "upper row below the ledger's top",
    "lower row below the ledger's top",
    "distance between the rows",
)
DROP_WORDS = "ledger's top below the band joist's top"
JOIST_WORDS = "joist tops below the band joist's top"


_OPEN_WORDS = {"complies": "there is a place for both rows", "does not comply": "there is no place"}
"""What a verdict means where the design leaves open what was asked: nothing complies yet."""


class PlacementText:
    """Writes placements to a width."""

    def __init__(self, vocabulary: Vocabulary, width: int = 100) -> None:
        self.vocabulary = vocabulary
        self.width = max(width, 60)

    def lines(self, name: str, answers: Iterable[PlaceAnswer]) -> Iterator[str]:
        """Yield the report on one design under several rule sets, cautions at the end."""
        yield f"{name}: where the ledger's fasteners may go, and how far the deck may step down"
        asked: dict[str, dict[str, None]] = {}
        for answer in answers:
            yield ""
            yield from self.placement(answer)
            for quantity in answer.missing:
                asked.setdefault(quantity, {})[answer.placement.ruleset.name] = None
        yield from self.questions(asked)
        yield ""
        for caution in CAUTIONS:
            yield from self.wrapped(caution)

    def placement(self, answer: PlaceAnswer) -> Iterator[str]:
        """Yield the answers under one rule set."""
        placement = answer.placement
        yield from self.wrapped(rule_set_heading(placement.ruleset.name, placement.ruleset.title))
        if not answer.applies:
            yield "  The deck stands free: there is no ledger to place."
            return
        yield from self._verdicts(placement)
        yield from self._silence(placement)
        if placement.any_drop.solution is not None and not placement.any_drop.is_feasible:
            return
        yield from self._range(DROP_WORDS, placement.drop)
        level = placement.boards.facts.get("joists.below_ledger_top") == 0
        if placement.joist_drop is not None and level:
            yield from self.wrapped(f"{JOIST_WORDS}: the same, joist and ledger tops level", "  ")
        else:
            yield from self._range(JOIST_WORDS, placement.joist_drop)
        for step in placement.step_downs:
            yield from self._step(step, placement)
        where = "at the drop stated" if placement.at_drop.is_feasible else "at any drop"
        if placement.boards.drop is None:
            where = "at any drop"
        for words, one in zip(ROW_WORDS, placement.rows, strict=False):
            yield from self._range(f"{words}, {where}", one)
        yield from self._zones(answer)
        yield from self._limits(placement)

    def _verdicts(self, placement: Placement) -> Iterator[str]:
        boards = placement.boards
        drop = "drop not stated"
        if boards.drop is not None:
            drop = f"drop of {exact_length_text(boards.drop)}"
        if boards.rows is not None:
            rows = " and ".join(exact_length_text(row) for row in boards.rows)
            head = f"As stated ({drop}, rows {rows} below the ledger's top)"
            yield from self._verdict(head, placement.asked)
        if boards.drop is not None and not (
            boards.rows is not None and placement.asked.is_feasible
        ):
            yield from self._verdict(f"At a {drop}, rows free", placement.at_drop, left_open=True)
        if not placement.at_drop.is_feasible or boards.drop is None:
            yield from self._verdict("Drop and rows free", placement.any_drop, left_open=True)

    def _verdict(self, head: str, found: Verdict, *, left_open: bool = False) -> Iterator[str]:
        words = _OPEN_WORDS.get(found.told, found.told) if left_open else found.told
        yield from self.wrapped(f"{head}: {words}", "  ")
        for conflict in found.conflicts.conflicts:
            yield from self.wrapped(conflict_text(conflict), "    ")
        if not found.conflicts.complete:
            yield "    There may be more conflicts than these."
        for reason in found.reasons:
            yield from self.wrapped(reason, "    ")

    def _silence(self, placement: Placement) -> Iterator[str]:
        if not placement.fastener_limits:
            yield from self.wrapped(
                "This rule set has no clause on where a fastener may go: not regulated, never a pass. "
                "Only the wood bounds what follows.",
                "  ",
            )
        elif not placement.speaks_of_band_joist:
            yield from self.wrapped(
                "This rule set has no limit on the band joist: only the wood bounds the drop, and a "
                "fastener at its very edge is no permission.",
                "  ",
            )

    def _range(self, words: str, one: Range | None) -> Iterator[str]:
        if one is None:
            return
        yield from self.wrapped(f"{words}: {range_text(one)}", "  ")
        yield from self._proof("greatest", one.greatest)
        yield from self._proof("least", one.least)

    def _proof(self, word: str, extreme: Extreme) -> Iterator[str]:
        if extreme.value is None or not extreme.chain:
            return
        yield from self.wrapped(f"{word}: {extreme_text(extreme)}", "    ")

    def _step(self, step: StepDown, placement: Placement) -> Iterator[str]:
        if step.range is not None:
            asked = "" if step.asked is None else f" (stated: {exact_length_text(step.asked)})"
            yield from self.wrapped(f"{step.name}: {range_text(step.range)}{asked}", "  ")
            yield from self._proof("greatest", step.range.greatest)
            if step.by_bolts is not None and step.by_bolts.value != step.range.greatest.value:
                yield from self._proof("by the bolts alone", step.by_bolts)
            yield from self._proof("least", step.range.least)
        elif step.by_bolts is not None:
            yield from self.wrapped(f"{step.name}: none; bolts and door together leave none", "  ")
            for conflict in placement.with_doors.conflicts.conflicts:
                yield from self.wrapped(conflict_text(conflict), "    ")
        if step.missing:
            lacks = ", ".join(self.vocabulary.called(name) for name in step.missing)
            told = "not known" if step.range is None else "not known in full"
            yield from self.wrapped(f"{step.name}: {told}, for want of {lacks}", "  ")

    def _recommended(self, rows: RoomyRows | None) -> Iterator[str]:
        words = recommended_text(rows)
        if words:
            yield from self.wrapped(f"recommended, with the most room: {words}", "  ")

    def _zones(self, answer: PlaceAnswer) -> Iterator[str]:
        zones = answer.zones
        if zones is None:
            return
        for words, zone in (
            ("on the ledger alone, below its top", zones.ledger),
            ("on the band joist alone, below its top", zones.band_joist),
            ("on both, below the ledger's top", zones.both_from_ledger),
        ):
            yield from self.wrapped(f"place {words}: {zone_text(zone)}", "  ")
        yield from self._recommended(answer.recommended)

    def _limits(self, placement: Placement) -> Iterator[str]:
        if placement.limits:
            yield "  limits, where each stands, and how well it is known:"
        for distance in dict.fromkeys(d for i in placement.limits for d in i.strict):
            yield from self.wrapped(limit_text(distance), "    ")
        also = (
            f"{item.clause.cites} is also read as: {reading.says} The stricter stands here."
            for item in placement.limits
            for reading in item.clause.readings
        )
        for words in dict.fromkeys(also):
            yield from self.wrapped(words, "    ")

    def questions(self, asked: dict[str, dict[str, None]]) -> Iterator[str]:
        """Yield what to find out, and for which rule sets."""
        if asked:
            yield ""
            yield "WHAT TO FIND OUT (until then the stricter limit is taken)"
        for name, rulesets in asked.items():
            definition = self.vocabulary.quantities.get(name)
            ask = definition.ask if definition else name
            yield from self.wrapped(f"{ask} - for: {rule_set_titles(list(rulesets))}", "  ")

    def wrapped(self, text: str, indent: str = "") -> Iterator[str]:
        """Yield a text in lines of the width."""
        yield from wrap(
            text, self.width, initial_indent=indent, subsequent_indent=indent + "  "
        ) or [""]


def range_text(one: Range) -> str:
    """Write a range as a carpenter says it; what goes up is said to."""
    least, greatest = one.least.value, one.greatest.value
    if least is None:
        return "not bounded" if greatest is None else f"at most {step_text(greatest)}"
    if greatest is None:
        return f"at least {step_text(least)}"
    if least == greatest:
        return f"{step_text(least)} only"
    if least < 0 < greatest:
        return f"{step_text(least)} to down {step_text(greatest)}"
    return f"{step_text(least)} to {step_text(greatest)}"


def step_text(length: Fraction) -> str:
    """Write a length downward; a negative one goes up.

    >>> step_text(Fraction(-7, 4))
    'up 1-3/4 in'
    """
    return exact_length_text(length) if length >= 0 else f"up {exact_length_text(-length)}"


def recommended_text(rows: RoomyRows | None) -> str:
    """Write the pair of rows with the most room, where there is one."""
    if rows is None:
        return ""
    room = f", {exact_length_text(rows.margin)} or more from every limit" if rows.margin else ""
    return (
        f"upper row {exact_length_text(rows.upper)}, lower row {exact_length_text(rows.lower)} below "
        f"the ledger's top{room}"
    )


def zone_text(zone: BoardZone) -> str:
    """Write where both rows may go."""
    if zone.conflict is not None:
        return f"none: {conflict_text(zone.conflict)}"
    words = []
    for row, word in zip(zone.rows, ("upper row", "lower row"), strict=True):
        words.append(f"{word} {range_text(Range(row.least, row.greatest))}")
    if zone.two_rows is not None:
        least, greatest = zone.two_rows.spacing
        words.append(f"{range_text(Range(least, greatest))} between them")
        if zone.two_rows.vertices:
            corners = "; ".join(
                f"{exact_length_text(x)}, {exact_length_text(y)}" for x, y in zone.two_rows.vertices
            )
            words.append(f"corners (upper, lower): {corners}")
    return ", ".join(words)


def limit_text(distance: Distance) -> str:
    """Write one limit with its clause and standing."""
    mark = "*" if distance.standing == "memory" else ""
    return (
        f"{distance.label}: {distance.bounds_text()}{mark} ({distance.cites}; {distance.standing})"
    )
