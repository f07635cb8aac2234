"""Boundary designs: current, right, and covering every clause and exception."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import pytest
from msgspec.structs import replace

from deckclause.cli.main import run
from deckclause.designs.derive.facts import derived_facts
from deckclause.designs.geometry import known_distances
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.compile import compile_ruleset
from deckclause.evaluate.ready import make_ready
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY, ENGINEERING_REQUIRED
from deckclause.report.rule_sets.coverage_text import coverage_lines
from deckclause.rulesets.clauses import Distance
from deckclause.rulesets.problems import InputError
from deckclause.upkeep.coverage.boundary import BoundaryBuilder
from deckclause.upkeep.coverage.boundary_file import (
    exact_text,
    file_text,
    grouped,
    read_file,
    shipped_cases,
)
from deckclause.upkeep.coverage.coverage import add_designs, start_coverage
from deckclause.upkeep.coverage.kept import KeptBuilds
from deckclause.upkeep.coverage.levers import facts_for_distance
from deckclause.upkeep.coverage.outcome import ClauseRunner
from deckclause.upkeep.coverage.shipped import boundary_texts, shipped_coverage
from deckclause.upkeep.coverage.variants import variants
from deckclause.upkeep.lint.context import LintContext
from support.regenerate import HOW

CATALOGUE = Catalogue.open()
VOCABULARY = CATALOGUE.vocabulary
CONTEXT = LintContext(CATALOGUE.library, ("irc-2012",))
KEPT = KeptBuilds(CATALOGUE.cache)
SHIPPED = list(shipped_cases(CATALOGUE.files.root, VOCABULARY))


@pytest.mark.parametrize(("path", "name", "cases"), SHIPPED, ids=[p.stem for p, _, _ in SHIPPED])
def test_every_shipped_case_comes_to_what_it_says(path: Path, name: str, cases: list) -> None:  # type: ignore[type-arg]
    runner = ClauseRunner(CATALOGUE.evaluator(name), VOCABULARY.quantities)
    wrong = [case for case in cases if not case.holds(runner)]
    assert not wrong, (
        f"{path.name}: {len(wrong)} come out otherwise. If the rules were meant to change, "
        f"{HOW}. First: {wrong[0]}"
    )


@pytest.mark.parametrize("name", ["irc-2006", "irc-2012", "Tarn Hollow@2020-01-01"])
def test_shipped_files_are_what_is_generated(name: str) -> None:
    texts, _ = boundary_texts(CATALOGUE, (name,))
    for path, text in texts.items():
        assert path.read_text() == text, HOW


def test_all_that_designs_can_exercise_is_exercised() -> None:
    """Every clause, exception and table cell, and both sides of every limit that has two."""
    found = shipped_coverage(CATALOGUE)
    assert {c.ruleset.name for c in found} >= set(CATALOGUE.files.rulesets)
    for coverage in found:
        counts = coverage.counts()
        assert coverage.complete, (coverage.ruleset.name, counts)
        for kind in ("clauses", "exceptions", "cells"):
            assert counts[kind][0] == counts[kind][1]
        left = {k for k, e in coverage.clauses.items() if e.has_sides and not e.both_sides}
        assert left <= ONE_SIDED
        assert all(e.out_of_reach for k, e in coverage.clauses.items() if k in left)
    assert sum(c.counts()["cells"][1] for c in found) > 3000


ONE_SIDED = {
    "framing_table_load",  # its scope ends at its limit
    "snow_basis.table_scope",  # its scope ends at its limit
    "ledger_fastener_diameter",  # its scope is its one figure
    "post_size",  # every size a design can state is large enough
}


def test_both_sides_of_every_cell_of_the_2012_ledger_table() -> None:
    """At the figure it complies, 1/16 in beyond it does not, for all 21 cells."""
    builder = BoundaryBuilder(CONTEXT, KEPT)
    (read,) = CONTEXT.sets
    cases = builder.cases(read, CATALOGUE.evaluator("irc-2012"))
    (table,) = [t for t in read.ruleset.tables if t.name == "ledger_spacing"]
    spacing = [c for c in cases if c.clause == "ledger_fastener_spacing" and not c.sets]

    def spacings(status: int) -> set[object]:
        return {
            (c.facts["joists.span"], c.facts["fasteners.kind"], c.facts["fasteners.spacing"])
            for c in spacing
            if c.status == status and "fasteners.spacing" in c.facts
        }

    at, beyond = spacings(COMPLIES), spacings(DOES_NOT_COMPLY)
    assert len(table.cells) == 21
    for limit in table.cells:
        assert limit in {s for _, _, s in at}  # type: ignore[misc]
        assert limit + Fraction(1, 16) in {s for _, _, s in beyond}  # type: ignore[operator,misc]


@pytest.mark.parametrize("name", ["irc-2009", "awc-dca6-2009"])
def test_each_slip_is_told_or_shown_to_change_nothing(name: str) -> None:
    """No slip was left for want of looking: what no design tells was looked for everywhere."""
    context = LintContext(CATALOGUE.library, (name,))
    builder = BoundaryBuilder(context, KEPT)
    builder.cases(context.sets[0], CATALOGUE.evaluator(name))
    assert builder.not_built
    assert [m for m in builder.not_built if not m.slip] == []


@pytest.mark.parametrize(
    ("key", "says"),
    [
        ("ledger_fastener_spacing", "scope: loads.ledger_table_snow, a step less"),
        ("ledger_fastener_spacing", "most: joists.span, key 3 a step more"),
        ("ledger_lower_row_below_ledger_top", "no exception 1"),
        ("guard_opening", "reading 1: guards.opening, a step less"),
        ("ledger_material", "ledger.species with douglas_fir_larch"),
    ],
)
def test_a_slip_of_each_kind_is_told_by_a_shipped_design(key: str, says: str) -> None:
    evaluator = CATALOGUE.evaluator("irc-2021")
    quantities = VOCABULARY.quantities
    clause = evaluator.ruleset.clause(key)
    assert clause is not None
    (slip, *_) = [v for v in variants(clause, quantities) if v.says == says]
    changed = replace(
        evaluator.ruleset,
        clauses=tuple(slip.clause if c.key == key else c for c in evaluator.ruleset.clauses),
    )
    runner = ClauseRunner(make_ready(compile_ruleset(changed, quantities), quantities), quantities)
    (cases,) = [c for _, n, c in SHIPPED if n == "irc-2021"]
    assert any(not case.holds(runner) for case in cases if case.clause == key)


def test_a_condition_on_what_a_clause_provides_is_straddled_by_what_a_place_sets() -> None:
    """The guide always takes 40 psf live load; its scope shows only where a place sets more."""
    (cases,) = [c for _, n, c in SHIPPED if n == "awc-dca6-2015"]
    sets = [c for c in cases if c.clause == "footing_thickness" and c.sets]
    assert {c.sets["loads.deck_live_load"] for c in sets} == {Fraction(41, 144)}
    assert {c.status for c in sets} == {ENGINEERING_REQUIRED}


def test_a_file_reads_back_as_written() -> None:
    for _, name, cases in SHIPPED[:4]:
        text = file_text(name, cases, VOCABULARY)
        assert read_file(text.encode(), "f", VOCABULARY) == (name, cases)
        assert [c for group in grouped(cases) for c in group] == cases


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("joists.span", Fraction(144)),
        ("joists.span", Fraction(1, 7)),
        ("site.ground_snow_load", Fraction(50, 144)),
        ("site.ground_snow_load", Fraction(1, 7)),
        ("deck.area", Fraction(200 * 144)),
        ("ledger.flashed", True),
        ("ledger.size", "2x8"),
    ],
)
def test_a_fact_is_written_exactly(name: str, value: object) -> None:
    definition = VOCABULARY.quantities[name]
    text = exact_text(value, definition)  # type: ignore[arg-type]
    content = (
        "boundary_designs: 1\nunder: irc-2012\ncases:\n"
        f'  - {{of: a, branch: 0, comes_to: complies, always: {{{name}: "{text}"}}}}\n'
    )
    _, (case,) = read_file(content.encode(), "f", VOCABULARY)
    assert case.facts[name] == value


@pytest.mark.parametrize(
    ("start", "end"),
    [
        ("ledger.top_edge", "fasteners.upper_row"),
        ("fasteners.upper_row", "fasteners.lower_row"),
        ("band_joist.top_edge", "fasteners.upper_row"),
        ("fasteners.lower_row", "band_joist.bottom_edge"),
        ("door.threshold", "deck.surface"),
        ("ledger.end", "fasteners.any"),
    ],
)
def test_a_lever_sets_a_distance(start: str, end: str) -> None:
    target = Fraction(27, 16)
    facts = facts_for_distance(Distance(start, end), target, {}, VOCABULARY.quantities)
    assert facts is not None
    assert known_distances(derived_facts(facts))[start, end] == target


def test_a_file_of_another_kind_is_refused() -> None:
    with pytest.raises(InputError):
        read_file(b"design: 1\n", "f", VOCABULARY)


def test_the_commands(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rules", "coverage", "--under", "irc-2006"]) == 0
    shown = capsys.readouterr().out
    assert "irc-2006" in shown
    assert "post_size: no design can break it" in shown
    assert run(["rules", "coverage", "--under", "irc-2006", "--format", "json"]) == 0
    (told,) = json.loads(capsys.readouterr().out)["rule_sets"]
    assert list(told["out_of_reach"]) == told["one_side_only"] == ["post_size"]
    assert run(["rules", "boundary-designs", "--under", "irc-2006"]) == 0
    assert "every file of boundary designs is current" in capsys.readouterr().out
    folder = tmp_path / "designs"
    arguments = ["rules", "boundary-designs", "--under", "irc-2006", "--to", str(folder)]
    assert run(arguments) == 1
    assert not folder.exists()
    assert run([*arguments, "--write"]) == 0
    assert (folder / "irc-2006.yaml").is_file()
    assert run([*arguments, "--untold"]) == 0
    assert (
        "irc-2006: stair_guard_triangle: no design tells it: most: a step more"
        in capsys.readouterr().out
    )


def test_a_line_of_designs_of_another_length_is_refused() -> None:
    text = (
        "boundary_designs: 1\nunder: irc-2012\ncases:\n"
        "  - of: a\n    branch: 0\n    comes_to: complies\n    differ: [ledger.size, joists.size]\n"
        "    designs: |\n      2x8; 2x8\n      2x8\n"
    )
    with pytest.raises(InputError, match="should have 2 values"):
        read_file(text.encode(), "f", VOCABULARY)


def test_what_no_design_exercises_is_named() -> None:
    """Without the boundary designs, cells, sides and exceptions are missing, each told by name."""
    evaluator = CATALOGUE.evaluator("irc-2012")
    coverage = start_coverage(evaluator.ruleset)
    design = CATALOGUE.design(CATALOGUE.files.root / "examples" / "whole-deck-12x16.yaml")
    add_designs(coverage, evaluator, [design], VOCABULARY)
    assert not coverage.complete
    shown = "\n".join(coverage_lines([coverage], VOCABULARY))
    assert "irc-2012: table ledger_spacing, " in shown
    assert ": the cell is read by no design" in shown
    assert "is never seen to come to: does not comply" in shown
    assert "never governs" in shown
