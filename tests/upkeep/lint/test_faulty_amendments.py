"""Every faulty amendment is found, by the check its second line names, on the line marked `# fault`."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from upkeep.lint.faulty_sets import FAULTY, lint, rules_folder

FOLDER = FAULTY / "amendments"
AMENDMENTS = sorted(p for p in FOLDER.glob("*.yaml") if p.stem != "base")
CHECKS = ("exception-left-standing", "guard-struck", "change-without-effect")


@pytest.mark.parametrize("path", AMENDMENTS, ids=lambda p: p.stem)
def test_the_fault_is_found_where_it_stands_and_no_other(path: Path, tmp_path: Path) -> None:
    rules = rules_folder(tmp_path, FOLDER / "base.yaml")
    (rules / "amendments").mkdir()
    shutil.copy(path, rules / "amendments" / path.name)
    text = path.read_text()
    wanted = re.search(r"# finds: (\S+)", text)
    assert wanted is not None
    marked = [n for n, line in enumerate(text.splitlines(), 1) if line.endswith("# fault")]
    found = lint(rules, "unreadable", *CHECKS)
    assert {(f.check, f.place.line) for f in found} == {(wanted[1], marked[0])}


def test_every_check_of_what_amendments_do_has_a_faulty_one() -> None:
    named = {re.search(r"# finds: (\S+)", p.read_text())[1] for p in AMENDMENTS}  # type: ignore[index]
    assert named == set(CHECKS)


def test_what_is_lost_and_what_stays_is_named(tmp_path: Path) -> None:
    rules = rules_folder(tmp_path, FOLDER / "base.yaml")
    (rules / "amendments").mkdir()
    for path in AMENDMENTS:
        shutil.copy(path, rules / "amendments" / path.name)
    words = {f.check: f.message for f in lint(rules, *CHECKS)}
    assert "at least 3/4 in" in words["exception-left-standing"]
    assert "the kind of band joist is engineered rim board: engineering" in words["guard-struck"]
