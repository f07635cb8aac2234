"""The comparison as Markdown: the matrix, then what drives each change."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.report.cautions import CAUTIONS
from deckclause.report.comparison.cells import LEGEND
from deckclause.report.comparison.table import ComparisonText


def comparison_markdown(answer: CompareAnswer, *, only_differences: bool = False) -> str:
    """Write a comparison as Markdown text."""
    text = ComparisonText(
        answer, width=10_000, only_differences=only_differences, everything=not only_differences
    )
    lines = [f"# {escape(answer.design.name)}", ""]
    if answer.design.says:
        lines += [escape(answer.design.says), ""]
    lines += [text.matrix("github"), "", LEGEND.replace("|", "\\|"), ""]
    for heading, told in _told(answer):
        lines += [f"## {heading}", "", *(f"- {escape(line)}" for line in told), ""]
    changed = [(row, change) for row in text.rows for change in row.changes]
    if changed:
        lines += ["## What changes, and what drives it", ""]
    for row, change in changed:
        lines.append(f"- **{escape(row.topic.title)}.** {escape(change.head)}")
        for line in change.driver.told:
            item = line.removeprefix("- ")
            lines.append(f"{'    ' if item != line else '  '}- {escape(item)}")
    lines += ["", "## Cautions", "", *(f"- {caution}" for caution in CAUTIONS)]
    return "\n".join(lines)


def _told(answer: CompareAnswer) -> Iterator[tuple[str, list[str]]]:
    """Yield local values, failures and open questions, each under its heading where there is one."""
    for heading, told in (
        ("Local values in force", [f"{t.title}: {says}" for t in answer.told for says in t.says]),
        (
            "What does not comply, or needs engineering",
            [f"{f.text} ({'; '.join(f.places)})" for f in answer.failures],
        ),
        ("What to find out", [f"{q.text} - for: {', '.join(q.topics)}" for q in answer.questions]),
    ):
        if told:
            yield heading, told


def escape(text: str) -> str:
    """Keep a name from being taken for markup.

    >>> escape("<b>*x*")
    '&lt;b&gt;\\\\*x\\\\*'
    """
    safe = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    for sign in ("*", "_", "`", "[", "]", "|"):
        safe = safe.replace(sign, f"\\{sign}")
    return safe
