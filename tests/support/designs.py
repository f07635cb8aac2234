"""Designs for tests: the shipped example with a few facts changed."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from deckclause.designs.design import Design, Part
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.prepare import PreparedDesign

EXAMPLES = Path(__file__).resolve().parents[2] / "rules" / "examples"


def changed(
    catalogue: Catalogue, example: str = "step-down-3in", **facts: object
) -> PreparedDesign:
    """Return an example design with facts changed; `None` leaves a fact open.

    Names are written with two underscores for the dot: `ledger__size="2x12"`; lengths in inches.
    """
    design = catalogue.design(EXAMPLES / f"{example}.yaml").design
    values = dict(design.facts)
    joists = dict(design.values("joists")[0].facts)
    for name, value in facts.items():
        dotted = name.replace("__", ".")
        target = joists if dotted.startswith("joists.") else values
        if value is None:
            target.pop(dotted, None)
        elif isinstance(value, str | bool):
            target[dotted] = value
        else:
            target[dotted] = Fraction(value)  # type: ignore[arg-type]
    parts = {**design.parts, "joists": (Part("", joists),)}
    return catalogue.prepare(Design(design.name, design.says, values, parts, design.file, "test"))
