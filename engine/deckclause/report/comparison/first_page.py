"""The first page of a comparison: for each rule set what to change, to engineer, to find out."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.compare.words import origin_text
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.local_values import act_text, local_settings
from deckclause.evaluate.notices import THE_DESIGN, notices_by_name
from deckclause.evaluate.status import (
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    STATUS_WORDS,
)
from deckclause.evaluate.words import bounds_text, scalar_text
from deckclause.report.comparison.strictest_words import parts_text
from deckclause.report.comparison.table import ComparisonText, column_title
from deckclause.report.document import Cell, Grid

HEADERS = ("What", "Outcome", "Stands", "What is asked", "Who sets it")
SHARES = (21, 17, 8, 27, 27)
LOCAL_SHARES = (21, 79)
MOST_NAMED = 12
"""Topics named on the first page before the rest are counted."""

Rows = tuple[tuple[Cell, ...], ...]


def first_page(text: ComparisonText) -> Grid:
    """Return one table: a line for each rule set with its outcome, under it what is to be done.

    Rule sets that ask the very same share a line. Nothing undecided is left out: it is named or
    counted.
    """
    groups: dict[tuple[str, Rows], list[str]] = {}
    for column, evaluation in enumerate(text.comparison.evaluations):
        rows = tuple(_rows(text, column))
        status = STATUS_WORDS[evaluation.status]
        groups.setdefault((status, rows), []).append(column_title(evaluation.ruleset.name))
    every: list[tuple[Cell, ...]] = []
    heads: list[tuple[int, str]] = []
    for (status, rows), names in groups.items():
        heads.append((len(every), f"{', '.join(names)}: {status}"))
        every += rows or [(Cell("Everything asked"), Cell(status, status=status), *[Cell("")] * 3)]
    caption = "What each rule set asks of this design"
    return Grid(caption, HEADERS, tuple(every), groups=tuple(heads), shares=SHARES)


def _rows(text: ComparisonText, column: int) -> Iterator[tuple[Cell, ...]]:
    yield from _asked(text, column, DOES_NOT_COMPLY)
    yield from _asked(text, column, ENGINEERING_REQUIRED)
    yield from _open(text, column)


def local_values(text: ComparisonText) -> Grid | None:
    """Return the values places set themselves and what they stand in for, or None without any."""
    said = notices_by_name(text.comparison.evaluations, text.vocabulary, si=text.si)
    rows = [
        (
            Cell("The design itself" if name == THE_DESIGN else column_title(name)),
            Cell(f"{'; '.join(told)}."),
        )
        for name, told in said.items()
    ]
    if not rows:
        return None
    return Grid("Local values in force", ("Rule set", "Values"), tuple(rows), shares=LOCAL_SHARES)


def _asked(text: ComparisonText, column: int, status: int) -> Iterator[tuple[Cell, ...]]:
    """Yield a row for each thing asked; topics and parts of which the same is asked share it."""
    alike: dict[tuple[str, str, str], dict[str, list[str]]] = {}
    for row in text.comparison.rows:
        outcome = row.outcomes[column]
        for finding in outcome.findings:
            if outcome.status == status == finding.status:
                titles = alike.setdefault(_words(text, column, finding), {})
                titles.setdefault(row.topic.title, []).append(finding.part)
    for words, titles in alike.items():
        named = (f"{title}{parts_text(dict.fromkeys(p))}" for title, p in titles.items())
        told = STATUS_WORDS[status]
        yield Cell("; ".join(named)), Cell(told, status=told), *map(Cell, words)


def _words(text: ComparisonText, column: int, finding: Finding) -> tuple[str, str, str]:
    """Return what stands, what is asked and who sets it."""
    explainer = text.explainers[column]
    kind, unit = finding.kind, finding.unit
    stands = "" if finding.value is None else scalar_text(finding.value, kind, unit, si=text.si)
    asked = bounds_text(finding.least, finding.most, kind, unit, si=text.si)
    if not asked:
        step = explainer.steps(finding)[-1].removeprefix("engineering: ")
        asked = finding.says if finding.status == DOES_NOT_COMPLY else step
    if explainer.standing(finding) == "memory":
        asked += " (memory)"
    origin = finding.setting.origin if finding.setting else finding.clause.origin
    acts = [act_text(s) for s in local_settings(finding, explainer.evaluation)]
    by = dict.fromkeys(w for w in (finding.cites, origin_text(origin), *acts) if w)
    return stands, asked, "; ".join(by)


def _open(text: ComparisonText, column: int) -> Iterator[tuple[Cell, ...]]:
    rows = [*text.rows, *text.alike]
    titles = [r.topic.title for r in rows if r.outcomes[column].status == INFORMATION_MISSING]
    parts = [text.vocabulary.parts[p] for p in text.unstated]
    if not titles and not parts:
        return
    named = titles[:MOST_NAMED]
    if len(titles) > MOST_NAMED:
        named.append(f"and {len(titles) - MOST_NAMED} more")
    if parts:
        named.append(f"all of {', '.join(parts)} (not stated in the design)")
    what = Cell("What is not decided", target="questions")
    status = STATUS_WORDS[INFORMATION_MISSING]
    cells = Cell(""), Cell(f"{'; '.join(named)}. See: What to find out."), Cell("")
    yield what, Cell(status, status=status), *cells
