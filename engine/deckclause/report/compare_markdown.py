"""The comparison as Markdown: the matrix, then what drives each change."""

from __future__ import annotations

from deckclause.compare.comparison import Comparison
from deckclause.report.cautions import CAUTIONS
from deckclause.report.compare_cells import LEGEND
from deckclause.report.compare_table import ComparisonText
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
    changed = [(row, change) for row in text.rows for change in row.changes]
    if changed:
        lines += ["## What changes, and what drives it", ""]
    for row, change in changed:
        lines.append(f"- **{escape(row.topic.title)}.** {escape(text.words.head(row, change))}")
        lines += [f"  - because {escape(line)}" for line in text.words.because(change)]
    lines += ["", "## Cautions", "", *(f"- {caution}" for caution in CAUTIONS)]
    return "\n".join(lines)


def escape(text: str) -> str:
    """Keep a name from being taken for markup.

    >>> escape("<b>*x*")
    '&lt;b&gt;\\\\*x\\\\*'
    """
    safe = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    for sign in ("*", "_", "`", "[", "]", "|"):
        safe = safe.replace(sign, f"\\{sign}")
    return safe
