"""Lint of one place goes through its own files alone, and finds of them what going through all does."""

from __future__ import annotations

import shutil
from pathlib import Path

from deckclause.rulesets.files import default_root
from deckclause.rulesets.library import RuleLibrary
from deckclause.upkeep.lint.focus import concerning, focus_on
from deckclause.upkeep.lint.run import CHECKS

OF_FILES = [
    check
    for check in CHECKS
    if check.name
    in (
        *("unreadable", "against-schema", "editor-hint-missing", "dangling-source"),
        *("standing-unfounded", "stale-amendment", "rules-fall-away", "amendments-not-inherited"),
    )
]


def test_what_concerns_a_place_is_found_without_the_files_of_others(tmp_path: Path) -> None:
    root = tmp_path / "rules"
    shutil.copytree(default_root(), root)
    own, other = (root / "amendments" / f"{n}.yaml" for n in ("tarn-hollow-2018", "utah-2021"))
    for path in (own, other):
        path.write_text(
            path.read_text("utf-8").replace("sources: [", "sources: [nobody-knows, ", 1)
        )
    told = []
    library = RuleLibrary.open(root)
    for narrow in (True, False):
        focus = focus_on(library, (), ("Tarn Hollow",))
        found, _ = concerning(library, focus, OF_FILES, narrow=narrow)
        told.append(found)
    assert told[0] == told[1]
    assert {f.place.file.rpartition("/")[2] for f in told[0] if f.check == "dangling-source"} == {
        "tarn-hollow-2018.yaml"
    }
