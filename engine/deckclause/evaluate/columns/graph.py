"""The columnar program as a graph: each operation once, however many clauses need it.

A node is a number; its operation is a tuple whose first word says what is done. Truth nodes are
masks over the rows; number nodes are columns of whole numbers with a known bound on their size,
so that nothing can overflow 64 bits unseen.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

FALSE = 0
TRUE = 1
MOST = 2**62
"""No number in the program may come near the end of 64 bits."""


class Unsupported(Exception):
    """A clause that cannot be put in columns; the scalar evaluator takes its rule set."""


class Graph:
    """Nodes by operation; equal operations are one node."""

    def __init__(self) -> None:
        self.operations: list[tuple[Any, ...]] = [("false",), ("true",)]
        self.bounds: dict[int, int] = {}
        self._nodes: dict[tuple[Any, ...], int] = {("false",): FALSE, ("true",): TRUE}

    def node(self, *operation: Any) -> int:
        """Return the node of an operation."""
        found = self._nodes.get(operation)
        if found is None:
            found = len(self.operations)
            self.operations.append(operation)
            self._nodes[operation] = found
        return found

    def number(self, bound: int, *operation: Any) -> int:
        """Return the node of an operation that gives numbers of at most `bound`."""
        if bound > MOST:
            raise Unsupported("numbers too large for 64 bits")
        found = self.node(*operation)
        self.bounds[found] = min(bound, self.bounds.get(found, bound))
        return found

    # -- truth --------------------------------------------------------------------------------

    def negate(self, node: int) -> int:
        """Return not `node`."""
        if node in (FALSE, TRUE):
            return TRUE - node
        operation = self.operations[node]
        return int(operation[1]) if operation[0] == "not" else self.node("not", node)

    def both(self, *parts: int) -> int:
        """Return the mask true where every part is."""
        return self._join("and", parts, FALSE, TRUE)

    def either(self, *parts: int) -> int:
        """Return the mask true where a part is."""
        return self._join("or", parts, TRUE, FALSE)

    def _join(self, word: str, parts: Iterable[int], stop: int, go: int) -> int:
        left = set(parts) - {go}
        other = "or" if word == "and" else "and"
        if stop in left or any(self.negate(part) in left for part in left):
            return stop
        for part in tuple(left):
            operation = self.operations[part]
            if operation[0] == other and not left.isdisjoint(operation[1:]):
                left.discard(part)
        if not left:
            return go
        return left.pop() if len(left) == 1 else self.node(word, *sorted(left))

    def without(self, node: int, *others: int) -> int:
        """Return `node` where none of `others` is true."""
        return self.both(node, *(self.negate(other) for other in others))

    # -- numbers ------------------------------------------------------------------------------

    def bound(self, node: int) -> int:
        """Return the largest size a number node may have."""
        return self.bounds[node]

    def scale(self, node: int, factor: int) -> int:
        """Multiply a column by a whole number."""
        if factor == 1:
            return node
        return self.number(self.bound(node) * abs(factor), "scale", node, factor)

    def times(self, one: int, two: int) -> int:
        """Multiply two columns."""
        return self.number(self.bound(one) * self.bound(two), "times", *sorted((one, two)))

    def total(self, parts: Iterable[int], constant: int = 0) -> int:
        """Add columns and a whole number."""
        nodes = tuple(sorted(parts))
        bound = sum(self.bound(n) for n in nodes) + abs(constant)
        if len(nodes) == 1 and not constant:
            return nodes[0]
        return self.number(bound, "total", constant, *nodes)

    def extreme(self, word: str, one: int, two: int) -> int:
        """Return the lesser (`least`) or greater (`greatest`) of two columns."""
        return self.number(max(self.bound(one), self.bound(two)), word, *sorted((one, two)))

    def choose(self, pieces: tuple[tuple[int, int], ...]) -> int:
        """Return the whole number of whichever mask is true (masks exclude one another)."""
        bound = max((abs(value) for _, value in pieces), default=0)
        return self.number(bound, "choose", *(x for piece in pieces for x in piece))

    def where(self, mask: int, one: int, two: int) -> int:
        """Return `one` where `mask` is true, else `two`."""
        if mask == TRUE or one == two:
            return one
        if mask == FALSE:
            return two
        return self.number(max(self.bound(one), self.bound(two)), "where", mask, one, two)

    def index(self, weighted: Iterable[tuple[int, int]], constant: int) -> int:
        """Return a place in a table: a whole number and the weight of every true mask."""
        kept = sorted((mask, weight) for mask, weight in weighted if mask != FALSE and weight)
        constant += sum(weight for mask, weight in kept if mask == TRUE)
        pairs = tuple(x for pair in kept if pair[0] != TRUE for x in pair)
        bound = abs(constant) + sum(abs(weight) for weight in pairs[1::2])
        return self.number(bound, "index", constant, *pairs)

    def take(self, place: int, cells: tuple[int, ...]) -> int:
        """Read a table of whole numbers at a column of places; places outside read its ends."""
        return self.number(max(map(abs, cells)), "take", place, cells)

    # -- comparing ----------------------------------------------------------------------------

    def compare(self, operation: str, node: int, constant: int) -> int:
        """Compare a column with a whole number by `<=`, `>=` or `==`."""
        bound = self.bound(node)
        if operation == "==":
            return FALSE if abs(constant) > bound else self.node("cmp", "==", node, constant)
        if operation == ">=":
            return self.negate(self.compare("<=", node, constant - 1))
        if constant >= bound:
            return TRUE
        return FALSE if constant < -bound else self.node("cmp", "<=", node, constant)

    def compare_columns(self, operation: str, one: int, two: int) -> int:
        """Compare two columns by `<=`, `<`, `>=`, `>` or `==`."""
        if one == two:
            return TRUE if "=" in operation else FALSE
        if operation in (">=", ">"):
            return self.compare_columns({">=": "<=", ">": "<"}[operation], two, one)
        if operation == "<":
            return self.negate(self.compare_columns("<=", two, one))
        return self.node("cmp2", operation, one, two)

    def equal_code(self, node: int, code: int) -> int:
        """Tell where a column of codes has one code."""
        return self.node("code", node, code)
