"""What a comparison says is known of the differences, against its findings read by themselves."""

from __future__ import annotations

import itertools
import json
from collections import Counter
from typing import Any

import pytest

from deckclause.answers.compare.build import compare_answer
from deckclause.compare.comparison import compare
from deckclause.designs.read_design import read_design
from deckclause.evaluate.catalogue import Catalogue
from deckclause.report.comparison.json import comparison_json
from deckclause.report.comparison.markdown import comparison_markdown
from support.designs import EXAMPLES

DECKS = ("whole-deck-12x16", "snow-country", "step-down-3in")
EDITIONS = ["irc-2012", "irc-2015", "irc-2018", "irc-2021", "irc-2024"]


@pytest.fixture(scope="module", params=DECKS)
def told(request: pytest.FixtureRequest) -> tuple[dict[str, Any], str]:
    catalogue = Catalogue.open()
    file = EXAMPLES / f"{request.param}.yaml"
    design = catalogue.prepare(read_design(file, catalogue.vocabulary))
    answer = compare_answer(compare(catalogue, design, EDITIONS), catalogue.vocabulary, depth=True)
    return json.loads(comparison_json(answer)), comparison_markdown(answer)


def test_every_state_of_knowledge_is_what_the_findings_of_both_sides_bear_out(
    told: tuple[dict[str, Any], str],
) -> None:
    data, markdown = told
    rows = {row["topic"]: row for row in data["topics"]}
    assert [(pair["from"], pair["to"]) for pair in data["known"]] == list(
        itertools.pairwise(EDITIONS)
    )
    for pair in data["known"]:
        changed = {
            topic
            for topic, row in rows.items()
            if any((c["from"], c["to"]) == (pair["from"], pair["to"]) for c in row["changes"])
        }
        assert {t for t, s in pair["topics"].items() if s == "changed"} <= changed
        for topic, state in pair["topics"].items():
            sides = [
                outcome
                for outcome in rows[topic]["outcomes"]
                if outcome["rule_set"] in (pair["from"], pair["to"])
            ]
            _bears_out(topic, state, sides, changed, pair["changed_and_read"])
        counted = Counter(pair["topics"].values())
        assert {s: n for s, n in pair["counts"].items() if n} == counted
        assert str(counted["same as far as known"]) in pair["words"]
        assert pair["words"].replace("*", "\\*") in markdown


def _bears_out(
    topic: str, state: str, sides: list[dict[str, Any]], changed: set[str], read: list[str]
) -> None:
    found = [finding for side in sides for finding in side["findings"]]
    unseen = any(
        f["status"] == "information missing"
        and not f["missing"]
        and side["status"] == "information missing"
        for side in sides
        for f in side["findings"]
    )
    if state != "cannot be told":
        assert not unseen, topic
    if state in ("same", "moved only") or topic in read:
        assert not any(f["standing"] == "memory" for f in found), topic
        assert all(side["findings"] for side in sides), topic
    cites = [{f["cites"] for f in side["findings"]} for side in sides]
    if state == "moved only":
        assert topic not in changed
        assert cites[0] != cites[1]
    if state == "same":
        assert topic not in changed
        assert cites[0] == cites[1]
    if state == "same as far as known":
        assert topic not in changed
    asked = [side["status"] == "information missing" for side in sides]
    assert (state == "not decided") == (all(asked) and state != "cannot be told"), topic


def test_of_an_edition_nobody_read_nothing_is_the_same_and_nothing_read(
    told: tuple[dict[str, Any], str],
) -> None:
    pair = told[0]["known"][-1]
    assert pair["counts"]["same"] == pair["counts"]["moved only"] == 0
    assert pair["changed_and_read"] == []
    assert "none known to have changed" in pair["words"]
    assert "one side not seen in print" in pair["words"]


def test_a_figure_not_seen_in_print_is_no_change_of_the_code() -> None:
    catalogue = Catalogue.open()
    file = EXAMPLES / "snow-country.yaml"
    design = catalogue.prepare(read_design(file, catalogue.vocabulary))
    comparison = compare(catalogue, design, ["irc-2018", "irc-2021"])
    known = compare_answer(comparison, catalogue.vocabulary).known[0]
    unseen = [t for t, state in known.states if state == "cannot be told"]
    assert "footing_size" in unseen or "beam_span" in unseen
