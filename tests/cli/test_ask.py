"""Asking through a design: each answer lands in the file, comments stay, faults are told."""

from __future__ import annotations

import io
from fractions import Fraction
from pathlib import Path

import pytest

from deckclause.cli.ask import Asking
from deckclause.cli.main import run
from deckclause.designs.derive.facts import derived_facts
from deckclause.designs.derive.rests_on import RESTS_ON
from deckclause.evaluate.catalogue import Catalogue


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


def asking(catalogue: Catalogue, path: Path, typed: list[str]) -> tuple[Asking, list[str]]:
    told: list[str] = []
    lines = iter(typed)
    return Asking(catalogue, ["irc-2018"], path, lambda _: next(lines, None), told.append), told


def test_an_answer_is_written_where_it_belongs_and_comments_stay(
    catalogue: Catalogue, tmp_path: Path
) -> None:
    deck = tmp_path / "deck.yaml"
    deck.write_text(
        "design: 1\nname: Porch  # the Larks'\ndeck: {attachment: ledger}\nsite: {ground_snow_load: 30 psf}\njoists:\n  size: 2x8\n"
    )
    it, told = asking(catalogue, deck, ["banana", "?", "SYP", "q"])
    question = next(q for q in it.questions() if q.quantity == "joists.species")
    assert it.ask(question, 1)
    text = deck.read_text()
    assert "# the Larks'" in text
    assert "species: southern_pine" in text
    assert any("banana" in line for line in told)
    assert any(line.strip().startswith("one of: southern pine") for line in told)
    assert any("read as southern pine" in line for line in told)
    assert "joists.species" not in {q.quantity for q in it.questions()}


def test_the_most_deciding_question_comes_first_and_one_is_never_asked_twice(
    catalogue: Catalogue, tmp_path: Path
) -> None:
    deck = tmp_path / "deck.yaml"
    deck.write_text("design: 1\ndeck: {attachment: ledger}\n")
    it, told = asking(catalogue, deck, [""] * 6)
    counts = [len(q.topics) for q in it.questions()]
    assert counts == sorted(counts, reverse=True)
    it.through(6)
    asked = [line for line in told if " open. " in line]
    assert len(asked) == 6
    assert len({line.split(" open. ")[1] for line in asked}) == 6
    assert deck.read_text() == "design: 1\ndeck: {attachment: ledger}\n"


def test_several_parts_are_answered_together_and_what_one_states_stays(
    catalogue: Catalogue, tmp_path: Path
) -> None:
    deck = tmp_path / "deck.yaml"
    deck.write_text("design: 1\nposts:\n  - {name: a}\n  - {name: b, size: 6x6}\n")
    it, _ = asking(catalogue, deck, [])
    definition = catalogue.vocabulary.quantities["posts.size"]
    assert it.take(definition, "4 x 4")
    text = deck.read_text()
    assert "{name: a, size: 4x4}" in text
    assert "{name: b, size: 6x6}" in text


def test_a_deck_without_stairs_says_so_in_one_key(catalogue: Catalogue, tmp_path: Path) -> None:
    deck = tmp_path / "deck.yaml"
    deck.write_text("design: 1\n")
    it, told = asking(catalogue, deck, [])
    assert it.take(catalogue.vocabulary.quantities["stairs.width"], "-")
    assert "stairs: none" in deck.read_text()
    assert not it.take(catalogue.vocabulary.quantities["ledger.size"], "-")
    assert told


def test_the_command_begins_a_file_and_goes_on_from_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    deck = tmp_path / "new.yaml"
    monkeypatch.setattr("sys.stdin", io.StringIO("ledger\nq\n"))
    assert run(["ask", str(deck), "--under", "irc-2018"]) == 3
    told = capsys.readouterr().out
    assert "is begun" in told
    assert "1 answered" in told
    assert "ledger" in deck.read_text()


def test_a_derived_fact_is_asked_for_by_what_it_follows_from(catalogue: Catalogue) -> None:
    """Stating what the table names makes each derived fact known; leaving any out does not."""
    values = {
        "ledger.size": "2x8", "joists.size": "2x8", "joists.species": "southern_pine",
        "joists.span": Fraction(120), "joists.cantilever": Fraction(24), "beams.size": "2-2x10",
        "beams.species": "southern_pine", "posts.species": "southern_pine",
        "ledger.below_band_joist": Fraction(0), "joists.below_ledger_top": Fraction(0),
    }  # fmt: skip
    quantities = catalogue.vocabulary.quantities
    read = {
        name
        for rule_set in catalogue.files.rulesets
        for names in catalogue.evaluator(rule_set).plan.reads
        for name in names
    }
    assert {name for name in read if quantities[name].derived} <= set(RESTS_ON)
    for quantity, inputs in RESTS_ON.items():
        if not set(inputs) <= set(values) or quantity == "beams.joist_reach":
            continue  # deck.attachment and the plan: derived part by part
        facts = derived_facts({name: values[name] for name in inputs})
        assert quantity in facts
        for left_out in inputs:
            fewer = derived_facts({n: values[n] for n in inputs if n != left_out})
            assert quantity not in fewer
