"""A step down measured at a door against the parts it adds up from."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckclause.designs.consistency.doors import door_contradictions
from deckclause.designs.consistency.parts import consistency_faults
from deckclause.designs.geometry import STEP_DOWN_PARTS
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.columns.chunk import chunk_of_designs, design_of_facts
from deckclause.evaluate.columns.consistent import inconsistent_rows
from deckclause.evaluate.columns.derive import fact_table
from deckclause.evaluate.columns.units import Units
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.problems import InputError

EXAMPLE = Path(__file__).resolve().parents[2] / "rules" / "examples" / "step-down-3in.yaml"
PARTS = dict(zip(STEP_DOWN_PARTS, map(Fraction, ("1/2", "3/4", "3/4", "3", "-1")), strict=True))
LENGTHS = st.fractions(min_value=-12, max_value=12, max_denominator=16)


@given(st.lists(LENGTHS, min_size=5, max_size=5), LENGTHS)
def test_only_a_step_down_that_is_not_the_sum_contradicts(
    parts: list[Fraction], off: Fraction
) -> None:
    facts = dict(zip(STEP_DOWN_PARTS, parts, strict=True))
    stated = {**facts, "doors.step_down": sum(parts) + off}
    assert bool(list(door_contradictions(stated))) == (off != 0)


@pytest.mark.parametrize("left_out", STEP_DOWN_PARTS)
def test_what_is_not_known_contradicts_nothing(left_out: str) -> None:
    facts = {name: value for name, value in PARTS.items() if name != left_out}
    assert not list(door_contradictions({**facts, "doors.step_down": Fraction(30)}))


def test_a_deck_on_its_own_posts_is_not_held_to_a_ledger() -> None:
    facts = {**PARTS, "doors.step_down": Fraction(30), "deck.attachment": "freestanding"}
    assert not list(door_contradictions(facts))


def test_a_design_file_that_contradicts_itself_is_refused_with_its_line(tmp_path: Path) -> None:
    file = tmp_path / "deck.yaml"
    text = EXAMPLE.read_text(encoding="utf-8")
    file.write_text(text.replace("doors: {", "doors: {step_down: 3 in, "), encoding="utf-8")
    with pytest.raises(InputError) as refused:
        Catalogue.open(cached=False).design(file)
    (problem,) = refused.value.problems
    line = text[: text.index("doors: {")].count("\n") + 1
    assert problem.line == line
    assert "is not the 4 in that threshold" in problem.message


def test_columns_find_the_same_rows_as_reading_each_file() -> None:
    vocabulary = Catalogue.open().vocabulary
    base = {**PARTS, "decking.thickness": Fraction(1), "joists.below_ledger_top": Fraction(0)}
    del base["deck.surface_below_ledger_top"]
    rows: list[dict[str, Scalar]] = []
    for left_out in (None, *base):
        for step in ("4", "3", "7"):
            for attachment in ("ledger", "freestanding"):
                facts = {name: value for name, value in base.items() if name != left_out}
                stated = {"doors.step_down": Fraction(step), "deck.attachment": attachment}
                rows.append({**facts, **stated})
    designs = [design_of_facts(facts, vocabulary) for facts in rows]
    chunk = chunk_of_designs(designs, vocabulary)
    found = inconsistent_rows(chunk, fact_table(chunk, vocabulary, Units({}), {}), vocabulary)
    told = {row: [f.message for f in consistency_faults(d)] for row, d in enumerate(designs)}
    assert found == {row: "; ".join(faults) for row, faults in told.items() if faults}
    assert found
