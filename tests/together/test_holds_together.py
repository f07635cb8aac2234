"""Decks that stand are not refused; decks broken in one place do not pass, and the part is named."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest

from deckclause.answers.compare.together import (
    HoldsTogether,
    lacking_lines,
    shortcomings,
    together_answer,
)
from deckclause.compare.comparison import compare
from deckclause.designs.read_design import design_of, read_design
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import Evaluation
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    NOT_APPLICABLE,
    STATUS_WORDS,
)
from deckclause.evaluate.together import holds_together
from together.breaks import BREAKS
from together.decks import Break, Deck, as_design, broken, sound_deck
from together.load_path import is_closed

EXAMPLES = Path(__file__).parents[2] / "rules" / "examples"
PATH_TOPICS = (
    *("together_joist_ends", "together_beams", "together_posts", "together_footings"),
    "together_ledger",
)
SOUND = 200
"""Sound decks here; 2,000 in tests/benchmarks."""


@cache
def catalogue() -> Catalogue:
    return Catalogue.open()


def evaluated(deck: Deck) -> Evaluation:
    shared = catalogue()
    found = holds_together(shared, shared.prepare(as_design(deck)))
    assert found is not None
    return found


def words(evaluation: Evaluation) -> str:
    answer = together_answer(evaluation, catalogue().vocabulary, binding=True)
    assert answer is not None
    return "\n".join(text for _, text in lacking_lines(answer))


def example(name: str) -> Deck:
    """Return a shipped example as plain facts."""
    design = read_design(EXAMPLES / f"{name}.yaml", catalogue().vocabulary)
    parts = {
        group: [{"name": part.name or group, **part.facts} for part in members]
        for group, members in design.parts.items()
    }
    for group in ("joists", "beams", "posts", "footings", "guards", "stairs", "doors"):
        parts.setdefault(group, [])
    return {"facts": dict(design.facts), "parts": parts}


def path_is_closed(evaluation: Evaluation) -> bool:
    return all(evaluation.outcome(topic).status <= COMPLIES for topic in PATH_TOPICS)


@cache
def sound_path_is_closed(seed: int) -> bool:
    """Tell it of a sound deck, once for all the ways it is then broken."""
    return path_is_closed(evaluated(sound_deck(seed)))


@pytest.mark.parametrize("first", range(0, SOUND, 50))
def test_sound_decks_are_not_refused(first: int) -> None:
    for seed in range(first, first + 50):
        found = evaluated(sound_deck(seed))
        assert found.status == COMPLIES, (seed, words(found))


@pytest.mark.parametrize("how", BREAKS, ids=lambda how: how.name)
def test_a_deck_broken_in_one_place_does_not_pass_and_the_part_is_named(how: Break) -> None:
    tried = 0
    for seed in range(40):
        found = broken(sound_deck(seed), how, seed)
        if found is None:
            continue
        tried += 1
        deck, named = found
        evaluation = evaluated(deck)
        assert evaluation.status not in (COMPLIES, 0), seed
        assert named in words(evaluation), (seed, named, words(evaluation))
        if tried == 4:
            break
    assert tried >= 2


@pytest.mark.parametrize("how", BREAKS, ids=lambda how: how.name)
def test_the_whole_deck_that_complies_passes_nowhere_once_broken(how: Break) -> None:
    shared = catalogue()
    found = broken(example("whole-deck-12x16"), how, 7)
    if found is None:
        pytest.skip("this deck has no such part")
    design = shared.prepare(as_design(found[0]))
    comparison = compare(shared, design, ("irc-2018", "irc-2021"), pairs=())
    assert comparison.exit_status != 0
    assert comparison.together is not None
    assert comparison.together.status > COMPLIES


@pytest.mark.parametrize("post", [0, 1, 2])
def test_a_post_whose_place_is_not_stated_leaves_the_beam_open_and_contradicts_nothing(
    post: int,
) -> None:
    """The beam is spliced over its middle post and reaches 1 ft past the others: no end is too long."""
    deck = example("whole-deck-12x16")
    del deck["parts"]["posts"][post]["posts.from_beam_end"]
    found = evaluated(deck)
    assert STATUS_WORDS[found.status] == "information missing"
    assert not [f.clause.key for f in found.findings if f.status == DOES_NOT_COMPLY]


def test_the_whole_deck_complies_as_it_is() -> None:
    shared = catalogue()
    design = shared.prepare(as_design(example("whole-deck-12x16")))
    assert compare(shared, design, ("irc-2018", "irc-2021"), pairs=()).exit_status == 0


@pytest.mark.parametrize(
    ("capacity", "status"),
    [(3000, "complies"), (2000, "does not comply"), (None, "information missing")],
)
def test_a_pile_is_held_to_its_report_and_asked_no_width(capacity: int | None, status: str) -> None:
    """The middle post carries 7 ft x 7 ft (half the span and the cantilever) at 50 psf: 2,450 lb."""
    deck = example("whole-deck-12x16")
    for footing in deck["parts"]["footings"]:
        for name in ("shape", "diameter", "thickness"):
            del footing[f"footings.{name}"]
        footing["footings.kind"] = "helical_pile"
        if capacity is not None:
            footing["footings.capacity"] = Fraction(capacity)
    found = evaluated(deck)
    assert STATUS_WORDS[found.status] == status, words(found)
    assert "wide" not in words(found)


@pytest.mark.parametrize("how", [b for b in BREAKS if b.on_the_load_path], ids=lambda how: how.name)
def test_the_load_path_agrees_with_a_second_check(how: Break) -> None:
    """Reachability in a graph of what rests on what, written apart (load_path.py)."""
    for seed in range(30):
        whole = sound_deck(seed)
        assert is_closed(whole), seed
        assert sound_path_is_closed(seed), seed
        found = broken(whole, how, seed)
        if found is not None:
            assert path_is_closed(evaluated(found[0])) == is_closed(found[0]) is False, seed


@pytest.mark.parametrize(
    ("change", "status"),
    [
        ({"joists.size": "2x12", "joists.restraint_depth": 11}, "does not comply"),
        ({"joists.below_ledger_top": 6}, "does not comply"),
    ],
)
def test_joists_hang_no_lower_than_their_ledger(change: dict[str, object], status: str) -> None:
    """A 2x12 (11-1/4 in) hangs 4 in below a 2x8 ledger (7-1/4 in), PS 20."""
    deck = example("whole-deck-12x16")
    deck["parts"]["joists"][0] |= {
        name: value if isinstance(value, str) else Fraction(str(value))
        for name, value in change.items()
    }
    found = evaluated(deck).outcome("together_joists_on_ledger")
    assert STATUS_WORDS[found.status] == status


def test_it_is_the_same_under_every_rule_set() -> None:
    shared = catalogue()
    deck = example("whole-deck-12x16")
    deck["parts"]["footings"].pop()
    design = shared.prepare(as_design(deck))
    for name in ("irc-2006", "irc-2024", "awc-dca6-2012"):
        comparison = compare(shared, design, (name,), pairs=())
        assert comparison.together is not None
        assert comparison.together.status != COMPLIES
        assert comparison.exit_status != 0


def test_topics_asked_by_name_are_answered_by_themselves_unless_the_deck_falls_apart() -> None:
    shared = catalogue()
    asked = ["ledger_size"]
    ledger_alone = shared.design(EXAMPLES / "step-down-3in.yaml")
    assert compare(shared, ledger_alone, ("irc-2018",), topics=asked).exit_status == 0
    deck = example("whole-deck-12x16")
    deck["parts"]["joists"][0]["joists.beam"] = "no such beam"
    apart = shared.prepare(as_design(deck))
    comparison = compare(shared, apart, ("irc-2018",), topics=asked)
    assert comparison.together is not None
    assert comparison.together.status == DOES_NOT_COMPLY
    assert comparison.exit_status == 1


def answered(deck: Deck) -> HoldsTogether:
    found = together_answer(evaluated(deck), catalogue().vocabulary, binding=True)
    assert found is not None
    return found


def test_each_row_says_what_it_rests_on_and_practice_is_never_called_statics() -> None:
    """The standing of every clause a row asks, read from the rules apart, is in the row's words."""
    together = catalogue().coherence()
    assert together is not None
    standings: dict[str, set[str]] = {}
    for clause in together.ruleset.clauses:
        standings.setdefault(clause.topic, set()).add(clause.standing)
    deck = answered(example("whole-deck-12x16"))
    for row in deck.rows:
        if row.status != NOT_APPLICABLE:
            assert row.bases
            assert ("statics" in row.basis) <= ("derived" in standings[row.topic.name])
            assert ("practice" in row.basis) <= bool(standings[row.topic.name] - {"derived"})
    alone = sum(row.basis == "statics and fit" for row in deck.rows)
    asked = sum(row.status != NOT_APPLICABLE for row in deck.rows)
    assert f"{alone} checks of statics and fit, {asked - alone} of practice" in deck.headline


@pytest.mark.parametrize(
    ("how", "basis"),
    [("guard posts far apart", "common practice"), ("two posts at one place", "statics and fit")],
)
def test_what_fails_says_what_asks_it(how: str, basis: str) -> None:
    found = broken(example("whole-deck-12x16"), next(b for b in BREAKS if b.name == how), 7)
    assert found is not None
    answer = answered(found[0])
    assert answer.headline.endswith(f"({basis.removeprefix('common ')})")
    assert {s.basis for s in shortcomings(answer)} == {basis}


def test_hangers_carry_the_snow_that_is_stated() -> None:
    """10 ft of joists at 16 in: 5 ft x 4/3 ft x 50 psf = 333 lb; under 70 psf of snow, 533 lb."""
    catalogue = Catalogue.open()
    text = (EXAMPLES / "whole-deck-12x16.yaml").read_text("utf-8")
    for snow, capacity, holds in ((30, 350, True), (70, 350, False), (70, 540, True)):
        content = text.replace("ground_snow_load: 30 psf", f"ground_snow_load: {snow} psf")
        content = content.replace("hanger_capacity: 800 lb", f"hanger_capacity: {capacity} lb")
        design = design_of(content.encode(), "deck.yaml", catalogue.vocabulary)
        evaluation = holds_together(catalogue, catalogue.prepare(design))
        assert evaluation is not None
        found = {f.clause.key: f for f in evaluation.findings}
        assert (found["hanger_capacity"].status == COMPLIES) is holds
