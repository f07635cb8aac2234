"""Seeded single changes of the shipped rule files, of the kinds a slip of the hand makes."""

from __future__ import annotations

import copy
import random
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from deckclause.rulesets.files import default_root
from deckclause.rulesets.round_trip import dump_round_trip, load_round_trip
from support.written_out import written_out

Change = Callable[[Any, random.Random], str]
FIGURE = re.compile(r"^(\d+)(.*)$", re.DOTALL)


@dataclass(frozen=True)
class Mutation:
    """One change: the file, the file's new text, and the change in words."""

    ruleset: str
    file: Path
    text: str
    says: str


def mutations(count: int, seed: int) -> list[Mutation]:
    """Return `count` mutations, the same for the same seed and the same files."""
    rng = random.Random(seed)
    root = default_root()
    files = sorted(p for k in ("editions", "guides") for p in (root / k).rglob("*.yaml"))
    files = [p for p in files if p.name != "ruleset.yaml"]
    found: list[Mutation] = []
    while len(found) < count:
        path = rng.choice(files)
        name, change = rng.choice(CHANGES)
        data = load_round_trip(written_out(root, path))
        before = copy.deepcopy(data)
        says = change(data, rng)
        if says and data != before:
            text = dump_round_trip(data)
            found.append(Mutation(path.parent.name, path, text, f"{name}: {says}"))
    return found


def _other_figure(text: str, rng: random.Random) -> str:
    found = FIGURE.match(text)
    if found is None:
        return text
    return f"{int(found[1]) + rng.choice((1, 2, 10))}{found[2]}"


def _clauses(data: Any) -> list[Any]:
    return list(data.get("clauses") or [])


def _clause(data: Any, rng: random.Random, *keys: str) -> Any:
    fit = [c for c in _clauses(data) if any(k in c for k in keys)]
    return rng.choice(fit) if fit else None


def cell(data: Any, rng: random.Random) -> str:
    tables = data.get("tables") or {}
    if not tables:
        return ""
    name = rng.choice(sorted(tables))
    row = tables[name]["cells"]
    where = [name]
    while not isinstance(row, list):
        key = rng.choice(sorted(row))
        where.append(key)
        row = row[key]
    place = rng.randrange(len(row))
    old = row[place]
    row[place] = _other_figure(old, rng)
    return f"{'/'.join(where)}[{place}] {old} -> {row[place]}"


def bound(data: Any, rng: random.Random) -> str:
    clause = _clause(data, rng, "at_least", "at_most", "exactly")
    if clause is None:
        return ""
    word = rng.choice([w for w in ("at_least", "at_most", "exactly") if w in clause])
    old = clause[word]
    if not isinstance(old, str):
        return ""
    clause[word] = _other_figure(old, rng)
    return f"{clause['key']} {word} {old} -> {clause[word]}"


def turned_bound(data: Any, rng: random.Random) -> str:
    clause = _clause(data, rng, "at_least", "at_most")
    if clause is None or ("at_least" in clause and "at_most" in clause):
        return ""
    old, new = ("at_least", "at_most") if "at_least" in clause else ("at_most", "at_least")
    clause[new] = clause.pop(old)
    return f"{clause['key']} {old} -> {new}"


def dropped_exception(data: Any, rng: random.Random) -> str:
    clause = _clause(data, rng, "unless")
    if clause is None:
        return ""
    place = rng.randrange(len(clause["unless"]))
    del clause["unless"][place]
    if not clause["unless"]:
        del clause["unless"]
    return f"{clause['key']} exception {place + 1}"


def dropped_clause(data: Any, rng: random.Random) -> str:
    clauses = data.get("clauses") or []
    if not clauses:
        return ""
    place = rng.randrange(len(clauses))
    key = clauses[place]["key"]
    del clauses[place]
    return str(key)


def dropped_condition(data: Any, rng: random.Random) -> str:
    clause = _clause(data, rng, "applies", "scope")
    if clause is None:
        return ""
    word = rng.choice([w for w in ("applies", "scope") if w in clause])
    names = [n for n in clause[word] if n not in ("all", "any", "not")]
    if not names:
        return ""
    name = rng.choice(sorted(names))
    del clause[word][name]
    if not clause[word]:
        del clause[word]
    return f"{clause['key']} {word} {name}"


def condition_figure(data: Any, rng: random.Random) -> str:
    spots: list[tuple[Any, str, str]] = []
    for clause in _clauses(data):
        for word in ("applies", "scope", "must_be"):
            for name, test in (clause.get(word) or {}).items():
                if isinstance(test, dict):
                    spots += [
                        (test, b, f"{clause['key']} {name}")
                        for b in test
                        if isinstance(test[b], str)
                    ]
    if not spots:
        return ""
    test, word, where = rng.choice(spots)
    old = test[word]
    test[word] = _other_figure(old, rng)
    return f"{where} {word} {old} -> {test[word]}"


RULES = (
    "applies", "scope", "unless", "readings", "must_be", "not_permitted", "at_least", "at_most",
    "exactly", "one_of", "value",
)  # fmt: skip
WORDS = {"says", "cites", "note", "standing", "sources", "scope_says", "reads", "table"}


def _leaves(data: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, Any, tuple[Any, ...]]]:
    """Return every text in what a clause asks: its container, its key or place, and the way there."""
    entries: list[tuple[Any, Any]] = []
    if isinstance(data, dict):
        entries = [(k, v) for k, v in data.items() if k not in WORDS]
    elif isinstance(data, list):
        entries = list(enumerate(data))
    found: list[tuple[Any, Any, tuple[Any, ...]]] = []
    for key, inner in entries:
        if isinstance(inner, str):
            found.append((data, key, (*path, key)))
        else:
            found += _leaves(inner, (*path, key))
    return found


def _spots(data: Any, fits: Callable[[str], bool]) -> list[tuple[Any, Any, str]]:
    return [
        (container, key, f"{clause['key']} {word}/{'/'.join(map(str, path))}")
        for clause in _clauses(data)
        for word in RULES
        if word in clause
        for container, key, path in (
            [(clause, word, ())] if isinstance(clause[word], str) else _leaves(clause[word])
        )
        if fits(container[key])
    ]


def figure_anywhere(data: Any, rng: random.Random) -> str:
    spots = _spots(data, lambda text: FIGURE.match(text) is not None)
    if not spots:
        return ""
    container, key, where = rng.choice(spots)
    old = container[key]
    container[key] = _other_figure(old, rng)
    return f"{where} {old} -> {container[key]}"


def turned_answer(data: Any, rng: random.Random) -> str:
    spots = _spots(data, lambda text: text in ("yes", "no"))
    if not spots:
        return ""
    container, key, where = rng.choice(spots)
    old = container[key]
    container[key] = "no" if old == "yes" else "yes"
    return f"{where} {old} -> {container[key]}"


def dropped_choice(data: Any, rng: random.Random) -> str:
    spots = _spots(data, lambda text: FIGURE.match(text) is None and text not in ("yes", "no"))
    lists = [s for s in spots if isinstance(s[0], list) and len(s[0]) > 1]
    if not lists:
        return ""
    container, place, where = rng.choice(lists)
    return f"{where} without {container.pop(place)}"


def column(data: Any, rng: random.Random) -> str:
    tables = data.get("tables") or {}
    figures = [
        (table["columns"], place, name)
        for name, table in sorted(tables.items())
        for place, key in enumerate(table.get("columns") or [])
        if FIGURE.match(key)
    ]
    if not figures:
        return ""
    columns, place, name = rng.choice(figures)
    old = columns[place]
    columns[place] = _other_figure(old, rng)
    return f"{name} column {old} -> {columns[place]}"


def unit(data: Any, rng: random.Random) -> str:
    clause = _clause(data, rng, "at_least", "at_most")
    if clause is None:
        return ""
    for word in ("at_least", "at_most"):
        if isinstance(clause.get(word), str) and clause[word].endswith(" in"):
            clause[word] = clause[word].removesuffix(" in") + rng.choice((" ft", " psf", ""))
            return f"{clause['key']} {word} {clause[word]}"
    return ""


def source(data: Any, rng: random.Random) -> str:
    clause = _clause(data, rng, "sources")
    if clause is None:
        return ""
    clause["sources"][0] = str(clause["sources"][0])[:-1] + "x"
    return f"{clause['key']} {clause['sources'][0]}"


def standing(data: Any, rng: random.Random) -> str:
    clause = _clause(data, rng, "standing")
    if clause is None:
        return ""
    if rng.random() < 0.5:
        del clause["standing"]
        return f"{clause['key']} none"
    if list(clause["sources"]) != ["memory"]:
        return ""
    clause["standing"] = "confirmed"
    return f"{clause['key']} confirmed from memory"


def topic(data: Any, rng: random.Random) -> str:
    clause = _clause(data, rng, "topic")
    topics = sorted({c["topic"] for c in _clauses(data)} - {clause["topic"]}) if clause else []
    if not topics:
        return ""
    clause["topic"] = rng.choice(topics)
    return f"{clause['key']} on {clause['topic']}"


def key_letter(data: Any, rng: random.Random) -> str:
    clause = _clause(data, rng, "limit", "provides")
    if clause is None:
        return ""
    word = "limit" if "limit" in clause else "provides"
    clause[word] = clause[word][:-1]
    return f"{clause['key']} {clause[word]}"


CHANGES: tuple[tuple[str, Change], ...] = (
    ("figure of a cell", cell),
    ("figure of a limit", bound),
    ("limit turned round", turned_bound),
    ("exception dropped", dropped_exception),
    ("clause dropped", dropped_clause),
    ("condition dropped", dropped_condition),
    ("figure of a condition", condition_figure),
    ("figure anywhere", figure_anywhere),
    ("yes or no turned", turned_answer),
    ("choice dropped", dropped_choice),
    ("column of a table", column),
    ("unit", unit),
    ("source", source),
    ("standing", standing),
    ("topic", topic),
    ("quantity misspelt", key_letter),
)
