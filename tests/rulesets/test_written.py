"""Groups, named exceptions, `minus` and several tests of one quantity say what the plain form says."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from deckclause.evaluate.words import ClauseWords
from deckclause.rulesets.clauses import Clause
from deckclause.rulesets.fingerprint import fingerprint
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.problems import InputError
from rulesets.small_rules import open_rules

HEAD = "ruleset: code-2021\nkind: edition\ntitle: A small code\nin_force: {published: 2021}\n"
CLAUSE = """
    topic: {topic}
    cites: "1"
    says: Words.
    standing: confirmed
    sources: [invented]
"""
FROST = CLAUSE.format(topic="frost")


def read(root: Path, body: str) -> tuple[list[Clause], dict[str, str]]:
    """Return the clauses of a rule set, their place left out, and their fingerprints."""
    open_rules(root)
    (root / "editions" / "code-2021.yaml").write_text(HEAD + body)
    loaded = RuleLibrary.open(root).load("code-2021")
    clauses = [
        replace(
            clause,
            origin=replace(clause.origin, file="", line=0),
            exceptions=tuple(replace(e, line=0) for e in clause.exceptions),
        )
        for clause in loaded.ruleset.clauses
    ]
    return clauses, {k: fingerprint(r, loaded.raw_tables) for k, r in loaded.raw_clauses.items()}


def same(root: Path, one: str, two: str) -> None:
    assert read(root / "one", one) == read(root / "two", two)


def test_a_group_says_its_condition_once(tmp_path: Path) -> None:
    limit = "    limit: site.frost_depth\n    at_most: 4 in\n"
    plain = (
        "clauses:\n"
        f"  - key: a{FROST}{limit}    applies: {{bolts.kind: lag}}\n"
        f"  - key: b{FROST}{limit}    applies: {{bolts.kind: lag, joists.span: {{at_most: 6 ft}}}}\n"
        f"  - key: c{FROST}{limit}    applies: {{all: [{{bolts.kind: lag}}, {{bolts.kind: bolt}}]}}\n"
    )
    inner = (
        f"  - key: a{FROST}{limit}"
        f"  - key: b{FROST}{limit}    applies: {{joists.span: {{at_most: 6 ft}}}}\n"
        f"  - key: c{FROST}{limit}    applies: {{bolts.kind: bolt}}\n"
    )
    indented = "".join(f"    {line}\n" for line in inner.splitlines())
    group = f"clauses:\n  - group: Lags\n    applies: {{bolts.kind: lag}}\n    clauses:\n{indented}"
    same(tmp_path, plain, group)


def test_a_named_exception_is_written_once(tmp_path: Path) -> None:
    limit = "    limit: site.frost_depth\n    at_most: 4 in\n"
    exception = "{when: {bolts.kind: lag}, says: Lags., cites: note a, at_most: 6 in}"
    other = "{when: {bolts.kind: bolt}, says: Bolts., at_most: 5 in}"
    plain = (
        "clauses:\n"
        f"  - key: a{FROST}{limit}    unless: [{exception}]\n"
        f"  - key: b{FROST}{limit}    unless: [{other}, {exception}]\n"
    )
    named = (
        f"exceptions:\n  lags: {exception}\nclauses:\n"
        f"  - key: a{FROST}{limit}    unless: [lags]\n"
        f"  - key: b{FROST}{limit}    unless: [{other}, lags]\n"
    )
    same(tmp_path, plain, named)


def test_an_exception_nobody_named_and_one_nobody_uses_are_told(tmp_path: Path) -> None:
    body = (
        "exceptions:\n  lags: {when: {bolts.kind: lag}, at_most: 6 in}\nclauses:\n"
        f"  - key: a{FROST}    limit: site.frost_depth\n    at_most: 4 in\n    unless: [lag]\n"
    )
    with pytest.raises(InputError) as fault:
        read(tmp_path, body)
    assert "line 16: clauses[0].unless[0]: there is no exception 'lag'" in str(fault.value)
    assert "Did you mean lags?" in str(fault.value)
    assert "line 6: exceptions.lags: no clause of this file names it" in str(fault.value)


def test_minus_is_a_sum_with_the_others_turned(tmp_path: Path) -> None:
    limit = "    limit: site.frost_depth\n    at_most: "
    turned = '{sum: [9 in, {product: ["-1", {reads: bolts.spacing}]}, {product: ["-1", 2 in]}]}'
    plain = f"clauses:\n  - key: a{FROST}{limit}{turned}\n"
    minus = f"clauses:\n  - key: a{FROST}{limit}{{minus: [9 in, {{reads: bolts.spacing}}, 2 in]}}\n"
    same(tmp_path, plain, minus)


def test_minus_is_read_aloud_as_less(tmp_path: Path) -> None:
    limit = "    limit: site.frost_depth\n    at_most: "
    body = f"clauses:\n  - key: a{FROST}{limit}{{minus: [9 in, {{reads: bolts.spacing}}, 2 in]}}\n"
    (clause,), _ = read(tmp_path, body)
    words = ClauseWords(RuleLibrary.open(tmp_path).vocabulary).requirement(clause.requirement)
    assert words.startswith("site frost depth at most 9 in less ")
    assert words.endswith(" less 2 in")


def test_minus_of_one_part_is_refused(tmp_path: Path) -> None:
    body = (
        f"clauses:\n  - key: a{FROST}    limit: site.frost_depth\n    at_most: {{minus: [9 in]}}\n"
    )
    with pytest.raises(InputError, match="minus needs a figure and what is taken from it"):
        read(tmp_path, body)


def test_one_quantity_is_tested_several_times_in_a_list(tmp_path: Path) -> None:
    limit = "    limit: site.frost_depth\n    at_most: 4 in\n    applies: "
    bounds = "{at_most: {reads: bolts.spacing}}", "{less_than: 9 in}"
    plain = f"{{joists.span: {bounds[0]}, all: [{{joists.span: {bounds[1]}}}]}}"
    several = f"{{joists.span: [{', '.join(bounds)}]}}"
    one, ones = read(tmp_path / "one", f"clauses:\n  - key: a{FROST}{limit}{plain}\n")
    two, twos = read(tmp_path / "two", f"clauses:\n  - key: a{FROST}{limit}{several}\n")
    assert ones == twos
    first, nested = one[0].applies.parts  # type: ignore[union-attr]
    assert (first, *nested.parts) == two[0].applies.parts  # type: ignore[union-attr]
