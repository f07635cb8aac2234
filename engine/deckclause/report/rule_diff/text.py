"""A difference of two rule sets as text, made from the Markdown report."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from tabulate import tabulate

from deckclause.compare.felt_figures import Felt
from deckclause.compare.rule_diff.clauses import RuleDiff
from deckclause.report.rule_diff.markdown import report_lines
from deckclause.rulesets.vocabulary import Vocabulary


def rule_diff_text(
    diff: RuleDiff,
    vocabulary: Vocabulary,
    width: int,
    felt: Felt | None = None,
    example: str = "",
) -> str:
    """Write a difference fitted to a width, legible without colour."""
    lines = list(report_lines(diff, vocabulary, felt, example))
    return "\n".join(_lines(lines, max(width, 60)))


def _lines(lines: list[str], width: int) -> Iterator[str]:
    i = 0
    while i < len(lines):
        if lines[i].startswith("|"):
            end = i
            while end < len(lines) and lines[end].startswith("|"):
                end += 1
            yield from _grid(lines[i:end], width)
            i = end
            continue
        yield from _plain(lines[i], width)
        i += 1


def _plain(line: str, width: int) -> Iterator[str]:
    if line.startswith("### "):
        yield line[4:]
    elif line.startswith("#"):
        yield line.lstrip("# ").upper()
    else:
        text = line.replace("**", "").replace("`", "")
        yield from wrap(text, width, initial_indent="  ", subsequent_indent="    ") or [""]


def _grid(lines: list[str], width: int) -> Iterator[str]:
    rows = [cells_of(line) for line in lines if not line.startswith("|---")]
    columns = len(rows[0])
    longest = [max(len(row[i]) for row in rows) for i in range(columns)]
    room = max(width - 4 - 4 * columns, 8 * columns)
    widths = list(longest)
    while sum(widths) > room and max(widths) > 8:
        widths[widths.index(max(widths))] -= 1
    table = tabulate(
        rows[1:],
        headers=rows[0],
        maxcolwidths=widths,
        maxheadercolwidths=widths,
        disable_numparse=True,
    )
    for line in table.splitlines():
        yield f"    {line}"


def cells_of(line: str) -> list[str]:
    """Split a line of a Markdown table into its cells."""
    text = line.strip().removeprefix("|").removesuffix("|").replace("\\|", "\x00")
    return [cell.strip().replace("\x00", "|") for cell in text.split("|")]
