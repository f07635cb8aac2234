"""One pair of rule sets in depth: every finding with its values, steps and standing."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from deckclause.answers.compare.finding import FindingAnswer
from deckclause.reading.status import status_told
from deckclause.report.comparison.table import ComparisonText
from deckclause.rulesets.names import rule_set_title


def depth_lines(text: ComparisonText) -> Iterator[str]:
    """Yield every finding of the rows shown, topic by topic, rule set by rule set."""
    yield ""
    yield "EVERY FINDING, STEP BY STEP"
    for row in text.rows:
        yield ""
        yield f"{row.topic.title} - {row.topic.question}"
        for title, cell in zip(text.answer.titles, row.cells, strict=True):
            if not cell.findings:
                yield f"  {title}: not regulated"
                if cell.practice:
                    yield f"    common practice, no requirement: {cell.practice}"
            for finding in cell.findings:
                yield from _finding(finding, text.width)
    yield from _cautions(text)


def _cautions(text: ComparisonText) -> Iterator[str]:
    """Yield the cautions of the tables read, if any was."""
    found = text.answer.table_cautions
    if found:
        yield ""
        yield "CAUTIONS FOR THE TABLES READ   (in full in docs/engineering.md)"
    for caution in found:
        yield from wrap(caution, text.width, initial_indent="  ", subsequent_indent="    ")


def _finding(finding: FindingAnswer, width: int) -> Iterator[str]:
    part = f" [{finding.part}]" if finding.part else ""
    name = rule_set_title(finding.rule_set)
    head = f"{name}{part}: {status_told(finding.status_text)} - {finding.cites} ({finding.clause})"
    yield from wrap(head, width, initial_indent="  ", subsequent_indent="    ")
    lines = [finding.says, *finding.steps]
    lines.append(f"standing: {finding.standing}; sources: {', '.join(finding.sources)}")
    if finding.note:
        lines.append(f"note: {finding.note}")
    for line in lines:
        yield from wrap(line, width, initial_indent="    ", subsequent_indent="      ")
