"""Counts of standings: parts add up, nothing is lost, and it fits the page."""

from __future__ import annotations

import pytest

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.explain import RANK
from deckclause.report.rule_sets.standing_text import HEADERS, standing_lines, topic_lines
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.standing import Figure, count_not_held, count_standings, figures, nearest


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
    missing = [n for n in [sum(count_not_held(rules))] if n]
    assert totals(lines, "ALL") == [*nonzero, sum(nonzero), *missing]


def test_parts_add_up_to_the_whole(catalogue: Catalogue, rules: RuleSet) -> None:
    lines = list(topic_lines([rules], catalogue.vocabulary, 100))
    parts = [title.upper() for title in catalogue.vocabulary.parts.values()]
    end = lines[1].index(" all") + 4
    shown = [line[:end].rsplit(None, 1) for line in lines if line.split("  ")[0] in parts]
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
        standing_lines([rules], catalogue.vocabulary, width),
    ):
        assert [line for line in lines if len(line) > width] == []


def test_heads_stand_over_the_ranks() -> None:
    assert all(head in rank for head, rank in zip(HEADERS, RANK, strict=False))


def test_what_was_not_found_is_no_confirmed_figure(catalogue: Catalogue) -> None:
    """2021 has tables for snow that were not found: that they exist is known, no figure of them."""
    rules = catalogue.ruleset("irc-2021")
    snow = rules.clause("post_height.snow")
    assert snow is not None
    assert snow.standing == "confirmed"
    unseen, unmodelled = count_not_held(rules, "post_height")
    assert (unseen, unmodelled) == (48, 1)  # three sizes, two groups of species, eight areas
    assert count_standings(rules, "post_height")["confirmed"] == 0


def test_how_near_the_nearest_source_stands(catalogue: Catalogue) -> None:
    sources = catalogue.vocabulary.sources
    draft, mirror, own = "wisconsin-cr-15-043", "everett-wa-tip-sheet-5", "jeffco-guards"
    assert [sources[name].reach for name in (draft, mirror, own)] == ["draft", "mirror", "direct"]
    for names, near in (
        ((draft,), "account"),
        (("jlc-beams", draft), "account"),
        ((draft, mirror), "mirror"),
        ((mirror, own), "own text"),
        (("not-listed",), "account"),
    ):
        assert nearest(Figure("confirmed", names, carried=False), sources) == near


def test_near_columns_add_up_to_what_is_confirmed(catalogue: Catalogue) -> None:
    names = ("irc-2009", "irc-2015", "irc-2021", "irc-2024")
    rulesets = [catalogue.ruleset(name) for name in names]
    lines = list(standing_lines(rulesets, catalogue.vocabulary, 80))
    head = next(line for line in lines if line.startswith("confirmed by"))
    end = head.index("account") + len("account")
    for ruleset in rulesets:
        title = rule_set_title(ruleset.name)
        line = [line for line in lines if line.startswith(title)][1]
        near = [int(word) for word in line[len(title) : end].split()]
        assert sum(near) == count_standings(ruleset)["confirmed"]


def test_a_carried_line_nobody_has_read_is_counted(catalogue: Catalogue) -> None:
    carried = sum(figure.carried for figure in figures(catalogue.ruleset("irc-2024")))
    assert carried > 100
    assert not any(figure.carried for figure in figures(catalogue.ruleset("irc-2006")))
