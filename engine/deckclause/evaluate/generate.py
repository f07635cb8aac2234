"""Generate a scalar evaluator from the clause model: one function a clause, on ticks.

Each function takes `get` (facts by name), `D` (distances by pair; None where not fixed) and returns
a tuple
(status, value, least, most, branch, missing). `branch` is 0 for the clause itself, n for its n-th
exception, -n for its n-th other reading. Conditions are three-valued: True, False, None (unknown).
"""

from __future__ import annotations

from deckclause.evaluate.generate_values import ValueGenerator
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
)
from deckclause.rulesets.clauses import (
    AllOf,
    Clause,
    Condition,
    Distance,
    Fixed,
    Informs,
    Limit,
    MustBe,
    NeedsEngineering,
    NotPermitted,
    Provides,
    Requirement,
    Test,
    Unmodelled,
    Waived,
)


class ClauseGenerator(ValueGenerator):
    """Writes the function of each clause of one rule set."""

    # -- requirements -------------------------------------------------------------------------

    def requirement(self, name: str, requirement: Requirement) -> None:
        """Write a function `name(get, D, m)` giving (status, value, least, most)."""
        self.begin()
        with self.out.block(f"def {name}(get, D, m):"):
            self._body(requirement, "")

    def _body(self, requirement: Requirement, tail: str) -> None:
        """Write what a requirement comes to; `tail` follows the four parts of its result.

        `tail` is empty in a function of its own, and `, 0, M` where the requirement closes its
        clause: M stands for the facts that are missing.
        """
        if isinstance(requirement, Limit):
            self._limit(requirement, tail)
        elif isinstance(requirement, MustBe | NotPermitted):
            self._must(requirement, tail)
        elif isinstance(requirement, Provides):
            kind = self.quantities[requirement.quantity].kind
            figure, sure = self.value(requirement.value, kind)
            if not sure:
                self._figure_guard(figure, tail)
            self._return(COMPLIES, tail, figure)
        elif isinstance(requirement, NeedsEngineering):
            self._return(ENGINEERING_REQUIRED, tail)
        elif isinstance(requirement, Waived | Informs):
            self._return(NOT_APPLICABLE, tail)
        else:
            assert isinstance(requirement, Unmodelled)
            self._return(INFORMATION_MISSING, tail)

    def _return(
        self,
        status: int,
        tail: str,
        figures: str = "None",
        rest: str = "None, None",
        lacking: str = "tuple(m)",
    ) -> None:
        """Write a return; the missing facts are given only where information is missing."""
        missing = lacking if status == INFORMATION_MISSING else "None"
        self.out.line(f"return ({status}, {figures}, {rest}{tail.replace('M', missing)})")

    def _return_lacking(self, name: object, tail: str, rest: str = "None, None") -> None:
        """Write the return of a requirement that lacks one fact and nothing else."""
        if not tail:
            self.out.line(f"m.append({name!r})")
        self._return(INFORMATION_MISSING, tail, "None", rest, f"({name!r},)")

    def _must(self, requirement: MustBe | NotPermitted, tail: str) -> None:
        good, bad = COMPLIES, DOES_NOT_COMPLY
        if isinstance(requirement, NotPermitted):
            good, bad = bad, good
        condition = requirement.condition
        if isinstance(condition, Test) and condition.options is not None:
            fact = self.fact(condition.quantity)
            check = self._option_check(fact, condition.options)
            with self.out.block(f"if {fact} is None:"):
                self._return_lacking(condition.quantity, tail)
            with self.out.block(f"if {check}:"):
                self._return(good, tail)
            self._return(bad, tail)
            return
        holds = self.condition(condition)
        if holds in ("True", "False"):
            self._return(good if holds == "True" else bad, tail)
            return
        with self.out.block(f"if {holds}:"):
            self._return(good, tail)
        with self.out.block(f"if {holds} is None:"):
            self._return(INFORMATION_MISSING, tail)
        self._return(bad, tail)

    def _figure_guard(self, figure: str, tail: str) -> None:
        """Return early where a figure is missing or special: fail closed."""
        with self.out.block(f"if {figure} is None or {figure}.__class__ is Special:"):
            with self.out.block(f"if {figure} is BEYOND:"):
                self._return(ENGINEERING_REQUIRED, tail)
            with self.out.block(f"if {figure} is FORBIDDEN:"):
                self._return(DOES_NOT_COMPLY, tail)
            self._return(INFORMATION_MISSING, tail)

    def _limit(self, limit: Limit, tail: str) -> None:
        subject = limit.subject
        if isinstance(subject, Distance):
            name: object = (subject.start, subject.end)
            fact = self.out.fresh("q")
            self.out.line(f"{fact} = D[{name!r}]")
            kind = "length"
        else:
            name = subject
            fact = self.fact(subject)
            kind = self.quantities[subject].kind
        if limit.one_of is not None:
            with self.out.block(f"if {fact} is None:"):
                self._return_lacking(name, tail)
            self._decide(fact, self._option_check(fact, limit.one_of), "None, None", tail)
            return
        bounds = [b for b in (limit.least, limit.most, limit.exactly) if b is not None]
        alone = all(isinstance(bound, Fixed) for bound in bounds)
        if not alone:
            with self.out.block(f"if {fact} is None:"):
                self.out.line(f"m.append({name!r})")
        figures, checks = self._figures(limit, fact, kind, tail)
        rest = f"{figures['least']}, {figures['most']}"
        with self.out.block(f"if {fact} is None:"):
            if alone:
                self._return_lacking(name, tail, rest)
            else:
                self._return(INFORMATION_MISSING, tail, "None", rest)
        self._decide(fact, " and ".join(checks), rest, tail)

    def _figures(
        self, limit: Limit, fact: str, kind: str, tail: str
    ) -> tuple[dict[str, str], list[str]]:
        """Write a limit's figures; return them by name, and the comparisons with them."""
        figures: dict[str, str] = {"least": "None", "most": "None"}
        checks: list[str] = []
        for word, bound, comparison in (
            ("least", limit.exactly or limit.least, ">="),
            ("most", limit.exactly or limit.most, "<="),
        ):
            if bound is None:
                continue
            if word == "most" and limit.exactly is not None:
                figures["most"] = figures["least"]
            else:
                figure, sure = self.value(bound, kind)
                if not sure:
                    self._figure_guard(figure, tail)
                figures[word] = figure
            checks.append(f"{fact} {comparison} {figures[word]}")
        return figures, checks

    def _decide(self, fact: str, check: str, rest: str, tail: str) -> None:
        with self.out.block(f"if {check}:"):
            self._return(COMPLIES, tail, fact, rest)
        self._return(DOES_NOT_COMPLY, tail, fact, rest)

    # -- clauses ------------------------------------------------------------------------------

    def clause(self, index: int, clause: Clause) -> str:
        """Write the functions of one clause; return the name of its evaluator."""
        name = f"clause_{index}"
        self.branches(name, clause)
        self.begin()
        with self.out.block(f"def {name}(get, D):"):
            self.out.line("m = []")
            self.steps(index, clause)
        return name

    def branches(self, name: str, clause: Clause) -> None:
        """Write the functions of a clause's requirements, where more than one may govern."""
        if clause.exceptions or clause.readings:
            self.requirement(f"{name}_0", clause.requirement)
        for j, exception in enumerate(clause.exceptions, 1):
            self.requirement(f"{name}_{j}", exception.requirement)
        for j, reading in enumerate(clause.readings, 1):
            self.requirement(f"{name}_r{j}", reading.requirement)

    def steps(self, index: int, clause: Clause) -> None:
        """Write what a clause does, from its first gate to its return."""
        self._gate(clause.applies, NOT_APPLICABLE)
        self._gate(clause.scope, ENGINEERING_REQUIRED)
        if clause.exceptions:
            self._exceptions(index, f"clause_{index}", clause)
        elif clause.readings:
            self._readings(f"clause_{index}", clause)
        else:
            self._body(clause.requirement, ", 0, M")

    def _gate(self, condition: Condition, otherwise: int) -> None:
        """Write the way past a condition: out at the first part that is false, or in the end.

        A part that is unknown does not end the clause before a later part has been seen to be
        false: `u` remembers it.
        """
        parts = flat_parts(condition)
        if len(parts) > 1:
            self.out.line("u = False")
        for part in parts:
            self._gate_part(part, otherwise, alone=len(parts) == 1)
        if len(parts) > 1:
            with self.out.block("if u:"):
                self._return(INFORMATION_MISSING, ", 0, M")

    def _gate_part(self, part: Condition, otherwise: int, *, alone: bool) -> None:
        name = ""
        if isinstance(part, Test) and part.options is not None:
            name = part.quantity
            fact = self.fact(name)
            check, unknown = self._option_check(fact, part.options), f"{fact} is None"
        elif isinstance(part, Test):
            unknown, check = self.test(part)
        else:
            check = self.condition(part)
            unknown = f"{check} is None"
        out = f"return ({otherwise}, None, None, None, 0, None)"
        if check == "True":
            return
        if check == "False":
            self.out.line(out)
        elif name or not isinstance(part, Test):  # asked of what is unknown, the check is false
            with self.out.block(f"if not ({check}):"):
                self.out.line(f"if not ({unknown}): {out}")
                self._gate_unknown(name, alone=alone)
        else:
            with self.out.block(f"if {unknown}:"):
                self._gate_unknown(name, alone=alone)
            self.out.line(f"elif not ({check}): {out}")

    def _gate_unknown(self, name: str, *, alone: bool) -> None:
        if alone and name:
            self._return_lacking(name, ", 0, M")
            return
        if name:
            self.out.line(f"m.append({name!r})")
        if alone:
            self._return(INFORMATION_MISSING, ", 0, M")
        else:
            self.out.line("u = True")

    def _close(self, branch: str) -> None:
        self.out.line("if len(r) == 6: return r")
        self.out.line(f"return (*r, {branch}, tuple(m) if r[0] == {INFORMATION_MISSING} else None)")

    def _readings(self, name: str, clause: Clause) -> None:
        self.out.line(f"r = {name}_0(get, D, m); b = 0")
        for j in range(1, len(clause.readings) + 1):
            self.out.line(f"s = {name}_r{j}(get, D, m)")
            self.out.line(f"if s[0] > r[0]: r = s; b = -{j}")
        self._close("b")

    def _exceptions(self, index: int, name: str, clause: Clause) -> None:
        self.out.line("f = 0; u = ()")
        for j, exception in enumerate(clause.exceptions, 1):
            holds = self.condition(exception.when)
            with self.out.block(f"if {holds}:"):
                self.out.line(f"if f: raise ExceptionsConflict({index}, f, {j})")
                self.out.line(f"f = {j}")
            with self.out.block(f"elif {holds} is None:"):
                self.out.line(f"u = (*u, {j})")
        with self.out.block("if not u:"):
            for j, exception in enumerate(clause.exceptions, 1):
                with self.out.block(f"if f == {j}:"):
                    self._body(exception.requirement, f", {j}, M")
            self._body(clause.requirement, ", 0, M")
        functions = [f"{name}_{j}" for j in range(len(clause.exceptions) + 1)]
        self.out.line(f"R = ({', '.join(functions)},)")
        self.out.line("w = tuple(m)")
        self.out.line("n = []; r = R[f](get, D, n)")
        self.out.line("same = all(R[j](get, D, [])[0] == r[0] for j in u)")
        with self.out.block(f"if same and r[0] != {INFORMATION_MISSING}:"):
            self.out.line("return r if len(r) == 6 else (*r, f, None)")
        self.out.line(
            f"return ({INFORMATION_MISSING}, r[1], None, None, f, tuple(dict.fromkeys((*w, *n))))"
        )


def flat_parts(condition: Condition) -> tuple[Condition, ...]:
    """Return the parts that must all hold, parts of parts included."""
    if not isinstance(condition, AllOf):
        return (condition,)
    return tuple(part for inner in condition.parts for part in flat_parts(inner))
