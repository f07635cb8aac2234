"""Findings of the rule checks as text and JSON."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Sequence
from textwrap import wrap

from deckclause.upkeep.lint.finding import LEVELS, LintFinding

PAGES = "docs/lint"


def lint_lines(found: Sequence[LintFinding], width: int) -> Iterator[str]:
    """Yield findings as text, by file, the gravest first, with a count at the end."""
    for finding in found:
        place = finding.place.file + (f", line {finding.place.line}" if finding.place.line else "")
        text = f"{finding.level}: {place}: {finding.message} [{finding.check}]"
        yield from wrap(text, max(width, 60), subsequent_indent="    ", break_on_hyphens=False)
    yield lint_count(found)


def lint_count(found: Sequence[LintFinding]) -> str:
    """Write how many findings of each level there are.

    >>> lint_count([])
    'nothing to report'
    """
    counts = Counter(finding.level for finding in found)
    words = [f"{counts[level]} {level}{'s' if counts[level] != 1 else ''}" for level in LEVELS]
    if not counts:
        return "nothing to report"
    return f"{', '.join(words)}; each check has a page in {PAGES}"


def lint_json(found: Sequence[LintFinding]) -> str:
    """Write findings as JSON: a list, with the page of each check."""
    data = {
        "lint": 1,
        "findings": [
            {
                "check": f.check,
                "level": f.level,
                "file": f.place.file,
                "line": f.place.line or None,
                "subject": f.subject,
                "message": f.message,
                "page": f"{PAGES}/{f.check}.md",
            }
            for f in found
        ],
    }
    return json.dumps(data, indent=1, ensure_ascii=False)
