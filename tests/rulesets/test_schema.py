"""The published schemas: valid, current, and agreeing with the engine's own reader."""

from __future__ import annotations

from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from deckclause.report.schemas import published_schemas, stale_schemas
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.schema import MODELS
from deckclause.rulesets.schema_check import (
    SchemaChecker,
    all_files,
    editor_hint,
    kind_of,
    load_schemas,
    plain_data,
)

LIBRARY = RuleLibrary.open()
SCHEMAS = published_schemas(LIBRARY.vocabulary)
CHECKER = SchemaChecker(SCHEMAS)
FILES = all_files(LIBRARY.files)


@pytest.mark.parametrize("name", sorted(SCHEMAS))
def test_each_schema_is_valid_against_the_meta_schema(name: str) -> None:
    """JSON Schema draft 2020-12's own meta-schema, as the jsonschema library carries it."""
    Draft202012Validator.check_schema(SCHEMAS[name])


def test_published_schemas_are_current() -> None:
    stale = stale_schemas(LIBRARY.files.root, LIBRARY.vocabulary)
    assert not stale, f"run `deckclause rules schema --write`: {[p.name for p in stale]}"
    assert set(load_schemas(LIBRARY.files.root)) == set(SCHEMAS)


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(LIBRARY.files.root)))
def test_every_rule_file_and_design_is_valid(path: Path) -> None:
    kind = kind_of(LIBRARY.files, path)
    faults = list(CHECKER.file_faults(path, kind, path.name))
    assert not faults, "\n".join(map(str, faults))


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(LIBRARY.files.root)))
def test_every_rule_file_carries_the_editor_hint(path: Path) -> None:
    kind = kind_of(LIBRARY.files, path)
    first = path.read_text().splitlines()[0]
    assert first == editor_hint(LIBRARY.files, path, kind)
    assert (path.parent / first.partition("$schema=")[2]).resolve().is_file()


@pytest.mark.parametrize("name", sorted(MODELS))
def test_every_field_has_a_description(name: str) -> None:
    bare = list(_without_description(SCHEMAS[name], name))
    assert not bare


def _without_description(schema: object, where: str) -> list[str]:
    found: list[str] = []
    if isinstance(schema, dict):
        for field, entry in schema.get("properties", {}).items():
            if not entry.get("description"):
                found.append(f"{where}.{field}")
        for key, entry in schema.items():
            found += _without_description(entry, f"{where}.{key}")
    return found


CLAUSE = {
    "part_of": "irc-2021",
    "clauses": [
        {
            "key": "joist_span",
            "topic": "deck_live_load",
            "cites": "R507",
            "says": "What it says.",
            "standing": "memory",
            "sources": ["memory"],
            "limit": "joists.span",
            "at_most": "12 ft",
        }
    ],
}


def _clause(**changes: object) -> dict[str, object]:
    clause = {**CLAUSE["clauses"][0], **changes}  # type: ignore[index]
    return {**CLAUSE, "clauses": [{k: v for k, v in clause.items() if v is not None}]}


def test_the_sample_clause_is_valid() -> None:
    assert not list(CHECKER.faults(_clause(), "ruleset-part", "f"))


@pytest.mark.parametrize(
    "changes",
    [
        {"key": "Joist Span"},
        {"topic": "no_such_topic"},
        {"sources": ["no-such-source"]},
        {"sources": []},
        {"standing": "certain"},
        {"standing": None},
        {"limit": "joists.spam"},
        {"at_msot": "12 ft"},
        {"applies": {"deck.attachment": "glued"}},
        {"applies": {"joists.span": {"at_mots": "12 ft"}}},
        {"applies": {"joists.span": "12"}},
        {"applies": {"no.such": "12 ft"}},
        {"applies": {"any": []}},
        {"at_most": {"sum": ["1 ft"], "least": ["1 ft"]}},
        {"at_most": {"share_of": "joists.spam", "share": "1/4"}},
        {"provides": "loads.deck_live_load"},
        {"assumes": {"loads.deck_dead_load": "10"}},
    ],
    ids=str,
)
def test_a_fault_is_found(changes: dict[str, object]) -> None:
    assert list(CHECKER.faults(_clause(**changes), "ruleset-part", "f"))


@pytest.mark.parametrize(
    "change",
    [
        {"set": {"site.ground_snow_load": "40 psf"}, "strike": "a"},
        {"replace": "a", "fingerprint": "0"},
        {"cells": "ledger_spacing"},
        {"section": "4"},
    ],
    ids=str,
)
def test_a_change_is_one_change(change: dict[str, object]) -> None:
    data = {
        "amendment": "a", "title": "A", "place": "A", "edition": "irc-2021", "ordinance": "1",
        "adopted": "2024-01-01", "sources": ["memory"], "changes": [change],
    }  # fmt: skip
    assert list(CHECKER.faults(data, "amendment", "f"))


@pytest.mark.parametrize(
    ("design", "right"),
    [
        ("design: 1\njoists: {span: 12 ft}", True),
        ("design: 1\njoists: {span: '?', size: 2x10}", True),
        ("design: 1\njoists: {span: }", True),
        ("design: 1\njoists: [{name: A, span: 12 ft}, {name: B}]", True),
        ("design: 1\nledger: {flashed: yes}", True),
        ("design: 1\nledger: {flashed: true}", True),
        ("joists: {span: 12 ft}", False),
        ("design: 2", False),
        ("design: 1\njoists: {span: 12}", False),
        ("design: 1\nledger: {size: 2x9}", False),
        ("design: 1\nledger: {depth: 9-1/4 in}", False),
        ("design: 1\nloads: {deck_live_load: 40 psf}", False),
        ("design: 1\nbalcony: {}", False),
    ],
)
def test_designs(design: str, right: bool) -> None:
    data = plain_data(design.encode(), "f")
    assert right == (not list(CHECKER.faults(data, "design", "f")))
