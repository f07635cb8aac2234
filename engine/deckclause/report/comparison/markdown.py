"""The comparison as Markdown: the matrix, then what drives each change."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.answers.compare.together import headline, lacking_lines
from deckclause.reading.status import status_told
from deckclause.report.cautions import CAUTIONS
from deckclause.report.comparison.cells import legend
from deckclause.report.comparison.matrix import matrix_markdown
from deckclause.report.comparison.rows_shown import rows_shown


def comparison_markdown(answer: CompareAnswer, *, only_differences: bool = False) -> str:
    """Write a comparison as Markdown text."""
    rows = rows_shown(answer, only_differences=only_differences, everything=True)
    lines = [f"# {escape(answer.design.name)}", ""]
    if answer.design.says:
        lines += [escape(answer.design.says), ""]
    lines += [f"**{escape(headline(answer.holds_together))}**", ""]
    faults = [
        f"- {status_told(status)}: {escape(text)}"
        for status, text in lacking_lines(answer.holds_together)
    ]
    lines += [*faults, ""] if faults else []
    for titles, words in answer.warnings:
        lines += [f"**{escape(titles)}: {escape(words)}**", ""]
    for ways in answer.ways:
        lines += [escape(ways.words), ""]
    lines += _to_do(answer)
    lines += [matrix_markdown(answer, rows), "", legend(rows).replace("|", "\\|"), ""]
    for heading, items in _told(answer):
        lines += [f"## {heading}", "", *(f"- {escape(line)}" for line in items), ""]
    changed = [(row, change) for row in rows for change in row.changes]
    if changed:
        lines += ["## What changes, and what drives it", ""]
    for row, change in changed:
        lines.append(f"- **{escape(row.topic.title)}.** {escape(change.head)}")
        for line in change.driver.told:
            item = line.removeprefix("- ")
            lines.append(f"{'    ' if item != line else '  '}- {escape(item)}")
    if answer.known:
        lines += ["", "## What is known of the differences, as this deck comes out", ""]
        lines += [f"- {escape(pair.words)}" for pair in answer.known]
    lines += ["", "## Cautions", "", *(f"- {caution}" for caution in CAUTIONS)]
    return "\n".join(lines)


def _to_do(answer: CompareAnswer) -> Iterator[str]:
    """Yield what each rule set comes to and what to do, as tables."""
    heads = (
        "Rule set",
        "fails",
        "needs an engineer",
        "not known",
        "complies",
        "of them on memory*",
    )
    yield from _rows(heads)
    for card in answer.cards:
        counts = (card.fails, card.needs_engineer, card.not_known, card.complies)
        yield from _row((card.title, *map(str, counts), str(card.complies_on_memory)))
    yield ""
    if not answer.to_do:
        return
    yield from ("## What to do", "")
    yield from _rows(("", "what", "as drawn", "allowed", "where", "topics"))
    for item in answer.to_do:
        for asked in item.asked:
            star = "*" if any(where.on_memory for where in asked.where) else ""
            places = "; ".join(
                f"{', '.join(where.rule_sets)}: {', '.join(where.cites)}" for where in asked.where
            )
            parts = f" [{', '.join(item.parts)}]" if item.parts else ""
            cells = (
                status_told(item.status_words),
                item.fact + parts,
                item.drawn,
                asked.allowed + star,
            )
            yield from _row((*cells, places, ", ".join(item.topics)))
    yield ""


def _rows(heads: tuple[str, ...]) -> Iterator[str]:
    yield from _row(heads)
    yield "|---" * len(heads) + "|"


def _row(cells: tuple[str, ...]) -> Iterator[str]:
    yield f"| {' | '.join(map(escape, cells))} |"


def _told(answer: CompareAnswer) -> Iterator[tuple[str, list[str]]]:
    """Yield local values, failures and open questions, each under its heading where there is one."""
    for heading, told in (
        ("Local values in force", [f"{t.title}: {says}" for t in answer.told for says in t.says]),
        (
            "What does not comply, or needs engineering",
            [f"{f.text} ({'; '.join(f.places)})" for f in answer.failures],
        ),
        ("What to find out", [q.told for q in answer.questions]),
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
