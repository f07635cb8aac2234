"""The rule checks' SARIF holds to the published JSON Schema of SARIF 2.1.0 (OASIS 2020)."""

from __future__ import annotations

import copy
import json
import re
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft7Validator

from deckclause.report.rule_sets.lint_sarif import lint_sarif
from deckclause.upkeep.lint.finding import LEVELS, LintFinding, Place
from deckclause.upkeep.lint.run import CHECKS

SCHEMA = json.loads((Path(__file__).parent / "sarif" / "sarif-schema-2.1.0.json").read_text())
VALIDATOR = Draft7Validator(SCHEMA)
FINDINGS = [
    LintFinding(check.name, check.level, place, f"{check.says}: here", "a subject")
    for check in CHECKS
    for place in (
        Place("editions/irc-2018/ledger.yaml", 12),
        Place("a folder/é.yaml"),
        Place("irc-2018"),
    )
]


def _log(found: list[LintFinding]) -> Any:
    return json.loads(lint_sarif(found, CHECKS))


def test_the_schema_is_that_of_the_standard() -> None:
    Draft7Validator.check_schema(SCHEMA)
    assert SCHEMA["$id"].endswith("oasis-tcs/sarif-spec/master/Schemata/sarif-schema-2.1.0.json")
    assert SCHEMA["title"].endswith("(SARIF) Version 2.1.0 JSON Schema")


def test_every_check_with_and_without_a_line() -> None:
    log = _log(FINDINGS)
    assert [e.message for e in VALIDATOR.iter_errors(log)] == []
    assert len(log["runs"][0]["results"]) == 3 * len(CHECKS)
    uris = [
        r["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
        for r in log["runs"][0]["results"]
    ]
    assert all(re.fullmatch(r"[A-Za-z0-9%/@:._~-]+", uri) for uri in uris)  # RFC 3986
    assert {f.level for f in FINDINGS} == set(LEVELS)


def test_no_finding_at_all() -> None:
    log = _log([])
    assert VALIDATOR.is_valid(log)
    assert log["runs"][0]["results"] == []


@pytest.mark.parametrize(
    ("way", "value"),
    [
        (("level",), "fatal"),
        (("message",), {}),
        (("ruleIndex",), -2),
        (("locations", 0, "physicalLocation", "region", "startLine"), 0),
        (("locations", 0, "physicalLocation", "artifactLocation", "uri"), 5),
        (("severity",), "high"),
    ],
)
def test_the_schema_refuses_a_log_that_is_wrong(way: tuple[str | int, ...], value: object) -> None:
    """So that holding to it says something."""
    log = copy.deepcopy(_log(FINDINGS[:1]))
    part = log["runs"][0]["results"][0]
    for step in way[:-1]:
        part = part[step]
    part[way[-1]] = value
    assert not VALIDATOR.is_valid(log)
