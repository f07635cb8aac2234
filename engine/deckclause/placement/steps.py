"""The table of sizes: which ledger, band joist and joist let the deck step down how far."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction

from msgspec import Struct, field

from deckclause.placement.answers import Ask, Conflicts, Extreme
from deckclause.placement.boards import BAND_TOP, DECK_SURFACE, FLOOR, JOISTS_TOP, LEDGER_TOP
from deckclause.placement.conflicts import all_conflicts
from deckclause.placement.constraints import Distance
from deckclause.placement.solve import System, compile_system, solve

LEAST_AND_GREATEST = ("least", "greatest")


class Excluded(Struct, frozen=True):
    """A size the rule set does not allow, or does not tabulate, and where it says so."""

    reason: str
    cites: str = ""


class Range(Struct, frozen=True):
    """Least and greatest of one distance, each with its proof."""

    least: Extreme
    greatest: Extreme

    def holds(self, value: Fraction) -> bool:
        """Whether a value (inches) lies in the range; an open side does not stop it."""
        low, high = self.least.value, self.greatest.value
        return (low is None or low <= value) and (high is None or value <= high)


class StepRow(Struct, frozen=True):
    """One combination of sizes and what it allows.

    `drop` is the ledger's top below the band joist's top, `joist_drop` the joists' top below
    it, `step_down` the deck's surface below the floor inside; each None where the distances do
    not tell it. `conflicts` is empty unless the combination is impossible.
    """

    ledger_size: str
    band_joist_size: str
    joist_size: str
    is_feasible: bool
    drop: Range | None = None
    joist_drop: Range | None = None
    step_down: Range | None = None
    conflicts: Conflicts = field(default_factory=lambda: Conflicts((), True))
    excluded: Excluded | None = None

    @property
    def shortfall(self) -> Fraction | None:
        """The greatest shortfall of an impossible combination, in inches."""
        found = [c.shortfall for c in self.conflicts.conflicts]
        return max(found) if found else None

    def allows_step_down(self, wanted: Fraction) -> bool:
        """Whether this combination can step down exactly so far; False where that is unknown.

        The step-downs a combination allows are one interval, since the limits are linear.
        """
        return self.is_feasible and self.step_down is not None and self.step_down.holds(wanted)


Provider = Callable[[str, str, str], Sequence[Distance] | Excluded]


def step_table(
    constraints_for: Provider,
    ledger_sizes: Sequence[str],
    band_joist_sizes: Sequence[str],
    joist_sizes: Sequence[str],
) -> tuple[StepRow, ...]:
    """Solve every combination of sizes, ledger first, then band joist, then joist.

    `constraints_for(ledger_size, band_joist_size, joist_size)` gives the distances, the drop
    left open, or says why the combination is excluded.
    """
    return tuple(_rows(constraints_for, ledger_sizes, band_joist_sizes, joist_sizes))


def _rows(
    constraints_for: Provider,
    ledger_sizes: Sequence[str],
    band_joist_sizes: Sequence[str],
    joist_sizes: Sequence[str],
) -> Iterator[StepRow]:
    for ledger in ledger_sizes:
        for band_joist in band_joist_sizes:
            for joist in joist_sizes:
                given = constraints_for(ledger, band_joist, joist)
                yield step_row(ledger, band_joist, joist, given)


def step_row(
    ledger_size: str, band_joist_size: str, joist_size: str, given: Sequence[Distance] | Excluded
) -> StepRow:
    """Solve one combination of sizes."""
    if isinstance(given, Excluded):
        return StepRow(ledger_size, band_joist_size, joist_size, False, excluded=given)
    system = compile_system(given)
    pairs = ((BAND_TOP, LEDGER_TOP), (BAND_TOP, JOISTS_TOP), (FLOOR, DECK_SURFACE))
    known = [_tied(system, *pair) for pair in pairs]
    asks = [
        Ask(*pair, sense)  # type: ignore[arg-type]
        for pair, is_known in zip(pairs, known, strict=True)
        if is_known
        for sense in LEAST_AND_GREATEST
    ]
    answer = solve(system, asks)
    if not answer.is_feasible:
        conflicts = all_conflicts(system)
        return StepRow(ledger_size, band_joist_size, joist_size, False, conflicts=conflicts)
    extremes = iter(answer.extremes)
    drop, joist_drop, step_down = (
        Range(next(extremes), next(extremes)) if is_known else None for is_known in known
    )
    return StepRow(ledger_size, band_joist_size, joist_size, True, drop, joist_drop, step_down)


def _tied(system: System, start: str, end: str) -> bool:
    return start in system.datums and end in system.datums
