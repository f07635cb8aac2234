"""What two decks differ in and what that does, for a person and as data."""

from __future__ import annotations

import json
from collections.abc import Iterator
from textwrap import wrap

from msgspec import to_builtins
from tabulate import tabulate

from deckclause.answers.compare.two_designs import OutcomeAnswer, TwoDesignsAnswer
from deckclause.report.cautions import CAUTIONS

SCHEMA = "deckclause/two-designs/1"


def two_designs_lines(answer: TwoDesignsAnswer, width: int = 100) -> Iterator[str]:
    """Yield the report."""

    def wrapped(text: str, indent: str = "") -> list[str]:
        return wrap(text, max(width, 60), initial_indent=indent, subsequent_indent=indent + "  ")

    yield from wrapped(f"{answer.one} and {answer.two}, under {'; '.join(answer.rule_sets)}")
    yield ""
    if not answer.apart:
        yield "The two designs state the same."
    else:
        rows = [[a.words, a.before, a.after] for a in answer.apart]
        heads = ["what differs", "first", "second"]
        yield from tabulate(rows, heads, tablefmt="simple", disable_numparse=True).splitlines()
        yield ""
        yield "WHAT THAT DOES (each exchange of facts was evaluated)"
        if not answer.outcomes:
            yield "  No outcome changes."
        for outcome in answer.outcomes:
            yield from wrapped(
                f"{outcome.title}, {outcome.rule_set}: {outcome.before}; then {outcome.after}", "  "
            )
            if outcome.because:
                yield from wrapped(f"because {_because(outcome)}", "    ")
        if answer.outcomes and not answer.sought:
            yield from wrapped("Too many facts differ to say which drives which.", "  ")
        yield f"  {answer.unchanged} outcomes, topic by rule set, are the same for both."
    yield ""
    for caution in CAUTIONS:
        yield from wrapped(caution)


def _because(outcome: OutcomeAnswer) -> str:
    ways = [" with ".join(way) for way in outcome.because]
    return f"of {ways[0]}" if len(ways) == 1 else f"of either {' or '.join(ways)}"


def two_designs_json(answer: TwoDesignsAnswer) -> str:
    """Return the answer as JSON."""
    data = {"schema": SCHEMA, **to_builtins(answer), "cautions": list(CAUTIONS)}
    return json.dumps(data, indent=2, ensure_ascii=False)
