"""One cell of a comparison's matrix: the status, short, and the limit or value in force."""

from __future__ import annotations

from fractions import Fraction

from deckclause.evaluate.findings import Finding, TopicOutcome
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
    STATUS_WORDS,
)
from deckclause.evaluate.words import scalar_text

SHORT: dict[int, str] = {
    COMPLIES: "ok",
    DOES_NOT_COMPLY: "FAILS",
    ENGINEERING_REQUIRED: "ENGINEER",
    INFORMATION_MISSING: "ASK",
    NOT_APPLICABLE: "n/a",
    NOT_REGULATED: "silent",
}
SETS, INFO = "sets", "info"
GIVES = "figures the rules give, nothing checked"
INFORMS = "for information, nothing checked"
LEGEND = (
    "ok complies | FAILS does not comply | ENGINEER engineering required | ASK information missing "
    "| n/a not applicable | silent not regulated (never a pass) | sets: a figure the rules give, "
    "nothing is checked; info: likewise | * from memory, unverified"
)
LONGEST_CHOICE = 12
"""A longer choice is left out of a cell; the steps of the finding show it."""

_Bounds = tuple[Fraction | None, Fraction | None]


def cell_text(outcome: TopicOutcome, *, memory: bool = False, si: bool = False) -> str:
    """Write one cell; `memory` tells that the governing figure is unverified.

    A topic that only gives a figure is no check: it says `sets`, never `ok`.
    """
    if outcome.governing is None:
        return "struck" if outcome.struck else SHORT[outcome.status]
    if outcome.only_informs:
        return INFO
    if outcome.status == NOT_APPLICABLE and outcome.struck:
        return "struck"
    if outcome.status in (NOT_APPLICABLE, NOT_REGULATED):
        return SHORT[outcome.status]
    status = SHORT[outcome.status]
    if outcome.only_sets and outcome.status == COMPLIES:
        if isinstance(outcome.governing.value, bool):
            return ("yes" if outcome.governing.value else "no") + ("*" if memory else "")
        status = SETS
    figure = figure_text(outcome, si=si)
    return f"{status} {figure}".strip() + ("*" if memory else "")


def alike_words(
    outcome: TopicOutcome, *, memory: bool = False, si: bool = False
) -> tuple[str, str]:
    """Say what a topic alike everywhere comes to, with the figure where it only gives one."""
    if outcome.only_informs:
        return INFORMS, ""
    if outcome.only_sets and outcome.status == COMPLIES:
        return GIVES, given_text(outcome, memory=memory, si=si)
    return STATUS_WORDS[outcome.status], ""


def given_text(outcome: TopicOutcome, *, memory: bool = False, si: bool = False) -> str:
    """Write the figure a topic gives, in full words however long."""
    finding = outcome.governing
    if finding is None or finding.value is None:
        return ""
    text = scalar_text(finding.value, finding.kind, finding.unit, si=si)
    return text + ("*" if memory else "")


def figure_text(outcome: TopicOutcome, *, si: bool = False) -> str:
    """Write the limit or value of a topic; where parts have limits of their own, from least to most.

    Of several limits on one part the strictest counts.
    """
    governing = outcome.governing
    if governing is None:
        return ""
    bounds = list(dict.fromkeys(_by_part(outcome, governing)))
    if len(bounds) < 2:
        return limit_text(governing, si=si)
    least = sorted({low for low, _ in bounds if low is not None})
    most = sorted({high for _, high in bounds if high is not None})
    if least and not most:
        return f">= {_range(least, governing, si)}"
    if most and not least:
        return f"<= {_range(most, governing, si)}"
    return limit_text(governing, si=si)


def _by_part(outcome: TopicOutcome, governing: Finding) -> list[_Bounds]:
    strictest: dict[str, _Bounds] = {}
    for finding in outcome.findings:
        alike = (finding.kind, finding.unit) == (governing.kind, governing.unit)
        if finding.status != outcome.status or not alike or finding.limit == (None, None):
            continue
        low, high = strictest.get(finding.part, (None, None))
        lows = [b for b in (low, finding.least) if b is not None]
        highs = [b for b in (high, finding.most) if b is not None]
        strictest[finding.part] = (max(lows, default=None), min(highs, default=None))
    return list(strictest.values())


def _range(values: list[Fraction], governing: Finding, si: bool) -> str:
    ends = [scalar_text(v, governing.kind, governing.unit, si=si) for v in (values[0], values[-1])]
    return " to ".join(dict.fromkeys(ends))


def limit_text(finding: Finding, *, si: bool = False) -> str:
    """Write a limit as short as a column needs: `>= 2 in`, `<= 29 in`; a choice in brackets."""

    def text(value: object) -> str:
        return scalar_text(value, finding.kind, finding.unit, si=si)  # type: ignore[arg-type]

    least, most = finding.least, finding.most
    if least is not None and most is not None:
        return f"= {text(least)}" if least == most else f"{text(least)} to {text(most)}"
    if least is not None:
        return f">= {text(least)}"
    if most is not None:
        return f"<= {text(most)}"
    if finding.status != COMPLIES or finding.value is None or isinstance(finding.value, bool):
        return ""
    words = text(finding.value)
    if isinstance(finding.value, str):
        return f"({words})" if len(words) <= LONGEST_CHOICE else ""
    return words
