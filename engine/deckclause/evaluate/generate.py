"""Generate a scalar evaluator from the clause model: one function a clause, on ticks.

Each function takes `get` (facts by name), `D` (known distances) and returns a tuple
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
    Informs,
    Limit,
    MustBe,
    NeedsEngineering,
    NotPermitted,
    Provides,
    Requirement,
    Unmodelled,
    Waived,
)


class ClauseGenerator(ValueGenerator):
    """Writes the function of each clause of one rule set."""

    # -- requirements -------------------------------------------------------------------------

    def requirement(self, name: str, requirement: Requirement) -> None:
        """Write a function `name(get, D, m)` giving (status, value, least, most)."""
        with self.out.block(f"def {name}(get, D, m):"):
            if isinstance(requirement, Limit):
                self._limit(requirement)
            elif isinstance(requirement, MustBe | NotPermitted):
                holds = self.condition(requirement.condition)
                if holds in ("True", "False"):
                    self.out.line(f"h = {holds}")
                    holds = "h"
                good = "True" if isinstance(requirement, MustBe) else "False"
                self.out.line(
                    f"return ({INFORMATION_MISSING} if {holds} is None else {COMPLIES} if {holds} "
                    f"is {good} else {DOES_NOT_COMPLY}, None, None, None)"
                )
            elif isinstance(requirement, Provides):
                kind = self.quantities[requirement.quantity].kind
                figure, sure = self.value(requirement.value, kind)
                if not sure:
                    self._figure_guard(figure)
                self.out.line(f"return ({COMPLIES}, {figure}, None, None)")
            elif isinstance(requirement, NeedsEngineering):
                self.out.line(f"return ({ENGINEERING_REQUIRED}, None, None, None)")
            elif isinstance(requirement, Waived | Informs):
                self.out.line(f"return ({NOT_APPLICABLE}, None, None, None)")
            else:
                assert isinstance(requirement, Unmodelled)
                self.out.line(f"return ({INFORMATION_MISSING}, None, None, None)")

    def _figure_guard(self, figure: str) -> None:
        """Return early where a figure is missing or special: fail closed."""
        with self.out.block(f"if {figure} is None or {figure} is UNSEEN:"):
            self.out.line(f"return ({INFORMATION_MISSING}, None, None, None)")
        with self.out.block(f"if {figure} is BEYOND:"):
            self.out.line(f"return ({ENGINEERING_REQUIRED}, None, None, None)")
        with self.out.block(f"if {figure} is FORBIDDEN:"):
            self.out.line(f"return ({DOES_NOT_COMPLY}, None, None, None)")

    def _limit(self, limit: Limit) -> None:
        subject = limit.subject
        if isinstance(subject, Distance):
            fact = self.out.fresh("q")
            self.out.line(f"{fact} = D.get({(subject.start, subject.end)!r})")
            with self.out.block(f"if {fact} is None:"):
                self.out.line(f"m.append({(subject.start, subject.end)!r})")
            kind = "length"
        else:
            fact = self.read(subject)
            kind = self.quantities[subject].kind
        if limit.one_of is not None:
            check = self._option_check(fact, limit.one_of)
            self.out.line(
                f"return ({INFORMATION_MISSING} if {fact} is None else {COMPLIES} if {check} "
                f"else {DOES_NOT_COMPLY}, {fact}, None, None)"
            )
            return
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
                    self._figure_guard(figure)
                figures[word] = figure
            checks.append(f"{fact} {comparison} {figures[word]}")
        self.out.line(
            f"return ({INFORMATION_MISSING} if {fact} is None else {COMPLIES} if "
            f"{' and '.join(checks)} else {DOES_NOT_COMPLY}, {fact}, {figures['least']}, {figures['most']})"
        )

    # -- clauses ------------------------------------------------------------------------------

    def clause(self, index: int, clause: Clause) -> str:
        """Write the functions of one clause; return the name of its evaluator."""
        name = f"clause_{index}"
        self.requirement(f"{name}_0", clause.requirement)
        for j, exception in enumerate(clause.exceptions, 1):
            self.requirement(f"{name}_{j}", exception.requirement)
        for j, reading in enumerate(clause.readings, 1):
            self.requirement(f"{name}_r{j}", reading.requirement)
        with self.out.block(f"def {name}(get, D):"):
            self.out.line("m = []")
            self._gate(clause.applies, NOT_APPLICABLE)
            self._gate(clause.scope, ENGINEERING_REQUIRED)
            if clause.exceptions:
                self._exceptions(index, name, clause)
            elif clause.readings:
                self._readings(name, clause)
            else:
                self.out.line(f"r = {name}_0(get, D, m)")
                self._close("0")
        return name

    def _gate(self, condition: Condition, otherwise: int) -> None:
        if isinstance(condition, AllOf) and not condition.parts:
            return
        holds = self.condition(condition)
        with self.out.block(f"if {holds} is not True:"):
            self.out.line(
                f"return ({otherwise}, None, None, None, 0, None) if {holds} is False else "
                f"({INFORMATION_MISSING}, None, None, None, 0, tuple(m))"
            )

    def _close(self, branch: str) -> None:
        self.out.line("if len(r) == 6: return r")
        self.out.line(f"return (*r, {branch}, tuple(m) if r[0] == {INFORMATION_MISSING} else None)")

    def _readings(self, name: str, clause: Clause) -> None:
        self.out.line(f"r = {name}_0(get, D, m); b = 0")
        for j in range(1, len(clause.readings) + 1):
            self.out.line(f"s = {name}_r{j}(get, D, m)")
            self.out.line(f"if SEVERITY[s[0]] > SEVERITY[r[0]]: r = s; b = -{j}")
        self._close("b")

    def _exceptions(self, index: int, name: str, clause: Clause) -> None:
        self.out.line("f = 0; u = []")
        for j, exception in enumerate(clause.exceptions, 1):
            holds = self.condition(exception.when)
            with self.out.block(f"if {holds} is True:"):
                self.out.line(f"if f: raise ExceptionsConflict({index}, f, {j})")
                self.out.line(f"f = {j}")
            with self.out.block(f"elif {holds} is None:"):
                self.out.line(f"u.append({j})")
        functions = [f"{name}_{j}" for j in range(len(clause.exceptions) + 1)]
        self.out.line(f"R = ({', '.join(functions)},)")
        with self.out.block("if not u:"):
            self.out.line("m.clear(); r = R[f](get, D, m)")
            self._close("f")
        self.out.line("w = tuple(m)")
        self.out.line("n = []; r = R[f](get, D, n)")
        self.out.line("same = all(R[j](get, D, [])[0] == r[0] for j in u)")
        with self.out.block(f"if same and r[0] != {INFORMATION_MISSING}:"):
            self.out.line("return r if len(r) == 6 else (*r, f, None)")
        self.out.line(
            f"return ({INFORMATION_MISSING}, r[1], None, None, f, tuple(dict.fromkeys((*w, *n))))"
        )
