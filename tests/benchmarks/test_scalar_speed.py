"""Speed on one design: run by name, `pytest tests/benchmarks -n0 --benchmark-enable`."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from benchmarks.hand_written_python import evaluate as by_hand
from benchmarks.invented import invented_chunk
from benchmarks.performance_page import Measured
from benchmarks.sixteen_clauses import SIXTEEN
from benchmarks.sixteen_drivers import sixteen_apart
from benchmarks.timing import best_command, best_of
from deckclause.answers.compare.build import compare_answer
from deckclause.compare.comparison import compare
from deckclause.compare.drivers import find_drivers
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.compile import compile_ruleset
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.ready import make_ready
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY
from deckclause.report.comparison.table import ComparisonText
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.walk import clause_reads

EDITIONS = tuple(f"irc-{year}" for year in (2006, 2009, 2012, 2015, 2018, 2021, 2024))
DESIGNS = 2_000
ROWS = {"fasteners.upper_row_below_ledger_top", "fasteners.lower_row_below_ledger_top"}
WHOLE_DECK = Path(__file__).resolve().parents[2] / "rules" / "examples" / "whole-deck-12x16.yaml"


def test_sixteen_clauses_against_hand_written_python(
    benchmark: Any, measured: dict[str, Measured]
) -> None:
    vocabulary = Catalogue.open().vocabulary
    evaluator = make_ready(compile_ruleset(SIXTEEN, vocabulary.quantities), vocabulary.quantities)
    names = {q for clause in SIXTEEN.clauses for q in clause_reads(clause)} | ROWS
    chunk = invented_chunk(DESIGNS, 1, vocabulary, names)
    designs = [
        PreparedDesign(chunk.design(row, vocabulary), vocabulary.quantities)
        for row in range(DESIGNS)
    ]
    ready = []
    for design in designs:
        once = design.once(evaluator.scale)
        parts = [(n, p.facts) for n, p in design.parts("joists", evaluator.scale)]
        ready.append((once.facts, parts, once.distances))
        for mine, other in zip(evaluator.rows(design), by_hand(*ready[-1]), strict=True):
            assert mine[:2] == other[:2]
            assert mine[2][:1] == other[2][:1]
            if mine[2][0] in (COMPLIES, DOES_NOT_COMPLY):
                assert mine == other

    def ours() -> None:
        for design in designs:
            evaluator.rows(design)

    def theirs() -> None:
        for facts, parts, distances in ready:
            by_hand(facts, parts, distances)

    benchmark.pedantic(ours, rounds=3)
    mine, other = best_of(9, ours) / DESIGNS, best_of(9, theirs) / DESIGNS
    ratio = other / mine
    measured["one design against Python"] = Measured(
        f"{ratio:.2f} times as fast ({mine * 1e6:.1f} us against {other * 1e6:.1f} us)",
        "at least 0.8 times",
        ratio >= 0.8,
    )
    assert ratio >= 0.7, "well under the aim"


def test_one_whole_deck(benchmark: Any, measured: dict[str, Measured]) -> None:
    catalogue = Catalogue.open()
    evaluator = catalogue.evaluator("irc-2021")
    design = catalogue.design(WHOLE_DECK)
    rows = evaluator.rows(design)
    benchmark(evaluator.rows, design)
    seconds = best_of(20, lambda: [evaluator.rows(design) for _ in range(20)]) / 20
    measured["one design"] = Measured(
        f"{seconds * 1e6:.0f} us for {len(rows)} findings",
        "none set",
        True,
    )


def test_reading_cold_and_warm(measured: dict[str, Measured]) -> None:
    def cold() -> None:
        catalogue = Catalogue.open(cached=False)
        for edition in EDITIONS:
            catalogue.evaluator(edition)

    seconds = best_of(3, cold)
    measured["cold read"] = Measured(f"{seconds:.2f} s", "at most 2 s", seconds <= 2)
    assert seconds <= 2
    slowest = 0.0
    vocabulary = Catalogue.open().vocabulary
    for edition in EDITIONS:
        Catalogue.open().evaluator(edition)

        slowest = max(slowest, _best_warm(edition, vocabulary))
    measured["warm read"] = Measured(f"{slowest * 1e3:.1f} ms", "at most 5 ms", slowest <= 0.005)
    assert slowest <= 0.01


def _warm(edition: str, vocabulary: Vocabulary) -> None:
    catalogue = Catalogue.open()
    catalogue._vocabulary = vocabulary
    catalogue.evaluator(edition)


def _best_warm(edition: str, vocabulary: Vocabulary) -> float:
    return best_of(5, lambda: _warm(edition, vocabulary))


def test_drivers_of_sixteen_clauses(measured: dict[str, Measured]) -> None:
    vocabulary = Catalogue.open().vocabulary
    found = find_drivers(sixteen_apart(vocabulary))
    assert found.complete
    assert [len(driver.keys) for driver in found.drivers] == [16]
    seconds = min(_drivers_once(vocabulary) for _ in range(3))
    measured["drivers"] = Measured(f"{seconds:.2f} s", "at most 0.3 s", seconds <= 0.3)
    assert seconds <= 6, "all sets of sixteen clauses have become far slower to try"


def _drivers_once(vocabulary: Any) -> float:
    runner = sixteen_apart(vocabulary)
    return best_of(1, lambda: find_drivers(runner))


def test_a_warm_comparison_as_a_command(measured: dict[str, Measured]) -> None:
    command = [sys.executable, "-m", "deckclause.cli.main", "compare", str(WHOLE_DECK)]
    best_command(2, command)
    bare, warm = best_command(10, [sys.executable, "-c", "pass"]), best_command(6, command)
    ratio = warm / bare
    measured["warm compare"] = Measured(
        f"{ratio:.0f} times ({warm * 1e3:.0f} ms against {bare * 1e3:.0f} ms)",
        "at most 6 times",
        ratio <= 6,
    )
    again = best_of(7, _compared_and_written())
    measured["warm compare again"] = Measured(
        f"{again / bare:.1f} times ({again * 1e3:.0f} ms)", "at most 6 times", again / bare <= 6
    )
    assert ratio < 40, "a warm comparison has become far slower"


def _compared_and_written() -> Callable[[], object]:
    """Return what one more comparison does in a process that has made one, the report with it."""
    catalogue = Catalogue.open()
    design = catalogue.design(WHOLE_DECK)

    def once() -> object:
        comparison = compare(catalogue, design, EDITIONS)
        return list(ComparisonText(compare_answer(comparison, catalogue.vocabulary)).lines())

    once()
    return once
