"""A starting design by questions, or from an example: what is answered is in the file, no more."""

from __future__ import annotations

from pathlib import Path

import pytest

from deckclause.answers.chosen import chosen_answer
from deckclause.cli.main import run
from deckclause.cli.new.interview import Interview
from deckclause.designs.read_design import design_of
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.status import DOES_NOT_COMPLY
from deckclause.evaluate.together import holds_together
from support.designs import EXAMPLES

TYPED = {
    "What ground snow load": "30 psf",
    "How deep is the frost": "36 in",
    "What load may the soil": "1500 psf",
    "What is the decking": "5/4 wood",
    "How thick is the stack of washers": "0",
    "Does the deck hang": "ledger",
    "How wide is the joist field": "16 ft",
    "How far do the deck joists span": "10'",
    "How far do the joists reach": "none",
    "What is behind the ledger": "wood frame",
    "What sheathing": "OSB",
    "How thick is the sheathing": "7/16 in",
    "How wide is the gap": "0",
    "Is the band joist sawn": "sawn",
    "What size is the band joist": "2 x 10",
    "What species is the band joist": "SPF",
    "What does the band joist bear": "sill",
    "What species are the deck joists": "SYP",
    "How are the joists carried": "hanger fully seated",
    "How far below the ledger's top are": "0",
    "What diameter are the fasteners": '1/2"',
    "What species is the beam": "SYP",
    "How long is the whole beam": "16 ft",
    "Do the joists rest on the beam": "dropped",
    "How far from the beam's end": "1 ft, 8 ft, 15 ft",
    "How tall are the posts": "3 ft",
    "Is the footing square": "round",
    "How thick is the footing": "10 in",
    "How high is the guard": "-",
    "How high does the whole stair": "-",
}
"""By how the question begins, what a builder types; all else is passed with Enter."""


def interview(path: Path, typed: dict[str, str]) -> list[str]:
    """Go through the interview; return what was said."""
    path.write_text("design: 1\nname: porch\n")
    said: list[str] = []

    def read(prompt: str) -> str:
        return next((word for begin, word in typed.items() if said[-1].startswith(begin)), "")

    Interview(Catalogue.open(), path, read, said.append).through()
    return said


def test_a_deck_of_one_field_is_asked_for_and_sizes_can_be_chosen(tmp_path: Path) -> None:
    """From nothing to a list of what to buy: no file is written by hand."""
    path = tmp_path / "porch.yaml"
    said = interview(path, TYPED)
    assert not [line for line in said if "not a choice" in line or "Did you mean" in line]
    assert len(path.read_text().splitlines()) <= 20, "a line a part, a line a post"
    catalogue = Catalogue.open()
    design = design_of(path.read_bytes(), str(path), catalogue.vocabulary)
    assert [p.facts["posts.from_beam_end"] for p in design.parts["posts"]] == [12, 96, 180]
    assert all(p.facts["posts.height"] == 36 for p in design.parts["posts"])
    assert design.parts["guards"] == design.parts["stairs"] == ()
    answer = chosen_answer(catalogue, design, ["irc-2018"])
    chosen = {m.quantity: m.chosen[0].value for m in answer.members}
    assert {
        "joists.size",
        "beams.size",
        "posts.size",
        "footings.diameter",
        "fasteners.spacing",
    } <= set(chosen)
    assert {p.member for p in answer.solutions[0].taken.pieces} >= {
        "joists",
        "ledger",
        "beams",
        "posts",
    }


def test_what_is_passed_stays_open_and_a_freestanding_deck_is_asked_of_no_ledger(
    tmp_path: Path,
) -> None:
    path = tmp_path / "porch.yaml"
    said = interview(path, {"Does the deck hang": "free standing", "What is the beam made": "-"})
    assert not [line for line in said if "ledger?" in line or "lag screws" in line]
    assert not [line for line in said if "post" in line.lower() and "?" in line]
    assert path.read_text() == (
        "design: 1\nname: porch\ndeck: {attachment: freestanding}\nbeams: none\n"
    )


def test_a_place_of_a_post_that_is_no_length_is_asked_again(tmp_path: Path) -> None:
    path = tmp_path / "porch.yaml"
    path.write_text("design: 1\n")
    words = iter(["left", "1 ft, 8 ft"])
    said: list[str] = []

    def read(prompt: str) -> str:
        asked = said[-1].startswith("How far from the beam") or "left" in said[-1]
        return next(words, "") if asked else ""

    Interview(Catalogue.open(), path, read, said.append).through()
    assert any("'left'" in line for line in said)
    assert path.read_text().count("from_beam_end") == 2


def test_what_cannot_be_of_a_post_is_told_without_the_names_of_the_file(tmp_path: Path) -> None:
    path = tmp_path / "porch.yaml"
    path.write_text("design: 1\n")
    words = iter(["-1 ft", "1 ft, 8 ft"])
    said: list[str] = []

    def read(prompt: str) -> str:
        asked = (
            said[-1].startswith("How far from the beam's end does each") or "negative" in said[-1]
        )
        return next(words, "") if asked else ""

    Interview(Catalogue.open(), path, read, said.append).through()
    told = next(line for line in said if "negative" in line)
    assert "from_beam_end" not in told
    assert path.read_text().count("from_beam_end") == 2


def test_an_example_is_begun_from_over_a_rules_folder_without_examples(tmp_path: Path) -> None:
    assert run(["init", str(tmp_path / "town")]) == 0
    path = tmp_path / "deck.yaml"
    rules = str(tmp_path / "town" / "rules")
    assert run(["new", "design", "--from", "whole-deck-12x16", str(path), "--rules", rules]) == 0
    assert "begun from whole-deck-12x16.yaml" in path.read_text()


def test_an_example_is_begun_from_under_a_name_of_ones_own(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "lark-street.yaml"
    assert run(["new", "design", "--from", "whole-deck-12x16", str(path)]) == 0
    catalogue = Catalogue.open()
    mine, example = (
        design_of(p.read_bytes(), str(p), catalogue.vocabulary)
        for p in (path, EXAMPLES / "whole-deck-12x16.yaml")
    )
    assert (mine.name, mine.facts, mine.parts) == ("lark street", example.facts, example.parts)
    assert not mine.invented
    assert run(["new", "design", "--from", "whole-dek-12x16", str(tmp_path / "b.yaml")]) == 2
    assert "Did you mean whole-deck-12x16?" in capsys.readouterr().err
    assert not (tmp_path / "b.yaml").exists()


def test_a_freestanding_deck_is_written_on_two_beams_and_both_have_posts(tmp_path: Path) -> None:
    """With one beam the joists' inner ends would hang on nothing."""
    path = tmp_path / "free.yaml"
    typed = {
        "Does the deck hang": "freestanding",
        "How wide is the joist field": "14 ft",
        "How far do the deck joists span": "9 ft",
        "How far do the joists reach": "0",
        "What is the beam made": "2-2x10",
        "How long is the whole beam": "14 ft",
        "Do the joists rest on the beam": "on top",
        "How far from the beam's end": "1 ft, 13 ft",
        "How tall are the posts": "2 ft",
    }
    said = interview(path, typed)
    assert any(line.startswith("A freestanding deck stands on two beams") for line in said)
    catalogue = Catalogue.open()
    design = catalogue.design(path)
    assert [p.facts["posts.beam"] for p in design.design.parts["posts"]] == [
        *("outer beam",) * 2,
        *("inner beam",) * 2,
    ]
    stands = holds_together(catalogue, design)
    assert stands is not None
    ends = [f for f in stands.findings if f.topic == "together_joist_ends"]
    assert ends
    assert not [f for f in ends if f.status == DOES_NOT_COMPLY]
