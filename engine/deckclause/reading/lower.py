"""Lower a clause model to the form every reader and printer shares.

This is the one place outside rulesets/ that takes a clause model apart by its types.
"""

from __future__ import annotations

from collections.abc import Mapping

from deckclause.reading import forms
from deckclause.reading.fold import asks, walk
from deckclause.reading.status import (
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
)
from deckclause.rulesets import clauses as model
from deckclause.rulesets.substance import substance_digest
from deckclause.rulesets.vocabulary import QuantityDefinition


def lower(clause: model.Clause, quantities: Mapping[str, QuantityDefinition]) -> forms.Rule:
    """Lower one clause. Raises ValueError for a table that cannot be read as it asks to be."""
    return Lowering(quantities).rule(clause)


class Lowered:
    """Clauses lowered as they are asked for, each once; places share most of theirs."""

    def __init__(self, quantities: Mapping[str, QuantityDefinition]) -> None:
        self._lowering = Lowering(quantities)
        self._rules: dict[int, forms.Rule] = {}
        self._cases: dict[int, tuple[forms.ByChoice | forms.FirstCase, ...]] = {}
        self._substances: dict[int, tuple[model.Clause, str]] = {}

    def rule(self, clause: model.Clause) -> forms.Rule:
        """Return a clause, lowered. Raises ValueError for a table that cannot be read so."""
        found = self._rules.get(id(clause))
        if found is None:  # the rule keeps its clause, so an id is never another's
            found = self._rules[id(clause)] = self._lowering.rule(clause)
        return found

    def cases(self, clause: model.Clause) -> tuple[forms.ByChoice | forms.FirstCase, ...]:
        """Return every choice between figures a clause has, in the order of reading."""
        found = self._cases.get(id(clause))
        if found is None:
            roots = asks(self.rule(clause))
            kinds = (n for root in roots for n in walk(root))
            found = tuple(n for n in kinds if isinstance(n, forms.ByChoice | forms.FirstCase))
            self._cases[id(clause)] = found
        return found

    def places(self, clause: model.Clause) -> Mapping[int, int]:
        """Return the place of each of a clause's cases by the identity of its node."""
        return {id(node): place for place, node in enumerate(self.cases(clause))}

    def substance(self, clause: model.Clause) -> str:
        """Return a text that clauses share which ask the same."""
        found = self._substances.get(id(clause))
        if found is None:  # the clause is kept beside it, so an id is never another's
            found = self._substances[id(clause)] = clause, substance_digest(clause)
        return found[1]


class Lowering:
    """Lowers conditions, values and requirements against the vocabulary's quantities."""

    def __init__(self, quantities: Mapping[str, QuantityDefinition]) -> None:
        self.quantities = quantities

    def rule(self, clause: model.Clause) -> forms.Rule:
        """Lower a clause."""
        return forms.Rule(
            clause,
            self.truth(clause.applies),
            self.truth(clause.scope),
            self.ask(clause.requirement),
            tuple((self.truth(e.when), self.ask(e.requirement)) for e in clause.exceptions),
            tuple(self.ask(r.requirement) for r in clause.readings),
        )

    # -- facts ------------------------------------------------------------------------------------

    def fact(self, name: str) -> forms.Fact:
        """Name a quantity, with its kind and whether clauses or a place may give it."""
        definition = self.quantities[name]
        return forms.Fact(name, definition.kind, definition.provided or definition.fixed_by_place)

    def subject(self, subject: model.Subject) -> forms.Subject:
        """Lower what a limit is set on."""
        if isinstance(subject, model.Distance):
            return forms.Span(subject.start, subject.end)
        return self.fact(subject)

    # -- conditions -------------------------------------------------------------------------------

    def truth(self, condition: model.Condition) -> forms.Truth:
        """Lower a condition; parts that must all hold are laid side by side."""
        match condition:
            case model.Test():
                return self._test(condition)
            case model.Not(part):
                return forms.Opposite(self.truth(part))
            case model.AnyOf(parts):
                return forms.Some(tuple(self.truth(part) for part in parts))
            case model.AllOf(parts):
                lowered = [self.truth(part) for part in parts]
                if len(lowered) == 1:
                    return lowered[0]
                flat = (p.parts if isinstance(p, forms.Every) else (p,) for p in lowered)
                return forms.Every(tuple(part for inner in flat for part in inner))

    def _test(self, test: model.Test) -> forms.Truth:
        fact = self.fact(test.quantity)
        if test.options is not None:
            return forms.OneOf(fact, test.options)
        low, high = (
            None if bound is None else self.value(bound, fact.kind)
            for bound in (test.low, test.high)
        )
        return forms.Within(fact, low, test.low_open, high, test.high_open)

    # -- values -----------------------------------------------------------------------------------

    def value(self, value: model.Value, kind: str) -> forms.Value:
        """Lower a value that is a figure of `kind`."""
        match value:
            case model.Fixed(figure):
                return forms.Constant(figure, kind)
            case model.Reads(quantity):
                return self.fact(quantity)
            case model.ByChoice(quantity, cases):
                listed = tuple((choice, self.value(case, kind)) for choice, case in cases)
                return forms.ByChoice(self.fact(quantity), listed, kind)
            case model.Cases(cases):
                held = tuple((self.truth(when), self.value(case, kind)) for when, case in cases)
                return forms.FirstCase(held, kind)
            case model.Arithmetic(operation, parts):
                return forms.Combined(operation, self._parts(operation, parts, kind), kind)
            case model.Lookup():
                return self._cell(value, kind)

    def _parts(
        self, operation: str, parts: tuple[model.Value, ...], kind: str
    ) -> tuple[forms.Value, ...]:
        """Lower the parts of a combination: a figure in a product is a bare number."""
        product = operation == "product"
        return tuple(
            self.value(p, "ratio" if product and isinstance(p, model.Fixed) else kind)
            for p in parts
        )

    def _cell(self, lookup: model.Lookup, kind: str) -> forms.Cell:
        fixed = dict(lookup.fixed)
        keys: list[forms.Key] = []
        for axis in lookup.table.axes:
            fact = self.fact(axis.quantity)
            if axis.quantity in fixed:
                entered = forms.Constant(fixed[axis.quantity], fact.kind)
                keys.append(forms.Key(entered, axis.keys, "exact"))
            else:
                keys.append(forms.Key(fact, axis.keys, axis.between))
        if any(key.between == "interpolate" for key in keys[:-1]):
            raise ValueError(
                f"{lookup.table.name}: only the columns of a table can be interpolated between"
            )
        return forms.Cell(lookup.table, tuple(keys), kind)

    # -- requirements -----------------------------------------------------------------------------

    def ask(self, requirement: model.Requirement) -> forms.Ask:
        """Lower what a requirement asks."""
        match requirement:
            case model.Limit():
                return self._limit(requirement)
            case model.MustBe(condition):
                return forms.Holds(self.truth(condition), True)
            case model.NotPermitted(condition):
                return forms.Holds(self.truth(condition), False)
            case model.Provides(quantity, value):
                kind = self.quantities[quantity].kind
                return forms.Gives(quantity, self.value(value, kind), kind)
            case model.NeedsEngineering(reason):
                return forms.Settled(ENGINEERING_REQUIRED, "engineering", reason)
            case model.Unmodelled(reason):
                return forms.Settled(INFORMATION_MISSING, "unmodelled", reason)
            case model.Informs(text):
                return forms.Settled(NOT_APPLICABLE, "informs", text)
            case model.Waived(says):
                return forms.Settled(NOT_APPLICABLE, "waived", says)

    def _limit(self, limit: model.Limit) -> forms.Ask:
        subject = self.subject(limit.subject)
        if limit.one_of is not None:
            return forms.Member(subject, limit.one_of)
        least, most, exactly = (
            None if bound is None else self.value(bound, subject.kind)
            for bound in (limit.least, limit.most, limit.exactly)
        )
        if exactly is not None:
            return forms.Limits(subject, None, None, exactly)
        return forms.Limits(subject, least, most)
