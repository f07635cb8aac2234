"""Records of outside checks: what was printed, what was computed, whether they meet."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

CELLS = Path(__file__).parent / "cells"


@dataclass(frozen=True)
class Record:
    """One published value beside ours, both as text."""

    item: str
    printed: str
    computed: str
    met: bool
    remark: str = ""


@dataclass(frozen=True)
class Group:
    """A set of records from one source.

    `printed_standing` says how sure we are of the printed values: a match with values held from
    memory validates nothing, it only shows agreement.
    """

    title: str
    source: str
    printed_standing: str
    basis: str
    records: tuple[Record, ...]
    note: str = ""

    @property
    def met(self) -> int:
        return sum(record.met for record in self.records)

    @property
    def total(self) -> int:
        return len(self.records)

    @property
    def misses(self) -> tuple[Record, ...]:
        return tuple(record for record in self.records if not record.met)


def rows(name: str) -> list[dict[str, str]]:
    """Read one file of printed cells."""
    with (CELLS / f"{name}.csv").open(newline="", encoding="utf-8") as handle:
        return list(csv.DictReader(handle))


def standings(found: list[dict[str, str]]) -> str:
    """Count the standings of some printed cells: `42 confirmed, 30 memory`."""
    confirmed = sum(row["standing"] == "confirmed" for row in found)
    parts = [(confirmed, "confirmed"), (len(found) - confirmed, "memory")]
    return ", ".join(f"{count} {name}" for count, name in parts if count)
