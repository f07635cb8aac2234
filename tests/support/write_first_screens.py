"""Write the first screens of every example as they are now; read them aloud before keeping them.

python tests/support/write_first_screens.py
"""

from __future__ import annotations

from pathlib import Path

from deckclause.answers.compare.build import compare_answer
from deckclause.compare.comparison import compare
from deckclause.evaluate.catalogue import Catalogue
from deckclause.report.comparison.first_screen import first_screen

FOLDER = Path(__file__).parents[1] / "report" / "golden" / "first_screens"
WIDTH = 100
TOWNS = ("Tarn Hollow@2025-03-01", "Skerryvane@2024-05-01", "Dunmarrow@2020-01-01")
RULE_SETS = {"towns": TOWNS, "editions": ("irc-2012", "irc-2021", "irc-2024")}


def examples(catalogue: Catalogue) -> list[Path]:
    """List the example designs."""
    return sorted((catalogue.files.root / "examples").glob("*.yaml"))


def screen(catalogue: Catalogue, design: Path, rule_sets: str) -> list[str]:
    """Return the first screen of a design under the rule sets of a name."""
    comparison = compare(catalogue, catalogue.design(design), RULE_SETS[rule_sets], pairs=[])
    return first_screen(compare_answer(comparison, catalogue.vocabulary), WIDTH)


def main() -> None:
    """Write every first screen."""
    catalogue = Catalogue.open()
    FOLDER.mkdir(parents=True, exist_ok=True)
    for design in examples(catalogue):
        for rule_sets in RULE_SETS:
            lines = screen(catalogue, design, rule_sets)
            text = "\n".join(lines) + "\n"
            (FOLDER / f"{design.stem}-{rule_sets}.txt").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
