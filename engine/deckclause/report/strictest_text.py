"""What must change to build the same deck under all of several rule sets, as text."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from tabulate import tabulate

from deckclause.compare.comparison import Comparison
from deckclause.compare.strictest import Strictest, strictest
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.status import ENGINEERING_REQUIRED
from deckclause.evaluate.words import bounds_text, scalar_text
from deckclause.report.cautions import CAUTIONS
from deckclause.rulesets.vocabulary import Vocabulary


def strictest_lines(
    comparison: Comparison, vocabulary: Vocabulary, width: int, *, si: bool = False
) -> Iterator[str]:
    """Yield what must change, what is undecided, and the strictest limit of each topic."""
    found = strictest(comparison)
    names = ", ".join(e.ruleset.name for e in comparison.evaluators)
    explainers = {e.ruleset.name: Explainer(e, vocabulary, si=si) for e in comparison.evaluations}
    yield f"{comparison.design.design.name}: one deck for all of {names}"
    yield from _changes(found, explainers, width)
    yield from _undecided(found, explainers, width)
    yield ""
    yield "THE STRICTEST LIMIT, AND WHO SETS IT"
    rows: dict[tuple[str, ...], list[str]] = {}
    for entry in found:
        if entry.least is None and entry.most is None:
            continue
        one = next(iter((*entry.least_by, *entry.most_by)))
        limit = bounds_text(entry.least, entry.most, one.kind, one.unit, si=si)
        if entry.contradicts:
            limit += " (no value satisfies all)"
        value = scalar_text(entry.value, one.kind, one.unit, si=si)
        mark = "FAILS" if entry.fails else "ASK" if entry.undecided else "ok"
        same = (entry.row.topic.title, limit, value, mark, _setters(entry, explainers))
        rows.setdefault(same, []).append(entry.part)
    each = max(16, (width - 60) // 2)
    yield tabulate(
        [[title + parts_text(parts), *rest] for (title, *rest), parts in rows.items()],
        ["topic", "build to", "design", "", "set by"],
        maxcolwidths=[30, each, 14, 6, each],
        disable_numparse=True,
    )
    yield ""
    for caution in CAUTIONS:
        yield from wrap(caution, width, subsequent_indent="  ")


def _setters(entry: Strictest, explainers: dict[str, Explainer]) -> str:
    words: dict[str, None] = {}
    for finding in (*entry.least_by, *entry.most_by):
        mark = "*" if explainers[finding.ruleset].standing(finding) == "memory" else ""
        words[f"{finding.ruleset}{mark}"] = None
    if len(words) == len(explainers) and len(words) > 1:
        return "all" + ("*" if any(w.endswith("*") for w in words) else "")
    return ", ".join(words)


def parts_text(parts: list[str]) -> str:
    """Write the parts a line speaks of; nothing where it speaks of the whole.

    >>> parts_text(["left post", "right post"])
    ' [left post, right post]'
    """
    named = [part for part in parts if part]
    return f" [{', '.join(named)}]" if named else ""


def _changes(
    found: tuple[Strictest, ...], explainers: dict[str, Explainer], width: int
) -> Iterator[str]:
    failing = [(entry, finding) for entry in found for finding in entry.fails]
    yield ""
    yield "WHAT MUST CHANGE" if failing else "NOTHING DECIDED FAILS"
    yield from _lines(failing, explainers, width)


def _undecided(
    found: tuple[Strictest, ...], explainers: dict[str, Explainer], width: int
) -> Iterator[str]:
    engineer = [
        (entry, f) for entry in found for f in entry.undecided if f.status == ENGINEERING_REQUIRED
    ]
    if engineer:
        yield ""
        yield "WHAT NEEDS ENGINEERING"
    yield from _lines(engineer, explainers, width)
    asked = dict.fromkeys(
        f"{question} ({name})"
        for entry in found
        for f in entry.undecided
        for name, question in explainers[f.ruleset].questions(f)
    )
    if asked:
        yield ""
        yield f"WHAT TO FIND OUT ({len(asked)}; `compare` lists what each decides)"
    for text in list(asked)[:12]:
        yield from wrap(text, width, initial_indent="  ", subsequent_indent="    ")


def _lines(
    pairs: list[tuple[Strictest, Finding]], explainers: dict[str, Explainer], width: int
) -> Iterator[str]:
    """Yield a line for each thing said, naming every part and rule set it is said of."""
    said: dict[tuple[str, str, str], list[str]] = {}
    for entry, finding in pairs:
        step = explainers[finding.ruleset].steps(finding)[-1]
        source = f"{finding.ruleset}, {finding.cites}"
        said.setdefault((entry.row.topic.title, step, source), []).append(entry.part)
    for (title, step, source), parts in said.items():
        text = f"{title}{parts_text(parts)}: {step} ({source})"
        yield from wrap(text, width, initial_indent="  ", subsequent_indent="    ")
