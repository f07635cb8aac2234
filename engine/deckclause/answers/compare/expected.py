"""What to expect of figures not seen in print, in words: calculated, a question, never a rule."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from msgspec import Struct

from deckclause.answers.figure import Figure
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.status import INFORMATION_MISSING

if TYPE_CHECKING:
    from deckclause.evaluate.expectations.expected import Expected
    from deckclause.evaluate.expectations.neighbours import Neighbours

NO_RULE = "a question for the book, not a rule"


class ExpectedAnswer(Struct, frozen=True):
    """What a method gives for one part where print was not seen, or the reason why nothing does.

    `called` names what the clause limits, `bound` is `at most` or `at least`. `of` names the kind of figure the method was counted on:
    `printed` figures seen in a source and `memory` ones, those it meets, and those for snow.
    """

    part: str
    clause: str
    called: str
    bound: str
    figure: Figure | None
    permits_nothing: bool
    method: str
    of: str
    printed: int
    printed_met: int
    memory: int
    memory_met: int
    snow: int
    snow_met: int
    unsafe_in: int
    reason: str
    about: str
    """How far the method may be leaned on, in words; where nothing is expected, why."""

    def gives(self, *, si: bool = False) -> str:
        """Write what the method gives; empty where nothing is expected."""
        if self.permits_nothing:
            return "nothing is permitted"
        if self.figure is None:
            return ""
        return " ".join(p for p in (self.called, self.bound, self.figure.text(si=si)) if p)


def expected_answers(finding: Finding, explainer: Explainer) -> tuple[ExpectedAnswer, ...]:
    """Return what to expect for a finding; nothing for one that print would not decide."""
    if finding.status != INFORMATION_MISSING or finding.missing:
        return ()  # almost all: the methods are not even imported
    from deckclause.evaluate.expectations.expected import expected

    called = explainer.words.called
    return tuple(
        _answer(one, called(one.quantity) if one.quantity else "")
        for one in expected(finding, explainer.traces)
    )


def _answer(one: Expected, called: str) -> ExpectedAnswer:
    from deckclause.evaluate.expectations.neighbours import Neighbours

    near = one.neighbours or Neighbours()
    return ExpectedAnswer(
        part=one.part,
        clause=one.clause,
        called=called,
        bound="at least" if one.at_least else "at most",
        figure=None if one.figure is None else Figure(one.figure, one.kind, one.unit),
        permits_nothing=one.barred,
        method=one.method,
        of=one.of,
        printed=near.printed,
        printed_met=near.printed_met,
        memory=near.memory,
        memory_met=near.memory_met,
        snow=near.snow,
        snow_met=near.snow_met,
        unsafe_in=near.unsafe_in,
        reason=one.reason,
        about=one.reason if one.reason else _about(one, near),
    )


def _about(one: Expected, near: Neighbours) -> str:
    seen = f"meets {near.printed_met} of {near.printed} figures of its kind seen in print"
    if not near.printed:
        seen = "no figure of its kind was seen in print, meets"
    memory = f"{near.memory_met} of {near.memory} from memory"
    both = f"{seen} and {memory}" if near.printed else f"{seen} {memory}"
    if not near.memory:
        both = seen
    snow = f"{near.snow_met} of {near.snow} of them for snow" if near.snow else "none for snow"
    unsafe = f", off by up to {near.unsafe_in} in on the unsafe side" if near.unsafe_in else ""
    return f"{one.method} ({one.of}): {both}, {snow}{unsafe}; {NO_RULE}"


def expected_lines(found: Iterable[ExpectedAnswer], *, si: bool = False) -> Iterator[str]:
    """Write expectations as sentences, the parts that come to the same together."""
    said: dict[tuple[str, str], list[str]] = {}
    for one in found:
        parts = said.setdefault((one.gives(si=si), one.about), [])
        if one.part and one.part not in parts:
            parts.append(one.part)
    for (gives, about), parts in said.items():
        of = f" for {', '.join(parts)}" if parts else ""
        head = "calculated, not printed" if gives else "no expectation"
        yield f"{head}{of}: {f'{gives}; ' if gives else ''}{about}"
