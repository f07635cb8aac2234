"""Boundary designs: current, right, and covering every clause and exception."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from deckclause.cli.main import run
from deckclause.compare.coverage.boundary import BoundaryBuilder, clause_result
from deckclause.compare.coverage.boundary_file import (
    exact_text,
    file_text,
    read_file,
    shipped_cases,
)
from deckclause.compare.coverage.levers import facts_for_distance
from deckclause.compare.coverage.shipped import boundary_texts, shipped_coverage
from deckclause.compare.lint.context import LintContext
from deckclause.designs.derive import derived_facts
from deckclause.designs.geometry import known_distances
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY
from deckclause.rulesets.clauses import Distance
from deckclause.rulesets.problems import InputError

CATALOGUE = Catalogue.open()
VOCABULARY = CATALOGUE.vocabulary
CONTEXT = LintContext(CATALOGUE.library, ("irc-2012",))
SHIPPED = list(shipped_cases(CATALOGUE.files.root, VOCABULARY))


@pytest.mark.parametrize(("path", "name", "cases"), SHIPPED, ids=[p.stem for p, _, _ in SHIPPED])
def test_every_shipped_case_comes_to_what_it_says(path: Path, name: str, cases: list) -> None:  # type: ignore[type-arg]
    evaluator = CATALOGUE.evaluator(name)
    index = {c.key: i for i, c in enumerate(evaluator.ruleset.clauses)}
    wrong = []
    for case in cases:
        result = clause_result(evaluator, index[case.clause], case.facts, CONTEXT)
        if result != (case.status, case.branch):
            wrong.append(f"{case.clause}: {result}, {case}")
    assert not wrong, (
        f"{path.name}: {len(wrong)} come out otherwise. If the rules were meant to change, run "
        f"`deckclause rules boundary-designs --write`. First: {wrong[0]}"
    )


@pytest.mark.parametrize("name", ["irc-2006", "irc-2012", "Tarn Hollow@2020-01-01"])
def test_shipped_files_are_what_is_generated(name: str) -> None:
    texts, _ = boundary_texts(CATALOGUE, (name,))
    for path, text in texts.items():
        assert path.read_text() == text, "run `deckclause rules boundary-designs --write`"


def test_every_clause_and_exception_of_every_rule_set_is_exercised() -> None:
    found = shipped_coverage(CATALOGUE)
    assert {c.ruleset.name for c in found} >= set(CATALOGUE.files.rulesets)
    for coverage in found:
        counts = coverage.counts()
        assert coverage.complete, (coverage.ruleset.name, counts)
        seen, total = counts["both sides"]
        assert seen >= total * 4 // 5


def test_both_sides_of_every_cell_of_the_2012_ledger_table() -> None:
    """At the figure it complies, 1/16 in beyond it does not, for all 21 cells."""
    builder = BoundaryBuilder(CONTEXT, cells=True)
    (read,) = CONTEXT.sets
    evaluator = CATALOGUE.evaluator("irc-2012")
    cases = builder.cases(read, evaluator)
    (table,) = [t for t in read.ruleset.tables if t.name == "ledger_spacing"]
    spacing = [c for c in cases if c.clause == "ledger_fastener_spacing"]
    at = [c.facts["fasteners.spacing"] for c in spacing if c.status == COMPLIES]
    beyond = [c.facts["fasteners.spacing"] for c in spacing if c.status == DOES_NOT_COMPLY]
    assert sorted(at) == sorted(table.cells)  # type: ignore[type-var]
    assert sorted(beyond) == sorted(cell + Fraction(1, 16) for cell in table.cells)  # type: ignore[operator,type-var]


def test_a_file_reads_back_as_written() -> None:
    for _, name, cases in SHIPPED[:4]:
        text = file_text(name, cases, VOCABULARY)
        assert read_file(text.encode(), "f", VOCABULARY) == (name, cases)


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
        f'  - {{of: a, branch: 0, comes_to: complies, facts: {{{name}: "{text}"}}}}\n'
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
    assert "irc-2006" in capsys.readouterr().out
    assert run(["rules", "boundary-designs", "--under", "irc-2006"]) == 0
    assert "every file of boundary designs is current" in capsys.readouterr().out
    folder = tmp_path / "designs"
    arguments = ["rules", "boundary-designs", "--under", "irc-2006", "--to", str(folder)]
    assert run(arguments) == 1
    assert not folder.exists()
    assert run([*arguments, "--write"]) == 0
    assert (folder / "irc-2006.yaml").is_file()
    assert run(["rules", "boundary-designs", "--cells"]) == 2
