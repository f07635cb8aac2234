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

A new kind of node declares its parts in `parts_of` and `_with_parts`, and every fold knows it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any, TypeVar, cast

from deckclause.reading.forms import (
    OWN,
    Branch,
    ByChoice,
    Cell,
    Combined,
    Every,
    FirstCase,
    Gives,
    Holds,
    Key,
    Limits,
    Member,
    Node,
    OneOf,
    Opposite,
    Rule,
    Some,
    Within,
    exception,
    reading,
)

T = TypeVar("T")
N = TypeVar("N")


def parts_of(node: Node) -> tuple[Node, ...]:
    """Return the nodes directly beneath one, in the order they are read."""
    match node:
        case Every(parts) | Some(parts) | Combined(_, parts, _):
            return parts
        case Opposite(part):
            return (part,)
        case OneOf(fact, _) | Member(fact, _):
            return (fact,)
        case Within(fact, low, _, high, _):
            return (fact, *(bound for bound in (low, high) if bound is not None))
        case ByChoice(chosen, cases, _):
            return (chosen, *(value for _, value in cases))
        case FirstCase(cases, _):
            return tuple(part for case in cases for part in case)
        case Cell(_, keys, _):
            return tuple(key.entered for key in keys)
        case Limits(subject, least, most, exactly):
            return (subject, *(v for v in (least, most, exactly) if v is not None))
        case Holds(condition, _):
            return (condition,)
        case Gives(_, value, _):
            return (value,)
        case _:
            return ()


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
    return change(_with_parts(node, [changed(part, change) for part in parts_of(node)]))


def _with_parts(node: Node, parts: list[Any]) -> Node:
    """Return a node with other parts in place of its own, in the order of `parts_of`."""
    queue = iter(parts)

    def taken(old: Any) -> Any:
        return None if old is None else next(queue)

    match node:
        case Every():
            return Every(tuple(parts))
        case Some():
            return Some(tuple(parts))
        case Combined():
            return replace(node, parts=tuple(parts))
        case Opposite():
            return Opposite(parts[0])
        case OneOf() | Member():
            return cast(Node, replace(node, **{_subject_field(node): parts[0]}))
        case Within(fact, low, _, high, _):
            return replace(node, fact=taken(fact), low=taken(low), high=taken(high))
        case ByChoice(_, cases, _):
            return replace(
                node,
                chosen=parts[0],
                cases=tuple((c, p) for (c, _), p in zip(cases, parts[1:], strict=True)),
            )
        case FirstCase():
            return replace(node, cases=tuple(zip(parts[::2], parts[1::2], strict=True)))
        case Cell(_, keys, _):
            entered = zip(keys, parts, strict=True)
            return replace(node, keys=tuple(Key(p, k.keys, k.between) for k, p in entered))
        case Limits(subject, least, most, exactly):
            return Limits(taken(subject), taken(least), taken(most), taken(exactly))
        case Holds():
            return replace(node, condition=parts[0])
        case Gives():
            return replace(node, value=parts[0])
        case _:
            return node


def _subject_field(node: OneOf | Member) -> str:
    return "fact" if isinstance(node, OneOf) else "subject"


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


def asks(rule: Rule) -> tuple[Node, ...]:
    """Return what each branch asks, in the order of `branches`."""
    return tuple(rule.ask(branch) for branch in branches(rule))


def nodes(rule: Rule) -> Iterator[Node]:
    """Yield every node of a rule: what is decided first, then what each branch asks."""
    for root in (*truths(rule), *asks(rule)):
        yield from walk(root)
