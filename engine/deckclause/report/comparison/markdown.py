"""The comparison as Markdown: the matrix, then what drives each change."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.compare.comparison import Comparison
from deckclause.report.cautions import CAUTIONS
from deckclause.report.comparison.cells import LEGEND
from deckclause.report.comparison.failures import failures
from deckclause.report.comparison.open_questions import open_questions
from deckclause.report.comparison.table import ComparisonText
from deckclause.rulesets.vocabulary import Vocabulary


def comparison_markdown(
    comparison: Comparison,
    vocabulary: Vocabulary,
    *,
    si: bool = False,
    only_differences: bool = False,
) -> str:
    """Write a comparison as Markdown text."""
    text = ComparisonText(
        comparison,
        vocabulary,
        width=10_000,
        si=si,
        only_differences=only_differences,
        everything=True,
    )
    design = comparison.design.design
    lines = [f"# {escape(design.name)}", ""]
    if design.says:
        lines += [escape(design.says), ""]
    lines += [text.matrix("github"), "", LEGEND.replace("|", "\\|"), ""]
    for heading, told in _told(text):
        lines += [f"## {heading}", "", *(f"- {escape(line)}" for line in told), ""]
    changed = [(row, change) for row in text.rows for change in row.changes]
    if changed:
        lines += ["## What changes, and what drives it", ""]
    for row, change in changed:
        lines.append(f"- **{escape(row.topic.title)}.** {escape(text.words.head(row, change))}")
        lines += [f"  - because {escape(line)}" for line in text.words.because(change)]
    lines += ["", "## Cautions", "", *(f"- {caution}" for caution in CAUTIONS)]
    return "\n".join(lines)


def _told(text: ComparisonText) -> Iterator[tuple[str, list[str]]]:
    """Yield local values, failures and open questions, each under its heading where there is one."""
    local = list(text.notices())
    failing = failures(text.comparison.rows, text.explainers)
    asked = open_questions(text.comparison.rows, text.explainers)
    for heading, told in (
        ("Local values in force", local),
        (
            "What does not comply, or needs engineering",
            [f"{words} ({'; '.join(at)})" for words, at in failing.items()],
        ),
        ("What to find out", [f"{q} - for: {', '.join(t)}" for q, t in asked.items()]),
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
