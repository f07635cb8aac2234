"""A comparison written as JSON holds to its published schema."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from deckclause.answers.compare.build import compare_answer
from deckclause.compare.comparison import compare
from deckclause.evaluate.catalogue import Catalogue
from deckclause.report.comparison.json import comparison_json
from deckclause.report.comparison.result_model import ComparisonResult
from deckclause.rulesets.schema_check import SchemaChecker, load_schemas

CATALOGUE = Catalogue.open()
EXAMPLES = sorted((CATALOGUE.files.root / "examples").glob("*.yaml"))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_a_comparison_is_valid_against_its_schema(path: Path) -> None:
    design = CATALOGUE.design(path)
    comparison = compare(CATALOGUE, design, ["irc-2009", "irc-2012", "irc-2021"])
    text = comparison_json(compare_answer(comparison, CATALOGUE.vocabulary, depth=True))
    checker = SchemaChecker(load_schemas(CATALOGUE.files.root))
    faults = list(checker.faults(json.loads(text), "result", path.name))
    assert not faults, "\n".join(map(str, faults))
    assert ComparisonResult.model_validate_json(text).exit_status == comparison.exit_status


def test_a_result_with_a_strange_status_is_refused() -> None:
    design = CATALOGUE.design(EXAMPLES[0])
    comparison = compare(CATALOGUE, design, ["irc-2012"], topics=["ledger_size"])
    data = json.loads(comparison_json(compare_answer(comparison, CATALOGUE.vocabulary, depth=True)))
    data["topics"][0]["outcomes"][0]["status"] = "probably fine"
    checker = SchemaChecker(load_schemas(CATALOGUE.files.root))
    assert list(checker.faults(data, "result", "f"))
