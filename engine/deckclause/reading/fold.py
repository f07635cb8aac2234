"""Walk, fold and change a lowered clause without knowing its kinds of node.

Whoever needs to know what a clause reads, which tables it enters, or how deep it goes, says what
one node adds and leaves the walking to `fold`:

>>> from fractions import Fraction
>>> from deckclause.reading.forms import Combined, Constant, Fact
>>> tree = Combined("sum", (Constant(Fraction(1), "length"), Fact("a.b", "length")), "length")
>>> fold(tree, lambda node, parts: 1 + sum(parts))       # count the nodes
3
>>> [node.name for node in every(Fact, tree)]            # every node of a kind, in reading order
['a.b']
>>> halved = changed(tree, lambda n: replace(n, value=n.value / 2) if isinstance(n, Constant) else n)
>>> halved.parts[0].value
Fraction(1, 2)

A node's parts are whatever nodes its fields hold, in the order of the fields; so a new kind of node
is known to every fold by being declared.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, TypeVar

from msgspec.structs import replace

from deckclause.reading.forms import (
    OWN,
    Ask,
    Branch,
    Fact,
    Gives,
    Key,
    Node,
    Rule,
    exception,
    reading,
)

T = TypeVar("T")
N = TypeVar("N")


def parts_of(node: Node) -> tuple[Node, ...]:
    """Return the nodes directly beneath one, in the order they are read."""
    return tuple(part for name in node.__struct_fields__ for part in _nodes_in(getattr(node, name)))


def _nodes_in(value: Any) -> Iterator[Node]:
    """Yield the nodes a field holds: itself, in a tuple, or behind a key of a table."""
    if isinstance(value, Node):
        yield value
    elif isinstance(value, Key):
        yield value.entered
    elif isinstance(value, tuple):
        for item in value:
            yield from _nodes_in(item)


def fold(node: Node, step: Callable[[Node, tuple[T, ...]], T]) -> T:
    """Work from the leaves up: `step` is given each node with what came of its parts."""
    return step(node, tuple(fold(part, step) for part in parts_of(node)))


def walk(node: Node) -> Iterator[Node]:
    """Yield a node and everything beneath it, in the order it is read."""
    yield node
    for part in parts_of(node):
        yield from walk(part)


def every(kind: type[N], *nodes: Node) -> Iterator[N]:
    """Yield every node of a kind beneath the nodes, in the order they are read."""
    for node in nodes:
        for found in walk(node):
            if isinstance(found, kind):
                yield found


def changed(node: Node, change: Callable[[Any], Any]) -> Any:
    """Return the node with `change` applied to everything in it, leaves first."""

    def within(value: Any) -> Any:
        if isinstance(value, Node):
            return changed(value, change)
        if isinstance(value, Key):
            return replace(value, entered=within(value.entered))
        return tuple(map(within, value)) if isinstance(value, tuple) else value

    parts = {name: within(getattr(node, name)) for name in node.__struct_fields__}
    return change(replace(node, **parts))


def branches(rule: Rule) -> tuple[Branch, ...]:
    """Return every branch of a rule: its own words, its exceptions, its other readings."""
    return (
        OWN,
        *(exception(n) for n in range(1, len(rule.exceptions) + 1)),
        *(reading(n) for n in range(1, len(rule.readings) + 1)),
    )


def truths(rule: Rule) -> tuple[Node, ...]:
    """Return what is decided before anything is asked: applies, scope, each exception's `when`."""
    return (rule.applies, rule.scope, *(when for when, _ in rule.exceptions))


def asks(rule: Rule) -> tuple[Ask, ...]:
    """Return what each branch asks, in the order of `branches`."""
    return tuple(rule.ask(branch) for branch in branches(rule))


def nodes(rule: Rule) -> Iterator[Node]:
    """Yield every node of a rule: what is decided first, then what each branch asks."""
    for root in (*truths(rule), *asks(rule)):
        yield from walk(root)


def reads(rule: Rule) -> tuple[str, ...]:
    """Return every quantity a rule may read, each once, in the order of reading."""
    return tuple(dict.fromkeys(node.name for node in nodes(rule) if isinstance(node, Fact)))


def gives(rule: Rule) -> bool:
    """Tell whether a branch of a rule gives a value for other clauses to read."""
    return any(isinstance(ask, Gives) for ask in asks(rule))
