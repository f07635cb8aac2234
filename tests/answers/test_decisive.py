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


@given(LACKING)
@settings(max_examples=150)
def test_no_other_answers_cover_more_and_no_fewer_cover_half(lacking) -> None:
    found = decisive(lacking)
    if not lacking:
        assert found is None
        return
    assert found is not None
    assert found.exact
    assert found.undecided == len(lacking)
    assert found.covered == covered(lacking, found.answers)
    assert len(found.answers) <= MOST_ANSWERS
    choices = every_choice(lacking)
    alike = [c for c in choices if len(c) == len(found.answers)]
    assert found.covered == max(covered(lacking, c) for c in alike)
    names = {name for lack in lacking.values() for name in lack}
    if found.covered * 2 >= len(lacking) and len(names) > MOST_ANSWERS:
        fewer = [c for c in choices if len(c) < len(found.answers)]
        assert all(covered(lacking, c) * 2 < len(lacking) for c in fewer)


@given(st.integers(14, 40), st.randoms(use_true_random=False))
@settings(max_examples=25)
def test_what_is_found_step_by_step_says_so_and_counts_true(facts: int, random) -> None:
    names = [f"fact {n}" for n in range(facts)]
    lacking = {f"t{n}": frozenset(random.sample(names, random.randint(1, 4))) for n in range(60)}
    found = decisive(lacking)
    assert found is not None
    assert found.covered == covered(lacking, found.answers)
    assert len(found.answers) <= MOST_ANSWERS
    if not found.exact:
        assert facts > MOST_ANSWERS


def test_a_topic_that_waits_for_a_book_is_covered_by_no_answer() -> None:
    lacking = {"a": frozenset({"x"}), "b": frozenset({"x"}), "c": frozenset()}
    found = decisive(lacking, needs_book=["b", "c"])
    assert found is not None
    assert (found.covered, found.undecided, found.needs_book) == (1, 3, 2)
    assert decisive({"c": frozenset()}, needs_book=["c"]) is None
