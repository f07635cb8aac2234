"""Speed of placement: run by name, `pytest tests/benchmarks --benchmark-enable`."""

from __future__ import annotations

import random
from fractions import Fraction as F
from pathlib import Path
from typing import Any

from deckclause.compare.placement_rows import PLACEMENT_TOPICS, PlacementRows
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.placement.answers import Ask
from deckclause.placement.boards import (
    BAND_TOP,
    DECK_SURFACE,
    FLOOR,
    LEDGER_TOP,
    LOWER_ROW,
    UPPER_ROW,
)
from deckclause.placement.from_rules import PlacementRules
from deckclause.placement.layout import lay_out
from deckclause.placement.ledger_line import joist_lines, with_every_joist_line_an_end
from deckclause.placement.place import place
from deckclause.placement.solve import compile_system, solve
from deckclause.placement.steps import step_table
from deckclause.placement.steps_from_rules import SizeTables
from placement.random_systems import random_system
from placement.trade_limits import provider_2012
from placement.trade_lines import ledger_line

SIZES = ("2x6", "2x8", "2x10", "2x12")


def feasible_system() -> tuple[list[Any], list[Ask]]:
    rng = random.Random(1)
    while True:
        system = random_system(rng, datums=20, count=60)
        if solve(system).is_feasible and len(compile_system(system).datums) == 20:
            names = sorted({d.start for d in system})
            pairs = list(zip(names, names[6:12], strict=False))
            asks = [Ask(a, b, s) for a, b in pairs for s in ("least", "greatest")]  # type: ignore[arg-type]
            return system, asks


def test_one_solve_with_proofs_takes_at_most_two_milliseconds(benchmark: Any) -> None:
    system, asks = feasible_system()
    answer = benchmark(solve, system, asks)
    assert len(answer.extremes) == 12
    if benchmark.stats:
        assert benchmark.stats.stats.min < 0.002


def test_a_full_step_table_for_one_rule_set(benchmark: Any) -> None:
    """64 combinations; a dozen rule sets within half a second leaves 40 ms for each."""
    rows = benchmark(step_table, provider_2012, SIZES, SIZES, SIZES)
    assert len(rows) == 64
    if benchmark.stats:
        assert benchmark.stats.stats.min < 0.04


def test_a_forty_foot_ledger_with_six_splices(benchmark: Any) -> None:
    line = ledger_line(
        480, 15, splices=(70, 140, 210, 280, 350, 420), band_splices=(96, 192, 288, 384)
    )
    layout = benchmark(lay_out, line)
    assert layout.is_feasible
    if benchmark.stats:
        assert benchmark.stats.stats.min < 0.2


def test_the_same_ledger_with_every_joist_line_an_end(benchmark: Any) -> None:
    line = ledger_line(480, 15, splices=(70, 140, 210, 280, 350, 420))
    worst = with_every_joist_line_an_end(line, joist_lines(F(8), F(16), F(480)))
    layout = benchmark(lay_out, worst)
    assert layout.is_feasible or layout.conflicts
    if benchmark.stats:
        assert benchmark.stats.stats.min < 0.2


EXAMPLE = Path(__file__).resolve().parents[2] / "rules" / "examples" / "step-down-3in.yaml"


def shipped() -> tuple[Catalogue, PreparedDesign, list[PlacementRules]]:
    catalogue = Catalogue.open()
    names = [n for n, p in catalogue.files.rulesets.items() if "editions" in str(p[0].parent)]
    rules = [PlacementRules(catalogue.evaluator(n), catalogue.vocabulary) for n in names]
    return catalogue, catalogue.design(EXAMPLE), rules


def test_one_solve_of_a_design_with_proofs(benchmark: Any) -> None:
    """The system of a design under one edition: greatest and least of drop and step down."""
    _, design, rules = shipped()
    found = next(r for r in rules if r.ruleset.name == "irc-2015")
    distances = place(design, found).with_doors.distances
    pairs = ((BAND_TOP, LEDGER_TOP), (FLOOR, DECK_SURFACE), (UPPER_ROW, LOWER_ROW))
    asks = [Ask(a, b, s) for a, b in pairs for s in ("least", "greatest")]  # type: ignore[arg-type]
    answer = benchmark(solve, distances, asks)
    assert answer.is_feasible
    if benchmark.stats:
        assert benchmark.stats.stats.min < 0.002


def test_the_full_step_table_of_every_edition(benchmark: Any) -> None:
    catalogue, design, rules = shipped()
    assert len(rules) == 7

    def every() -> int:
        tables = SizeTables(design, catalogue.vocabulary.quantities)
        return sum(len(tables.table(r).rows) for r in rules)

    assert benchmark(every) == 7 * 64
    if benchmark.stats:
        assert benchmark.stats.stats.min < 0.5


def test_the_two_rows_a_comparison_gains(benchmark: Any) -> None:
    """Seven editions, findings with proofs and every driver between neighbours."""
    catalogue, design, rules = shipped()
    evaluators = [r.evaluator for r in rules]

    def worked_out() -> int:
        rows = PlacementRows(design, evaluators, catalogue.vocabulary)
        findings = [rows.findings(n, PLACEMENT_TOPICS) for n in range(len(evaluators))]
        pairs = [(n - 1, n) for n in range(1, len(evaluators))]
        drivers = [
            rows.drivers(a, b, topic)
            for topic in PLACEMENT_TOPICS
            for a, b in pairs
            if rows.compared(a, topic) != rows.compared(b, topic)
        ]
        return len(findings) + len(drivers)

    assert benchmark(worked_out) > 7
    if benchmark.stats:
        assert benchmark.stats.stats.min < 0.010
