"""Findings as rows of a document: those alike under several rule sets share one row."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from deckclause.reading.status import status_told
from deckclause.report.document import Cell
from deckclause.rulesets.names import rule_set_title

FINDING_HEADERS = ("Rule sets", "Clause", "Outcome", "Value", "Limit", "Steps", "Standing, sources")
FINDING_SHARES = (12, 23, 10, 9, 12, 21, 13)
OPEN_HEADERS = ("Topic", "Rule sets", "Clause", "Outcome", "Value", "Limit")
OPEN_SHARES = (18, 22, 26, 12, 8, 14)
UNDECIDED = ("information missing", "not applicable")

ValueText = Callable[[Any], str]


def limit_text(item: dict[str, Any], value: ValueText) -> str:
    """Write the limit of a finding or an outcome; nothing where there is none."""
    least, most = value(item["least"]), value(item["most"])
    if least and most:
        return f"exactly {least}" if least == most else f"{least} to {most}"
    if least:
        return f"at least {least}"
    return f"at most {most}" if most else ""


def is_undecided(row: dict[str, Any]) -> bool:
    """Tell whether a topic has nothing but findings that do not apply or lack information."""
    findings = [f for o in row["outcomes"] for f in o["findings"]]
    return bool(findings) and all(f["status"] in UNDECIDED for f in findings)


def finding_rows(row: dict[str, Any], value: ValueText) -> list[tuple[Cell, ...]]:
    """Return the rows of one topic: struck clauses, silence, and findings, alike ones together."""
    rows: list[tuple[Cell, ...]] = [*_struck_and_silent(row)]
    for alike in _together(row, _told):
        (_, first), *_ = alike
        margin = value(first["margin"])
        limit = limit_text(first, value) + (f"; margin {margin}" if margin else "")
        rows.append(
            (
                Cell(_names(alike)),
                Cell(f"{first['says']} {_cites(alike)} ({first['clause']})"),
                Cell(status_told(first["status"]), status=first["status"]),
                Cell(value(first["value"])),
                Cell(limit),
                Cell(". ".join(map(_shortened, first["steps"]))),
                Cell(_standings(alike)),
            )
        )
    return rows


def open_rows(rows: Iterable[dict[str, Any]], value: ValueText) -> list[tuple[Cell, ...]]:
    """Return a short row for each finding of topics on which nothing is decided."""
    found: list[tuple[Cell, ...]] = []
    for row in rows:
        for alike in _together(row, _briefly):
            (_, first), *_ = alike
            found.append(
                (
                    Cell(row["title"]),
                    Cell(_names(alike)),
                    Cell(f"{_cites(alike)} ({first['clause']}); {_standings(alike)}"),
                    Cell(status_told(first["status"]), status=first["status"]),
                    Cell(value(first["value"])),
                    Cell(limit_text(first, value)),
                )
            )
    return found


LONGEST_STEP = 240


def _shortened(step: str) -> str:
    """Cut a step that spells out a whole clause: the clause itself stands beside it."""
    if len(step) <= LONGEST_STEP:
        return step
    return f"{step[:LONGEST_STEP].rsplit(' ', 1)[0]} ... (in full: --format json)"


Named = tuple[str, dict[str, Any]]


def _together(row: dict[str, Any], key: Callable[[dict[str, Any]], Any]) -> list[list[Named]]:
    groups: dict[Any, list[Named]] = {}
    for outcome in row["outcomes"]:
        for finding in outcome["findings"]:
            part = f" [{finding['part']}]" if finding["part"] else ""
            name = f"{rule_set_title(outcome['rule_set'])}{part}"
            groups.setdefault(key(finding), []).append((name, finding))
    return list(groups.values())


def _told(finding: dict[str, Any]) -> Any:
    names = ("clause", "says", "status", "value", "least", "most", "margin", "steps")
    return repr([finding[name] for name in names])


def _briefly(finding: dict[str, Any]) -> Any:
    return repr([finding[name] for name in ("clause", "status", "value", "least", "most")])


def _names(alike: list[Named]) -> str:
    return "; ".join(dict.fromkeys(name for name, _ in alike))


def _cites(alike: list[Named]) -> str:
    """Name the sections, each with its rule sets where they differ."""
    cites: dict[str, dict[str, None]] = {}
    for name, finding in alike:
        act = finding["origin"]["ordinance"]
        cites.setdefault(finding["cites"] + (f"; {act}" if act else ""), {})[name] = None
    if len(cites) == 1:
        return next(iter(cites))
    return "; ".join(f"{section} ({'; '.join(names)})" for section, names in cites.items())


def _standings(alike: list[Named]) -> str:
    told = (f"{f['standing']}: {', '.join(f['sources'])}" for _, f in alike)
    return "; ".join(dict.fromkeys(told))


def _struck_and_silent(row: dict[str, Any]) -> list[tuple[Cell, ...]]:
    rows: list[tuple[Cell, ...]] = []
    silent: dict[str, list[str]] = {}
    for outcome in row["outcomes"]:
        name = rule_set_title(outcome["rule_set"])
        for struck in outcome["struck"]:
            words = f"{struck['clause']} struck by {struck['place']}, {struck['ordinance']}"
            rows.append(_padded(Cell(name), Cell(words)))
        if not outcome["findings"]:
            practice = outcome["common_practice"]
            words = f"common practice, no requirement: {practice}" if practice else ""
            silent.setdefault(words, []).append(name)
    for words, names in silent.items():
        status = Cell("not regulated", status="not regulated")
        rows.append(_padded(Cell("; ".join(names)), Cell(words), status))
    return rows


def _padded(*cells: Cell) -> tuple[Cell, ...]:
    return (*cells, *(Cell("") for _ in FINDING_HEADERS[len(cells) :]))
