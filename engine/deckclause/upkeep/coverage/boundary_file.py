"""The file of boundary designs of one rule set: compact, generated, kept beside the rules."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

from deckclause.evaluate.status import STATUS_WORDS
from deckclause.evaluate.words import fact_text
from deckclause.quantities import QuantityError, parse_quantity
from deckclause.reading.branch import OWN, Branch, exception, reading
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.schema_check import HINT
from deckclause.rulesets.translate_values import ValueTranslator
from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary
from deckclause.rulesets.yaml_tree import Tree, parse_tree
from deckclause.upkeep.coverage.cases import BoundaryCase

FOLDER = Path("examples") / "boundary"
UNITS = {
    "length": "in",
    "load": "psf",
    "force": "lb",
    "line_load": "plf",
    "angle": "deg",
    "area": "sq ft",
}
PER_UNIT = {"load": Fraction(144), "line_load": Fraction(12), "area": Fraction(1, 144)}


def file_name(ruleset: str) -> str:
    """Name the file of a rule set.

    >>> file_name("Tarn Hollow@2025-01-01")
    'tarn-hollow-2025-01-01.yaml'
    """
    return re.sub(r"[^a-z0-9]+", "-", ruleset.lower()).strip("-") + ".yaml"


def file_text(ruleset: str, cases: Sequence[BoundaryCase], vocabulary: Vocabulary) -> str:
    """Write the file of a rule set's cases: those alike in all but figures in one table."""
    lines = [
        f"{HINT}../../schema/1/boundary.json",
        "# Written by `deckclause rules boundary-designs --write`. Each entry: a clause, which of its",
        "# branches governs (0 itself, n its n-th exception, -n its n-th other reading), what it must",
        "# come to, and designs: the facts they share, then a line a design of those that differ.",
        "boundary_designs: 1",
        f"under: {ruleset}",
        "cases:" if cases else "cases: []",
    ]
    for group in grouped(cases):
        lines += _group_lines(group, vocabulary)
    return "\n".join(lines) + "\n"


def grouped(cases: Sequence[BoundaryCase]) -> list[list[BoundaryCase]]:
    """Gather cases of one clause that come to the same and state the same facts, in order."""
    groups: dict[object, list[BoundaryCase]] = {}
    for case in cases:
        stated = tuple(sorted(case.facts)), tuple(sorted(case.sets))
        key = case.clause, case.branch, case.status, tuple(case.gives.items()), stated
        groups.setdefault(key, []).append(case)
    return list(groups.values())


def _group_lines(group: list[BoundaryCase], vocabulary: Vocabulary) -> Iterator[str]:
    first = group[0]
    rows = [
        {n: exact_text(v, vocabulary.quantities[n]) for n, v in {**c.facts, **c.sets}.items()}
        for c in group
    ]
    differ = [n for n in sorted(rows[0]) if len({row[n] for row in rows}) > 1]
    always = [f"{n}: {_quoted(rows[0][n])}" for n in sorted(rows[0]) if n not in differ]
    head = f"of: {first.clause}, branch: {code_of(first.branch)}, comes_to: {STATUS_WORDS[first.status]}"
    for name, value in first.gives.items():
        head += f", gives: {{{name}: {_quoted(exact_text(value, vocabulary.quantities[name]))}}}"
    if not differ and not first.sets:
        yield f"  - {{{head}, always: {{{', '.join(always)}}}}}"
        return
    yield from (f"  {'-' if i == 0 else ' '} {part}" for i, part in enumerate(head.split(", ")))
    if always:
        yield f"    always: {{{', '.join(always)}}}"
    if first.sets:
        yield f"    place_sets: [{', '.join(sorted(first.sets))}]"
    if differ:
        yield f"    differ: [{', '.join(differ)}]"
        yield "    designs: |"
        yield from (f"      {'; '.join(row[n] for n in differ)}" for row in rows)


def _quoted(text: str) -> str:
    return f'"{text}"' if re.search(r"[:{}\[\],&*#?|<>=!%@\\'\"]", text) else text


def exact_text(value: Scalar, definition: QuantityDefinition) -> str:
    """Write a fact so that reading it gives the same value: as a carpenter would where that does."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return value
    text = fact_text(value, definition)
    if definition.dimension is not None:
        try:
            if parse_quantity(text, definition.dimension).value == value:
                return text
        except QuantityError:
            pass
    per = PER_UNIT.get(definition.kind, Fraction(1))
    unit = UNITS.get(definition.kind, "")
    return f"{value * per} {unit}".strip()


def read_file(content: bytes, file: str, vocabulary: Vocabulary) -> tuple[str, list[BoundaryCase]]:
    """Read a file of boundary designs: the rule set's name and its cases. Raises InputError."""
    from deckclause.rulesets.boundary_model import BoundaryFile
    from deckclause.rulesets.check import check_shape

    tree = parse_tree(content, file)
    check_shape(tree, BoundaryFile)
    reader = _FileReader(tree, vocabulary)
    cases = [case for i, entry in enumerate(tree.data["cases"]) for case in reader.cases(entry, i)]
    if reader.values.problems:
        raise InputError(reader.values.problems)
    return str(tree.data["under"]), cases


def code_of(branch: Branch) -> str:
    """Write a branch as the files do: 0 the clause's own words, n its n-th exception, -n a reading.

    >>> code_of(exception(2)), branch_of("-1")
    ('2', Branch(kind='reading', number=1))
    """
    return f"-{branch.number}" if branch.is_reading else str(branch.number)


def branch_of(code: str) -> Branch:
    """Read a branch as the files write it."""
    number = int(code)
    return OWN if number == 0 else exception(number) if number > 0 else reading(-number)


class _FileReader:
    """Reads the entries of one file."""

    def __init__(self, tree: Tree, vocabulary: Vocabulary) -> None:
        self.values = ValueTranslator(vocabulary, tree)
        self._statuses = {text: status for status, text in enumerate(STATUS_WORDS)}
        self._scalars: dict[tuple[str, str], Scalar] = {}

    def cases(self, entry: dict[str, Any], at: int) -> Iterator[BoundaryCase]:
        path: tuple[str | int, ...] = ("cases", at)
        names = entry.get("differ") or []
        sets = frozenset(entry.get("place_sets") or [])
        shared = {n: self._scalar(n, text, path) for n, text in (entry.get("always") or {}).items()}
        for row in (entry.get("designs") or "").splitlines() if names else [""]:
            texts = row.split("; ") if names else []
            if len(texts) != len(names):
                self.values.fault((*path, "designs"), f"{row!r} should have {len(names)} values")
                continue
            found = {**shared}
            found |= {n: self._scalar(n, t, path) for n, t in zip(names, texts, strict=True)}
            yield BoundaryCase(
                entry["of"],
                branch_of(entry["branch"]),
                self._statuses[entry["comes_to"]],
                {n: v for n, v in found.items() if n not in sets},
                {n: v for n, v in found.items() if n in sets},
                {n: self._scalar(n, t, path) for n, t in (entry.get("gives") or {}).items()},
            )

    def _scalar(self, name: str, text: str, path: tuple[str | int, ...]) -> Scalar:
        if (name, text) not in self._scalars:
            definition = self.values.quantity(name, path)
            self._scalars[name, text] = self.values.scalar(text, definition, path)
        return self._scalars[name, text]


def shipped_cases(
    root: Path, vocabulary: Vocabulary
) -> Iterator[tuple[Path, str, list[BoundaryCase]]]:
    """Yield path, rule set and cases of every file of boundary designs in a rules folder."""
    for path in sorted((root / FOLDER).glob("*.yaml")):
        name, cases = read_file(path.read_bytes(), str(path), vocabulary)
        yield path, name, cases
