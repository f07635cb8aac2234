"""Seeded random designs drawn from the vocabulary and the figures of the rule sets themselves.

Every quantity that quantities.yaml lets a design state takes part, and measures stand on, and
just beside, the figures the rule sets hold them against, so that new clauses are exercised
without a change here.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from random import Random

from deckclause.designs.design import Design, Facts, Part
from deckclause.evaluate.columns.chunk import design_of_facts
from deckclause.rulesets.clauses import Fixed, Limit, Lookup, Scalar
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary
from deckclause.rulesets.walk import condition_tests, requirement_values, requirements

STEPS = {
    "length": Fraction(1, 64),
    "load": Fraction(1, 14400),
    "count": Fraction(1),
}
PLAIN = {
    "length": (Fraction(0), Fraction(1, 2), Fraction(4), Fraction(16), Fraction(72), Fraction(144)),
    "load": tuple(Fraction(psf, 144) for psf in (0, 20, 40, 50, 70, 1500)),
    "count": tuple(map(Fraction, range(6))),
    "ratio": (Fraction(1, 4), Fraction(1, 3), Fraction(1)),
    "force": (Fraction(750), Fraction(1500)),
    "line_load": (Fraction(50, 12), Fraction(50)),
    "area": (Fraction(144), Fraction(14400)),
    "angle": (Fraction(30), Fraction(45)),
}
ODD = (Fraction(1, 7), Fraction(10**7), Fraction(3, 10**5), Fraction(0))
"""Values that are no whole ticks, very large, very fine, or nothing."""
MISSING = (0.0, 0.02, 0.1, 0.4)


@dataclass(frozen=True)
class Drawer:
    """Draws designs; `figures` are the figures each quantity is held against."""

    vocabulary: Vocabulary
    figures: dict[str, tuple[Fraction, ...]]

    @classmethod
    def of(cls, vocabulary: Vocabulary, rulesets: Iterable[RuleSet]) -> Drawer:
        found: dict[str, dict[Fraction, None]] = {}
        for ruleset in rulesets:
            for quantity, figure in _figures(ruleset):
                found.setdefault(quantity, {})[figure] = None
        return cls(vocabulary, {q: tuple(f) for q, f in found.items()})

    def design(self, seed: int) -> Design:
        """Return the design of a seed; one in twelve has several parts, or a part it has none of."""
        random = Random(seed)
        design = design_of_facts(self.facts(random), self.vocabulary, f"random {seed}")
        if random.random() > 1 / 12 or not design.parts:
            return design
        group = random.choice(sorted(design.parts))
        parts: tuple[Part, ...] = ()
        if random.random() < 0.8:
            parts = tuple(Part(name, self._own(random, group)) for name in ("north", "south"))
        return Design(design.name, "", design.facts, {**design.parts, group: parts}, "", "")

    def facts(self, random: Random) -> Facts:
        share = random.choice(MISSING)
        odd = 0.01 if random.random() < 0.1 else 0.0
        facts: Facts = {}
        for definition in self.vocabulary.quantities.values():
            if self._stated(definition, random) and random.random() >= share:
                facts[definition.name] = self._value(definition, random, odd)
        return facts

    def _own(self, random: Random, group: str) -> Facts:
        facts = self.facts(random)
        return {name: value for name, value in facts.items() if name.startswith(f"{group}.")}

    def _stated(self, definition: QuantityDefinition, random: Random) -> bool:
        if definition.provided or definition.kind in ("text", "date"):
            return False
        return not definition.derived or random.random() < 0.2

    def _value(self, definition: QuantityDefinition, random: Random, odd: float) -> Scalar:
        if definition.kind == "yes_no":
            return random.random() < 0.6
        if definition.dimension is None:
            first, *_ = definition.choices
            return first if random.random() < 0.3 else random.choice(definition.choices)
        if random.random() < odd and definition.kind != "count":
            return random.choice(ODD)
        figures = (*self.figures.get(definition.name, ()), *PLAIN[definition.kind])
        step = STEPS.get(definition.kind, Fraction(1, 100))
        value = random.choice(figures) + step * random.choice((0, 0, 0, -1, 1))
        value = value if definition.kind != "count" else Fraction(int(value))
        return value if definition.signed else max(value, Fraction(0))


def _figures(ruleset: RuleSet) -> Iterable[tuple[str, Fraction]]:
    for clause in ruleset.clauses:
        conditions = [clause.applies, clause.scope, *(e.when for e in clause.exceptions)]
        for requirement in requirements(clause):
            subject = requirement.subject if isinstance(requirement, Limit) else None
            conditions += [c for c in [getattr(requirement, "condition", None)] if c is not None]
            for value in requirement_values(requirement):
                if isinstance(value, Fixed) and isinstance(subject, str):
                    yield from _figure(subject, value)
                if isinstance(value, Lookup):
                    for axis in value.table.axes:
                        yield from (
                            (axis.quantity, k) for k in axis.keys if isinstance(k, Fraction)
                        )
                    if isinstance(subject, str):
                        cells = [c for c in value.table.cells if isinstance(c, Fraction)]
                        yield from ((subject, cell) for cell in cells[:40])
        for condition in conditions:
            for test in condition_tests(condition):
                for bound in (test.low, test.high):
                    if isinstance(bound, Fixed):
                        yield from _figure(test.quantity, bound)


def _figure(quantity: str, value: Fixed) -> Iterable[tuple[str, Fraction]]:
    if isinstance(value.value, Fraction):
        yield quantity, value.value
