"""One compiled rule set: its clause functions, run on the facts of a design."""

from __future__ import annotations

import marshal
from collections.abc import Callable, Container
from fractions import Fraction
from types import CodeType
from typing import TYPE_CHECKING, Any, Protocol

from msgspec import Struct
from msgspec.structs import replace

from deckclause.evaluate import runtime
from deckclause.evaluate.plan import Plan, two_values
from deckclause.evaluate.prepare import TickFacts
from deckclause.evaluate.scale import Scale
from deckclause.evaluate.status import (
    COMPLIES,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
)
from deckclause.reading.branch import SET_BY_PLACE, Branch
from deckclause.rulesets.problems import InputError, Problem
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import QuantityDefinition

if TYPE_CHECKING:
    from deckclause.reading.forms import Rule
    from deckclause.reading.lower import Lowered

Result = tuple[int, Any, Any, Any, Branch, tuple[Any, ...] | None]
"""(status, value, least, most, branch, missing), in ticks."""
Row = tuple[int, str, Result]
"""(clause index, name of the part it was read for, result)."""
Measure = tuple[str, str, Callable[[object], Fraction | None]]
"""Kind and unit of a clause's figures, and what turns ticks back into them."""
RunFunction = Callable[..., None]
"""Adds the rows of every clause of one part of the deck (scalar/run.py)."""
Runs = tuple[RunFunction, tuple[tuple[str, RunFunction, bool], ...]]
"""What runs once, and for each repeated part its name, what runs, whether a clause of it gives."""


class InTicks(Protocol):
    """A design as clauses read it: a prepared design, or one put together from several."""

    def once(self, scale: Scale) -> TickFacts:
        """Return the facts of the deck as a whole."""

    def parts(self, group: str, scale: Scale) -> tuple[tuple[str, TickFacts], ...]:
        """Return name and facts of each part of a group."""


class Compiled(Struct, frozen=True):
    """What is kept of a compiled rule set between runs."""

    ruleset: RuleSet
    plan: Plan
    scale: Scale
    code: bytes
    constants: dict[str, Any]
    substances: tuple[str, ...] = ()
    """For each clause, a text that clauses of the same substance share."""


class Known:
    """What clauses have given so far, and what a quantity they could not give was lacking."""

    __slots__ = ("given", "unknown")

    def __init__(self, unknown: dict[str, tuple[Any, ...]], given: set[str]) -> None:
        self.unknown = unknown
        self.given = given

    def copy(self) -> Known:
        """Return a copy that can be added to for one part."""
        return Known(dict(self.unknown), set(self.given))


class Evaluator:
    """Runs a compiled rule set."""

    __slots__ = (
        "_compiled",
        "_lowered",
        "_quantities",
        "_runs",
        "_settings",
        "measures",
        "plan",
        "ruleset",
        "scale",
    )

    def __init__(self, compiled: Compiled, quantities: dict[str, QuantityDefinition]) -> None:
        self.ruleset = compiled.ruleset
        self.plan = compiled.plan
        self.scale = compiled.scale
        self._compiled = compiled
        self._lowered: Lowered | None = None
        self._runs: Runs | None = None
        self._quantities = quantities
        self._settings = in_ticks(compiled.ruleset, compiled.scale, quantities)
        self.measures: dict[int, Measure] = {}

    def with_ruleset(
        self, ruleset: RuleSet, quantities: dict[str, QuantityDefinition]
    ) -> Evaluator:
        """Return the same clauses with other settings of the place."""
        return Evaluator(replace(self._compiled, ruleset=ruleset), quantities)

    @property
    def substances(self) -> tuple[str, ...]:
        """For each clause, a text that clauses of the same substance share."""
        return self._compiled.substances

    def rule(self, index: int) -> Rule:
        """Return a clause as lowered for the reference reader; lowered when first asked for."""
        if self._lowered is None:
            from deckclause.reading.lower import Lowered

            self._lowered = Lowered(self._quantities)
        return self._lowered.rule(self.ruleset.clauses[index])

    def _load_runs(self) -> Runs:
        space = self._space()
        provides = self.plan.provides
        parts = tuple(
            (group, space[f"run_{number}"], any(provides[i] for i in order))
            for number, (group, order) in enumerate(self.plan.groups, 1)
        )
        self._runs = space["run_0"], parts
        return self._runs

    def _space(self) -> dict[str, Any]:
        """Run the printed module; return what it defines."""
        code = marshal.loads(self._compiled.code)
        assert isinstance(code, CodeType)
        space: dict[str, Any] = {name: getattr(runtime, name) for name in runtime.__all__}
        space |= self._compiled.constants
        space["__name__"] = source_name(self.ruleset)
        space["__loader__"] = PrintedSource(self._compiled, self._quantities)
        exec(code, space)  # source printed by scalar/ from checked data, never by a person
        return space

    def narrowed(self, wanted: Container[int]) -> Evaluator:
        """Return some clauses alone, with those that give them what they read; numbers as here."""
        from deckclause.evaluate.compile import narrowed

        return Evaluator(narrowed(self._compiled, wanted, self._quantities), self._quantities)

    def rows(
        self,
        design: InTicks,
        groups: Container[str] | None = None,
        read: set[str | tuple[str, str]] | None = None,
    ) -> list[Row]:
        """Return every clause's result on a design, in ticks. Raises InputError on a conflict.

        With `groups`, the clauses read once and those of these repeated parts only: what a clause
        of one part gives is read by no clause of another. `read` is given the name of every fact
        and distance that was looked up: the results rest on no other.
        """
        run_once, run_parts = self._runs or self._load_runs()
        scale = self.scale
        once = design.once(scale)
        facts = {**once.facts, **self._settings}
        noting = _as_it_is if read is None else _noting(read)
        get, along = noting(facts, once.distances)
        known = Known({}, set())
        rows: list[Row] = []
        add, give = rows.append, self._provide
        try:
            run_once(get, get, along, "", add, give, settled_missing, facts, known)
            for group, run, gives in run_parts:
                if groups is not None and group not in groups:
                    continue
                for name, part in design.parts(group, scale):
                    stated, along = noting(part.facts, part.distances)
                    if not gives:
                        run(get, stated, along, name, add, give, settled_missing, facts, known)
                        continue
                    its, found = dict(facts), known.copy()
                    given, _ = noting(its, along)
                    run(given, stated, along, name, add, give, settled_missing, its, found)
        except runtime.ExceptionsConflict as conflict:
            raise self._conflict(conflict) from None
        return rows

    def _provide(self, index: int, result: Result, facts: dict[str, Any], known: Known) -> Result:
        """Give the quantity its value; what a design states for it no longer counts.

        Of several clauses it does not matter which is read first (see Given.give).
        """
        quantity = self.plan.provides[index]
        if quantity in self._settings:
            return (COMPLIES, self._settings[quantity], None, None, SET_BY_PLACE, None)
        status = result[0]
        if status == COMPLIES:
            if quantity in known.given and facts[quantity] != result[1]:
                raise two_values(self.ruleset.clauses[index], quantity)
            facts[quantity] = result[1]
            known.given.add(quantity)
        elif quantity not in known.given and status == INFORMATION_MISSING:
            facts[quantity] = None
        elif (
            quantity not in known.given
            and status == ENGINEERING_REQUIRED
            and facts.get(quantity, runtime.BEYOND) is not None
        ):
            facts[quantity] = runtime.BEYOND
        if status == INFORMATION_MISSING and result[5]:
            before = known.unknown.get(quantity, ())
            known.unknown[quantity] = tuple(dict.fromkeys((*before, *result[5])))
        return result

    def _conflict(self, conflict: runtime.ExceptionsConflict) -> InputError:
        clause = self.ruleset.clauses[conflict.clause]
        one, two = (clause.exceptions[i - 1] for i in (conflict.first, conflict.second))
        file = clause.origin.file
        return InputError(
            [
                Problem(
                    file,
                    one.line,
                    f"{clause.key}: this exception and that of line {two.line} both fire",
                ),
                Problem(
                    file,
                    two.line,
                    f"{clause.key}: this exception and that of line {one.line} both fire",
                ),
            ]
        )


Look = Callable[[str], Any]
Distances = dict[tuple[str, str], Any]


def _as_it_is(facts: dict[str, Any], distances: Distances) -> tuple[Look, Distances]:
    return facts.get, distances


def _noting(
    read: set[str | tuple[str, str]],
) -> Callable[[dict[str, Any], Distances], tuple[Look, Distances]]:
    """Return what makes facts and distances note down the names that are looked up."""

    class Noted(dict[tuple[str, str], Any]):
        """Distances that are worked out, and noted, when they are looked up."""

        def __init__(self, distances: Distances) -> None:
            super().__init__()
            self.distances = distances

        def __missing__(self, pair: tuple[str, str]) -> Any:
            read.add(pair)
            return self.distances[pair]

    def noting(facts: dict[str, Any], distances: Distances) -> tuple[Look, Distances]:
        def look(name: str) -> Any:
            read.add(name)
            return facts.get(name)

        return look, Noted(distances)

    return noting


def _resolved(missing: tuple[Any, ...], unknown: dict[str, tuple[Any, ...]]) -> tuple[Any, ...]:
    names: dict[Any, None] = {}
    for name in missing:
        names.update(dict.fromkeys(unknown.get(name, (name,))))
    return tuple(names)


def settled_missing(result: Result, unknown: dict[str, tuple[Any, ...]]) -> Result:
    """Name what a missing quantity was lacking in its turn."""
    if unknown and result[5] is not None:
        return (*result[:5], _resolved(result[5], unknown))
    return result


def source_name(ruleset: RuleSet) -> str:
    """Return the file name the printed source of a rule set goes by in tracebacks."""
    return f"{ruleset.name}, printed"


def in_ticks(
    ruleset: RuleSet, scale: Scale, quantities: dict[str, QuantityDefinition]
) -> dict[str, Any]:
    """Return the values a place fixes, in ticks."""
    return {s.quantity: scale.ticks(s.value, quantities[s.quantity]) for s in ruleset.settings}


class PrintedSource:
    """Gives the printed source to tracebacks and debuggers, printed again when one asks.

    Python asks the `__loader__` of a frame's globals for the source of a file it does not find
    (linecache.lazycache); nothing is kept for it.
    """

    def __init__(self, compiled: Compiled, quantities: dict[str, QuantityDefinition]) -> None:
        self.compiled = compiled
        self.quantities = quantities

    def get_source(self, name: str) -> str:
        """Return the source of the rule set."""
        from deckclause.evaluate.scalar.run import print_runs
        from deckclause.reading.lower import lower

        ruleset, scale = self.compiled.ruleset, self.compiled.scale
        rules = tuple(lower(clause, self.quantities) for clause in ruleset.clauses)
        settings = in_ticks(ruleset, scale, self.quantities)
        return print_runs(rules, self.compiled.plan, scale, settings).source()
