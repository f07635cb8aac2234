"""Words for values: facts, limits and conditions as a reviewer would write them."""

from __future__ import annotations

from fractions import Fraction
from typing import Protocol

from deckclause.quantities import LENGTH, NUMBER, Quantity, length_text, quantity_text
from deckclause.rulesets.clauses import (
    AllOf,
    Arithmetic,
    ByChoice,
    Cases,
    Condition,
    Distance,
    Fixed,
    Limit,
    Lookup,
    MustBe,
    NeedsEngineering,
    Not,
    NotPermitted,
    Provides,
    Reads,
    Requirement,
    Scalar,
    Test,
    Unmodelled,
    Value,
)
from deckclause.rulesets.vocabulary import MEASURES, QuantityDefinition, Vocabulary


def scalar_text(value: Scalar | None, kind: str, unit: str = "", *, si: bool = False) -> str:
    """Write a value of a kind: a measure with its unit, a choice in plain words, yes or no.

    >>> scalar_text(Fraction(13, 2), "length")
    '6-1/2 in'
    >>> scalar_text("lag_screw", "choice")
    'lag screw'
    """
    if value is None:
        return "not known"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return choice_text(value)
    dimension = MEASURES.get(kind, LENGTH)
    if dimension == LENGTH and not si:
        return length_text(value, unit if unit in ("in", "ft") else "in")
    if dimension == NUMBER:
        return quantity_text(Quantity(value, NUMBER), "%" if unit == "%" else None)
    return quantity_text(Quantity(value, dimension), unit or None, si=si)


TRADE_SPELLINGS = {
    "hot_dip_galvanized": "hot-dip galvanized",
    "douglas_fir": "Douglas fir",
    "douglas_fir_larch": "Douglas fir-larch",
    "douglas_fir_larch_hem_fir_spruce_pine_fir": "Douglas fir-larch, hem-fir or spruce-pine-fir",
    "redwood_western_cedar_ponderosa_red_pine": "redwood, western cedar, ponderosa or red pine",
    "hem_fir": "hem-fir",
    "spruce_pine_fir": "spruce-pine-fir",
    "no_1": "No. 1",
    "no_2": "No. 2",
    "no_3": "No. 3",
    "five_quarter_wood": "5/4 wood",
    "two_inch_wood": "2x wood",
    "i_joist_floor": "I-joist floor",
    "stand_off_over_veneer": "stand-off over veneer",
    "hold_down_devices": "hold-down devices",
    "three_no_10_by_3_in_screws": "three No. 10 by 3 in screws",
    "g90": "G90",
    "g185": "G185",
}
"""Choices the trade does not write as bare words."""


def choice_text(choice: str) -> str:
    """Write a choice as the trade does.

    >>> choice_text("no_2"), choice_text("lag_screw")
    ('No. 2', 'lag screw')
    """
    return TRADE_SPELLINGS.get(choice) or choice.replace("_", " ")


def fact_text(value: Scalar | None, definition: QuantityDefinition, *, si: bool = False) -> str:
    """Write a fact of the vocabulary."""
    return scalar_text(value, definition.kind, definition.unit, si=si)


def bounds_text(
    least: Fraction | None, most: Fraction | None, kind: str, unit: str = "", *, si: bool = False
) -> str:
    """Write a limit: `at least 2 in`, `1-5/8 in to 5 in`, `exactly 2 in`."""
    if least is not None and most is not None:
        if least == most:
            return f"exactly {scalar_text(least, kind, unit, si=si)}"
        return f"{scalar_text(least, kind, unit, si=si)} to {scalar_text(most, kind, unit, si=si)}"
    if least is not None:
        return f"at least {scalar_text(least, kind, unit, si=si)}"
    if most is not None:
        return f"at most {scalar_text(most, kind, unit, si=si)}"
    return ""


class Limited(Protocol):
    """What a limit is asked of: a finding, a precedent."""

    @property
    def least(self) -> Fraction | None:
        """The least allowed, in its unit."""

    @property
    def most(self) -> Fraction | None:
        """The most allowed, in its unit."""

    @property
    def kind(self) -> str:
        """The kind of quantity."""

    @property
    def unit(self) -> str:
        """The unit of both figures."""


def asked_limit(limited: Limited, *, si: bool = False) -> str:
    """Write the limit a finding or a precedent asks; nothing where it asks a condition."""
    return bounds_text(limited.least, limited.most, limited.kind, limited.unit, si=si)


def name_text(name: str) -> str:
    """Write a quantity's or datum's name in plain words; a load is called by its own name alone.

    >>> name_text("fasteners.lower_row")
    'fasteners lower row'
    >>> name_text("loads.deck_live_load")
    'deck live load'
    """
    return name.removeprefix("loads.").replace(".", " ").replace("_", " ")


def called(name: str, vocabulary: Vocabulary) -> str:
    """Write the name of a quantity or a datum as a builder says it."""
    if name in vocabulary.quantities:
        return vocabulary.quantities[name].called
    if name in vocabulary.datums:
        says = vocabulary.datums[name].says
        return says[:1].lower() + says[1:]
    return name_text(name)


def said(definition: QuantityDefinition, value: Scalar) -> str:
    """Return the plain sentence the vocabulary has for a value; nothing where it has none."""
    key = ("yes" if value else "no") if isinstance(value, bool) else value
    return next((words for option, words in definition.said if option == key), "")


def _joins_all(condition: Condition, *, holds: bool) -> bool | None:
    """Tell whether a condition, or that it does not hold, joins several by `and`; None for one."""
    while isinstance(condition, Not):
        condition, holds = condition.part, not holds
    if isinstance(condition, Test) or len(condition.parts) < 2:
        return None
    return isinstance(condition, AllOf) is holds


class ClauseWords:
    """Writes conditions, values and requirements against the vocabulary."""

    def __init__(self, vocabulary: Vocabulary, *, si: bool = False) -> None:
        self.vocabulary = vocabulary
        self.si = si

    def called(self, name: str) -> str:
        """Write a quantity's or a datum's name as a builder says it."""
        return called(name, self.vocabulary)

    def condition(self, condition: Condition, *, holds: bool = True) -> str:
        """Write a condition as a plain sentence; with `holds` false, that it does not hold.

        Where joined parts join others the other way, a semicolon parts them: no brackets needed.
        """
        if isinstance(condition, Test):
            return self._test(condition, holds=holds)
        if isinstance(condition, Not):
            return self.condition(condition.part, holds=not holds)
        joins_all = isinstance(condition, AllOf) is holds
        if not condition.parts:
            return "always" if joins_all else "never"
        if len(condition.parts) == 1:
            return self.condition(condition.parts[0], holds=holds)
        words = [self.condition(part, holds=holds) for part in condition.parts]
        inner = [_joins_all(part, holds=holds) for part in condition.parts]
        mixed = any(one is not None and one is not joins_all for one in inner)
        words = [
            f"either {told}" if joins_all and one is False else told
            for told, one in zip(words, inner, strict=True)
        ]
        joiner = "and" if joins_all else "or"
        return (f"; {joiner} " if mixed else f" {joiner} ").join(words)

    def allowed(self, test: Test) -> str:
        """Write what a test lets a quantity be: `at most 40 psf`, `stainless steel`."""
        definition = self.vocabulary.quantities[test.quantity]
        if test.options is not None:
            return " or ".join(fact_text(option, definition) for option in test.options)
        if test.low is not None and test.low == test.high:
            return self.value(test.low, definition)
        words = []
        if test.low is not None:
            sign = "over" if test.low_open else "at least"
            words.append(f"{sign} {self.value(test.low, definition)}")
        if test.high is not None:
            sign = "under" if test.high_open else "at most"
            words.append(f"{sign} {self.value(test.high, definition)}")
        return " and ".join(words)

    def _test(self, test: Test, *, holds: bool) -> str:
        definition = self.vocabulary.quantities[test.quantity]
        if test.options is not None:
            return self._options(definition, test.options, holds=holds)
        bounds = self.allowed(test)
        if not holds:
            bounds = self._beyond(test) or f"not {bounds}"
        return f"the {definition.called} is {bounds}"

    def _options(
        self, definition: QuantityDefinition, options: tuple[str | bool, ...], *, holds: bool
    ) -> str:
        """Say that a quantity is one of some options, or none of them, in the vocabulary's words."""
        every = definition.choices if definition.kind == "choice" else (True, False)
        others = tuple(option for option in every if option not in options)
        if not holds and len(others) <= len(options):
            return self._options(definition, others, holds=True) if others else "never"
        sentences = [said(definition, option) for option in options]
        if holds and all(sentences):
            return " or ".join(map(str, sentences))
        if holds or not any(sentences):
            names = " or ".join(fact_text(option, definition) for option in options)
            return f"the {definition.called} is {'' if holds else 'not '}{names}"
        return self._options(definition, others, holds=True)

    def _beyond(self, test: Test) -> str:
        """Write what lies outside a range open at one end; nothing for another."""
        definition = self.vocabulary.quantities[test.quantity]
        if test.low is None and test.high is not None:
            sign = "at least" if test.high_open else "over"
            return f"{sign} {self.value(test.high, definition)}"
        if test.high is None and test.low is not None:
            sign = "at most" if test.low_open else "under"
            return f"{sign} {self.value(test.low, definition)}"
        return ""

    def fact(self, name: str, value: Scalar) -> str:
        """Write a known fact: the sentence the vocabulary has for it, or its name and the value."""
        definition = self.vocabulary.quantities[name]
        return said(definition, value) or (
            f"{definition.called}: {fact_text(value, definition, si=self.si)}"
        )

    def value(self, value: Value, definition: QuantityDefinition) -> str:
        """Write a value."""
        if isinstance(value, Fixed):
            return fact_text(value.value, definition, si=self.si)
        if isinstance(value, Reads):
            return self.called(value.quantity)
        if isinstance(value, ByChoice):
            cases = [f"{choice_text(c)}: {self.value(v, definition)}" for c, v in value.cases]
            return "; ".join(cases)
        if isinstance(value, Cases):
            parts = [
                f"{self.value(v, definition)} where {self.condition(c)}" for c, v in value.cases
            ]
            return "; ".join(parts)
        if isinstance(value, Lookup):
            return f"by {value.table.cites or value.table.title}"
        assert isinstance(value, Arithmetic)
        return self._arithmetic(value, definition)

    def _arithmetic(self, value: Arithmetic, definition: QuantityDefinition) -> str:
        if value.operation == "sum" and any(map(_taken, value.parts[1:])):
            text = self.value(value.parts[0], definition)
            for part in value.parts[1:]:
                taken = _taken(part)
                word, shown = ("less", taken) if taken is not None else ("+", part)
                text = f"{text} {word} {self.value(shown, definition)}"
            return text
        plain = QuantityDefinition(definition.name, "ratio", "", "")
        product = value.operation == "product"
        words = [
            self.value(p, plain if product and isinstance(p, Fixed) else definition)
            for p in value.parts
        ]
        joiner = {"sum": " + ", "product": " x "}.get(value.operation)
        if joiner:
            return joiner.join(words)
        return f"the {value.operation} of {', '.join(words)}"

    def requirement(self, requirement: Requirement) -> str:
        """Write what a requirement asks."""
        if isinstance(requirement, Limit):
            return self._limit(requirement)
        if isinstance(requirement, MustBe):
            words = self.condition(requirement.condition)
            return "met inside the scope" if words == "always" else words
        if isinstance(requirement, NotPermitted):
            return f"it is not permitted that {self.condition(requirement.condition)}"
        if isinstance(requirement, Provides):
            definition = self.vocabulary.quantities[requirement.quantity]
            return f"{definition.called}: {self.value(requirement.value, definition)}"
        if isinstance(requirement, NeedsEngineering):
            return f"engineering: {requirement.reason}"
        if isinstance(requirement, Unmodelled):
            return f"not modelled: {requirement.reason}"
        return "no requirement"

    def _limit(self, limit: Limit) -> str:
        if isinstance(limit.subject, Distance):
            start, end = self.called(limit.subject.start), self.called(limit.subject.end)
            subject = f"{start} to {end}"
            definition = QuantityDefinition("", "length", "", "")
        else:
            definition = self.vocabulary.quantities[limit.subject]
            subject = definition.called
        words = []
        if limit.one_of is not None:
            words.append("one of " + ", ".join(map(choice_text, limit.one_of)))
        for word, bound in (
            ("exactly", limit.exactly),
            ("at least", limit.least),
            ("at most", limit.most),
        ):
            if bound is not None:
                words.append(f"{word} {self.value(bound, definition)}")
        return f"{subject} {' and '.join(words)}"


def _taken(part: Value) -> Value | None:
    """Return what a part of a sum takes away, where it is minus one times something."""
    if isinstance(part, Arithmetic) and part.operation == "product" and len(part.parts) == 2:
        first, second = part.parts
        if isinstance(first, Fixed) and first.value == -1:
            return second
    return None
