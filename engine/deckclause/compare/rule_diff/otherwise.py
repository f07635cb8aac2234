"""What changed in a clause whose change is neither stricter nor looser: said, not left at that."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.compare.rule_diff.clauses import TABLE_IN_CONDITION, ClauseChange

LAID_OUT = "laid out otherwise"
NEW_ROWS, FEWER_ROWS = "new rows", "no more rows"
UNHELD_ROWS = "rows not held on one side"
"""Where a rule set says that it has figures which are not modelled, a row it lacks is not gone."""
_WORDS = {
    "condition": "other condition",
    "scope": "other scope",
    "figure": "other figure",
    "what is limited": "other measure",
    "reading": "other reading",
    "requirement": "other form of requirement",
    "assumption": "made for other values",
    TABLE_IN_CONDITION: "other figures in a condition",
}
"""By aspect."""


def otherwise(change: ClauseChange) -> tuple[str, ...]:
    """Return what changed in a clause, a few words each: new rows, other measure, other scope."""
    if change.beside is not None:
        return (LAID_OUT,)
    return tuple(dict.fromkeys(_found(change)))


def _found(change: ClauseChange) -> Iterator[str]:
    for table in change.tables:
        for rows, word, held in (
            (table.came, NEW_ROWS, not change.lacking[0]),
            (table.went, FEWER_ROWS, not change.lacking[1]),
        ):
            yield from (f"{word if held else UNHELD_ROWS} {text}" for text in rows)
        if not table.came and not table.went:
            yield "other figures in its table" if table.cells else "a table read otherwise"
    for aspect in change.aspects:
        if aspect.name == "exception":
            came, went = aspect.before == "none", aspect.after == "none"
            yield "new exception" if came else "exception gone" if went else "other exception"
        elif aspect.name in _WORDS:
            yield _WORDS[aspect.name]


def kinds(change: ClauseChange) -> tuple[str, ...]:
    """Return what changed without the keys of rows, so that changes can be counted by it."""
    return tuple(dict.fromkeys(map(_short, otherwise(change))))


def _short(words: str) -> str:
    return next((w for w in (NEW_ROWS, FEWER_ROWS, UNHELD_ROWS) if words.startswith(w)), words)
