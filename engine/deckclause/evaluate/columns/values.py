"""Build the graph of truths and values of the lowered form, as masks and columns.

A condition is two masks: where it surely holds, and where it may. `reached` is the mask of rows
on which the scalar evaluator would come to read a fact at all: a fact that an earlier clause
left to engineering ends a clause where it is read, and only there.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import prod

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
from deckclause.reading import forms
from deckclause.reading.forms import Key
from deckclause.rulesets.clauses import NOT_PERMITTED, NOT_SEEN, Scalar

Truth = tuple[int, int]
"""Where a condition surely holds, and where it may hold."""


class ValueBuilder:
    """Builds conditions and values on the facts that `fact` gives."""

    def __init__(
        self,
        graph: Graph,
        scale: Scale,
        fact: Callable[[str], Known],
    ) -> None:
        self.graph = graph
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

    def condition(self, node: forms.Truth, reached: int) -> Truth:
        """Build a truth."""
        graph = self.graph
        match node:
            case forms.OneOf(fact, options):
                found = self.read(fact.name, reached)
                holds = among(graph, found.form, options)
                return graph.without(holds, found.none), graph.either(holds, found.none)
            case forms.Within():
                return self._within(node, reached)
            case forms.Opposite(part):
                sure, may = self.condition(part, reached)
                return graph.negate(may), graph.negate(sure)
            case forms.Every(parts):
                return self._joined(parts, reached, everything=True)
            case forms.Some(parts):
                return self._joined(parts, reached, everything=False)

    def _joined(self, parts: tuple[forms.Truth, ...], reached: int, *, everything: bool) -> Truth:
        graph = self.graph
        sure = may = TRUE if everything else FALSE
        for part in parts:
            open_rows = may if everything else graph.negate(sure)
            its_sure, its_may = self.condition(part, graph.both(reached, open_rows))
            join = graph.both if everything else graph.either
            sure, may = join(sure, its_sure), join(may, its_may)
        return sure, may

    def _within(self, node: forms.Within, reached: int) -> Truth:
        graph = self.graph
        kind = node.fact.kind
        fact = self.read(node.fact.name, reached)
        unknown = fact.none
        none_prescribed = FALSE
        checks: list[int] = []
        for bound, operation in (
            (node.low, ">" if node.low_open else ">="),
            (node.high, "<" if node.high_open else "<="),
        ):
            if bound is not None:
                figure = self.value(bound, kind, reached)
                unknown = graph.either(unknown, figure.none, figure.unseen)
                none_prescribed = graph.either(none_prescribed, figure.beyond, figure.forbidden)
                checks.append(compare(graph, fact.form, operation, figure.form))
        if node.low is not None and node.low == node.high and not (node.low_open or node.high_open):
            checks = [compare(graph, fact.form, "==", self.value(node.low, kind, FALSE).form)]
        holds = graph.without(graph.both(*checks), none_prescribed)
        return graph.without(holds, unknown), graph.either(holds, unknown)

    # -- values -----------------------------------------------------------------------------------

    def value(self, node: forms.Value, kind: str, reached: int) -> Known:
        """Build a value of a kind."""
        match node:
            case forms.Constant(figure, its):
                return constant(self.ticks(figure, its))
            case forms.Fact(name, _, _):
                return self.read(name, reached)
            case forms.Span():
                return self.distance(node)
            case forms.ByChoice():
                return self._by_choice(node, kind, reached)
            case forms.FirstCase():
                return self._cases(node, kind, reached)
            case forms.Combined():
                return self._arithmetic(node, kind, reached)
            case forms.Cell():
                return self._lookup(node, kind, reached)

    def distance(self, span: forms.Span) -> Known:
        """Return the distance between two datums; the rule set's builder knows where it is."""
        raise NotImplementedError

    def _by_choice(self, value: forms.ByChoice, kind: str, reached: int) -> Known:
        graph = self.graph
        fact = self.read(value.chosen.name, reached)
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

    def _cases(self, value: forms.FirstCase, kind: str, reached: int) -> Known:
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

    def _arithmetic(self, value: forms.Combined, kind: str, reached: int) -> Known:
        graph = self.graph
        product = value.operation == "product"
        parts = [self.value(p, p.kind if product else kind, reached) for p in value.parts]
        masks = dict.fromkeys(("none", "beyond", "forbidden", "unseen"), FALSE)
        open_rows = TRUE
        for part_known in parts:
            for name in masks:
                here = graph.both(open_rows, getattr(part_known, name))
                masks[name] = graph.either(masks[name], here)
            open_rows = graph.without(open_rows, unreal(graph, part_known))
        figures = [p.form for p in parts]
        if product:
            # a product of none or of several measures is no measure in ticks: bring it to its own
            ticks = prod(self.scale.of(part.kind) for part in value.parts)
            figures.append(Pieces(((TRUE, Fraction(self.scale.of(kind), ticks)),)))
        return Known(self._combined(value.operation, figures), **masks)

    def _combined(self, operation: str, parts: list[Form]) -> Form:
        graph = self.graph
        if operation == "product":
            return self._product(parts)
        nodes, unit = same_unit(graph, parts)
        if operation == "sum":
            return Linear(graph.total(nodes), unit)
        chosen = nodes[0]
        for node in nodes[1:]:
            chosen = graph.extreme(operation, chosen, node)
        return Linear(chosen, unit)

    def _product(self, parts: list[Form]) -> Form:
        graph = self.graph
        factor = Fraction(1)
        columns: list[Linear] = []
        for form in parts:
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

    def _lookup(self, value: forms.Cell, kind: str, reached: int) -> Known:
        graph = self.graph
        facts = [
            self.read(key.entered.name, reached) if isinstance(key.entered, forms.Fact) else None
            for key in value.keys
        ]
        none = graph.either(*(fact.none for fact in facts if fact is not None))
        weighted: list[tuple[int, int]] = []
        start = 0
        outside = FALSE
        stride = len(value.table.cells)
        for key, fact in zip(value.keys, facts, strict=True):
            stride //= len(key.keys)
            if isinstance(key.entered, forms.Constant):
                start += stride * key.keys.index(key.entered.value)
                continue
            assert fact is not None
            if key.between == "interpolate":
                read = interpolated(
                    graph, self._cells(value, kind), self._keys(key), fact.form, weighted, start
                )
                return self._masked(read, none, outside)
            masks, its_outside, first = self._places(key, fact.form)
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

    def _keys(self, key: Key) -> list[Scalar]:
        return [self.ticks(figure, key.entered.kind) for figure in key.keys]

    def _cells(self, value: forms.Cell, kind: str) -> tuple[Scalar, ...]:
        return tuple(
            cell if isinstance(cell, str) else self.ticks(cell, kind) for cell in value.table.cells
        )

    def _places(self, axis: Key, form: Form) -> tuple[list[tuple[int, int]], int, int]:
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
