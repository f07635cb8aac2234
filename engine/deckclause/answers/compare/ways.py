"""Where one day lets one choose between several codes or paths: which of them is kept wholly."""

from __future__ import annotations

from msgspec import Struct

from deckclause.compare.comparison import Comparison
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY, STATUS_TOLD, worst
from deckclause.rulesets.names import rule_set_title


class WaysToComply(Struct, frozen=True):
    """The ways one place gives on one day, and what becomes of each taken wholly.

    `kept` names those the deck is known to keep wholly, or on all topics asked where these were
    named; one is enough, and none may be mixed with another.
    """

    place: str
    ways: tuple[tuple[str, str], ...]
    kept: tuple[str, ...]
    words: str


def ways_to_comply(comparison: Comparison) -> tuple[WaysToComply, ...]:
    """Return, for each place and day with several ways, what becomes of the deck by each."""
    return tuple(
        _ways(comparison, place, columns)
        for place, columns in comparison.ways.items()
        if len(columns) > 1
    )


def _ways(comparison: Comparison, place: str, columns: tuple[int, ...]) -> WaysToComply:
    told: list[tuple[str, str]] = []
    kept: list[str] = []
    fails = 0
    for column in columns:
        way = comparison.evaluations[column].ruleset.name.partition("/")[2]
        code = comparison.code_of((column,))
        statuses = [row.outcomes[column].status for row in comparison.rows]
        found = worst([s for s in (*statuses, comparison.binding) if s is not None])
        if code == 0:
            kept.append(way)
        fails += code == 1
        known = COMPLIES if code == 0 else found
        words = STATUS_TOLD[known] if known != COMPLIES or code == 0 else "not known to comply"
        told.append((way, words))
    title = rule_set_title(place)
    each = "; ".join(f"{way}: {words}" for way, words in told)
    asked = " on the topics asked" if comparison.narrowed else ""
    if kept:
        how = "kept on them by" if asked else "kept wholly by"
        says = f"complies{asked}, {how} {' and by '.join(kept)}"
    elif fails == len(columns):
        says = f"{STATUS_TOLD[DOES_NOT_COMPLY]}{asked} by any of its {len(columns)} ways"
    else:
        says = f"not known to comply{asked}: no way is known to be kept wholly"
    note = "One way kept wholly is enough; none may be mixed with another"
    return WaysToComply(title, tuple(told), tuple(kept), f"{title}: {says} ({each}). {note}.")
