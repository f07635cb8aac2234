"""Choosing sizes, held against trying every combination, and against integer programming."""

from __future__ import annotations

import random
from collections.abc import Sequence
from fractions import Fraction
from itertools import product
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from deckclause.choosing.choose import choose
from deckclause.choosing.lumber import least_lumber, take_off
from deckclause.choosing.members import Variable, variables, with_choice
from deckclause.choosing.prices import read_prices
from deckclause.choosing.search import CostOf, Search
from deckclause.choosing.tables import ClauseTable, clause_tables
from deckclause.cli.main import run
from deckclause.designs.design import Design
from deckclause.designs.together.whole import worked_out
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    NOT_APPLICABLE,
)
from deckclause.rulesets.problems import InputError
from support.designs import EXAMPLES

WHOLE = EXAMPLES / "whole-deck-12x16.yaml"
RULE_SETS = ("irc-2012", "irc-2015", "irc-2018", "irc-2021", "Tarn Hollow@2025-03-01")


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


@pytest.fixture(scope="module")
def whole(catalogue: Catalogue) -> Design:
    return catalogue.design(WHOLE).design


def random_deck(whole: Design, seed: int) -> Design:
    """The whole deck with another span, width, cantilever, species and snow."""
    chance = random.Random(seed)
    joists = {
        "joists.span": Fraction(chance.randrange(6, 17) * 12),
        "joists.cantilever": Fraction(chance.choice((0, 12, 24))),
        "joists.species": chance.choice(("southern_pine", "spruce_pine_fir", "redwood")),
    }
    beams = {"beams.species": chance.choice(("southern_pine", "douglas_fir_larch"))}
    deck = with_choice(whole, {**joists, **beams})  # type: ignore[dict-item]
    return with_choice(deck, {"site.ground_snow_load": Fraction(chance.choice((20, 30, 60)), 144)})


def few(chosen: Sequence[Variable], seed: int) -> tuple[Variable, ...]:
    """Some of the choices, each with a few options, so that all combinations can be tried."""
    chance = random.Random(seed)
    kept = sorted(chance.sample(range(len(chosen)), 4))
    return tuple(
        Variable(
            v.quantity,
            v.words,
            tuple(sorted(chance.sample(v.options, min(3, len(v.options))), key=v.options.index)),
        )
        for v in (chosen[n] for n in kept)
    )


@pytest.mark.parametrize("seed", range(12))
def test_the_least_is_that_of_trying_every_combination_whole(
    catalogue: Catalogue, whole: Design, seed: int
) -> None:
    """Every combination is evaluated whole under every rule set, and judged clause by clause."""
    deck = random_deck(whole, seed)
    chosen = few(variables(deck, catalogue.vocabulary), seed)
    names = random.Random(seed).sample(RULE_SETS, 2)
    answer = choose(catalogue, deck, names, chosen)
    evaluators = [catalogue.evaluator(name) for name in names]
    combinations = list(product(*(v.options for v in chosen)))
    results: list[dict[tuple[str, int], Any]] = []
    for values in combinations:
        choice = dict(zip((v.quantity for v in chosen), values, strict=True))
        whole_deck = with_choice(deck, choice)
        found: dict[tuple[str, int], Any] = {}
        asked = [(e, catalogue.prepare(whole_deck)) for e in evaluators]
        together = catalogue.coherence()
        assert together is not None
        asked.append((together, catalogue.prepare(worked_out(whole_deck))))
        for evaluator, ready in asked:
            for index, _, result in evaluator.rows(ready):
                found.setdefault((evaluator.ruleset.name, index), []).append(result)
        results.append(found)
    keys = {key for found in results for key in found}
    depends = [k for k in keys if len({repr(found.get(k)) for found in results}) > 1]
    helpless = {
        k
        for k in depends
        if all(_open(found.get(k, [])) for found in results if _read(found.get(k, [])))
    }
    good = [
        values
        for values, found in zip(combinations, results, strict=True)
        if all(_may(found.get(k, []), k in helpless) for k in depends)
    ]
    costs = {
        v: least_lumber(take_off(deck, dict(zip((x.quantity for x in chosen), v, strict=True))))
        for v in good
    }
    if not answer.solutions:  # then each combination fails somewhere, or is not known there
        assert all(any(not _may(r, False) for r in found.values()) for found in results)
        return
    assert least_lumber(answer.solutions[0].taken) == min(costs.values())
    assert tuple(answer.solutions[0].choice[v.quantity] for v in chosen) in good


def _read(results: list[Any]) -> bool:
    return any(r[0] != NOT_APPLICABLE for r in results)


def _open(results: list[Any]) -> bool:
    return (
        bool(results)
        and not any(r[0] == DOES_NOT_COMPLY for r in results)
        and any(r[0] not in (COMPLIES, NOT_APPLICABLE) for r in results)
    )


def _may(results: list[Any], helpless: bool) -> bool:
    if any(r[0] == DOES_NOT_COMPLY for r in results):
        return False
    unsure = [r for r in results if r[0] not in (COMPLIES, NOT_APPLICABLE)]
    return helpless or all(r[5] for r in unsure)


@pytest.mark.parametrize("seed", range(6))
def test_the_least_cost_is_that_of_integer_programming(
    catalogue: Catalogue, whole: Design, seed: int
) -> None:
    """scipy's MILP over one 0/1 unknown an allowed combination of each clause's scope."""
    deck = random_deck(whole, seed + 100)
    chosen = variables(deck, catalogue.vocabulary)
    evaluators = [catalogue.evaluator(n) for n in ("irc-2018", "irc-2015")]
    tables = clause_tables(deck, chosen, evaluators, catalogue.prepare)
    chance = random.Random(seed)
    price = {(v.quantity, o): Fraction(chance.randrange(1, 60)) for v in chosen for o in v.options}
    terms = [((v.quantity,), lambda c, q=v.quantity: (price[q, c[q]],)) for v in chosen]
    cost = CostOf(terms, 1)
    best = Search(chosen, tables, cost).cheapest()
    least = _milp(chosen, tables, price)
    assert (best is None) == (least is None)
    if best is not None and least is not None:
        assert abs(float(cost.of(best)[0]) - least) < 1e-6


def _milp(
    chosen: Sequence[Variable], tables: Sequence[ClauseTable], price: dict[Any, Fraction]
) -> float | None:
    place = {
        (v.quantity, o): n for n, (v, o) in enumerate((v, o) for v in chosen for o in v.options)
    }
    rows, low, high = [], [], []
    for v in chosen:
        row = np.zeros(len(place))
        for o in v.options:
            row[place[v.quantity, o]] = 1
        rows.append(row), low.append(1), high.append(1)
    for table in tables:
        for values in table.verdicts:
            if not table.allows(values):  # a forbidden combination: not all of it at once
                row = np.zeros(len(place))
                for name, option in zip(table.scope, values, strict=True):
                    row[place[name, option]] = 1
                rows.append(row), low.append(-np.inf), high.append(len(values) - 1)
    costs = np.array([float(price[key]) for key in place])
    found = milp(
        costs,
        constraints=LinearConstraint(np.array(rows), low, high),
        integrality=1,
        bounds=Bounds(0, 1),
    )
    return float(found.fun) if found.success else None


@pytest.mark.parametrize("seed", range(4))
def test_no_choice_changes_a_clause_outside_its_scope(
    catalogue: Catalogue, whole: Design, seed: int
) -> None:
    """Two choices changed together move no clause that neither is said to move."""
    deck = random_deck(whole, seed)
    chosen = variables(deck, catalogue.vocabulary)
    evaluator = catalogue.evaluator("irc-2021")
    scopes = {
        t.clause.key: set(t.scope)
        for t in clause_tables(deck, chosen, [evaluator], catalogue.prepare)
    }
    chance = random.Random(seed)
    base = {v.quantity: chance.choice(v.options) for v in chosen}
    before = _by_key(catalogue, evaluator, with_choice(deck, base))
    for _ in range(15):
        pair = chance.sample(list(chosen), 2)
        after = _by_key(
            catalogue,
            evaluator,
            with_choice(deck, {**base, **{v.quantity: chance.choice(v.options) for v in pair}}),
        )
        moved = {key for key in before if before[key] != after[key]}
        for key in moved:
            assert scopes.get(key, set()) & {v.quantity for v in pair}, key


def _by_key(catalogue: Catalogue, evaluator: Any, deck: Design) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for index, part, result in evaluator.rows(catalogue.prepare(deck)):
        found.setdefault(evaluator.ruleset.clauses[index].key, []).append(f"{part} {result}")
    return found


def test_what_is_not_known_is_never_chosen_where_something_is(
    catalogue: Catalogue, whole: Design
) -> None:
    chosen = variables(whole, catalogue.vocabulary)
    answer = choose(catalogue, whole, ["irc-2018"], chosen)
    for evaluation in answer.evaluations:
        for finding in evaluation.findings:
            if finding.status not in (COMPLIES, NOT_APPLICABLE):
                assert (finding.topic in {u.finding.topic for u in answer.undecided}) or not any(
                    finding.topic == t.clause.topic
                    for t in clause_tables(
                        whole, chosen, [catalogue.evaluator("irc-2018")], catalogue.prepare
                    )
                )
    assert not answer.still_fails


def test_tables_not_seen_are_told_and_the_answer_stays_open(
    catalogue: Catalogue, whole: Design
) -> None:
    """Tarn Hollow carries 60 psf live load: its edition's beam table for it has not been seen."""
    chosen = variables(whole, catalogue.vocabulary)
    answer = choose(catalogue, whole, ["Tarn Hollow@2025-03-01"], chosen)
    assert "beam_span" in {u.finding.topic for u in answer.undecided}
    assert answer.exit_status == 3


def test_towns_that_allow_nothing_in_common_are_named(catalogue: Catalogue, whole: Design) -> None:
    chosen = [Variable("fasteners.spacing", "fastener spacing", (Fraction(16), Fraction(15)))]
    answer = choose(catalogue, whole, ["irc-2018", "Tarn Hollow@2025-03-01"], chosen)
    assert not answer.solutions
    assert answer.conflicts == (("Tarn Hollow@2025-03-01",),)
    assert answer.exit_status == 1


def test_a_price_list_decides_by_cost(catalogue: Catalogue, whole: Design, tmp_path: Path) -> None:
    path = tmp_path / "yard.csv"
    lines = [
        f"{size},,{price}"
        for size, price in (
            ("2x6", 5),
            ("2x8", 8),
            ("2x10", 90),
            ("2x12", 20),
            ("4x4", 9),
            ("6x6", 30),
        )
    ]
    path.write_text(
        "\n".join(
            ["item,length,price", *lines, "lag screw,,2.50", "through bolt,,4.75", "concrete,,6"]
        )
        + "\n"
    )
    chosen = variables(
        whole, catalogue.vocabulary, keep=("ledger", "fasteners", "posts", "footings")
    )
    answer = choose(catalogue, whole, ["irc-2018"], chosen, read_prices(path))
    sizes = {answer.solutions[0].choice["joists.size"], answer.solutions[0].choice["beams.size"]}
    assert not any("2x10" in str(size) for size in sizes)
    assert not answer.unpriced


def test_faults_of_a_price_list_are_all_told(tmp_path: Path) -> None:
    path = tmp_path / "yard.csv"
    path.write_text("item,length,price\n2x8,12 ft,cheap\n2x8,12 oz,3\n2x8,,-1\n")
    with pytest.raises(InputError) as error:
        read_prices(path)
    assert [p.line for p in error.value.problems] == [2, 3, 4]


def test_the_command_prints_a_choice_and_a_list_to_buy(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["choose", str(WHOLE), "--under", "irc-2018"]) == 0
    told = capsys.readouterr().out
    assert "CHOSEN" in told
    assert "CUT AND BUY" in told
    assert "2x6: fails joist span (Table R507.6*) under IRC 2018" in told.replace("\n    ", " ")
    assert run(["choose", str(WHOLE), "--under", "irc-2018", "--format", "csv"]) == 0
    assert capsys.readouterr().out.startswith("item,for,cut,buy,count,board feet\n")


def test_a_name_that_is_none_is_told_with_a_suggestion(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["choose", str(WHOLE), "--under", "irc-2018", "--keep", "ledgr"]) == 2
    assert "Did you mean ledger" in capsys.readouterr().err


@pytest.mark.parametrize("seed", range(3))
def test_an_option_said_to_be_barred_alone_is_in_no_combination(
    catalogue: Catalogue, whole: Design, seed: int
) -> None:
    deck = random_deck(whole, seed + 40)
    chosen = variables(deck, catalogue.vocabulary, keep=("fasteners.spacing", "footings"))
    answer = choose(catalogue, deck, ["irc-2018", "irc-2021"], chosen)
    barred = [e for e in answer.excluded if e.alone]
    assert barred
    for excluded in barred[:4]:
        only = tuple(
            Variable(v.quantity, v.words, (excluded.option,))
            if v.quantity == excluded.quantity
            else v
            for v in chosen
        )
        forced = choose(catalogue, deck, ["irc-2018", "irc-2021"], only)
        named = {(name, clause.topic) for name, clause, _ in excluded.by}
        undecided = {(u.ruleset, u.finding.topic) for u in forced.undecided}
        assert not forced.solutions or set(forced.still_fails) & named or undecided & named


def test_sizes_that_would_not_hold_together_are_never_chosen(
    catalogue: Catalogue, whole: Design
) -> None:
    """A 2x10 joist hangs 2 in below a 2x8 ledger, where no hanger is seated."""
    chosen = variables(whole, catalogue.vocabulary, keep=("ledger", "joists.spacing"))
    answer = choose(catalogue, whole, ["Tarn Hollow@2025-03-01"], chosen)
    for solution in answer.solutions:
        assert solution.choice["joists.size"] in ("2x6", "2x8")
    barred = [e for e in answer.excluded if e.option == "2x10" and e.quantity == "joists.size"]
    assert any(name == "holds-together" for e in barred for name, _, _ in e.by)
