"""The file of boundary designs of one rule set: compact, generated, kept beside the rules."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from pathlib import Path

from deckclause.compare.coverage.boundary import BoundaryCase
from deckclause.evaluate.status import STATUS_WORDS
from deckclause.evaluate.words import fact_text
from deckclause.quantities import QuantityError, parse_quantity
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.schema_check import HINT
from deckclause.rulesets.translate_values import ValueTranslator
from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary
from deckclause.rulesets.yaml_tree import parse_tree

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
    """Write the file of a rule set's cases."""
    lines = [
        f"{HINT}../../schema/1/boundary.json",
        "# Written by `deckclause rules boundary-designs --write`. Each case: the clause, which of its",
        "# branches governs (0 itself, n its n-th exception, -n its n-th other reading), what it must",
        "# come to, and the facts of the design.",
        "boundary_designs: 1",
        f"under: {ruleset}",
        "cases:" if cases else "cases: []",
    ]
    lines += [_case_line(case, vocabulary) for case in cases]
    return "\n".join(lines) + "\n"


def _case_line(case: BoundaryCase, vocabulary: Vocabulary) -> str:
    facts = ", ".join(
        f"{name}: {_quoted(exact_text(value, vocabulary.quantities[name]))}"
        for name, value in sorted(case.facts.items())
    )
    status = STATUS_WORDS[case.status]
    return (
        f"  - {{of: {case.clause}, branch: {case.branch}, comes_to: {status}, facts: {{{facts}}}}}"
    )


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
    data = tree.data
    values = ValueTranslator(vocabulary, tree)
    words = {text: status for status, text in enumerate(STATUS_WORDS)}
    cases = []
    for i, entry in enumerate(data["cases"]):
        path = ("cases", i)
        facts: dict[str, Scalar] = {}
        for name, text in entry["facts"].items():
            definition = values.quantity(name, path)
            facts[name] = values.scalar(text, definition, path)
        cases.append(
            BoundaryCase(entry["of"], int(entry["branch"]), words[entry["comes_to"]], facts)
        )
    if values.problems:
        raise InputError(values.problems)
    return str(data["under"]), cases


def shipped_cases(
    root: Path, vocabulary: Vocabulary
) -> Iterator[tuple[Path, str, list[BoundaryCase]]]:
    """Yield path, rule set and cases of every file of boundary designs in a rules folder."""
    for path in sorted((root / FOLDER).glob("*.yaml")):
        name, cases = read_file(path.read_bytes(), str(path), vocabulary)
        yield path, name, cases
