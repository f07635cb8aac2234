"""Build the graph of conditions and values: the columnar counterpart of generate_values.py.

A condition is two masks: where it surely holds, and where it may. `reached` is the mask of rows
on which the scalar evaluator would come to read a fact at all: a fact that an earlier clause
left to engineering ends a clause where it is read, and only there.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from deckclause.evaluate.columns.forms import (
    Cells,
    Form,
    Known,
    Linear,
    Pieces,
    among,
    compare,
    constant,
    linear,
    same_unit,
    select,
    unreal,
)
from deckclause.evaluate.columns.graph import FALSE, TRUE, Graph, Unsupported
from deckclause.evaluate.columns.interpolate import interpolated
from deckclause.evaluate.scale import Scale
from deckclause.rulesets.clauses import (
    NOT_PERMITTED,
    NOT_SEEN,
    AllOf,
    AnyOf,
    Arithmetic,
    Axis,
    ByChoice,
    Cases,
    Condition,
    Fixed,
    Lookup,
    Not,
    Reads,
    Scalar,
    Test,
    Value,
)
from deckclause.rulesets.vocabulary import QuantityDefinition

Truth = tuple[int, int]
"""Where a condition surely holds, and where it may hold."""


class ValueBuilder:
    """Builds conditions and values on the facts that `fact` gives."""

    def __init__(
        self,
        graph: Graph,
        quantities: Mapping[str, QuantityDefinition],
        scale: Scale,
        fact: Callable[[str], Known],
    ) -> None:
        self.graph = graph
        self.quantities = quantities
        self.scale = scale
        self.fact = fact
        self.ended = FALSE
        """Rows on which a fact left to engineering was read."""

    def read(self, quantity: str, reached: int) -> Known:
        """Read a fact; where it was left to engineering, the clause ends here."""
        found = self.fact(quantity)
        if found.beyond != FALSE:
            self.ended = self.graph.either(self.ended, self.graph.both(reached, found.beyond))
        return found

    def ticks(self, value: Scalar, kind: str) -> Scalar:
        """Turn a figure of a kind into the rule set's ticks."""
        return value * self.scale.of(kind) if isinstance(value, Fraction) else value

    # -- conditions -------------------------------------------------------------------------------

    def condition(self, condition: Condition, reached: int) -> Truth:
        """Build a condition."""
        graph = self.graph
        if isinstance(condition, Test):
            return self._test(condition, reached)
        if isinstance(condition, Not):
            sure, may = self.condition(condition.part, reached)
            return graph.negate(may), graph.negate(sure)
        everything = isinstance(condition, AllOf)
        assert isinstance(condition, AllOf | AnyOf)
        sure = may = TRUE if everything else FALSE
        for part in condition.parts:
            open_rows = may if everything else graph.negate(sure)
            its_sure, its_may = self.condition(part, graph.both(reached, open_rows))
            join = graph.both if everything else graph.either
            sure, may = join(sure, its_sure), join(may, its_may)
        return sure, may

    def _test(self, test: Test, reached: int) -> Truth:
        graph = self.graph
        fact = self.read(test.quantity, reached)
        unknown = fact.none
        none_prescribed = FALSE
        if test.options is not None:
            holds = among(graph, fact.form, test.options)
            return graph.without(holds, unknown), graph.either(holds, unknown)
        kind = self.quantities[test.quantity].kind
        checks: list[int] = []
        for bound, operation in (
            (test.low, ">" if test.low_open else ">="),
            (test.high, "<" if test.high_open else "<="),
        ):
            if bound is not None:
                figure = self.value(bound, kind, reached)
                unknown = graph.either(unknown, figure.none, figure.unseen)
                none_prescribed = graph.either(none_prescribed, figure.beyond, figure.forbidden)
                checks.append(compare(graph, fact.form, operation, figure.form))
        if test.low is not None and test.low == test.high and not (test.low_open or test.high_open):
            checks = [compare(graph, fact.form, "==", self.value(test.low, kind, FALSE).form)]
        holds = graph.without(graph.both(*checks), none_prescribed)
        return graph.without(holds, unknown), graph.either(holds, unknown)

    # -- values -----------------------------------------------------------------------------------

    def value(self, value: Value, kind: str, reached: int) -> Known:
        """Build a value of a kind."""
        if isinstance(value, Fixed):
            return constant(self.ticks(value.value, kind))
        if isinstance(value, Reads):
            return self.read(value.quantity, reached)
        if isinstance(value, ByChoice):
            return self._by_choice(value, kind, reached)
        if isinstance(value, Cases):
            return self._cases(value, kind, reached)
        if isinstance(value, Arithmetic):
            return self._arithmetic(value, kind, reached)
        return self._lookup(value, kind, reached)

    def _by_choice(self, value: ByChoice, kind: str, reached: int) -> Known:
        graph = self.graph
        fact = self.read(value.quantity, reached)
        items: list[tuple[int, Known]] = []
        listed = FALSE
        for choice, case in value.cases:
            mask = among(graph, fact.form, [choice])
            items.append((mask, self.value(case, kind, graph.both(reached, mask))))
            listed = graph.either(listed, mask)
        beyond = graph.without(TRUE, listed, fact.none)
        chosen = select(graph, items, beyond)
        return Known(
            chosen.form,
            graph.either(chosen.none, fact.none),
            chosen.beyond,
            chosen.forbidden,
            chosen.unseen,
        )

    def _cases(self, value: Cases, kind: str, reached: int) -> Known:
        graph = self.graph
        left = TRUE
        unsure = FALSE
        items: list[tuple[int, Known]] = []
        for condition, case in value.cases:
            sure, may = self.condition(condition, graph.both(reached, left))
            mask = graph.both(left, sure)
            items.append((mask, self.value(case, kind, graph.both(reached, mask))))
            unsure = graph.either(unsure, graph.without(graph.both(left, may), sure))
            left = graph.without(left, may)
        chosen = select(graph, items, left)
        none = graph.either(chosen.none, unsure)
        return Known(chosen.form, none, chosen.beyond, chosen.forbidden, chosen.unseen)

    def _arithmetic(self, value: Arithmetic, kind: str, reached: int) -> Known:
        graph = self.graph
        parts = []
        for part in value.parts:
            bare = value.operation == "product" and isinstance(part, Fixed)
            parts.append(self.value(part, "ratio" if bare else kind, reached))
        masks = dict.fromkeys(("none", "beyond", "forbidden", "unseen"), FALSE)
        open_rows = TRUE
        for part_known in parts:
            for name in masks:
                here = graph.both(open_rows, getattr(part_known, name))
                masks[name] = graph.either(masks[name], here)
            open_rows = graph.without(open_rows, unreal(graph, part_known))
        forms = [p.form for p in parts]
        if value.operation == "product":
            # a product of none or several measures is no measure in ticks: bring it to its own
            measures = sum(not isinstance(part, Fixed) for part in value.parts)
            forms.append(Pieces(((TRUE, Fraction(self.scale.of(kind)) ** (1 - measures)),)))
        return Known(self._combined(value.operation, forms), **masks)

    def _combined(self, operation: str, forms: list[Form]) -> Form:
        graph = self.graph
        if operation == "product":
            return self._product(forms)
        nodes, unit = same_unit(graph, forms)
        if operation == "sum":
            return Linear(graph.total(nodes), unit)
        chosen = nodes[0]
        for node in nodes[1:]:
            chosen = graph.extreme(operation, chosen, node)
        return Linear(chosen, unit)

    def _product(self, forms: list[Form]) -> Form:
        graph = self.graph
        factor = Fraction(1)
        columns: list[Linear] = []
        for form in forms:
            single = form.items[0] if isinstance(form, Pieces) and len(form.items) == 1 else None
            if single is not None and single[0] == TRUE and isinstance(single[1], Fraction):
                factor *= single[1]
            else:
                columns.append(linear(graph, form))
        if not columns or not factor:
            return Pieces(((TRUE, factor),))
        node = columns[0].node
        for column in columns[1:]:
            node = graph.times(node, column.node)
        if factor < 0:
            node, factor = graph.scale(node, -1), -factor
        for column in columns:
            factor *= column.factor
        return Linear(node, factor)

    # -- tables -----------------------------------------------------------------------------------

    def _lookup(self, value: Lookup, kind: str, reached: int) -> Known:
        graph = self.graph
        table, fixed = value.table, dict(value.fixed)
        facts = [
            None if axis.quantity in fixed else self.read(axis.quantity, reached)
            for axis in table.axes
        ]
        none = graph.either(*(fact.none for fact in facts if fact is not None))
        weighted: list[tuple[int, int]] = []
        start = 0
        outside = FALSE
        stride = len(table.cells)
        for axis, fact in zip(table.axes, facts, strict=True):
            stride //= len(axis.keys)
            if fact is None:
                start += stride * axis.keys.index(fixed[axis.quantity])
                continue
            if axis.between == "interpolate":
                if axis is not table.axes[-1]:
                    raise Unsupported("interpolation between the rows of a table")
                keys = self._keys(axis)
                read = interpolated(
                    graph, self._cells(value, kind), keys, fact.form, weighted, start
                )
                return self._masked(read, none, outside)
            masks, its_outside, first = self._places(axis, fact.form)
            weighted += [(mask, stride * step) for mask, step in masks]
            start += stride * first
            outside = graph.either(outside, its_outside)
        place = graph.index(weighted, start)
        return self._masked(self._read_cells(self._cells(value, kind), place), none, outside)

    def _masked(self, read: Known, none: int, outside: int) -> Known:
        """Put unknown facts first, then places outside the table, then what the cells say."""
        graph = self.graph
        known = graph.negate(none)
        inside = graph.without(known, outside)
        return Known(
            read.form,
            none,
            graph.either(graph.both(known, outside), graph.both(inside, read.beyond)),
            graph.both(inside, read.forbidden),
            graph.both(inside, read.unseen),
        )

    def _keys(self, axis: Axis) -> list[Scalar]:
        kind = self.quantities[axis.quantity].kind
        return [self.ticks(key, kind) for key in axis.keys]

    def _cells(self, value: Lookup, kind: str) -> tuple[Scalar, ...]:
        return tuple(
            cell if isinstance(cell, str) else self.ticks(cell, kind) for cell in value.table.cells
        )

    def _places(self, axis: Axis, form: Form) -> tuple[list[tuple[int, int]], int, int]:
        """Return masks with the steps they add along an axis, where it is missed, and the start."""
        graph = self.graph
        keys = self._keys(axis)
        if axis.between == "exact":
            masks = [self._at_key(form, key) for key in keys]
            outside = graph.negate(graph.either(*masks))
            return [(mask, i) for i, mask in enumerate(masks)], outside, 0
        steps = [constant(key).form for key in keys]
        if axis.between == "next_larger":
            above = [compare(graph, form, ">", step) for step in steps]
            return [(mask, 1) for mask in above[:-1]], above[-1], 0
        if axis.between != "next_smaller":
            raise Unsupported(f"'{axis.between}' between keys")
        reached = [compare(graph, form, ">=", step) for step in steps]
        return [(mask, 1) for mask in reached[1:]], graph.negate(reached[0]), 0

    def _at_key(self, form: Form, key: Scalar) -> int:
        if isinstance(key, Fraction):
            return compare(self.graph, form, "==", constant(key).form)
        return among(self.graph, form, [key])

    def _read_cells(self, cells: tuple[Scalar, ...], place: int) -> Known:
        graph = self.graph
        special = {NOT_PERMITTED: FALSE, NOT_SEEN: FALSE}
        for word in special:
            if word in cells:
                flags = tuple(int(cell == word) for cell in cells)
                special[word] = graph.compare("==", graph.take(place, flags), 1)
        figures = tuple(None if cell in special else cell for cell in cells)
        return Known(
            Cells(place, figures), forbidden=special[NOT_PERMITTED], unseen=special[NOT_SEEN]
        )
