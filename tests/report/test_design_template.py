"""The starting files: a few lines of what a builder draws, and the form of every question."""

from __future__ import annotations

from pathlib import Path

import pytest

from deckclause.cli.main import run
from deckclause.designs.read_design import design_of
from deckclause.evaluate.catalogue import Catalogue
from deckclause.quantities import parse_quantity
from deckclause.report.design_template import (
    STARTERS,
    design_form,
    questions_by_part,
    starting_file,
)
from deckclause.rulesets.problems import InputError

HOUSE_AND_GROUND = ("wall.", "band_joist.", "floor.", "site.", "doors.")


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


@pytest.mark.parametrize("full", [False, True])
def test_a_starting_design_states_what_a_builder_draws_and_nothing_of_the_house(
    catalogue: Catalogue, full: bool
) -> None:
    vocabulary = catalogue.vocabulary
    text = (
        design_form(vocabulary, "a deck")
        if full
        else starting_file(vocabulary, "a deck", "deck.yaml")
    )
    design = design_of(text.encode(), "deck.yaml", vocabulary)
    stated = {**design.facts, **{k: v for p in design.values("joists") for k, v in p.facts.items()}}
    assert set(stated) == set(STARTERS)
    assert not [name for name in stated if name.startswith(HOUSE_AND_GROUND)]
    assert stated["joists.span"] == parse_quantity("12 ft").value
    assert set(design.parts) == {"joists"}


def test_a_deck_of_one_field_begins_with_ten_to_twenty_short_lines(catalogue: Catalogue) -> None:
    lines = starting_file(catalogue.vocabulary, "my deck", "my-deck.yaml").splitlines()
    assert len(lines) in range(10, 21)
    assert max(map(len, lines)) <= 100


def test_what_a_starting_file_does_not_say_is_asked_and_passes_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "deck.yaml"
    assert run(["new", "design", str(path)]) == 0
    assert run(["compare", str(path), "--under", "irc-2021"]) == 3
    told = capsys.readouterr().out
    assert "DOES IT HOLD TOGETHER? NOT KNOWN" in told
    assert "questions on" in told


def test_every_question_of_the_form_is_asked_once(catalogue: Catalogue) -> None:
    lines = design_form(catalogue.vocabulary, "a deck").splitlines()
    for definitions in questions_by_part(catalogue.vocabulary).values():
        for definition in definitions:
            key = definition.name.partition(".")[2]
            assert sum(line.startswith(f"  # {definition.ask}") for line in lines) >= 1
            assert any(line == f"  {key}:" or line.startswith(f"  {key}: ") for line in lines)


def test_a_part_is_named_as_a_builder_says_it_and_its_questions_stand_alone(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["new", "design", "--part", "stair", "--part", "band joist"]) == 0
    parts = [line for line in capsys.readouterr().out.splitlines() if line.startswith("# ---")]
    assert parts == ["# --- The band joist", "# --- Stairs"]
    assert run(["new", "design", "--part", "lodger"]) == 2
    assert "Did you mean ledger?" in capsys.readouterr().err


def test_an_answer_written_in_is_read_with_nothing_else_to_change(catalogue: Catalogue) -> None:
    text = design_form(catalogue.vocabulary, "a deck")
    filled = text.replace("  frost_depth:\n", "  frost_depth: 36 in\n", 1)
    design = design_of(filled.encode(), "deck.yaml", catalogue.vocabulary)
    assert design.facts["site.frost_depth"] == 36


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("design: 1\nsays: a step: down\n", "must stand in quotation marks"),
        ("design: 1\n# site:\n  frost_depth: 3 in\n", "still behind a #"),
        ("design: 1\ndeck: {veneer: brick}\n", "It belongs to `wall:`"),
    ],
)
def test_a_slip_of_the_file_is_told_with_its_cure(
    catalogue: Catalogue, text: str, told: str
) -> None:
    with pytest.raises(InputError) as refused:
        design_of(text.encode(), "deck.yaml", catalogue.vocabulary)
    assert told in refused.value.problems[0].message
