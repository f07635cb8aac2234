"""A clause as data: conditions, values, requirements, exceptions and where each came from."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

Scalar = Fraction | str | bool
"""A fact's value: an exact number in inch-pound-degree units, a choice, or yes/no."""


@dataclass(frozen=True, slots=True)
class Test:
    """One quantity against a list of options, or against bounds."""

    quantity: str
    options: tuple[str | bool, ...] | None = None
    low: Value | None = None
    low_open: bool = False
    high: Value | None = None
    high_open: bool = False


@dataclass(frozen=True, slots=True)
class AllOf:
    """True when every part is true; true when it has no parts."""

    parts: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class AnyOf:
    """True when a part is true."""

    parts: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class Not:
    """True when the part is false."""

    part: Condition


Condition = Test | AllOf | AnyOf | Not
ALWAYS = AllOf(())


@dataclass(frozen=True, slots=True)
class Fixed:
    """A figure of the rule set (or a choice, where a choice is provided)."""

    value: Scalar


@dataclass(frozen=True, slots=True)
class Reads:
    """The value of a quantity of the design."""

    quantity: str


@dataclass(frozen=True, slots=True)
class ByChoice:
    """A value that depends on a choice; a choice not listed has no figure."""

    quantity: str
    cases: tuple[tuple[str, Value], ...]


@dataclass(frozen=True, slots=True)
class Cases:
    """The value of the first case whose condition holds; none has no figure."""

    cases: tuple[tuple[Condition, Value], ...]


@dataclass(frozen=True, slots=True)
class Arithmetic:
    """`sum`, `product`, `least` or `greatest` of its parts."""

    operation: str
    parts: tuple[Value, ...]


@dataclass(frozen=True, slots=True)
class Carried:
    """A rule set repeats this from the one before, under a citation and witness of its own.

    That the rule is the same is known only as well as the carrying clause's or table's standing
    says: with `memory` nobody has read that it is.
    """

    ruleset: str
    """The rule set before, which the line names."""
    written_in: str
    """The rule set in which the words stand: where that one carries too, one further back."""


@dataclass(frozen=True, slots=True)
class Axis:
    """One way into a table: the quantity read, its keys, and what happens between them.

    `between` is `exact`, `next_larger`, `next_smaller` or `interpolate`.
    """

    quantity: str
    keys: tuple[Fraction | str, ...]
    between: str = "exact"


NOT_PERMITTED = "not permitted"
NOT_SEEN = "not seen"


@dataclass(frozen=True, slots=True)
class CellNote:
    """What is to be said of one cell: its own standing, another reading, the sources."""

    standing: str | None
    sources: tuple[str, ...]
    also: Fraction | None
    why: str


@dataclass(frozen=True, slots=True)
class Table:
    """A printed table: axes, and cells in row-major order (the last axis runs along a row)."""

    name: str
    title: str
    axes: tuple[Axis, ...]
    cells: tuple[Fraction | str, ...]
    notes: tuple[tuple[int, CellNote], ...] = ()
    cites: str = ""
    standing: str = "memory"
    sources: tuple[str, ...] = ()
    kind: str = "length"
    in_feet: bool = False
    carried: Carried | None = None

    def position(self, indices: tuple[int, ...]) -> int:
        """Return the place in `cells` of one index for each axis."""
        place = 0
        for axis, index in zip(self.axes, indices, strict=True):
            place = place * len(axis.keys) + index
        return place

    def note(self, place: int) -> CellNote | None:
        """Return the note on the cell at `place`, if it has one."""
        for at, note in self.notes:
            if at == place:
                return note
        return None


@dataclass(frozen=True, slots=True)
class Lookup:
    """A reading of a table; `fixed` gives axes a key in place of the design's value."""

    table: Table
    fixed: tuple[tuple[str, Fraction | str], ...] = ()


Value = Fixed | Reads | ByChoice | Cases | Arithmetic | Lookup


@dataclass(frozen=True, slots=True)
class Distance:
    """The signed distance from one datum to another, downward or along the ledger."""

    start: str
    end: str

    def __str__(self) -> str:
        return f"{self.start} to {self.end}"


Subject = str | Distance


@dataclass(frozen=True, slots=True)
class Limit:
    """A quantity or a distance against least, most, an exact value or a list of choices."""

    subject: Subject
    least: Value | None = None
    most: Value | None = None
    exactly: Value | None = None
    one_of: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class MustBe:
    """The condition must hold."""

    condition: Condition


@dataclass(frozen=True, slots=True)
class NotPermitted:
    """The condition must not hold."""

    condition: Condition


@dataclass(frozen=True, slots=True)
class Provides:
    """Gives a value to a quantity that other clauses read."""

    quantity: str
    value: Value


@dataclass(frozen=True, slots=True)
class NeedsEngineering:
    """Always outside what the rule set prescribes."""

    reason: str


@dataclass(frozen=True, slots=True)
class Unmodelled:
    """A clause we could not express: where it stands and why; never a pass."""

    reason: str


@dataclass(frozen=True, slots=True)
class Informs:
    """Says what a reader of the rule set should know; asks nothing of a design."""

    text: str


@dataclass(frozen=True, slots=True)
class Waived:
    """What an exception gives when it lifts the requirement altogether."""

    says: str = ""


Requirement = (
    Limit | MustBe | NotPermitted | Provides | NeedsEngineering | Unmodelled | Informs | Waived
)


@dataclass(frozen=True, slots=True)
class Origin:
    """Which rule set or amendment a clause came from, and where in its file it stands."""

    ruleset: str
    file: str
    line: int
    ordinance: str = ""
    section: str = ""
    adopted: str = ""
    place: str = ""
    carried: Carried | None = None
    """Set where the clause is a carried line: whose words it repeats."""


@dataclass(frozen=True, slots=True)
class ClauseException:
    """An exception: when it fires, its requirement replaces the clause's own."""

    when: Condition
    requirement: Requirement
    says: str
    cites: str
    standing: str
    sources: tuple[str, ...]
    line: int


@dataclass(frozen=True, slots=True)
class Reading:
    """Another way the clause's words have been read; the stricter of the two governs."""

    requirement: Requirement
    says: str
    standing: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Clause:
    """One requirement of one rule set on one topic."""

    key: str
    topic: str
    cites: str
    says: str
    requirement: Requirement
    standing: str
    sources: tuple[str, ...]
    origin: Origin
    applies: Condition = ALWAYS
    scope: Condition = ALWAYS
    scope_says: str = ""
    exceptions: tuple[ClauseException, ...] = ()
    readings: tuple[Reading, ...] = ()
    note: str = ""
    never_relax: str = ""
    assumes: tuple[tuple[str, Scalar], ...] = ()
    fingerprint: str = field(default="", compare=False)

    @property
    def only_carried(self) -> bool:
        """Whether nobody has read that the rule is the same: carried, and not confirmed."""
        return self.origin.carried is not None and self.standing != "confirmed"
