"""The starting design: every question of its parts, ten values stated, nothing to uncomment."""

from __future__ import annotations

import pytest

from deckclause.designs.read_design import design_of
from deckclause.evaluate.catalogue import Catalogue
from deckclause.quantities import parse_quantity
from deckclause.report.design_template import LEDGER_GROUPS, STARTERS, design_template
from deckclause.rulesets.problems import InputError


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


@pytest.mark.parametrize("full", [False, True])
def test_a_starting_design_states_its_ten_values_and_no_part_more(
    catalogue: Catalogue, full: bool
) -> None:
    text = design_template(catalogue.vocabulary, "a deck", full=full)
    design = design_of(text.encode(), "deck.yaml", catalogue.vocabulary)
    stated = {**design.facts, **{k: v for p in design.values("joists") for k, v in p.facts.items()}}
    assert set(stated) == set(STARTERS)
    assert stated["joists.span"] == parse_quantity("12 ft").value
    assert set(design.parts) == {"joists"}


@pytest.mark.parametrize("full", [False, True])
def test_every_question_of_its_parts_is_asked_once(catalogue: Catalogue, full: bool) -> None:
    vocabulary = catalogue.vocabulary
    lines = design_template(vocabulary, "a deck", full=full).splitlines()
    for definition in vocabulary.quantities.values():
        group, _, key = definition.name.partition(".")
        asked = group != "design" and (full or group in LEDGER_GROUPS)
        if asked and not (definition.provided or definition.derived):
            assert sum(line.startswith(f"  # {definition.ask}") for line in lines) >= 1
            assert any(line == f"  {key}:" or line.startswith(f"  {key}: ") for line in lines)


def test_an_answer_written_in_is_read_with_nothing_else_to_change(catalogue: Catalogue) -> None:
    text = design_template(catalogue.vocabulary, "a deck", full=True)
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
