"""Write a graph as straight-line numpy: each node once, in order, its array freed after last use."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

import numpy as np
from msgspec import Struct, field

from deckclause.evaluate.columns.graph import FALSE, TRUE, Graph

SMALL = 2**31
Inputs = dict[Any, Any]
Program = Callable[[Inputs, Any, int], None]
"""Runs on the columns of a block, a sink called with (output, masks), and the block's size."""


class _Step(Struct):
    """A node to work out, or an output to hand over."""

    node: int
    output: Any = None
    uses: tuple[int, ...] = ()


class Emitter(Struct):
    """Writes one program."""

    graph: Graph
    lines: list[str] = field(default_factory=list)
    constants: dict[str, Any] = field(default_factory=dict)
    _slots: dict[int, str] = field(default_factory=dict)
    _free: list[str] = field(default_factory=list)
    _made: int = 0

    def program(self, outputs: Sequence[tuple[Any, tuple[int, ...]]]) -> Program:
        """Compile the program that works out `outputs`, in order."""
        steps = self._steps(outputs)
        last: dict[int, int] = {}
        for place, step in enumerate(steps):
            for used in step.uses:
                last[used] = place
        for place, step in enumerate(steps):
            dying = [n for n in dict.fromkeys(step.uses) if last[n] == place and n in self._slots]
            if step.output is not None:
                self._hand_over(step)
            else:
                self._work(step, dying)
            for node in dying:
                name = self._slots.pop(node, "x")
                if not name.startswith("x"):  # an input's array is not ours to write in
                    self._free.append(name)
        text = "def program(X, sink, n):\n" + "\n".join(f"    {line}" for line in self.lines)
        space: dict[str, Any] = {**self.constants, "np": np, "u1": np.uint8, "take": np.take}
        exec(
            compile(text + "\n    return\n", "<columns>", "exec"), space
        )  # written here, from checked data
        program: Program = space["program"]
        return program

    def _steps(self, outputs: Sequence[tuple[Any, tuple[int, ...]]]) -> list[_Step]:
        steps: list[_Step] = []
        done: set[int] = {FALSE, TRUE}

        def visit(node: int) -> None:
            if node in done:
                return
            done.add(node)
            parts = operands(self.graph.operations[node])
            for part in parts:
                visit(part)
            steps.append(_Step(node, None, tuple(p for p in parts if p > TRUE)))

        for label, masks in outputs:
            for mask in masks:
                visit(mask)
            steps.append(_Step(-1, (label, masks), tuple(m for m in masks if m > TRUE)))
        return steps

    def _hand_over(self, step: _Step) -> None:
        label, masks = step.output
        names = [str(bool(m)) if m in (FALSE, TRUE) else self._slots[m] for m in masks]
        self.lines.append(f"sink({self._constant(label)}, {', '.join(names)})")

    def _work(self, step: _Step, dying: Sequence[int]) -> None:
        operation = self.graph.operations[step.node]
        if operation[0] == "in":
            name = f"x{step.node}"
            self.lines.append(f"{name} = X[{self._constant(operation[1])}]")
            self._slots[step.node] = name
            return
        own = [n for n in dying if not self._slots[n].startswith("x")]
        text, in_place = self._expression(step.node, operation, own)
        if in_place is not None:
            self._slots[step.node] = self._slots.pop(in_place)
        else:
            self._slots[step.node] = self._fresh()
        name = self._slots[step.node]
        if text.startswith("&=") or text.startswith("|="):
            head, *rest = text.split(";")
            self.lines.append(f"{name} {head}")
            self.lines.extend(f"{name} {more}" for more in rest)
        else:
            self.lines.extend(
                f"{name} {more}" if i else f"{name} = {more}"
                for i, more in enumerate(text.split(";"))
            )

    def _fresh(self) -> str:
        if self._free:
            return self._free.pop()
        self._made += 1
        return f"t{self._made}"

    def _constant(self, value: Any) -> str:
        if isinstance(value, int):
            return repr(value)
        name = f"K{len(self.constants)}"
        self.constants[name] = value
        return name

    # -- expressions --------------------------------------------------------------------------

    def _expression(
        self, node: int, operation: tuple[Any, ...], own: list[int]
    ) -> tuple[str, int | None]:
        """Return the text of an operation (steps after `;` go on in place), and what it overwrites."""
        word = operation[0]
        if word in ("and", "or"):
            return self._joined(operation, own)
        names = self._slots
        if word == "not":
            return f"~{names[operation[1]]}", None
        if word == "code":
            return f"{names[operation[1]]} == {operation[2]}", None
        if word == "cmp":
            return f"{names[operation[2]]} {operation[1]} {operation[3]}", None
        if word == "cmp2":
            return f"{names[operation[2]]} {operation[1]} {names[operation[3]]}", None
        return self._number(node, operation), None

    def _joined(self, operation: tuple[Any, ...], own: list[int]) -> tuple[str, int | None]:
        sign = "&" if operation[0] == "and" else "|"
        parts = list(operation[1:])
        for part in parts:
            if part in own:
                parts.remove(part)
                return ";".join(f"{sign}= {self._slots[p]}" for p in parts), part
        first, second, *rest = (self._slots[p] for p in parts)
        return ";".join([f"{first} {sign} {second}", *(f"{sign}= {name}" for name in rest)]), None

    def _number(self, node: int, operation: tuple[Any, ...]) -> str:
        names, graph = self._slots, self.graph
        word, *rest = operation
        wide = "np.int64" if graph.bound(node) >= SMALL else "np.int32"
        if word == "scale":
            return f"np.multiply({names[rest[0]]}, {wide}({rest[1]}), dtype={wide})"
        if word == "times":
            return f"np.multiply({names[rest[0]]}, {names[rest[1]]}, dtype={wide})"
        if word == "total":
            first, *others = (names[n] for n in rest[1:])
            text = [f"np.add({first}, {wide}({rest[0]}), dtype={wide})"]
            return ";".join([*text, *(f"+= {name}" for name in others)])
        if word in ("least", "greatest"):
            call = "np.minimum" if word == "least" else "np.maximum"
            return f"{call}({names[rest[0]]}, {names[rest[1]]}, dtype={wide})"
        if word == "where":
            return f"np.where({', '.join(names[n] for n in rest)})"
        if word == "take":
            cells = np.array(rest[1], np.int64 if graph.bound(node) >= SMALL else np.int32)
            return f"take({self._constant(cells)}, {names[rest[0]]}, mode='clip')"
        pairs = list(zip(rest[::2], rest[1::2], strict=True)) if word == "choose" else []
        if word == "choose":
            return self._weighted(0, pairs, wide)
        assert word == "index"
        pairs = list(zip(rest[1::2], rest[2::2], strict=True))
        return self._weighted(rest[0], pairs, _small_type(rest[0], pairs))

    def _weighted(self, constant: int, pairs: list[tuple[int, int]], kind: str) -> str:
        if not pairs:
            return f"np.full(n, {constant}, {kind})"
        texts: list[str] = []
        for mask, weight in pairs:
            name = "True" if mask == TRUE else self._slots[mask]
            view = f"{name}.view(u1)" if mask != TRUE else "np.ones(n, u1)"
            texts.append(
                view
                if weight == 1 and kind == "np.uint8"
                else f"np.multiply({view}, {kind}({weight}), dtype={kind})"
            )
        first = texts[0] if "multiply" in texts[0] else f"{texts[0]}.copy()"
        return ";".join(
            [
                first,
                *(f"+= {t}" for t in texts[1:]),
                *([f"+= {kind}({constant})"] if constant else []),
            ]
        )


def _small_type(constant: int, pairs: Iterable[tuple[int, int]]) -> str:
    weights = [weight for _, weight in pairs]
    if constant >= 0 and all(w > 0 for w in weights) and constant + sum(weights) < 256:
        return "np.uint8"
    return "np.int32"


def operands(operation: tuple[Any, ...]) -> tuple[int, ...]:
    """Return the nodes an operation works on."""
    word, *rest = operation
    if word in ("false", "true", "in"):
        return ()
    if word in ("not", "scale", "take", "code"):
        return (rest[0],)
    if word == "cmp":
        return (rest[1],)
    if word == "cmp2":
        return (rest[1], rest[2])
    if word == "choose":
        return tuple(rest[::2])
    if word in ("index", "total"):
        return tuple(rest[1::2]) if word == "index" else tuple(rest[1:])
    return tuple(rest)
