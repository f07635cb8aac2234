"""The few answers that decide most, held against trying every set of answers."""

from __future__ import annotations

from itertools import chain, combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from deckclause.answers.compare.decisive import MOST_ANSWERS, decisive

FACTS = "abcdefgh"
LACKING = st.dictionaries(
    st.sampled_from([f"topic {n}" for n in range(12)]),
    st.frozensets(st.sampled_from(FACTS), min_size=1, max_size=4),
    max_size=12,
)


def covered(lacking: dict[str, frozenset[str]], chosen: tuple[str, ...]) -> int:
    """Count the topics that lack nothing once the chosen facts are known."""
    return sum(not lack - set(chosen) for lack in lacking.values())


def every_choice(lacking: dict[str, frozenset[str]]) -> list[tuple[str, ...]]:
    """List every set of facts, the empty one too."""
    names = sorted({name for lack in lacking.values() for name in lack})
    return list(chain.from_iterable(combinations(names, size) for size in range(len(names) + 1)))


@given(LACKING, st.integers(1, MOST_ANSWERS))
@settings(max_examples=120)
def test_no_other_answers_cover_more_and_no_fewer_cover_as_many(lacking, most: int) -> None:
    found = decisive(lacking, most=most)
    if not lacking:
        assert found is None
        return
    assert found is not None
    assert found.exact
    assert found.undecided == len(lacking)
    assert found.covered == covered(lacking, found.answers)
    assert len(found.answers) <= most
    choices = [c for c in every_choice(lacking) if len(c) <= most]
    greatest = max(covered(lacking, c) for c in choices)
    assert found.covered == greatest
    if greatest:
        assert len(found.answers) == min(len(c) for c in choices if covered(lacking, c) == greatest)


@given(st.integers(14, 40), st.randoms(use_true_random=False))
@settings(max_examples=8)
def test_of_many_facts_no_exchange_of_one_covers_more(facts: int, random) -> None:
    names = [f"fact {n}" for n in range(facts)]
    lacking = {f"t{n}": frozenset(random.sample(names, random.randint(1, 4))) for n in range(60)}
    found = decisive(lacking)
    assert found is not None
    assert found.covered == covered(lacking, found.answers)
    assert found.exact
    for kept in combinations(found.answers, len(found.answers) - 1):
        assert all(covered(lacking, (*kept, name)) <= found.covered for name in names)


def test_a_search_that_was_ended_says_so(monkeypatch) -> None:
    monkeypatch.setattr("deckclause.answers.compare.decisive.MOST_STEPS", 3)
    lacking = {f"t{n}": frozenset({f"a{n}", f"b{n % 7}"}) for n in range(30)}
    found = decisive(lacking)
    assert found is not None
    assert not found.exact
    assert found.covered == covered(lacking, found.answers)


def test_where_no_so_few_cover_a_topic_what_most_lack_is_told() -> None:
    found = decisive({"a": frozenset("uvw"), "b": frozenset("uxy")}, most=1)
    assert found is not None
    assert (found.answers, found.covered, found.exact) == (("u",), 0, True)


def test_a_topic_that_waits_for_a_book_is_covered_by_no_answer() -> None:
    lacking = {"a": frozenset({"x"}), "b": frozenset({"x"}), "c": frozenset()}
    found = decisive(lacking, needs_book=["b", "c"])
    assert found is not None
    assert (found.covered, found.undecided, found.needs_book) == (1, 3, 2)
    assert decisive({"c": frozenset()}, needs_book=["c"]) is None
