"""Every faulty set is found, by the check its second line names, on the line marked `# fault`."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from deckclause.upkeep.lint.run import CHECKS
from upkeep.lint.faulty_sets import FAULTY, lint, rules_folder

SETS = sorted(FAULTY.glob("*.yaml"))
DOCS = Path(__file__).resolve().parents[3] / "docs" / "lint"


@pytest.mark.parametrize("path", SETS, ids=lambda p: p.stem)
def test_the_fault_is_found_where_it_stands(path: Path, tmp_path: Path) -> None:
    text = path.read_text()
    wanted = re.search(r"# finds: (\S+)", text)
    assert wanted is not None
    marked = [n for n, line in enumerate(text.splitlines(), 1) if line.endswith("# fault")]
    found = lint(rules_folder(tmp_path, path), wanted[1])
    here = [f for f in found if f.place.file.endswith(path.name)]
    assert here, f"{wanted[1]} finds nothing"
    if marked:
        assert marked[0] in {f.place.line for f in here}, [(f.place, f.message) for f in here]


def test_every_check_of_regions_and_tables_has_a_faulty_set() -> None:
    named = {re.search(r"# finds: (\S+)", p.read_text())[1] for p in SETS}  # type: ignore[index]
    of_sets = {c.name for c in CHECKS} - {
        "editor-hint-missing", "schema-not-current", "stale-amendment", "key-on-two-topics",
        "topic-lost", "figure-far-from-kin", "bound-turned", "from-memory", "unused-source",
        "unused-topic", "unused-quantity", "never-adopted", "adoption-gap", "not-explored",
        "exception-left-standing", "guard-struck", "change-without-effect",
        "amendments-not-inherited", "rules-fall-away", "local-limit", "another-place",
        "range-not-settled",
        "local-approval", "clause-without-support", "stale-carried", "carried-past", "carried-unread",
    }  # fmt: skip
    assert named == of_sets


@pytest.mark.parametrize("check", CHECKS, ids=lambda c: c.name)
def test_every_check_has_its_page(check) -> None:  # type: ignore[no-untyped-def]
    page = (DOCS / f"{check.name}.md").read_text()
    assert page.startswith(f"# {check.name}\n\nLevel: {check.level}.")
    for part in ("## What", "## Why", "## Avoid", "## Prefer"):
        assert part in page


def test_every_page_has_its_check() -> None:
    names = {p.stem for p in DOCS.glob("*.md")} - {"README"}
    assert names == {c.name for c in CHECKS}
