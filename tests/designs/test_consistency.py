"""Designs that cannot be built are refused with the line that says so."""

from __future__ import annotations

from pathlib import Path

import pytest

from deckclause.designs.read_design import design_of
from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.problems import InputError

EXAMPLE = Path(__file__).resolve().parents[2] / "rules" / "examples" / "step-down-3in.yaml"


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


def refused(catalogue: Catalogue, old: str, new: str) -> str:
    text = EXAMPLE.read_text(encoding="utf-8")
    assert old in text
    with pytest.raises(InputError) as caught:
        design_of(text.replace(old, new).encode(), "deck.yaml", catalogue.vocabulary)
    assert all(p.file == "deck.yaml" and p.line > 1 for p in caught.value.problems)
    return str(caught.value)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("below_band_joist: 3 in", "below_band_joist: 10 in", "below the band joist"),
        ("below_band_joist: 3 in", "below_band_joist: -9-1/4 in", "above the band joist"),
        ("row_below_ledger_top: 2 in", "row_below_ledger_top: 7 in", "exchange the two"),
        ("row_below_ledger_top: 6-1/2 in", "row_below_ledger_top: 9-1/4 in", "not on a ledger"),
        ("row_below_ledger_top: 6-1/2 in", "row_below_ledger_top: -1 in", "negative"),
        ("spacing: 16 in", "spacing: 0 in", "0 in is no length"),
        ("below_ledger_top: 0 in}", "below_ledger_top: 9-1/4 in}", "puts the joists below"),
        ("below_ledger_top: 0 in}", "below_ledger_top: -9-1/4 in}", "wholly above the ledger"),
        ("decking: {thickness: 1 in}", "decking: {thickness: -1 in}", "negative"),
        ("sheathing_kind: wood_structural_panel", "sheathing_kind: none", "of no sheathing"),
    ],
)
def test_what_cannot_be_built_is_refused(
    catalogue: Catalogue, old: str, new: str, words: str
) -> None:
    assert words in refused(catalogue, old, new)


def test_pieces_that_do_not_make_the_ledger(catalogue: Catalogue) -> None:
    pieces = "ledger_pieces: [{name: left, length: 8 ft}, {name: right, length: 10 ft}]\n"
    words = refused(catalogue, "ledger:\n", pieces + "ledger:\n  length: 20 ft\n")
    assert "18 ft" in words


def test_a_band_joist_beside_the_ledger(catalogue: Catalogue) -> None:
    pieces = "band_joist_pieces: {length: 8 ft}\nledger:\n  length: 12 ft\n"
    text = EXAMPLE.read_text(encoding="utf-8")
    text = text.replace("ledger:\n", pieces)
    text = text.replace("band_joist:\n", "band_joist:\n  begins_left_of_ledger: 9 ft\n")
    with pytest.raises(InputError, match="no part of the band joist"):
        design_of(text.encode(), "deck.yaml", catalogue.vocabulary)


def test_every_shipped_example_stands(catalogue: Catalogue) -> None:
    for path in EXAMPLE.parent.glob("*.yaml"):
        design_of(path.read_bytes(), path.name, catalogue.vocabulary)
