"""What the calculation sheet of a ledger takes in, and the shape of what it gives out.

Nothing here decides compliance: the sheet is context for an engineer, in floating point, opened
from exact quantities at `engineering.inputs`.
"""

from __future__ import annotations

from enum import Enum

from msgspec import Struct

from deckclause.engineering.basis import Factor, Standing
from deckclause.quantities import Quantity


class Fastener(Enum):
    """The kinds of fastener the sheet works out."""

    BOLT = "through bolt"
    LAG = "lag screw"


class Board(Struct, frozen=True):
    """A board of the connection: dressed depth and thickness, wood, and how it is used.

    `incised` and `wet` have no default: an unknown is not a pass. `grade` is that of the lumber,
    such as `No.2`.
    """

    size: str
    depth: Quantity
    thickness: Quantity
    species: str
    grade: str
    wet: bool
    incised: bool


class Arrangement(Struct, frozen=True):
    """One arrangement of the fasteners: distances of their centres from the boards' edges.

    `name` tells a reader which arrangement it is (`as prescribed`, `as asked`). The upper row is
    measured from the top, the lower row from the ledger's top and the band joist's bottom.
    `spacing` runs along the ledger from one fastener to the next, whichever row it is in.
    `in_table` tells whether the code's table and its placement rules cover the arrangement.
    """

    name: str
    ledger_upper_from_top: Quantity
    ledger_lower_from_top: Quantity
    band_upper_from_top: Quantity
    band_lower_from_bottom: Quantity
    spacing: Quantity
    end_distance: Quantity | None
    in_table: bool


class LedgerJoint(Struct, frozen=True):
    """A ledger on a band joist: loads, fasteners and boards.

    `snow` is None where no ground snow load is known: the snow cases are then left out and said
    to be. `between` is everything that keeps the boards apart (sheathing, washers, gap).
    `borne_directly` tells whether the band joist stands on a sill, header or plates all along.
    """

    ledger: Board
    band: Board
    fastener: Fastener
    diameter: Quantity
    joist_span: Quantity
    joist_spacing: Quantity | None
    live: Quantity
    dead: Quantity
    snow: Quantity | None
    between: Quantity
    borne_directly: bool | None
    table_capacity_lb: float | None
    table_capacity_says: str


class Input(Struct, frozen=True):
    """One figure that goes into a step: symbol, value with unit as text, and where it is from."""

    symbol: str
    value: str
    origin: str


class Result(Struct, frozen=True):
    """What one step gives for one arrangement.

    `capacity_lb` and `demand_lb` are set where the step compares a load with a resistance;
    `ratio` is demand over capacity. `no_value` says why there is no capacity at all.
    """

    arrangement: str
    text: str
    demand_lb: float | None = None
    capacity_lb: float | None = None
    no_value: str = ""

    @property
    def ratio(self) -> float | None:
        """Demand over capacity; None where there is no capacity, or nothing to compare."""
        if self.demand_lb is None or not self.capacity_lb:
            return None
        return self.demand_lb / self.capacity_lb


class Step(Struct, frozen=True):
    """One step of the sheet: what is worked out, by which section, from what, with what result."""

    key: str
    title: str
    section: str
    formula: str
    standing: Standing
    basis: str
    inputs: tuple[Input, ...]
    factors: tuple[Factor, ...]
    results: tuple[Result, ...]
    limits: str = ""

    def result(self, arrangement: str) -> Result:
        """Return the result for one arrangement; KeyError for a name that is none."""
        for result in self.results:
            if result.arrangement == arrangement:
                return result
        raise KeyError(arrangement)


class CalculationSheet(Struct, frozen=True):
    """The whole sheet: steps in order, what was assumed, what was left out, what is left to judge.

    Context for an engineer. No ratio here makes a design comply or fail under any rule set.
    """

    arrangements: tuple[Arrangement, ...]
    steps: tuple[Step, ...]
    assumptions: tuple[str, ...]
    left_out: tuple[str, ...]
    to_judge: tuple[str, ...]
    cautions: tuple[str, ...]

    def step(self, key: str) -> Step:
        """Return a step by key; KeyError for a key that is none."""
        for step in self.steps:
            if step.key == key:
                return step
        raise KeyError(key)

    def no_value(self, arrangement: str) -> tuple[str, ...]:
        """Return why the standard gives an arrangement no value, one reason a step."""
        return tuple(
            r.no_value
            for s in self.steps
            for r in s.results
            if r.arrangement == arrangement and r.no_value
        )
