"""A clause as data: conditions, values, requirements, exceptions and where each came from."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

Scalar = Fraction | str | bool
"""A fact's value: an exact number in inch-pound-degree units, a choice, or yes/no."""


class Test(Struct, frozen=True):
    """One quantity against a list of options, or against bounds."""

    quantity: str
    options: tuple[str | bool, ...] | None = None
    low: Value | None = None
    low_open: bool = False
    high: Value | None = None
    high_open: bool = False


class AllOf(Struct, frozen=True):
    """True when every part is true; true when it has no parts."""

    parts: tuple[Condition, ...]


class AnyOf(Struct, frozen=True):
    """True when a part is true."""

    parts: tuple[Condition, ...]


class Not(Struct, frozen=True):
    """True when the part is false."""

    part: Condition


Condition = Test | AllOf | AnyOf | Not
ALWAYS = AllOf(())


class Fixed(Struct, frozen=True):
    """A figure of the rule set (or a choice, where a choice is provided)."""

    value: Scalar


class Reads(Struct, frozen=True):
    """The value of a quantity of the design."""

    quantity: str


class ByChoice(Struct, frozen=True):
    """A value that depends on a choice; a choice not listed has no figure."""

    quantity: str
    cases: tuple[tuple[str, Value], ...]


class Cases(Struct, frozen=True):
    """The value of the first case whose condition holds; none has no figure."""

    cases: tuple[tuple[Condition, Value], ...]


class Arithmetic(Struct, frozen=True):
    """`sum`, `product`, `least` or `greatest` of its parts."""

    operation: str
    parts: tuple[Value, ...]


class Carried(Struct, frozen=True):
    """A rule set repeats this from the one before, under a citation and witness of its own.

    That the rule is the same is known only as well as the carrying clause's or table's standing
    says: with `memory` nobody has read that it is.
    """

    ruleset: str
    """The rule set before, which the line names."""
    written_in: str
    """The rule set in which the words stand: where that one carries too, one further back."""


class Axis(Struct, frozen=True):
    """One way into a table: the quantity read, its keys, and what happens between them.

    `between` is `exact`, `next_larger`, `next_smaller` or `interpolate`.
    """

    quantity: str
    keys: tuple[Fraction | str, ...]
    between: str = "exact"


NOT_PERMITTED = "not permitted"
NOT_SEEN = "not seen"


class CellNote(Struct, frozen=True):
    """What is to be said of one cell: its own standing, another reading, the sources."""

    standing: str | None
    sources: tuple[str, ...]
    also: Fraction | None
    why: str


class Table(Struct, frozen=True):
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


class Lookup(Struct, frozen=True):
    """A reading of a table; `fixed` gives axes a key in place of the design's value."""

    table: Table
    fixed: tuple[tuple[str, Fraction | str], ...] = ()


Value = Fixed | Reads | ByChoice | Cases | Arithmetic | Lookup


class Distance(Struct, frozen=True):
    """The signed distance from one datum to another, downward or along the ledger."""

    start: str
    end: str

    def __str__(self) -> str:
        return f"{self.start} to {self.end}"


Subject = str | Distance


class Limit(Struct, frozen=True):
    """A quantity or a distance against least, most, an exact value or a list of choices."""

    subject: Subject
    least: Value | None = None
    most: Value | None = None
    exactly: Value | None = None
    one_of: tuple[str, ...] | None = None


class MustBe(Struct, frozen=True):
    """The condition must hold."""

    condition: Condition


class NotPermitted(Struct, frozen=True):
    """The condition must not hold."""

    condition: Condition


class Provides(Struct, frozen=True):
    """Gives a value to a quantity that other clauses read."""

    quantity: str
    value: Value


class NeedsEngineering(Struct, frozen=True):
    """Always outside what the rule set prescribes."""

    reason: str


class Unmodelled(Struct, frozen=True):
    """A clause we could not express: where it stands and why; never a pass."""

    reason: str


class Informs(Struct, frozen=True):
    """Says what a reader of the rule set should know; asks nothing of a design."""

    text: str


class Waived(Struct, frozen=True):
    """What an exception gives when it lifts the requirement altogether."""

    says: str = ""


Requirement = (
    Limit | MustBe | NotPermitted | Provides | NeedsEngineering | Unmodelled | Informs | Waived
)


class Origin(Struct, frozen=True):
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


class ClauseException(Struct, frozen=True):
    """An exception: when it fires, its requirement replaces the clause's own."""

    when: Condition
    requirement: Requirement
    says: str
    cites: str
    standing: str
    sources: tuple[str, ...]
    line: int


class Reading(Struct, frozen=True):
    """Another way the clause's words have been read; the stricter of the two governs."""

    requirement: Requirement
    says: str
    standing: str
    sources: tuple[str, ...]


class Clause(Struct, frozen=True, eq=False):
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
    fingerprint: str = ""
    """Left out of what makes two clauses the same: it follows from the rest."""

    def __eq__(self, other: object) -> bool:
        """Tell whether another is the same clause."""
        return isinstance(other, Clause) and self._compared == other._compared

    def __ne__(self, other: object) -> bool:
        """Tell whether another is not; a record's own would compare every field."""
        return not self == other

    def __hash__(self) -> int:
        """Hash what makes two clauses the same."""
        return hash(self._compared)

    @property
    def _compared(self) -> tuple[object, ...]:
        return tuple(getattr(self, n) for n in self.__struct_fields__ if n != "fingerprint")

    @property
    def only_carried(self) -> bool:
        """Whether nobody has read that the rule is the same: carried, and not confirmed."""
        return self.origin.carried is not None and self.standing != "confirmed"
