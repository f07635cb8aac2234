"""Take up the design and the rules as they are now in a request begun before; keep every answer.

The file is mended line by line, so that comments, quotes and the order of things stay: digests,
`with_changes`, what the engine worked out (lines that begin with `#=`), new items and items that
no longer fail. Answers of an item taken out are kept as comments at the foot. The result is read
back and held against the answers before anything is told or written.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

from msgspec import Struct

from deckclause.answers.request.refreshing import Place, TakenUp, place_of
from deckclause.report.request.template import WORKED_OUT, request_template
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.yaml_tree import Tree, parse_tree

TRUTH = ("declarations", "statement_of_truth")
TOP_LEVEL = re.compile(r"[A-Za-z_#]")


class Refreshed(Struct, frozen=True):
    """The new text, and in words what changed, what became stale and what is new.

    `look_again` names answers that rest on figures that changed.
    """

    text: str
    changed: tuple[str, ...]
    stale: tuple[str, ...]
    new: tuple[str, ...]
    look_again: tuple[str, ...]
    kept: int


def refresh_request(taken: TakenUp) -> Refreshed:
    """Return the text of a request brought up to today.

    Raises InputError where the file cannot be mended.
    """
    return _Mender(taken).refreshed()


class _File:
    """A request file in lines, without what the engine worked out, and where its items stand."""

    def __init__(self, text: str, name: str) -> None:
        every = text.splitlines()
        self.lines = [line for line in every if not _worked_out(line)]
        self.tree: Tree = parse_tree("\n".join(self.lines).encode(), name)
        self.items: list[dict[str, Any]] = self.tree.data["items"]
        self.starts = [self.tree.line(("items", i)) - 1 for i in range(len(self.items))]
        if len(set(self.starts)) != len(self.starts) or not all(map(self._begins, self.starts)):
            line = self.tree.line(("items",))
            raise InputError.single(name, "items: put each item on lines of its own", line)
        whole = parse_tree(text.encode(), name)
        places = [whole.line(("items", i)) - 1 for i in range(len(self.items))]
        self.figures = [_figures_above(every, place) for place in places]

    def _begins(self, index: int) -> bool:
        return self.lines[index].lstrip().startswith("-")

    def block(self, number: int) -> list[str]:
        """Return the lines of one item, with the comments of its own above and in it."""
        start = self._top(number)
        end = self._top(number + 1) if number + 1 < len(self.starts) else self.end(number)
        return self.lines[start:end]

    def _top(self, number: int) -> int:
        start = self.starts[number]
        while self.lines[start - 1].lstrip().startswith("#") and self.lines[start - 1][0] == " ":
            start -= 1
        return start

    def end(self, number: int) -> int:
        """Return the line after an item: the next that begins at the margin."""
        at = self.starts[number] + 1
        while at < len(self.lines) and not TOP_LEVEL.match(self.lines[at]):
            at += 1
        return at

    def entries(self, key: str) -> dict[str, list[str]]:
        """Return the lines of each entry of a mapping at the top."""
        span, kept = self.span(key), self.tree.data.get(key) or {}
        if span is None or not kept:
            return {}
        starts = [self.tree.line((key, name)) - 1 for name in kept]
        ends = [*starts[1:], span[1]]
        return {n: self.lines[a:b] for n, a, b in zip(kept, starts, ends, strict=True)}

    def span(self, key: str) -> tuple[int, int] | None:
        """Return the lines a key at the top holds; None where it is not there."""
        if key not in self.tree.data:
            return None
        start = self.tree.line((key,)) - 1
        at = start + 1
        while at < len(self.lines) and not TOP_LEVEL.match(self.lines[at]):
            at += 1
        return start, at


def _worked_out(line: str) -> bool:
    return line.lstrip().startswith(WORKED_OUT)


def _span_of_text(text: str, head: str) -> list[str]:
    """Return the lines of a key at the top with what is worked out among them."""
    lines = text.splitlines()
    if head not in lines:
        return []
    start = lines.index(head)
    end = next(i for i in range(start + 1, len(lines)) if TOP_LEVEL.match(lines[i]))
    return lines[start:end]


def _figures_above(lines: list[str], place: int) -> list[str]:
    found: list[str] = []
    at = place - 1
    while at >= 0 and lines[at].lstrip().startswith("#"):
        if _worked_out(lines[at]):
            found.append(lines[at].strip())
        at -= 1
    return found[::-1]


class _Mender:
    def __init__(self, taken: TakenUp) -> None:
        self.file = taken.file
        self.old = _File(taken.text, taken.file)
        self.fresh_text = request_template(taken.fresh)
        self.fresh = _File(self.fresh_text, "the request worked out anew")
        self.now = [place_of(item) for item in self.fresh.items]
        self.before = [place_of(item) for item in self.old.items]

    def refreshed(self) -> Refreshed:
        text = "\n".join(self._lines()) + "\n"
        self._read_back(text)
        stale = [i for i, place in enumerate(self.before) if place not in self.now]
        return Refreshed(
            text,
            tuple(self._changed()),
            tuple(self._stale(stale)),
            tuple(
                f"item on {place[0]}: every answer in it is still to be written"
                for place in self.now
                if place not in self.before
            ),
            tuple(self._look_again()),
            self._answers(self.old.tree.data, self.now),
        )

    def _lines(self) -> Iterator[str]:
        old, fresh = self.old, self.fresh
        begin = old.tree.line(("request",)) - 1
        first, last = self.old._top(0), old.end(len(old.items) - 1)
        changes, why = old.span("with_changes"), old.span("why_not")
        again = old.span("look_again")
        changed = fresh.span("with_changes")
        assert changed is not None
        written = fresh.lines[slice(*changed)]
        if old.tree.data.get("with_changes") == fresh.tree.data.get("with_changes"):
            written = old.lines[slice(*changes)] if changes else []
        for number, line in enumerate(old.lines):
            if number == begin:
                yield from self._head()
            if number == first:
                yield from self._items()
            if first <= number < last or (again and again[0] <= number < again[1]):
                continue
            if changes and changes[0] <= number < changes[1]:
                if number == changes[0]:
                    yield from written
                continue
            if why and why[0] <= number < why[1]:
                if number == why[0]:
                    yield from self._why_not()
                continue
            if why is None and number == old.tree.line(("items",)) - 1:
                yield from self._why_not()
            yield self._mended(number, line)
            if number == old.tree.line(("rule_set_digest",)) - 1:
                yield from self._to_look_at()
                yield from written if changes is None else ()
        yield from self._kept_as_comments()

    def _head(self) -> Iterator[str]:
        for line in self.fresh_text.splitlines():
            if line.startswith(WORKED_OUT):
                yield line

    def _items(self) -> Iterator[str]:
        for number, place in enumerate(self.now):
            for line in self.fresh.figures[number]:
                yield f"  {line}"
            if place in self.before:
                yield from self.old.block(self.before.index(place))
            else:
                yield from self.fresh.block(number)

    def _why_not(self) -> Iterator[str]:
        """Yield the changes that would avoid relief now, each with what was said of it before."""
        span = _span_of_text(self.fresh_text, "why_not:")
        entries = self.old.entries("why_not")
        fresh = {lines[0]: name for name, lines in self.fresh.entries("why_not").items()}
        for line in span:
            yield from entries.get(fresh.get(line, ""), [line])

    def _mended(self, number: int, line: str) -> str:
        for key in ("design_digest", "rule_set_digest"):
            if number == self.old.tree.line((key,)) - 1:
                return f"{key}: {self.fresh.tree.data[key]}"
        if number == self.old.tree.lines.get(TRUTH, 0) - 1 and self._differs():
            return re.sub(r"(statement_of_truth:\s*)[\"']?\w+[\"']?", r'\1"no"', line)
        return line

    def _kept_as_comments(self) -> Iterator[str]:
        for number, place in enumerate(self.before):
            if place not in self.now:
                yield f"# Taken out by request refresh: {place[0]} no longer needs relief."
                yield from (f"#{line}" for line in self.old.block(number))

        for name, lines in self.old.entries("why_not").items():
            if name in self._gone():
                yield "# Taken out by request refresh: this change no longer avoids relief."
                yield from (f"#{line}" for line in lines)

    def _gone(self) -> list[str]:
        """Name the changes answered before that avoid relief no longer."""
        answered = {n for n, said in (self.old.tree.data.get("why_not") or {}).items() if said}
        return sorted(answered - set(self.fresh.tree.data.get("why_not") or {}))

    def _differs(self) -> bool:
        names = ("design_digest", "rule_set_digest", "with_changes")
        one, two = self.old.tree.data, self.fresh.tree.data
        return self.now != self.before or any(
            (one.get(n) or {}) != (two.get(n) or {}) for n in names
        )

    def _changed(self) -> Iterator[str]:
        one, two = self.old.tree.data, self.fresh.tree.data
        for key, words in (("design_digest", "the design"), ("rule_set_digest", "the rule set")):
            if one[key] != two[key]:
                yield f"{words} has changed since the request was written"
        moved = (one.get("with_changes") or {}, two.get("with_changes") or {})
        for name in dict.fromkeys([*moved[0], *moved[1]]):
            before, after = (m.get(name, "as in the design file") for m in moved)
            if before != after:
                yield f"with_changes {name}: {before} -> {after}"
        for place in self.now:
            if place in self.before:
                before, after = self._figures(place)
                if before != after and before:
                    yield f"item on {place[0]}: {before} -> {after}"
        if self._differs() and str(one.get("declarations", {}).get(TRUTH[1])) in ("yes", "true"):
            yield "statement_of_truth is set back to no: what is written is to be declared anew"

    def _figures(self, place: Place) -> tuple[str, str]:
        """Return the figures of an item as the file has them, and as they are now."""
        told = (
            self.old.figures[self.before.index(place)],
            self.fresh.figures[self.now.index(place)],
        )
        before, after = (next((t for t in lines if "required" in t), "") for lines in told)
        return before.removeprefix(WORKED_OUT).strip(), after.removeprefix(WORKED_OUT).strip()

    def _look_again(self) -> Iterator[str]:
        for place in self.now:
            if place not in self.before:
                continue
            before, after = self._figures(place)
            if before == after:
                continue
            for name in _answered(self.old.items[self.before.index(place)]):
                yield f"items ({place[0]}): {name}"
        if self._differs() and self.old.tree.data.get("summary"):
            yield "summary"

    def _to_look_at(self) -> Iterator[str]:
        """Yield what is to be read again, with what was still to be read before."""
        before = self.old.tree.data.get("look_again") or ()
        names = tuple(dict.fromkeys([*before, *self._look_again()]))
        if names:
            yield "look_again:"
            yield from (f"  - {json.dumps(name, ensure_ascii=False)}" for name in names)

    def _stale(self, numbers: list[int]) -> Iterator[str]:
        for number in numbers:
            count = len(list(_answered(self.old.items[number])))
            kept = (
                f"; its {count} answers stay as comments at the foot of the file" if count else ""
            )
            yield f"item on {self.before[number][0]} no longer needs relief{kept}"

        for name in self._gone():
            yield f"why_not: {name} no longer avoids relief; its answer stays as a comment too"

    def _answers(self, data: Any, places: list[Place]) -> int:
        whole = {k: v for k, v in data.items() if k not in ("items", "declarations", *_SETTINGS)}
        whole["why_not"] = {
            k: v for k, v in (data.get("why_not") or {}).items() if k not in self._gone()
        }
        items = [i for i in data["items"] if place_of(i) in places]
        return sum(len(list(_answered(part))) for part in (whole, *items))

    def _read_back(self, text: str) -> None:
        """Hold the new text against the answers: not a word may be lost or turned."""
        data = parse_tree(text.encode(), self.file).data
        old = self.old.tree.data
        kept = {place_of(i): i for i in data["items"]}
        same = all(
            data.get(k) == v
            for k, v in old.items()
            if k not in ("items", "declarations", *_SETTINGS)
        )
        reasons, now = old.get("why_not") or {}, data.get("why_not") or {}
        same = same and all(
            now.get(k) == v for k, v in reasons.items() if v and k not in self._gone()
        )
        for item in old["items"]:
            if place_of(item) in self.now:
                same = same and kept.get(place_of(item)) == item
        if not same or [place_of(i) for i in data["items"]] != self.now:
            raise InputError.single(self.file, "cannot be brought up to date as it is laid out")


_SETTINGS = (
    "request", "kind", "form", "local", "under", "design", "design_digest", "rule_set_digest",
    "state", "with_changes", "why_not", "look_again",
)  # fmt: skip


def _answered(data: Any, name: str = "") -> Iterator[str]:
    """Yield the dotted names of everything written."""
    if isinstance(data, dict):
        for key, value in data.items():
            if key not in ("clause", "part"):
                yield from _answered(value, f"{name}.{key}" if name else str(key))
    elif isinstance(data, list):
        if data:
            yield name
    elif data:
        yield name
