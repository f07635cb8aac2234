"""Make a rules folder that holds one faulty set, and lint it."""

from __future__ import annotations

import shutil
from pathlib import Path

from deckclause.rulesets.files import default_root
from deckclause.rulesets.library import RuleLibrary
from deckclause.upkeep.lint.context import LintContext
from deckclause.upkeep.lint.finding import LintFinding
from deckclause.upkeep.lint.run import CHECKS, run_checks

FAULTY = Path(__file__).resolve().parents[2] / "faulty"
SHIPPED = default_root()


def rules_folder(folder: Path, *editions: Path) -> Path:
    """Make a rules folder with the shipped vocabulary and schemas and the given editions."""
    for name in ("quantities.yaml", "topics.yaml", "sources.yaml"):
        shutil.copy(SHIPPED / name, folder / name)
    shutil.copytree(SHIPPED / "schema", folder / "schema")
    (folder / "editions").mkdir()
    for path in editions:
        shutil.copy(path, folder / "editions" / path.name)
    return folder


def lint(folder: Path, *names: str) -> list[LintFinding]:
    """Run the checks named, or every check, on a rules folder."""
    checks = [c for c in CHECKS if not names or c.name in names]
    return run_checks(LintContext(RuleLibrary.open(folder)), checks)
