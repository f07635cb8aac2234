"""Choosing sizes, held against trying every combination, and against integer programming."""

from __future__ import annotations

import random
import re
from collections.abc import Sequence
from fractions import Fraction
from itertools import product
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace
from scipy.optimize import Bounds, LinearConstraint, milp

from deckclause.answers.chosen import chosen_answer
from deckclause.choosing.choose import choose
from deckclause.choosing.lumber import least_lumber, take_off
from deckclause.choosing.members import (
    DROP,
    ROWS,
    Choice,
    Variable,
    quantity_meant,
    variables,
    with_choice,
)
from deckclause.choosing.prices import read_prices
from deckclause.choosing.search import CostOf, Search
from deckclause.choosing.tables import ClauseTable, clause_tables
from deckclause.cli.main import run
from deckclause.designs.design import Design
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY, NOT_APPLICABLE
from deckclause.rulesets.problems import InputError
from support.choosing import RULE_SETS, Tried, decides, few, random_deck, results_of, thinned
from support.designs import EXAMPLES

WHOLE = EXAMPLES / "whole-deck-12x16.yaml"
TOWNS = ("Tarn Hollow@2025-03-01", "Skerryvane@2024-05-01", "Dunmarrow@2020-01-01")


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


@pytest.fixture(scope="module")
def whole(catalogue: Catalogue) -> Design:
    return catalogue.design(WHOLE).design


@pytest.mark.parametrize("seed", range(8))
def test_the_least_is_that_of_trying_every_combination_whole(
    catalogue: Catalogue, whole: Design, seed: int
) -> None:
    """Every combination is evaluated whole under every rule set, and judged clause by clause."""
    held_to_every_combination(catalogue, whole, seed)


def held_to_every_combination(
    catalogue: Catalogue, whole: Design, seed: int, *, others: int = 3, options: int = 3
) -> None:
    """Choose for a random deck, and hold what is chosen and what is left to trying all."""
    deck = random_deck(whole, seed)
    chosen = few(deck, catalogue.vocabulary, seed, others=others, options=options)
    names = random.Random(seed).sample(RULE_SETS, 2)
    answer = choose(catalogue, deck, names, chosen)
    for variable in answer.left:
        alone = Tried(catalogue, deck, names, [variable])
        assert not decides(catalogue, variable.quantity, alone.results)
    tried = Tried(catalogue, deck, names, answer.variables)
    if not answer.solutions:
        assert tried.nothing_can_be()
        return
    assert least_lumber(answer.solutions[0].taken) == tried.least()
    assert answer.solutions[0].choice in tried.good()
    drops = [c[DROP] for c in tried.good() if DROP in c and lumber(deck, c) == tried.least()]
    if drops:
        assert answer.solutions[0].choice[DROP] == min(drops)


def lumber(deck: Design, choice: Choice) -> tuple[Fraction, ...]:
    """The lumber a choice takes."""
    return least_lumber(take_off(deck, choice))


@pytest.mark.parametrize("seed", range(4))
def test_the_least_cost_is_that_of_integer_programming(
    catalogue: Catalogue, whole: Design, seed: int
) -> None:
    """scipy's MILP over one 0/1 unknown an option of each choice."""
    least_cost_held_to_integer_programming(catalogue, whole, seed)


def least_cost_held_to_integer_programming(catalogue: Catalogue, whole: Design, seed: int) -> None:
    """Hold the least cost by random prices to that of scipy's MILP."""
    deck = random_deck(whole, seed + 100)
    chosen = thinned(variables(deck, catalogue.vocabulary))
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
    chosen = thinned(variables(deck, catalogue.vocabulary))
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


@pytest.mark.parametrize("name", ["irc-2006", "irc-2012"])
def test_what_an_edition_does_not_decide_is_not_chosen(
    catalogue: Catalogue, whole: Design, name: str
) -> None:
    """These editions have no deck beam, joist, post or footing table: the least lumber is no size."""
    answer = choose(catalogue, whole, [name], variables(whole, catalogue.vocabulary))
    left = {v.quantity for v in answer.left}
    assert left >= {
        "joists.size",
        "joists.spacing",
        "beams.size",
        "posts.size",
        "footings.diameter",
    }
    assert not left & set(answer.solutions[0].choice)
    assert answer.exit_status == 3


def test_a_footing_no_town_decides_is_left_as_drawn(catalogue: Catalogue, whole: Design) -> None:
    answer = chosen_answer(catalogue, whole, TOWNS)
    assert [m.quantity for m in answer.left] == ["footings.diameter"]
    assert [f.value for f in answer.left[0].drawn if f] == [24]
    assert answer.solutions[0].taken.concrete == take_off(whole, {}).concrete


def test_rows_left_open_stand_where_both_are_farthest_from_any_bar(
    catalogue: Catalogue, whole: Design
) -> None:
    """Each place of the two rows is evaluated whole; none that is allowed has more room."""
    deck = replace(whole, facts={n: v for n, v in whole.facts.items() if n not in ROWS})
    answer = choose(catalogue, deck, TOWNS[:1], thinned(variables(deck, catalogue.vocabulary)))
    best = answer.solutions[0].choice
    opened = [v for v in answer.variables if v.quantity in ROWS]
    assert len(opened) == 2
    sized = with_choice(deck, {n: v for n, v in best.items() if n not in ROWS})
    tried = Tried(catalogue, sized, TOWNS[:1], opened)
    good = [tuple(choice[n] for n in ROWS) for choice in tried.good()]
    barred = [tuple(c[n] for n in ROWS) for c in tried.combinations if c not in tried.good()]

    def room(place: tuple[Any, ...]) -> Any:
        return min(max(abs(a - b) for a, b in zip(place, out, strict=True)) for out in barred)

    chosen = tuple(best[n] for n in ROWS)
    assert chosen in good
    assert room(chosen) == max(map(room, good))


def test_species_and_cantilever_left_open_are_chosen(catalogue: Catalogue, whole: Design) -> None:
    joists = whole.parts["joists"][0]
    left_out = ("joists.species", "joists.cantilever")
    facts = {n: v for n, v in joists.facts.items() if n not in left_out}
    deck = replace(whole, parts={**whole.parts, "joists": (replace(joists, facts=facts),)})
    answer = chosen_answer(catalogue, deck, ["irc-2018"], keep=("ledger",))
    assert set(left_out) <= {m.quantity for m in answer.members}
    chosen = next(m for m in answer.members if m.quantity == "joists.cantilever")
    assert [f.value for f in chosen.chosen] == [0] * len(answer.solutions)
    assert answer.exit_status == 0


def test_what_is_not_barred_either_complies_in_its_place(
    catalogue: Catalogue, whole: Design
) -> None:
    """Each option said to do as well is put in place of the one chosen, and nothing then fails."""
    names = ["irc-2018", "irc-2021"]
    answer = chosen_answer(catalogue, whole, names)
    for member in answer.members:
        for option in (f.value for options in member.also for f in options[:2]):
            deck = with_choice(whole, {**answer.solutions[0].choice, member.quantity: option})
            found = results_of(catalogue, deck, names)
            fails = [key for key, got in found.items() if any(r[0] == DOES_NOT_COMPLY for r in got)]
            assert not fails, (member.quantity, option)


def test_a_size_may_be_named_in_the_words_it_is_told_in() -> None:
    assert quantity_meant("Lower row  below ledger top") == ROWS[1]
    with pytest.raises(InputError, match="joist cantilever"):
        quantity_meant("joist cantilevr")


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


@pytest.mark.parametrize(
    ("name", "head", "status"),
    [
        ("irc-2018", "sizes that comply under IRC 2018", 0),
        # no beam, joist, post or footing table in it
        ("irc-2012", "sizes chosen under IRC 2012", 3),
        # its frost line lies deeper than the footing drawn, and its snow figures were not found
        ("Skerryvane@2024-05-01", "sizes chosen under Skerryvane, 2024-05-01", 1),
    ],
)
def test_sizes_are_said_to_comply_only_where_all_is_decided_and_nothing_fails(
    capsys: pytest.CaptureFixture[str], name: str, head: str, status: int
) -> None:
    assert run(["choose", str(WHOLE), "--under", name]) == status
    told = capsys.readouterr().out
    assert head in told
    assert ("NO PASS AS A WHOLE" in told) == (status != 0)


def test_a_name_that_is_none_is_told_with_a_suggestion(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["choose", str(WHOLE), "--under", "irc-2018", "--keep", "ledgr"]) == 2
    assert "Did you mean ledger" in capsys.readouterr().err


@pytest.mark.parametrize("seed", range(3))
def test_an_option_said_to_be_barred_alone_is_in_no_combination(
    catalogue: Catalogue, whole: Design, seed: int
) -> None:
    deck = random_deck(whole, 2 * seed + 40)
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
        left = excluded.quantity in {v.quantity for v in forced.left}  # an option nobody decides
        fails = set(forced.still_fails) & named
        assert left or not forced.solutions or fails or undecided & named


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


def test_a_size_no_answer_is_known_to_pass_is_not_chosen(
    catalogue: Catalogue, whole: Design
) -> None:
    """5/4 boards span 16 in at most however they run (Table R507.7): 24 in is out before that is known."""
    name = "irc-2021"
    open_ones = ("decking.direction", "decking.spans")
    facts = {n: v for n, v in whole.facts.items() if n not in open_ones}
    deck = replace(whole, facts={**facts, "decking.board": "five_quarter_wood"})
    chosen = variables(deck, catalogue.vocabulary, keep=("ledger", "fasteners", "beams"))
    answer = choose(catalogue, deck, [name], chosen)
    assert answer.solutions[0].choice["joists.spacing"] <= 16
    (barred,) = (e for e in answer.excluded if (e.quantity, e.option) == ("joists.spacing", 24))
    assert {(clause.topic, why) for _, clause, why in barred.by} == {
        ("decking_joist_spacing", "no answer passes")
    }
    keys = [clause.key for clause in catalogue.evaluator(name).ruleset.clauses]
    asked = (name, keys.index("decking_joist_spacing"))
    directions, spans = (catalogue.vocabulary.quantities[q].choices for q in open_ones)
    for spacing, may in ((Fraction(24), False), (Fraction(16), True)):
        reached = set()
        for answers in product(directions, spans):
            stated = dict(zip(open_ones, answers, strict=True))
            tried = with_choice(deck, {"joists.spacing": spacing, **stated})
            reached |= {row[0] for row in results_of(catalogue, tried, [name])[asked]}
        assert (COMPLIES in reached) == may


def test_the_list_to_buy_stands_before_what_keeps_sizes_out_and_in_si_where_asked(
    capsys: pytest.CaptureFixture[str],
) -> None:
    run(["choose", str(WHOLE), "--under", "irc-2018", "--si"])
    told = capsys.readouterr().out
    assert told.index("CUT AND BUY") < told.index("WHAT KEEPS OTHER SIZES OUT")
    assert "mm" in told
    below_the_name = told.partition("\n")[2]
    assert not re.search(r"\d (?:in|ft)\b|board feet|cu ft", below_the_name)
