"""Clause models of every form, and facts with gaps, drawn by hypothesis."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy

from deckclause.designs.design import Design, Part
from deckclause.rulesets.clauses import (
    NOT_PERMITTED,
    NOT_SEEN,
    AllOf,
    AnyOf,
    Arithmetic,
    Axis,
    ByChoice,
    Cases,
    Clause,
    ClauseException,
    Condition,
    Distance,
    Fixed,
    Informs,
    Limit,
    Lookup,
    MustBe,
    NeedsEngineering,
    Not,
    NotPermitted,
    Origin,
    Provides,
    Reading,
    Reads,
    Requirement,
    Table,
    Unmodelled,
    Value,
    Waived,
)
from deckclause.rulesets.clauses import Test as Check
from deckclause.rulesets.ruleset import RuleSet, Setting

SIZES = ("2x6", "2x8", "2x10", "2x12")
ROW = Distance("ledger.top_edge", "fasteners.lower_row")
STATED: dict[str, tuple[str, ...]] = {
    "length": ("fasteners.spacing", "decking.thickness", "joists.span", "joists.spacing"),
    "load": ("site.ground_snow_load",),
}
CHOICES: dict[str, tuple[str, ...]] = {
    "ledger.size": SIZES,
    "band_joist.size": SIZES,
    "deck.attachment": ("ledger", "freestanding"),
}
YES_NO = ("ledger.flashed", "fasteners.staggered")
GIVEN = {
    "loads.deck_live_load": "load",
    "loads.deck_dead_load": "load",
    "fasteners.assembly": "choice",
    "band_joist.covered_by_table": "yes_no",
}
ASSEMBLIES = ("lag_screw", "through_bolt", "through_bolt_thick_assembly")
MOST_DEEP = 2


def figures(kind: str) -> SearchStrategy[Fraction]:
    """A few figures close together, so that bounds, keys and facts often meet."""
    number = st.sampled_from([Fraction(n, 2) for n in range(9)] + [Fraction(1, 3), Fraction(10)])
    return number.map(lambda n: n / 144 * 10) if kind == "load" else number


class Drawn:
    """Draws the parts of a rule set that may read the quantities given so far."""

    def __init__(self, draw: DrawFn) -> None:
        self.draw = draw
        self.given: list[str] = []
        self.tables = 0

    def one(self, *options: Any) -> Any:
        return self.draw(st.sampled_from(options))

    def measures(self, kind: str) -> list[str]:
        return [*STATED.get(kind, ()), *(q for q in self.given if GIVEN[q] == kind)]

    # -- conditions -------------------------------------------------------------------------------

    def condition(self, deep: int = MOST_DEEP) -> Condition:
        form = self.one("test", "test", "range", "all", "any", "not") if deep else "test"
        if form == "test":
            return self.choice_test()
        if form == "range":
            return self.range_test(deep)
        if form == "not":
            return Not(self.condition(deep - 1))
        parts = tuple(self.condition(deep - 1) for _ in range(self.one(0, 1, 2, 3)))
        return AllOf(parts) if form == "all" else AnyOf(parts)

    def choice_test(self) -> Check:
        name = self.one(
            *CHOICES, *YES_NO, *(q for q in self.given if GIVEN[q] in ("choice", "yes_no"))
        )
        if name in YES_NO or GIVEN.get(name) == "yes_no":
            return Check(name, options=(self.one(True, False),))
        options = CHOICES.get(name, ASSEMBLIES)
        return Check(
            name, options=tuple(o for o in options if self.one(True, False)) or options[:1]
        )

    def range_test(self, deep: int) -> Check:
        kind = self.one("length", "load")
        name = self.one(*self.measures(kind))
        low = self.value(kind, deep - 1) if self.one(True, False) else None
        high = self.value(kind, deep - 1) if low is None or self.one(True, False) else None
        return Check(name, None, low, self.one(True, False), high, self.one(True, False))

    # -- values -----------------------------------------------------------------------------------

    def value(self, kind: str, deep: int = MOST_DEEP) -> Value:
        form = "fixed"
        if deep > 0:
            form = self.one(
                "fixed", "reads", "by", "cases", "sum", "product", "least", "lookup", "lookup"
            )
        if form == "fixed":
            return Fixed(self.draw(figures(kind)))
        if form == "reads":
            return Reads(self.one(*self.measures(kind)))
        if form == "by":
            name = self.one(*CHOICES)
            kept = [c for c in CHOICES[name] if self.one(True, True, False)]
            return ByChoice(name, tuple((c, self.value(kind, deep - 1)) for c in kept))
        if form == "cases":
            count = self.one(1, 2, 3)
            return Cases(
                tuple((self.condition(deep - 1), self.value(kind, deep - 1)) for _ in range(count))
            )
        if form == "product":
            return Arithmetic(
                "product",
                (Fixed(self.one(Fraction(1, 2), Fraction(3))), self.value(kind, deep - 1)),
            )
        if form in ("sum", "least"):
            operation = self.one("least", "greatest") if form == "least" else form
            parts = tuple(self.value(kind, deep - 1) for _ in range(self.one(1, 2, 3)))
            return Arithmetic(operation, parts)
        return self.lookup(kind)

    def lookup(self, kind: str) -> Lookup:
        count = self.one(1, 1, 2, 2, 3, 4)
        names = self.draw(
            st.permutations([*CHOICES, *self.measures("length"), *self.measures("load")])
        )[:count]
        axes = tuple(self.axis(name, last=i == count - 1) for i, name in enumerate(names))
        size = 1
        for axis in axes:
            size *= len(axis.keys)
        cell = st.one_of(
            figures(kind), figures(kind), figures(kind), st.sampled_from([NOT_PERMITTED, NOT_SEEN])
        )
        cells = tuple(self.draw(st.lists(cell, min_size=size, max_size=size)))
        self.tables += 1
        table = Table(f"table_{self.tables}", "", axes, cells, kind=kind)
        fixed = ()
        if count > 1 and self.one(True, False, False):
            fixed = ((axes[0].quantity, self.one(*axes[0].keys)),)
        return Lookup(table, fixed)

    def axis(self, name: str, *, last: bool) -> Axis:
        if name in CHOICES:
            keys = [c for c in CHOICES[name] if self.one(True, True, False)] or [CHOICES[name][0]]
            return Axis(name, tuple(keys))
        kind = "load" if name in self.measures("load") else "length"
        keys = sorted(self.draw(st.sets(figures(kind), min_size=1, max_size=3)))
        ways = ("exact", "next_larger", "next_smaller", *(("interpolate",) if last else ()))
        return Axis(name, tuple(keys), self.one(*ways))

    # -- requirements -----------------------------------------------------------------------------

    def asked(self) -> Requirement:
        form = self.one("limit", "limit", "limit", "distance", "one_of", "must", "not", "settled")
        if form == "limit":
            kind = self.one("length", "load")
            return self.limit(self.one(*self.measures(kind)), kind)
        if form == "distance":
            return self.limit(ROW, "length")
        if form == "one_of":
            name = self.one(*CHOICES)
            return Limit(name, one_of=tuple(c for c in CHOICES[name] if self.one(True, False)))
        if form == "must":
            return MustBe(self.condition())
        return NotPermitted(self.condition()) if form == "not" else self.settled()

    def limit(self, subject: Any, kind: str) -> Limit:
        sides = self.one("least", "most", "both", "exactly")
        if sides == "exactly":
            return Limit(subject, exactly=self.value(kind))
        least = self.value(kind) if sides != "most" else None
        return Limit(subject, least, self.value(kind) if sides != "least" else None)

    def settled(self) -> Requirement:
        return self.one(NeedsEngineering("r"), Unmodelled("r"), Informs("t"), Waived("w"))

    def giving(self, quantity: str) -> Requirement:
        if self.one(True, True, True, False):
            kind = GIVEN[quantity]
            if kind == "yes_no":
                return Provides(
                    quantity, Cases(((self.condition(), Fixed(True)), (AllOf(()), Fixed(False))))
                )
            if kind == "choice":
                cases = tuple((self.condition(), Fixed(a)) for a in ASSEMBLIES)
                return Provides(quantity, self.one(Cases(cases), Fixed(self.one(*ASSEMBLIES))))
            return Provides(quantity, self.value(kind))
        return self.one(NeedsEngineering("r"), Unmodelled("r"), Waived("w"))

    # -- clauses ----------------------------------------------------------------------------------

    def clause(self, number: int, quantity: str = "") -> Clause:
        ask = (lambda: self.giving(quantity)) if quantity else self.asked
        own = Provides(quantity, self.giving_value(quantity)) if quantity else ask()
        exceptions: tuple[ClauseException, ...] = ()
        readings: tuple[Reading, ...] = ()
        more = self.one("", "", "exceptions", "exceptions", "readings")
        if more == "exceptions":
            exceptions = tuple(
                ClauseException(self.condition(), ask(), "e", "", "memory", (), 1)
                for _ in range(self.one(1, 2, 3))
            )
        elif more == "readings":
            readings = tuple(Reading(ask(), "r", "memory", ()) for _ in range(self.one(1, 2)))
        gates = [self.condition() if self.one(True, False) else AllOf(()) for _ in range(2)]
        return Clause(
            f"c{number}", "t", "1", "s", own, "memory", (), Origin("r", "f", 1),
            gates[0], gates[1], "", exceptions, readings,
        )  # fmt: skip

    def giving_value(self, quantity: str) -> Value:
        while True:
            found = self.giving(quantity)
            if isinstance(found, Provides):
                return found.value


@st.composite
def rulesets(draw: DrawFn) -> RuleSet:
    """Draw a rule set: clauses that give quantities to those after them, and clauses that ask."""
    drawn = Drawn(draw)
    clauses: list[Clause] = []
    for quantity in draw(st.permutations(list(GIVEN)))[: drawn.one(0, 1, 2, 3)]:
        for _ in range(drawn.one(1, 1, 2)):
            clauses.append(drawn.clause(len(clauses), quantity))
        drawn.given.append(quantity)
    for _ in range(drawn.one(1, 2, 3)):
        clauses.append(drawn.clause(len(clauses)))
    settings: tuple[Setting, ...] = ()
    if drawn.given and drawn.one(True, False, False, False):
        quantity = drawn.one(*drawn.given)
        if GIVEN[quantity] in ("load", "length"):
            value = draw(figures(GIVEN[quantity]))
            settings = (Setting(quantity, value, Origin("r", "f", 1), "", "", "memory"),)
    return RuleSet("drawn", "", "edition", "", 2020, (), tuple(clauses), settings, (), (), "", "")


@st.composite
def designs(draw: DrawFn) -> Design:
    """Draw a design with gaps."""
    facts: dict[str, Any] = {}
    for kind, names in STATED.items():
        for name in names:
            facts[name] = draw(st.one_of(figures(kind), figures(kind), st.none()))
    for name, options in CHOICES.items():
        facts[name] = draw(st.one_of(st.sampled_from(options), st.sampled_from(options), st.none()))
    for name in YES_NO:
        facts[name] = draw(st.sampled_from([True, False, None]))
    facts["fasteners.lower_row_below_ledger_top"] = draw(st.one_of(figures("length"), st.none()))
    known = {name: value for name, value in facts.items() if value is not None}
    whole = {name: value for name, value in known.items() if not name.startswith("joists.")}
    part = {name: value for name, value in known.items() if name.startswith("joists.")}
    return Design("d", "", whole, {"joists": (Part("", part),)}, "", "")
