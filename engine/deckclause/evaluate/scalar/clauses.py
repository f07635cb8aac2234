"""Print what a clause asks and the way through it: gates, exceptions by default logic, readings."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from msgspec.structs import replace

from deckclause.evaluate.scalar.values import Deliver, Result, ValuePrinter, Var
from deckclause.reading import forms
from deckclause.reading.fold import asks, branches, gives
from deckclause.reading.forms import OWN, Branch, Rule, exception
from deckclause.reading.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    Status,
)

DeliverBranch = Callable[[Result, str], None]
"""Prints how a result is handed on under a branch, given by the name it is printed with."""


class ClausePrinter(ValuePrinter):
    """Prints the way through one clause; where it ends, `deliver` prints what becomes of it."""

    # -- what is asked ----------------------------------------------------------------------------

    def ask(self, ask: forms.Ask) -> None:
        """Print what a branch comes to, from what it reads to its deliveries."""
        match ask:
            case forms.Limits():
                self._limits(ask)
            case forms.Member(subject, options):
                fact = self.noted(subject)
                with self.page.block(f"if {fact} is None:"):
                    self._deliver(INFORMATION_MISSING)
                self._decide(self.among(fact, options), Result(COMPLIES, fact))
            case forms.Holds(condition, wanted):
                self._holds(condition, wanted=wanted)
            case forms.Gives(_, value, kind):
                figure = self._figure(value, kind)
                self.deliver(Result(COMPLIES, str(figure)))
            case forms.Settled(status, _, _):
                self._deliver(status)

    def _deliver(self, status: Status, least: str = "None", most: str = "None") -> None:
        missing = "m" if status is INFORMATION_MISSING else "None"
        self.deliver(Result(status, "None", least, most, missing))

    def _decide(self, check: str, met: Result) -> None:
        with self.page.block(f"if {check}:"):
            self.deliver(met)
        self.deliver(replace(met, status=DOES_NOT_COMPLY))

    def _holds(self, condition: forms.Truth, *, wanted: bool) -> None:
        if isinstance(condition, forms.OneOf):
            unknown, check = self.test(condition)
        else:
            check = self.truth(condition)
            unknown = f"{check} is None"
        with self.page.block(f"if {unknown}:"):
            self._deliver(INFORMATION_MISSING)
        self._decide(check if wanted else f"not ({check})", Result(COMPLIES))

    def _figure(self, node: forms.Value, kind: str) -> Var:
        """Print a figure, and the ways out where there is none: fail closed."""
        figure = self.value(node, kind)
        if figure.may_be_special:
            with self.page.block(f"if {figure}.__class__ is Special:"):
                with self.page.block(f"if {figure} is BEYOND:"):
                    self._deliver(ENGINEERING_REQUIRED)
                with self.page.block(f"if {figure} is FORBIDDEN:"):
                    self._deliver(DOES_NOT_COMPLY)
                self._deliver(INFORMATION_MISSING)
        if figure.may_be_none:
            with self.page.block(f"if {figure} is None:"):
                self._deliver(INFORMATION_MISSING)
        return figure

    def _limits(self, ask: forms.Limits) -> None:
        kind = ask.subject.kind
        fact = self.noted(ask.subject)
        least = most = "None"
        checks: list[str] = []
        if ask.exactly is not None:
            least = most = str(self._figure(ask.exactly, kind))
            checks.append(f"{fact} == {least}")
        if ask.least is not None:
            least = str(self._figure(ask.least, kind))
            checks.append(f"{fact} >= {least}")
        if ask.most is not None:
            most = str(self._figure(ask.most, kind))
            checks.append(f"{fact} <= {most}")
        with self.page.block(f"if {fact} is None:"):
            self._deliver(INFORMATION_MISSING, least, most)
        self._decide(" and ".join(checks) or "True", Result(COMPLIES, fact, least, most))

    # -- clauses ----------------------------------------------------------------------------------

    def clause(self, index: int, rule: Rule, deliver: DeliverBranch) -> None:
        """Print a clause from its first gate to its last delivery."""
        page = self.page
        with self._delivering(deliver, OWN):
            page.line("m = ()")
            self._gate(rule.applies, NOT_APPLICABLE)
            self._gate(rule.scope, ENGINEERING_REQUIRED)
            if rule.exceptions:
                self._with_exceptions(index, rule, deliver)
            elif rule.readings:
                self._with_readings(rule, deliver)
            else:
                self.ask(rule.own)

    @contextmanager
    def _delivering(self, deliver: DeliverBranch, branch: Branch) -> Iterator[None]:
        name = self.page.constant(branch)
        with self._handing_on(lambda result: deliver(result, name)):
            yield

    @contextmanager
    def _handing_on(self, deliver: Deliver) -> Iterator[None]:
        before, self.deliver = self.deliver, deliver
        yield
        self.deliver = before

    def _gate(self, node: forms.Truth, otherwise: Status) -> None:
        """Print the way past a condition: out at its first part that is false, or in the end.

        A part that is unknown does not end the clause before a later part has been seen to be
        false. An unknown fact is in no list of options, so the common way asks one question.
        """
        parts = node.parts if isinstance(node, forms.Every) else (node,)
        if not parts:
            return
        if len(parts) > 1:
            self.page.line("u = False")
        for part in parts:
            self._gate_part(part, otherwise, alone=len(parts) == 1)
        if len(parts) > 1:
            with self.page.block("if u:"):
                self._deliver(INFORMATION_MISSING)

    def _gate_part(self, part: forms.Truth, otherwise: Status, *, alone: bool) -> None:
        page, note = self.page, ""
        if isinstance(part, forms.OneOf):
            fact = self.fact(part.fact)
            unknown, check = f"{fact} is None", self.among(fact, part.options)
            note = f"m += ({part.fact.name!r},)"
        else:
            check = self.truth(part)
            unknown = f"{check} is None"
        with page.block(f"if not ({check}):"):
            with page.block(f"if {unknown}:"):
                if note:
                    page.line(note)
                if alone:
                    self._deliver(INFORMATION_MISSING)
                else:
                    page.line("u = True")
            with page.block("else:"):
                self._deliver(otherwise)

    def _with_exceptions(self, index: int, rule: Rule, deliver: DeliverBranch) -> None:
        """Print which exceptions fire or may, then the branches that may govern."""
        page = self.page
        page.line("f = 0; o = ()")
        for number, (when, _) in enumerate(rule.exceptions, 1):
            holds = self.truth(when)
            with page.block(f"if {holds}:"):
                page.line(f"if f: raise ExceptionsConflict({index}, f, {number})")
                page.line(f"f = {number}")
            page.line(f"elif {holds} is None: o += ({number},)")
        with page.block("if o:"):
            self._undecided(rule, deliver)
        word = "if"
        for number, (_, ask) in enumerate(rule.exceptions, 1):
            with page.block(f"{word} f == {number}:"), self._delivering(deliver, exception(number)):
                self.ask(ask)
            word = "elif"
        with self._delivering(deliver, OWN):
            self.ask(rule.own)

    def _undecided(self, rule: Rule, deliver: DeliverBranch) -> None:
        """Print each branch that may govern, one after another, and what they come to together."""
        page = self.page
        page.line("w = m; a = []")
        with page.block("for b in (f, *o):"):
            self._each(asks(rule), "b")
        names = ", ".join(page.constant(branch) for branch in branches(rule))
        page.line(f"s, v, l, h, n = undecided(a, w, {gives(rule)})")
        page.line(f"f = ({names},)[f]")
        self._split("s", deliver)

    def _with_readings(self, rule: Rule, deliver: DeliverBranch) -> None:
        """Print every reading, one after another, and which is the strictest."""
        page = self.page
        page.line("a = []")
        with page.block(f"for b in range({len(rule.readings) + 1}):"):
            self._each((rule.own, *rule.readings), "b")
        names = ", ".join(page.constant(branch) for branch in branches(rule))
        page.line(f"f, (s, v, l, h, n) = strictest(a, {gives(rule)})")
        page.line(f"f = ({names},)[f]")
        self._split("s", deliver)

    def _split(self, status: str, deliver: DeliverBranch) -> None:
        """Print one delivery for each status, for what is given depends on it."""
        for each in (COMPLIES, INFORMATION_MISSING, ENGINEERING_REQUIRED, NOT_APPLICABLE):
            with self.page.block(f"if {status} == {int(each)}:"):
                deliver(Result(each, "v", "l", "h", "n"), "f")
        deliver(Result(DOES_NOT_COMPLY, "v", "l", "h", "n"), "f")

    def _each(self, asks: tuple[forms.Ask, ...], number: str) -> None:
        """Print several asks, of which the one of a number is read and its result gathered."""
        page = self.page
        page.line("m = ()")
        with page.block("while True:"), self._handing_on(self._gather):
            for place, ask in enumerate(asks[:-1]):
                with page.block(f"if {number} == {place}:"):
                    self.ask(ask)
            self.ask(asks[-1])

    def _gather(self, result: Result) -> None:
        parts = (result.value, result.least, result.most, result.missing)
        self.page.line(f"a.append(({int(result.status)}, {', '.join(parts)})); break")
