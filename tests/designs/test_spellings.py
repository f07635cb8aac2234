"""Spellings of the trade, each read as what a builder means by it, and told."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from deckclause.cli.main import run
from deckclause.designs.read_design import design_of
from deckclause.designs.spellings import as_meant
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.words import choice_text
from deckclause.rulesets.problems import InputError

SPELLINGS = (
    ("joists.species", "SYP", "southern_pine"),
    ("joists.species", "Southern Pine", "southern_pine"),
    ("joists.species", "southern yellow pine", "southern_pine"),
    ("joists.species", "Doug Fir", "douglas_fir_larch"),
    ("joists.species", "DF-L", "douglas_fir_larch"),
    ("joists.species", "DFL", "douglas_fir_larch"),
    ("joists.species", "Hem-Fir", "hem_fir"),
    ("joists.species", "HF", "hem_fir"),
    ("joists.species", "SPF", "spruce_pine_fir"),
    ("joists.species", "S-P-F", "spruce_pine_fir"),
    ("beams.species", "western red cedar", "western_cedar"),
    ("joists.grade", "'#2'", "no_2"),
    ("joists.grade", "No. 2", "no_2"),
    ("joists.grade", "no 2", "no_2"),
    ("joists.grade", "No.1", "no_1"),
    ("joists.grade", "Select Structural", "select_structural"),
    ("joists.grade", "SS", "select_structural"),
    ("joists.size", "2 x 10", "2x10"),
    ("joists.size", "2X10", "2x10"),
    ("joists.size", "2×10", "2x10"),
    ("ledger.size", "2 X 8", "2x8"),
    ("posts.size", "6 x 6", "6x6"),
    ("beams.size", "(2) 2x10", "2-2x10"),
    ("beams.size", "double 2x10", "2-2x10"),
    ("beams.size", "3-ply 2x12", "3-2x12"),
    ("beams.size", "triple 2 x 8", "3-2x8"),
    ("fasteners.kind", "bolts", "through_bolt"),
    ("fasteners.kind", "thru bolt", "through_bolt"),
    ("fasteners.kind", "lags", "lag_screw"),
    ("fasteners.kind", "Lag Screws", "lag_screw"),
    ("fasteners.kind", "lag bolt", "lag_screw"),
    ("fasteners.kind", "structural screws", "structural_screw"),
    ("joists.spacing", "16\" o.c.", "16"),
    ("joists.spacing", "16 in O.C.", "16"),
    ("joists.spacing", "16 in on center", "16"),
    ("fasteners.spacing", "15\" oc", "15"),
    ("joists.cantilever", "0", "0"),
    ("joists.cantilever", "none", "0"),
    ("site.ground_snow_load", "40 PSF", "40"),
    ("fasteners.staggered", "Y", "yes"),
    ("fasteners.staggered", "N", "no"),
    ("ledger.flashed", "YES", "yes"),
    ("joists.grade", "'#2 or better'", "no_2"),
    ("joists.grade", "No. 2 & Btr", "no_2"),
    ("joists.size", '2"x10"', "2x10"),
    ("joists.size", "2 by 10", "2x10"),
    ("decking.board", "5/4 wood", "five_quarter_wood"),
    ("decking.direction", "square", "perpendicular"),
    ("beams.position", "on top", "dropped"),
    ("wall.structure", "I-joists", "i_joist_floor"),
    ("joists.restraint", "a rim joist", "rim_joist"),
    ("joists.restraint", "hangers", "hanger"),
    ("joists.restraint", "nothing", "none"),
    ("lateral.connection", "an engineered connection", "engineered"),
    ("lateral.connection", "hold-downs", "hold_down_devices"),
    ("guards.infill", "balusters", "balusters_or_boards"),
    ("joists.rim_fastening", "three no 10 by 3 in screws", "three_no_10_by_3_in_screws"),
    ("joists.size", "2x10s", "2x10"),
    ("joists.spacing", "16 oc", "16"),
    ("wall.sheathing_kind", "plywood", "wood_structural_panel"),
    ("wall.sheathing_kind", "OSB", "wood_structural_panel"),
    ("ledger.treatment", "treated", "pressure_treated"),
    ("ledger.treatment", "P.T.", "pressure_treated"),
    ("band_joist.kind", "LVL", "laminated_veneer_lumber"),
    ("band_joist.directly_supported_by", "sill plate", "mudsill"),
    ("deck.attachment", "free-standing", "freestanding"),
    ("deck.attachment", "attached", "ledger"),
    ("posts.base", "post base", "manufactured_connector"),
    ("decking.board", "composite", "plastic_composite"),
)  # fmt: skip


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


@pytest.mark.parametrize(("quantity", "written", "meant"), SPELLINGS)
def test_a_spelling_is_read_as_meant(
    catalogue: Catalogue, quantity: str, written: str, meant: str
) -> None:
    group, _, key = quantity.partition(".")
    content = f"design: 1\n{group}: {{{key}: {_quoted(written)}}}\n".encode()
    design = design_of(content, "deck.yaml", catalogue.vocabulary)
    facts = {**design.facts, **(design.parts[group][0].facts if group in design.parts else {})}
    definition = catalogue.vocabulary.quantities[quantity]
    value = facts[quantity]
    if definition.kind == "yes_no":
        assert value is (meant == "yes")
    elif definition.kind == "choice":
        assert value == meant
    elif definition.kind == "load":
        assert value * 144 == int(meant)
    else:
        assert value == int(meant)
    assert not design.read_as or design.read_as[0][1] == written.strip("'")


def _quoted(text: str) -> str:
    return text if text.startswith("'") else "'" + text.replace("'", "''") + "'"


def test_a_grade_that_the_file_takes_for_a_comment_is_no_blank(catalogue: Catalogue) -> None:
    with pytest.raises(InputError, match="begins a comment"):
        design_of(b"design: 1\njoists:\n  grade: #2\n", "deck.yaml", catalogue.vocabulary)


@pytest.mark.parametrize("word", ["none", "no", "None", "[]"])
def test_no_stairs_is_one_word(catalogue: Catalogue, word: str) -> None:
    design = design_of(f"design: 1\nstairs: {word}\n".encode(), "deck.yaml", catalogue.vocabulary)
    assert design.parts["stairs"] == ()


def test_what_has_two_readings_is_refused(catalogue: Catalogue) -> None:
    with pytest.raises(InputError, match="beams"):
        design_of(b"design: 1\nbeams: {size: 2x10}\n", "deck.yaml", catalogue.vocabulary)


def test_what_was_understood_is_told_and_nominal_sheathing_is_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    deck = tmp_path / "deck.yaml"
    deck.write_text(
        "design: 1\ndeck: {attachment: ledger}\njoists: {species: SYP}\n"
        "wall: {sheathing_kind: wood structural panel, sheathing_thickness: 1/2 in}\n"
    )
    run(["compare", str(deck), "--under", "irc-2009", "--part", "ledger"])
    told = " ".join(capsys.readouterr().out.split())
    assert "'SYP' is read as southern pine" in told
    assert "15/32 in or 7/16 in" in told


@pytest.mark.parametrize(
    ("quantity", "written"),
    [
        ("joists.at_ledger", "hangers"),  # seated in full, or not
        ("fasteners.kind", "carriage bolts"),  # no washer below the head
        ("beams.size", "2x10"),  # one ply, or a solid piece
        ("joists.spacing", "16"),  # inches, or feet
        ("joists.species", "cedar"),  # western, or another
        ("band_joist.kind", "rim board"),  # sawn, or engineered
        ("decking.board", "5/4"),  # wood, or composite
    ],
)
def test_a_word_with_two_readings_is_refused(
    catalogue: Catalogue, quantity: str, written: str
) -> None:
    group, _, key = quantity.partition(".")
    content = f"design: 1\n{group}: {{{key}: {_quoted(written)}}}\n".encode()
    with pytest.raises(InputError):
        design_of(content, "deck.yaml", catalogue.vocabulary)


NO_ANSWER = {
    "unusual.parts: as beside the house",
    "ledger.treatment: incised or not",
    "joists.bearing_on: concrete or masonry",
    "beams.size: plies and size",
    "beams.size: as 2-2x10",
    "footings.ground: within 5 ft of the house",
    "footings.ground: unless as deep as the house's footing",
    "decking.direction: or more",
}
"""What stands in brackets in a question and tells of its answers, but is none itself."""


def test_what_a_question_names_may_be_typed_as_the_question_says_it() -> None:
    """A builder types what he reads: the words of the question, or the choices as listed."""
    refused = set()
    for definition in Catalogue.open().vocabulary.quantities.values():
        if not definition.choices or definition.provided or definition.derived:
            continue
        named = [
            phrase.strip()
            for bracketed in re.findall(r"\(([^)]*)\)", definition.ask)
            for phrase in bracketed.split(",")
        ]
        listed = [*definition.choices, *map(choice_text, definition.choices)]
        for phrase in (*named, *listed):
            if as_meant(phrase, definition) not in definition.choices:
                refused.add(f"{definition.name}: {phrase}")
    assert refused <= NO_ANSWER
