"""How far the deck may step down, for every combination of sizes, under several rule sets."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from deckclause.evaluate.prepare import PreparedDesign
from deckclause.placement.from_design import missing_for_step_down
from deckclause.placement.from_rules import PlacementRules
from deckclause.placement.steps import Range, StepRow
from deckclause.placement.steps_from_rules import SizeTables, Stand, StepTable
from deckclause.rulesets.vocabulary import Vocabulary


class StepsReport(Struct, frozen=True):
    """Tables of one design under several rule sets.

    `wanted` is the step down asked for in inches; `missing` names what the step down from the
    floor still lacks: where anything is lacking the joists' drop below the band joist's top is
    given instead.
    """

    name: str
    tables: tuple[StepTable, ...]
    stand: Stand
    wanted: Fraction | None
    missing: tuple[str, ...]
    taken: tuple[str, ...] = ()

    @property
    def told(self) -> bool:
        """Whether the step down from the floor can be told."""
        return not self.missing

    @property
    def measure(self) -> str:
        """What the columns measure."""
        return (
            "step down from the floor inside to the deck"
            if self.told
            else "joist tops below the band joist's top"
        )

    def range_of(self, row: StepRow) -> Range | None:
        """Return the range a row is charted by."""
        return row.step_down if self.told else row.joist_drop

    def allows(self, row: StepRow) -> bool:
        """Whether a combination allows exactly the step wanted; never where it is not told."""
        return self.wanted is not None and self.told and row.allows_step_down(self.wanted)


def steps_report(
    design: PreparedDesign,
    vocabulary: Vocabulary,
    rules: Sequence[PlacementRules],
    stand: Stand,
    *,
    wanted: Fraction | None = None,
    taken: tuple[str, ...] = (),
) -> StepsReport:
    """Solve every combination of sizes under rule sets; `wanted` is a step down in inches."""
    tables = SizeTables(design, vocabulary.quantities, stand)
    missing = [n for n in missing_for_step_down(tables.plain) if not n.startswith("joists.")]
    found = tuple(tables.table(one) for one in rules)
    return StepsReport(design.design.name, found, stand, wanted, tuple(missing), taken)
