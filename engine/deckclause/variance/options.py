"""Changes of a design that avoid relief: the option, its order, and which options say nothing new."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from msgspec import Struct

from deckclause.evaluate.findings import Evaluation, Finding
from deckclause.evaluate.words import fact_text
from deckclause.rulesets.relief import WORK
from deckclause.rulesets.vocabulary import QuantityDefinition
from deckclause.variance.changing import Change

Question = tuple[str, str]
"""(quantity, question)."""


class LaterVerdict(Struct, frozen=True):
    """What a later edition's clause makes of a change: it fails there, and did not before."""

    ruleset: str
    title: str
    topic: str
    cites: str
    says: str


class Option(Struct, frozen=True):
    """One set of changes after which nothing fails, as the engine found by evaluating it.

    `opened` are findings that lack information after the change and did not before: the option
    complies as far as it is known, no farther. `surface_before` and `surface_after` tell how far
    the deck's surface lies below the band joist's top (inches, None where not known). `asks` are
    quantities the change makes a matter of and the design does not state; `remarks` and `later`
    what it would bring and what later tables make of it.
    """

    changes: tuple[Change, ...]
    evaluation: Evaluation
    opened: tuple[Finding, ...]
    surface_before: Fraction | None
    surface_after: Fraction | None
    asks: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    later: tuple[LaterVerdict, ...] = ()

    @property
    def is_settled(self) -> bool:
        """Whether the change opens no question that was not open before."""
        return not self.opened and not self.asks

    @property
    def brings(self) -> tuple[str, ...]:
        """The parts and work the changes bring with them."""
        return tuple(dict.fromkeys(words for c in self.changes for words in c.move.brings))

    @property
    def keeps_step(self) -> bool:
        """Whether the deck's surface stays where it was designed, so far as it is known."""
        return self.surface_before is not None and self.surface_before == self.surface_after

    @property
    def effort(self) -> int:
        """The sum of the efforts of its changes."""
        return sum(c.move.effort for c in self.changes)


MOST_SHOWN = 8
"""Options put into a request, where each asks a word of the applicant."""


def option_key(option: Option, quantities: Mapping[str, QuantityDefinition]) -> str:
    """Name an option by what it changes, so that an answer on it stays when a measure moves a little.

    A measure is named alone; a size or kind with what it becomes.
    """
    named = []
    for change in sorted(option.changes, key=lambda c: c.move.order):
        words = fact_text(change.after, quantities[change.quantity])
        named.append(change.quantity if change.move.step else f"{change.quantity} {words}")
    return ", ".join(named)


def option_keys(
    options: Iterable[Option], quantities: Mapping[str, QuantityDefinition]
) -> tuple[str, ...]:
    """Name options, each differently: where two change the same measures the later one is counted."""
    keys: list[str] = []
    for option in options:
        key, number = option_key(option, quantities), 1
        named = key
        while named in keys:
            number += 1
            named = f"{key} ({number})"
        keys.append(named)
    return tuple(keys)


def step_size(change: Change) -> Fraction:
    """Tell how far a change goes: by measure, or by places in the list of sizes to be had.

    A choice that stands in no list counts one place.
    """
    if isinstance(change.before, Fraction) and isinstance(change.after, Fraction):
        return abs(change.after - change.before)
    sizes = change.move.sizes
    if change.before in sizes and change.after in sizes:
        return Fraction(abs(sizes.index(change.after) - sizes.index(change.before)))
    return Fraction(1)


def order(option: Option) -> tuple[int, bool, int, int, Fraction, tuple[int, ...]]:
    """Put options in order: least work first, settled before open, fewest changes, least effort.

    An option counts as the heaviest kind of work in it: measures, then sizes, then fasteners,
    then rebuilding. A step counts as a share of what was designed, so that inches and sizes can
    be added.
    """
    return (
        max((WORK.index(c.move.work) for c in option.changes), default=0),
        not option.is_settled,
        len(option.changes),
        option.effort,
        sum((_share(c) for c in option.changes), Fraction(0)),
        tuple(c.move.order for c in option.changes),
    )


def _share(change: Change) -> Fraction:
    if isinstance(change.before, Fraction) and change.before:
        return step_size(change) / abs(change.before)
    return step_size(change)


def worth_showing(options: Iterable[Option]) -> tuple[Option, ...]:
    """Drop every option that changes all that another does, as far or farther; order the rest."""
    kept: list[Option] = []
    for option in sorted(options, key=order):
        if not any(_covers(other, option) for other in kept):
            kept.append(option)
    return tuple(kept)


def _covers(one: Option, two: Option) -> bool:
    """Tell whether `two` changes everything `one` does and as far, to no gain."""
    if (not one.is_settled and two.is_settled) or (two.keeps_step and not one.keeps_step):
        return False
    other = {c.quantity: c for c in two.changes}
    return all(
        c.quantity in other and step_size(c) <= step_size(other[c.quantity]) for c in one.changes
    )
