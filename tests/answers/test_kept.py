"""Rows taken over from the answer before: never another answer than one built afresh."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

import pytest
from msgspec.structs import replace

from deckclause.answers.compare.build import compare_answer
from deckclause.answers.compare.kept import Kept, changed_facts, reads_by_topic
from deckclause.compare.comparison import compare
from deckclause.designs.design import Design
from deckclause.designs.invented.recipes import RECIPES
from deckclause.evaluate.catalogue import Catalogue
from deckclause.quantities import parse_quantity
from deckclause.rulesets.vocabulary import QuantityDefinition
from support.designs import EXAMPLES, changed

CATALOGUE = Catalogue.open()
UNDER = ("irc-2009", "irc-2021", "Tarn Hollow@2024-02-01")


def _read(text: str, definition: QuantityDefinition) -> Any:
    if definition.dimension is not None:
        return parse_quantity(text, definition.dimension).value
    return text == "yes" if definition.kind == "yes_no" else text


def edited(design: Design, chance: random.Random) -> Design:
    """Return the design with one of its facts, or one of a part's, otherwise or left open."""
    quantities = CATALOGUE.vocabulary.quantities
    name = chance.choice([n for n in RECIPES if n in quantities])
    text = chance.choice([text for text, _ in RECIPES[name]])
    value = _read(text, quantities[name]) if text else None

    def otherwise(facts: Any) -> dict[str, Any]:
        return {**{n: v for n, v in facts.items() if n != name}, **({name: value} if text else {})}

    group = quantities[name].of
    if not group:
        return replace(design, facts=otherwise(design.facts))
    parts = list(design.values(group))
    if parts:
        one = chance.randrange(len(parts))
        parts[one] = replace(parts[one], facts=otherwise(parts[one].facts))
    return replace(design, parts={**design.parts, group: tuple(parts)})


def walk(example: str, seed: int, steps: int) -> Iterator[Design]:
    chance = random.Random(seed)
    design = CATALOGUE.design(EXAMPLES / f"{example}.yaml").design
    for _ in range(steps):
        design = edited(design, chance)
        yield design


def hold(designs: Iterable[Design], under: Sequence[str] = UNDER) -> float:
    """Hold every answer of designs in turn against one built afresh; return the share taken over."""
    kept, lent, rows = Kept(), 0, 0
    vocabulary = CATALOGUE.vocabulary
    for design in designs:
        prepared = CATALOGUE.prepare(design)
        now = compare(CATALOGUE, prepared, under, pairs=(), last=kept.comparison)
        taken = kept.rows(now, si=False)
        answer = compare_answer(now, vocabulary, kept=taken)
        fresh = compare(CATALOGUE, CATALOGUE.prepare(design), under, pairs=())
        assert answer == compare_answer(fresh, vocabulary), design
        kept.take(now, answer)
        lent, rows = lent + len(taken), rows + len(answer.every_row)
    return lent / rows


@pytest.mark.parametrize(("example", "seed"), [("step-down-3in", 5), ("whole-deck-12x16", 11)])
def test_an_answer_after_an_edit_is_one_built_afresh(example: str, seed: int) -> None:
    assert hold(walk(example, seed, 6)) > 0.4  # else it saves nothing


def test_words_that_change_while_every_finding_stays_are_told_anew() -> None:
    setting = CATALOGUE.ruleset(UNDER[-1]).settings[0]  # said beside a finding unless stated alike
    whole = CATALOGUE.design(EXAMPLES / "whole-deck-12x16.yaml").design
    stated = {**whole.facts, setting.quantity: setting.value}
    apart = {n: v for n, v in stated.items() if n != setting.quantity}
    hold([replace(whole, facts=apart), replace(whole, facts=stated)], UNDER[-1:])


def test_a_row_is_not_taken_over_where_a_fact_behind_a_value_given_to_it_changed() -> None:
    evaluator = CATALOGUE.evaluator("irc-2021")
    reads = reads_by_topic(evaluator)["ledger_fastener_spacing"]
    assert reads is not None
    assert {"fasteners.kind", "site.ground_snow_load"} <= reads  # snow reaches it through a load
    assert reads_by_topic(evaluator)["band_joist_bottom_edge_distance"] is None  # a distance


def test_what_follows_from_a_changed_fact_has_changed_with_it() -> None:
    before, now = changed(CATALOGUE), changed(CATALOGUE, ledger__size="2x12")
    found = changed_facts(before, now)
    assert found is not None
    assert {"ledger.size", "ledger.depth"} <= found
    assert changed_facts(before, CATALOGUE.prepare(replace(now.design, parts={}))) is None
