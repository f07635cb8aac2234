"""One pair of rule sets in depth: every finding with its values, steps and standing."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from deckclause.evaluate.findings import Finding
from deckclause.report.comparison.table import ComparisonText
from deckclause.report.rule_sets.table_cautions import table_cautions


def depth_lines(text: ComparisonText) -> Iterator[str]:
    """Yield every finding of the rows shown, topic by topic, rule set by rule set."""
    yield ""
    yield "EVERY FINDING, STEP BY STEP"
    for row in text.rows:
        yield ""
        yield f"{row.topic.title} - {row.topic.question}"
        for column, outcome in enumerate(row.outcomes):
            if not outcome.findings:
                yield f"  {outcome.ruleset}: not regulated"
                if outcome.practice:
                    yield f"    common practice, no requirement: {outcome.practice}"
            for finding in outcome.findings:
                yield from _finding(text, column, finding)
    yield from _cautions(text)


def _cautions(text: ComparisonText) -> Iterator[str]:
    """Yield the cautions of the tables read, if any was."""
    found = table_cautions(text.rows)
    if found:
        yield ""
        yield "CAUTIONS FOR THE TABLES READ   (in full in docs/engineering.md)"
    for caution in found:
        yield from wrap(caution, text.width, initial_indent="  ", subsequent_indent="    ")


def _finding(text: ComparisonText, column: int, finding: Finding) -> Iterator[str]:
    explainer = text.explainers[column]
    part = f" [{finding.part}]" if finding.part else ""
    head = f"{finding.ruleset}{part}: {finding.status_words} - {finding.cites} ({finding.key})"
    yield from wrap(head, text.width, initial_indent="  ", subsequent_indent="    ")
    lines = [finding.says, *explainer.steps(finding)]
    sources = ", ".join(explainer.sources(finding))
    lines.append(f"standing: {explainer.standing(finding)}; sources: {sources}")
    if finding.clause.note:
        lines.append(f"note: {finding.clause.note}")
    for line in lines:
        yield from wrap(line, text.width, initial_indent="    ", subsequent_indent="      ")
