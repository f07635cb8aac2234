"""The lowered form of a clause: seventeen kinds of node, and nothing left to be understood.

A clause model (rulesets/clauses.py) says things the way a person writes them; here each meaning
has one shape. The rules that belong to the form, and hold in every reader of it:

- A truth is True, False or None (unknown). `Every` is left at its first false part, `Some` at its
  first true one; a part after that is not read.
- A value is a figure, a choice, yes or no; None where a fact is unknown; or special: BEYOND (no
  figure is prescribed), FORBIDDEN (the table says not permitted), UNSEEN (not seen in print).
- A fact that its own clause could not give is BEYOND; whatever reads it needs engineering.
- A test against BEYOND or FORBIDDEN is false, for nothing lies within a figure that there is not;
  against UNSEEN or None it is unknown.
- `Combined` gives its first part that is no figure, else the combination.

Every figure carries its kind, so that a printer can write it in ticks without asking anybody.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from deckclause.reading.branch import OWN, SET_BY_PLACE, Branch, exception, reading
from deckclause.reading.status import Status
from deckclause.rulesets.clauses import Clause, Scalar, Table

# -- facts and figures ----------------------------------------------------------------------------


class Constant(Struct, frozen=True):
    """A figure of the rule set, or a choice that is given. `kind` is the vocabulary's."""

    value: Scalar
    kind: str


class Fact(Struct, frozen=True):
    """The value of a quantity. `given` tells that clauses or a place may give it."""

    name: str
    kind: str
    given: bool = False


class Span(Struct, frozen=True):
    """The signed distance between two datums."""

    start: str
    end: str
    kind: str = "length"


Subject = Fact | Span


class ByChoice(Struct, frozen=True):
    """The value beside the choice made; BEYOND where the choice is not listed."""

    chosen: Fact
    cases: tuple[tuple[str, Value], ...]
    kind: str


class FirstCase(Struct, frozen=True):
    """The value of the first case that holds; unknown from the first that is; BEYOND for none."""

    cases: tuple[tuple[Truth, Value], ...]
    kind: str


class Combined(Struct, frozen=True):
    """`sum`, `product`, `least` or `greatest` of its parts, as a figure of `kind`."""

    operation: str
    parts: tuple[Value, ...]
    kind: str


class Key(Struct, frozen=True):
    """How one axis of a table is entered: with what, among which keys, and what holds between.

    `between` is `exact`, `next_larger`, `next_smaller` or, on the last axis only, `interpolate`.
    """

    entered: Fact | Constant
    keys: tuple[Fraction | str, ...]
    between: str


class Cell(Struct, frozen=True):
    """The reading of a table: one cell, or two and the share between them.

    All keys are entered first (an unknown one makes the value unknown); BEYOND outside the keys.
    """

    table: Table
    keys: tuple[Key, ...]
    kind: str


Value = Constant | Fact | Span | ByChoice | FirstCase | Combined | Cell

# -- truths ---------------------------------------------------------------------------------------


class Every(Struct, frozen=True):
    """True when every part is; true for none."""

    parts: tuple[Truth, ...]


class Some(Struct, frozen=True):
    """True when a part is; false for none."""

    parts: tuple[Truth, ...]


class Opposite(Struct, frozen=True):
    """True when the part is false."""

    part: Truth


class OneOf(Struct, frozen=True):
    """A fact is one of the options."""

    fact: Fact
    options: tuple[str | bool, ...]


class Within(Struct, frozen=True):
    """A fact lies within bounds; the fact is read first, then the low bound, then the high one."""

    fact: Fact
    low: Value | None
    low_open: bool
    high: Value | None
    high_open: bool


Truth = Every | Some | Opposite | OneOf | Within

# -- what is asked --------------------------------------------------------------------------------


class Limits(Struct, frozen=True):
    """The subject lies from `least` to `most`; `exactly` stands for both and is read once."""

    subject: Subject
    least: Value | None
    most: Value | None
    exactly: Value | None = None


class Member(Struct, frozen=True):
    """The subject is one of the options; the finding tells which it is."""

    subject: Subject
    options: tuple[str, ...]


class Holds(Struct, frozen=True):
    """The condition comes out as wanted: true for `must_be`, false for `not_permitted`."""

    condition: Truth
    wanted: bool


class Gives(Struct, frozen=True):
    """A quantity is given a value, for other clauses to read."""

    quantity: str
    value: Value
    kind: str


class Settled(Struct, frozen=True):
    """Nothing is to be read: the status stands in the clause itself.

    `why` is `engineering`, `unmodelled`, `informs` or `waived`; `text` the clause's words for it.
    """

    status: Status
    why: str
    text: str = ""


Ask = Limits | Member | Holds | Gives | Settled
Node = Value | Truth | Ask


# -- the clause -----------------------------------------------------------------------------------


class Rule(Struct, frozen=True):
    """One clause, lowered.

    Read in this order: `applies` false: not applicable, unknown: information missing. `scope`
    false: engineering required, unknown: information missing. Then `exceptions` by default logic,
    or, where there are none, every reading with the strictest to govern.
    """

    clause: Clause
    applies: Truth
    scope: Truth
    own: Ask
    exceptions: tuple[tuple[Truth, Ask], ...]
    readings: tuple[Ask, ...]

    def ask(self, branch: Branch) -> Ask:
        """Return what a branch asks."""
        if branch.kind == "exception":
            return self.exceptions[branch.number - 1][1]
        if branch.kind == "reading":
            return self.readings[branch.number - 1]
        return self.own


__all__ = [
    "OWN",
    "SET_BY_PLACE",
    "Ask",
    "Branch",
    "ByChoice",
    "Cell",
    "Combined",
    "Constant",
    "Every",
    "Fact",
    "FirstCase",
    "Gives",
    "Holds",
    "Key",
    "Limits",
    "Member",
    "Node",
    "OneOf",
    "Opposite",
    "Rule",
    "Settled",
    "Some",
    "Span",
    "Subject",
    "Truth",
    "Value",
    "Within",
    "exception",
    "reading",
]
