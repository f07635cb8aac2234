"""The comments a request file carries after its fields, and comments that are none of them.

What stands after ` #` in YAML is a comment: an answer with a number sign in it is cut there, or
counts as empty, and nobody is told. Every comment after a field that is not a hint of the
template's own is therefore found and named.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from deckclause.rulesets.problems import Problem
from deckclause.variance.request.fields import Field, fields

NEEDED = "needed: "
EVIDENCE = "ids of the attachments that bear it out, e.g. [A1, A2]"
CONSENT = "yes once the owner has agreed"
TRUTH = "yes once you stand by every word"
CUT = (
    "what stands after # is a comment and is not printed; put the answer in quotation marks, or "
    "the comment on a line of its own"
)


def hint(field: Field, *, wanted: bool) -> str:
    """Return the hint that stands after a field: its question, marked where it is needed."""
    asks = " ".join(field.asks.split())
    return f"{NEEDED}{asks}" if wanted else asks


@cache
def _known() -> frozenset[str]:
    asked = {hint(f, wanted=w) for f in fields().values() for w in (True, False)}
    return frozenset({*asked, EVIDENCE, CONSENT, TRUTH})


def stray_comments(text: str, file: str) -> tuple[Problem, ...]:
    """Return every comment that follows something on its line and is not the template's own.

    `text` is valid YAML. A `#` inside quotation marks or a block of text is no comment.

    >>> [p.line for p in stray_comments("address: Lot 4\\nparcel: Parcel #06-114\\n", "r.yaml")]
    [2]
    >>> stray_comments('parcel: "Parcel #06-114"\\n', "r.yaml")
    ()
    """
    return tuple(
        Problem(file, number, f"'# {words}': {CUT}")
        for number, words in _trailing(text)
        if words not in _known()
    )


def _trailing(text: str) -> Iterator[tuple[int, str]]:
    """Yield line and words of each comment that stands after something on its line."""
    from ruamel.yaml import YAML

    lines = [list(line) for line in text.splitlines()]
    for event in YAML(typ="safe", pure=True).parse(text):
        if type(event).__name__ == "ScalarEvent" and event.style:
            _blank(lines, event.start_mark, event.end_mark, whole_head=event.style in "'\"")
    for number, line in enumerate(map("".join, lines), 1):
        place = _comment_in(line)
        if place and line[:place].strip():
            yield number, " ".join(text.splitlines()[number - 1][place + 1 :].split())


def _comment_in(line: str) -> int | None:
    """Return where a comment begins in a line, or None."""
    for place, sign in enumerate(line):
        if sign == "#" and (not place or line[place - 1] in " \t"):
            return place
    return None


def _blank(lines: list[list[str]], start: object, end: object, *, whole_head: bool) -> None:
    """Cover a quoted text, or the lines under a block's head, so that no # in it counts."""
    first, last = start.line, min(end.line, len(lines) - 1)  # type: ignore[attr-defined]
    for number in range(first, last + 1):
        line = lines[number]
        begin = start.column if number == first else 0  # type: ignore[attr-defined]
        stop = end.column if number == end.line else len(line)  # type: ignore[attr-defined]
        if number == first and not whole_head:
            continue
        line[begin:stop] = ["x"] * (stop - begin)
