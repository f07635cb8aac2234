"""All minimal conflicts, against trying every subset of the clauses."""

from __future__ import annotations

from fractions import Fraction as F
from itertools import combinations

import pytest
from hypothesis import given, settings
from msgspec.structs import replace

from deckclause.placement.conflicts import all_conflicts
from deckclause.placement.constraints import Distance, fixed
from deckclause.placement.proof import check_conflict
from deckclause.placement.solve import solve
from placement.random_systems import distances
from placement.trade_limits import system_2012


def idle(board: Distance, system: list[Distance]) -> bool:
    """Whether clauses between the same datums ask at least as much as a board that only bounds."""
    if board.is_rigid:
        return False
    least = [
        c.least if c.start == board.start else None if c.most is None else -c.most
        for c in system
        if c.kind == "clause" and {c.start, c.end} == {board.start, board.end}
    ]
    most = [
        c.most if c.start == board.start else None if c.least is None else -c.least
        for c in system
        if c.kind == "clause" and {c.start, c.end} == {board.start, board.end}
    ]
    return (board.least is None or any(v is not None and v >= board.least for v in least)) and (
        board.most is None or any(v is not None and v <= board.most for v in most)
    )


def halves(system: list[Distance]) -> list[Distance]:
    """Split a board that only bounds into one distance a bound, so that either may be idle."""
    found = []
    for d in system:
        if d.kind == "boards" and not d.is_rigid and d.least is not None and d.most is not None:
            found += [replace(d, most=None), replace(d, least=None)]
        else:
            found.append(d)
    return found


def by_every_subset(system: list[Distance]) -> set[frozenset[int]]:
    """Return the minimal conflicting sets of clause numbers by brute force, smallest first."""
    boards = [d for d in halves(system) if d.kind == "boards" and not idle(d, system)]
    clauses = [i for i, d in enumerate(system) if d.kind == "clause"]
    found: set[frozenset[int]] = set()
    for size in range(len(clauses) + 1):
        for chosen in combinations(clauses, size):
            kept = frozenset(chosen)
            if any(known <= kept for known in found):
                continue
            if not solve([*boards, *(system[i] for i in chosen)]).is_feasible:
                found.add(kept)
    return found


def numbered(system: list[Distance]) -> list[Distance]:
    return [
        Distance(d.start, d.end, d.least, d.most, f"limit {i}", kind=d.kind)
        for i, d in enumerate(system)
    ]


@settings(max_examples=150)
@given(distances())
def test_the_conflicts_are_all_the_minimal_ones(system: list[Distance]) -> None:
    system = numbered(system)
    answer = all_conflicts(system)
    assert answer.complete
    for conflict in answer.conflicts:
        check_conflict(system, conflict)
    sets = [frozenset(int(d.label.split()[1]) for d in c.clauses) for c in answer.conflicts]
    assert len(sets) == len(set(sets))
    assert set(sets) == by_every_subset(system)


@settings(max_examples=100)
@given(distances())
def test_cut_short_it_says_so_and_still_gives_a_minimal_conflict(system: list[Distance]) -> None:
    system = numbered(system)
    answer = all_conflicts(system, effort=1)
    brute = by_every_subset(system)
    if not brute:
        assert answer.conflicts == ()
        assert answer.complete
        return
    assert answer.conflicts
    for conflict in answer.conflicts:
        check_conflict(system, conflict)
        assert frozenset(int(d.label.split()[1]) for d in conflict.clauses) in brute


@given(distances())
def test_the_solver_s_own_conflict_is_minimal(system: list[Distance]) -> None:
    system = numbered(system)
    conflict = solve(system).conflict
    if conflict is not None:
        named = frozenset(int(d.label.split()[1]) for d in conflict.clauses)
        assert named in by_every_subset(system)


def test_boards_that_contradict_each_other_are_blamed_alone() -> None:
    system = [
        fixed("a", "b", 3, "three deep"),
        fixed("a", "b", 4, "four deep"),
        Distance("a", "b", F(9), None, "a rule"),
    ]
    answer = all_conflicts(system)
    assert [c.clauses for c in answer.conflicts] == [()]
    assert answer.conflicts[0].shortfall == 1


def test_effort_is_a_count() -> None:
    with pytest.raises(ValueError, match="at least 1"):
        all_conflicts([fixed("a", "b", 3, "three deep")], effort=0)


def test_a_pair_that_fails_two_ways_lists_both() -> None:
    """A 2x8 ledger dropped 4 in on a 2x8 band joist: by the lower row and by both rows."""
    answer = all_conflicts(system_2012("2x8", "2x8", F(4)))
    assert answer.complete
    found = [(sorted(d.label for d in c.clauses), c.shortfall) for c in answer.conflicts]
    assert found == [
        (["band joist bottom edge", "lower row below ledger top"], 4 + F(11, 2) + 2 - F(29, 4)),
        (
            ["band joist bottom edge", "ledger top edge", "row spacing"],
            4 + 2 + F(13, 8) + 2 - F(29, 4),
        ),
    ]
