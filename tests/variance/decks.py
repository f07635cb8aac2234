"""Invented decks on which relief is tried."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from deckclause.designs.read_design import design_of
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.variance.case import ReliefCase, open_case

STEP_DOWN = Path(__file__).parents[2] / "rules" / "examples" / "step-down-3in.yaml"


@cache
def catalogue() -> Catalogue:
    return Catalogue.open()


def read(text: str) -> PreparedDesign:
    shared = catalogue()
    return shared.prepare(design_of(text.encode(), "deck.yaml", shared.vocabulary))


def replaced(*pairs: tuple[str, str]) -> PreparedDesign:
    """The shipped design with each old text exchanged for a new one."""
    text = STEP_DOWN.read_text()
    for old, new in pairs:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return read(text)


def case(design: PreparedDesign, ruleset: str) -> ReliefCase:
    return open_case(catalogue(), design, ruleset)
