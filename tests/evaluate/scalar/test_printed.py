"""Printed rule sets: whatever things are called they run, and a traceback shows their source."""

from __future__ import annotations

import linecache
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from deckclause.designs.design import Design
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.compile import compile_ruleset
from deckclause.evaluate.findings import evaluate
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.ready import make_ready
from deckclause.reading.exact import read_clause
from deckclause.reading.status import COMPLIES, DOES_NOT_COMPLY
from deckclause.rulesets.clauses import (
    Axis,
    ByChoice,
    Clause,
    Fixed,
    Limit,
    Lookup,
    MustBe,
    Origin,
    Table,
)
from deckclause.rulesets.clauses import (
    Test as Check,
)
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import QuantityDefinition
from support.designs import EXAMPLES
from support.small_rules import small_rules

RETURNED = QuantityDefinition("wall.handrail_returned", "yes_no", "", "")
BOARD = QuantityDefinition(
    "wall.board", "choice", "", "", choices=("returned_board", "return ", "m", "break")
)
DEPTH = QuantityDefinition("wall.return", "length", "", "")
QUANTITIES = {q.name: q for q in (RETURNED, BOARD, DEPTH)}
INCHES = {
    "returned_board": Fraction(2),
    "return ": Fraction(3),
    "m": Fraction(4),
    "break": Fraction(5),
}


def clause(key: str, requirement: Any) -> Clause:
    return Clause(key, "t", "1", "", requirement, "memory", (), Origin("r", "f", 1))


def ruleset() -> RuleSet:
    table = Table(
        'return "(get, D, 1)',
        "return (0, 1)",
        (Axis("wall.board", tuple(INCHES)),),
        tuple(INCHES.values()),
    )
    cases = tuple((choice, Fixed(value)) for choice, value in INCHES.items())
    clauses = (
        clause("return", MustBe(Check("wall.handrail_returned", options=(True,)))),
        clause("returned.by_choice", Limit("wall.return", least=ByChoice("wall.board", cases))),
        clause("def run_0(", Limit("wall.return", most=Lookup(table))),
    )
    return RuleSet("return", "", "edition", "", 2020, (), clauses, (), (), (table,), "", "")


def test_a_quantity_a_choice_and_a_table_may_be_called_return() -> None:
    evaluator = make_ready(compile_ruleset(ruleset(), QUANTITIES), QUANTITIES)
    for board, inches in INCHES.items():
        facts = {"wall.handrail_returned": False, "wall.board": board, "wall.return": inches + 1}
        design = PreparedDesign(Design("d", "", facts, {}, "", ""), QUANTITIES)
        rows = evaluator.rows(design)
        for index, _, result in rows:
            outcome = read_clause(evaluator.rule(index), facts).outcome
            assert result[0] == outcome.status
        assert [r[2][0] for r in rows] == [DOES_NOT_COMPLY, COMPLIES, DOES_NOT_COMPLY]


def test_a_returned_handrail_goes_through_every_command(tmp_path: Path) -> None:
    """The clause a newcomer tried first: handrail ends returned to the wall."""
    catalogue = small_rules(
        tmp_path,
        "\n  - {key: a, topic: t, cites: '1', says: s, must_be: {stairs.handrail_returned: yes}, standing: memory, sources: [memory]}\n",
    )
    path = tmp_path / "quantities.yaml"
    text = path.read_text()
    entry = (
        "  stairs.handrail_returned: {kind: yes_no, of: stairs, says: s, ask: 'Do they return?'}\n"
    )
    assert "quantities:\n" in text
    path.write_text(text.replace("quantities:\n", f"quantities:\n{entry}"))
    catalogue = Catalogue.open(tmp_path, cached=False)
    design = catalogue.design(EXAMPLES / "whole-deck-12x16.yaml")
    findings = evaluate(design, catalogue.evaluator("small"), catalogue.vocabulary).findings
    assert {f.status_words for f in findings} == {"information missing"}
    assert {f.missing for f in findings} == {("stairs.handrail_returned",)}


def test_a_traceback_shows_the_printed_line() -> None:
    evaluator = make_ready(compile_ruleset(ruleset(), QUANTITIES), QUANTITIES)
    facts = {"wall.handrail_returned": True, "wall.board": "m", "wall.return": "not a length"}
    design = PreparedDesign(Design("d", "", facts, {}, "", ""), QUANTITIES)
    with pytest.raises(TypeError) as caught:
        evaluator.rows(design)
    last = caught.traceback[-1]
    frame = last.frame.raw
    linecache.lazycache(frame.f_code.co_filename, frame.f_globals)
    line = linecache.getline(frame.f_code.co_filename, last.lineno + 1, frame.f_globals)
    assert ">=" in line
