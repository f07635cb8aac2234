"""Counts of standings: parts add up, nothing is lost, and it fits the page."""

from __future__ import annotations

import pytest

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.explain import RANK
from deckclause.report.rule_sets.standing_text import HEADERS, standing_lines, topic_lines
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.standing import count_standings


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


@pytest.fixture(scope="module")
def rules(catalogue: Catalogue) -> RuleSet:
    return catalogue.ruleset("irc-2018")


def totals(lines: list[str], name: str) -> list[int]:
    line = next(line for line in lines if line.startswith(f"{name} "))
    return [int(word) for word in line.removeprefix(name).split()]


def test_the_last_line_is_the_whole_rule_set(catalogue: Catalogue, rules: RuleSet) -> None:
    lines = list(topic_lines([rules], catalogue.vocabulary, 80))
    counts = count_standings(rules)
    nonzero = [counts[rank] for rank in RANK if counts[rank]]
    assert totals(lines, "ALL") == [*nonzero, sum(nonzero)]


def test_parts_add_up_to_the_whole(catalogue: Catalogue, rules: RuleSet) -> None:
    lines = list(topic_lines([rules], catalogue.vocabulary, 100))
    parts = [title.upper() for title in catalogue.vocabulary.parts.values()]
    shown = [line.rsplit(None, 1) for line in lines if line.split("  ")[0] in parts]
    assert sum(int(total) for _, total in shown) == sum(count_standings(rules).values())


def test_every_topic_stands_under_its_part(catalogue: Catalogue, rules: RuleSet) -> None:
    lines = list(topic_lines([rules], catalogue.vocabulary, 120))
    topics = {clause.topic for clause in rules.clauses}
    for topic in topics:
        assert any(
            line.startswith(f"- {catalogue.vocabulary.topics[topic].title}") for line in lines
        )
    assert sum(line.startswith("- ") for line in lines) == len(topics)


@pytest.mark.parametrize("width", [80, 100])
def test_it_fits_the_page(catalogue: Catalogue, rules: RuleSet, width: int) -> None:
    for lines in (
        topic_lines([rules], catalogue.vocabulary, width),
        standing_lines([rules], width),
    ):
        assert [line for line in lines if len(line) > width] == []


def test_heads_stand_over_the_ranks() -> None:
    assert all(head in rank for head, rank in zip(HEADERS, RANK, strict=False))
