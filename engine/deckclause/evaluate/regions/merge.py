"""Join regions that touch and share an answer into fewer, larger ones; what they cover is the same."""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from typing import TypeVar

from deckclause.evaluate.regions.explore import Piece
from deckclause.evaluate.regions.space import Range, Space

Answer = TypeVar("Answer", bound=Hashable)


def merged(pieces: Iterable[Piece[Answer]]) -> list[Piece[Answer]]:
    """Return as many or fewer pieces that cover the same points with the same answers."""
    by_answer: dict[Answer, list[Space]] = {}
    for piece in pieces:
        by_answer.setdefault(piece.answer, []).append(piece.space)
    found = []
    for answer, spaces in by_answer.items():
        found += [Piece(space, answer) for space in _joined(spaces)]
    return found


def _joined(spaces: list[Space]) -> list[Space]:
    before = len(spaces) + 1
    while len(spaces) < before:
        before = len(spaces)
        names = dict.fromkeys(n for s in spaces for n in (*s.options, *s.ranges))
        for name in names:
            spaces = _along(spaces, name)
    return spaces


def _along(spaces: list[Space], name: str) -> list[Space]:
    """Join spaces that are alike in everything but one quantity."""
    groups: dict[Hashable, list[Space]] = {}
    for space in spaces:
        groups.setdefault(_rest(space, name), []).append(space)
    joined: list[Space] = []
    for group in groups.values():
        joined += _union(group, name) if len(group) > 1 else group
    return joined


def _rest(space: Space, name: str) -> Hashable:
    options = frozenset((n, o) for n, o in space.options.items() if n != name)
    ranges = frozenset((n, r) for n, r in space.ranges.items() if n != name)
    return options, ranges, space.lines, name in space.options, name in space.ranges


def _union(group: list[Space], name: str) -> list[Space]:
    first = group[0]
    if name in first.options:
        together = frozenset(o for space in group for o in space.options[name])
        return [first.with_options(name, together)]
    if name not in first.ranges:
        return [first]
    runs: list[Range] = []
    for limits in sorted((s.ranges[name] for s in group), key=_start):
        if runs and _touch(runs[-1], limits):
            runs[-1] = _longer(runs[-1], limits)
        else:
            runs.append(limits)
    return [Space(first.options, {**first.ranges, name: run}, first.lines) for run in runs]


def _start(limits: Range) -> tuple[bool, object, bool]:
    return limits.low is not None, limits.low or 0, limits.low_open


def _touch(one: Range, two: Range) -> bool:
    """Tell whether nothing lies between `one` and the range `two` that starts no earlier."""
    if one.high is None or two.low is None:
        return True
    return two.low < one.high or (two.low == one.high and not (one.high_open and two.low_open))


def _longer(one: Range, two: Range) -> Range:
    if one.high is None or two.high is None:
        return Range(one.low, one.low_open)
    high, high_open = max((one.high, not one.high_open), (two.high, not two.high_open))
    return Range(one.low, one.low_open, high, not high_open)
