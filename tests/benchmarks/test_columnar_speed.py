"""Speed of columns: run by name, `pytest tests/benchmarks -n0 --benchmark-enable`."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from benchmarks.hand_written_numpy import Codes, HandWritten
from benchmarks.invented import invented_chunk
from benchmarks.performance_page import Measured
from benchmarks.sixteen_clauses import SIXTEEN
from benchmarks.timing import best_of
from deckclause.designs.invented.archive import write_archive
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.columns.columns import ChoiceColumn, NumberColumn
from deckclause.evaluate.columns.derive import FactTable
from deckclause.evaluate.columns.evaluator import Portfolio, status_sink
from deckclause.evaluate.compile import compile_ruleset
from deckclause.evaluate.ready import make_ready
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
)
from deckclause.rulesets.walk import clause_reads

DESIGNS = 200_000
ROWS = ("fasteners.upper_row_below_ledger_top", "fasteners.lower_row_below_ledger_top")
CHOICES = (
    *("deck.attachment", "fasteners.kind", "deck.connection_can_be_inspected", "wall.veneer"),
    *("ledger.carries_beam", "ledger.size", "ledger.grade", "fasteners.staggered"),
    *("band_joist.kind", "band_joist.species", "wall.sheathing_kind", "band_joist.size"),
)
NUMBERS = (
    *("fasteners.diameter", "band_joist.thickness", "band_joist.depth"),
    *("wall.sheathing_thickness", "wall.drainage_washer_stack", "site.ground_snow_load"),
    *("joists.span", "fasteners.spacing"),
)
DISTANCES = {
    "upper": ("ledger.top_edge", "fasteners.upper_row"),
    "lower": ("ledger.top_edge", "fasteners.lower_row"),
    "bottom": ("fasteners.lower_row", "ledger.bottom_edge"),
    "rows": ("fasteners.upper_row", "fasteners.lower_row"),
}


def hand_inputs(table: FactTable) -> tuple[dict[str, Any], dict[str, Any], Codes, int]:
    columns: dict[str, Any] = {}
    unknown: dict[str, Any] = {}
    places: dict[str, dict[Any, int]] = {}
    snow = 0
    for name in CHOICES:
        column = table.find("", name)
        assert isinstance(column, ChoiceColumn)
        columns[name] = column.codes
        places[name] = {choice: code for code, choice in enumerate(column.choices)}
    named = {name: table.find("joists", name) for name in NUMBERS}
    named |= {name: table.distances["", pair] for name, pair in DISTANCES.items()}
    for name, number in named.items():
        assert isinstance(number, NumberColumn)
        assert isinstance(number.den, int)
        if name == "site.ground_snow_load":
            snow = number.den
            columns[name] = number.num
        else:
            assert number.den == 8128
            columns[name] = number.num
        unknown[name] = ~number.known_rows()
    return columns, unknown, Codes(places), snow


def test_sixteen_clauses_against_hand_written_numpy(
    benchmark: Any, measured: dict[str, Measured]
) -> None:
    vocabulary = Catalogue.open().vocabulary
    evaluator = make_ready(compile_ruleset(SIXTEEN, vocabulary.quantities), vocabulary.quantities)
    names = {q for clause in SIXTEEN.clauses for q in clause_reads(clause)} | set(ROWS)
    chunk = invented_chunk(DESIGNS, 1, vocabulary, names)
    portfolio = Portfolio([evaluator], vocabulary)
    table = portfolio.table(chunk)
    assert not table.left.any()
    columns, unknown, codes, snow = hand_inputs(table)
    by_hand = HandWritten(codes, snow)
    ours = np.empty((16, DESIGNS), np.uint8)
    theirs = np.empty((16, DESIGNS), np.uint8)

    def generated() -> None:
        portfolio.evaluators[0].run(table, lambda start, stop: status_sink(ours[:, start:stop]))

    def written() -> None:
        by_hand.run(columns, unknown, theirs)

    generated()
    written()
    assert np.array_equal(ours, STATUS_OF_CODE[theirs])
    assert len(np.unique(ours)) == 5
    benchmark(generated)
    ratio = best_of(9, written) / best_of(9, generated)
    measured["columns against numpy"] = Measured(
        f"{ratio:.2f} times as fast", "at least 1.0 times", ratio >= 1
    )
    assert ratio >= 1


STATUS_OF_CODE = np.array(
    [COMPLIES, NOT_APPLICABLE, INFORMATION_MISSING, ENGINEERING_REQUIRED, DOES_NOT_COMPLY],
    np.uint8,
)
"""The statuses behind the codes of the hand-written program."""

MILLION = """
import resource, sys, time
from pathlib import Path
from deckclause.impact.read import Archive, Read
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.columns.evaluator import Portfolio

start = time.perf_counter()
catalogue = Catalogue.open()
editions = [f"irc-{year}" for year in (2006, 2009, 2012, 2015, 2018, 2021, 2024)]
portfolio = Portfolio([catalogue.evaluator(e) for e in editions], catalogue.vocabulary)
designs = counted = 0
for read in Archive(Path(sys.argv[1]), catalogue.vocabulary).chunks():
    table = portfolio.table(read.chunk)
    for evaluator in portfolio.evaluators:
        counts, set_aside = evaluator.counts(read.chunk, table)
        counted += int(counts.sum())
    designs += read.chunk.count
memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
print(designs, counted, time.perf_counter() - start, memory)
"""


def test_a_million_designs_under_seven_editions(
    measured: dict[str, Measured], tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    if not request.config.getoption("benchmark_enable"):
        pytest.skip("run by name")
    archive = tmp_path / "permits.parquet"
    write_archive(archive, 1_000_000, 7, Catalogue.open().vocabulary)
    found = subprocess.run(
        [sys.executable, "-c", MILLION, str(archive)], check=True, capture_output=True, text=True
    ).stdout.split()
    designs, counted, seconds, memory = (
        int(found[0]),
        int(found[1]),
        float(found[2]),
        float(found[3]),
    )
    assert designs == 1_000_000
    assert counted > 700 * designs  # every clause of every edition on every design
    measured["a million designs"] = Measured(f"{seconds:.0f} s", "under 60 s", seconds < 60)
    measured["memory of a million"] = Measured(f"{memory:.0f} MiB", "under 1024 MiB", memory < 1024)
    assert seconds < 60
    assert memory < 1024
