"""Findings of the rule checks as SARIF 2.1.0, for annotations in code review.

Source: OASIS, Static Analysis Results Interchange Format (SARIF) Version 2.1.0, 2020.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any
from urllib.parse import quote

import deckclause
from deckclause.report.rule_sets.lint_text import PAGES
from deckclause.upkeep.lint.finding import Check, LintFinding

VERSION = "2.1.0"
SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)


def lint_sarif(found: Sequence[LintFinding], checks: Sequence[Check]) -> str:
    """Write findings as a SARIF log with one run."""
    index = {check.name: i for i, check in enumerate(checks)}
    driver = {
        "name": "deckclause rules lint",
        "version": deckclause.__version__,
        "rules": [_rule(check) for check in checks],
    }
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "results": [_result(finding, index[finding.check]) for finding in found],
    }
    log = {"$schema": SCHEMA, "version": VERSION, "runs": [run]}
    return json.dumps(log, indent=1, ensure_ascii=False)


def _rule(check: Check) -> dict[str, Any]:
    return {
        "id": check.name,
        "shortDescription": {"text": check.says},
        "help": {"text": f"See {PAGES}/{check.name}.md"},
        "defaultConfiguration": {"level": check.level},
    }


def _result(finding: LintFinding, index: int) -> dict[str, Any]:
    place: dict[str, Any] = {
        "artifactLocation": {"uri": quote(finding.place.file.replace("\\", "/"), safe="/@:")}
    }
    if finding.place.line:
        place["region"] = {"startLine": finding.place.line}
    return {
        "ruleId": finding.check,
        "ruleIndex": index,
        "level": finding.level,
        "message": {"text": finding.message},
        "locations": [{"physicalLocation": place}],
    }
