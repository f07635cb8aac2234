"""Write docs/validation.md from the outside checks. Run by tests/support/regenerate.py.

The page is never typed: a test fails when it differs from what the checks give.
"""

from __future__ import annotations

from pathlib import Path

from deckclause.engineering.sources import SOURCES
from published.by_name import by_name_section
from published.engineering_checks.every_group import sections
from published.engineering_checks.records import Group, Record
from published.shipped_tables import section

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "validation.md"

HEAD = """# Validation: published values met and missed

This page is written by `python tests/support/regenerate.py` from the same checks the tests
run. Do not edit it; a test fails when it is out of date.

How to read it:

- **printed** is the published figure, **computed** is ours before or after the table's rounding.
- **printed standing**: `confirmed` figures were seen in the named source. `memory` figures were
  not: agreement with them validates nothing, and each disagreement is a flag on the remembered
  figure, not on the code.
- **basis**: `calculation` predicts; `fitted` explains, with choices made by looking at the table;
  `implied by a table` was read back from the table and is no strength of anything else.
- A miss of a confirmed cell is explained. The printed table is the code: a design within it
  complies.

First come the published values we check the engineering by, then the tables in `rules/` cell by cell,
then every published value in full.
"""


def page() -> str:
    """Return the whole page."""
    found = sections()
    parts = [HEAD, _summary(found), "", by_name_section(), section()]
    for title, groups in found.items():
        parts.append(f"\n## {title}\n")
        parts += [_group(group) for group in groups]
    return "\n".join(parts).rstrip() + "\n"


def _summary(found: dict[str, tuple[Group, ...]]) -> str:
    lines = ["| check | printed standing | basis | met |", "| --- | --- | --- | --- |"]
    for groups in found.values():
        lines += [
            f"| {g.title} | {g.printed_standing} | {g.basis} | {g.met}/{g.total} |" for g in groups
        ]
    return "\n".join(lines)


def _group(group: Group) -> str:
    source = SOURCES.get(group.source, group.source)
    lines = [
        f"### {group.title}",
        "",
        f"Met **{group.met} of {group.total}**. Printed standing: {group.printed_standing}. "
        f"Basis: {group.basis}. Source: {source}.",
    ]
    if group.note:
        lines += ["", group.note]
    if group.misses:
        lines += ["", "Missed:", "", *_table(group.misses)]
    lines += ["", f"<details><summary>All {group.total}</summary>", "", *_table(group.records)]
    return "\n".join([*lines, "", "</details>", ""])


def _table(records: tuple[Record, ...]) -> list[str]:
    rows = ["| value | printed | computed | |", "| --- | --- | --- | --- |"]
    for r in records:
        verdict = "met" if r.met else "**missed**"
        rows.append(f"| {r.item} | {r.printed} | {r.computed} | {verdict} |")
    return rows
