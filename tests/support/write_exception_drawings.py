"""The guide's drawings of one exception. Written by support/regenerate.py."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from msgspec.structs import replace

from deckclause.answers.section_scene import scene
from deckclause.answers.sections import section_drawing
from deckclause.evaluate.catalogue import Catalogue
from deckclause.placement.from_rules import PlacementRules
from deckclause.placement.place import place
from deckclause.report.drawing.draw_section import draw_section
from support.designs import changed

DOCS = Path(__file__).resolve().parents[2] / "docs"
DROP = Fraction(3, 2)
CASES: dict[str, tuple[str | None, str]] = {
    "exception-holds": ("mudsill", "Bears on a mudsill"),
    "exception-does-not-hold": ("single_top_plate", "Bears on a single top plate"),
    "exception-unknown": (None, "Not said what it bears on"),
}
"""By file: what the band joist bears on, and what the sheet is called."""
RULE_SET = "irc-2015"
DAY = "2026-01-01"


def drawings() -> dict[str, str]:
    """Return each drawing by its file's name."""
    catalogue = Catalogue.open()
    rules = PlacementRules(catalogue.evaluator(RULE_SET), catalogue.vocabulary)
    found = {}
    for file, (bearing, title) in CASES.items():
        asked = changed(
            catalogue, ledger__below_band_joist=DROP, band_joist__directly_supported_by=bearing
        )
        design = catalogue.prepare(replace(asked.design, name=title))
        found[file] = draw_section(
            scene(section_drawing(title, place(design, rules), catalogue.vocabulary, DAY))
        )
    return found
