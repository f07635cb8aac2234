"""Topics and parts by whatever name a person knows them by."""

from __future__ import annotations

import pytest

from deckclause.cli.topics import wanted_topics
from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.problems import InputError


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


@pytest.mark.parametrize(
    ("asked", "topic"),
    [
        ("beam_span", "beam_span"),
        ("Beam span", "beam_span"),
        ("EFFECTIVE joist span", "effective_joist_span"),
        ("footing_size.round", "footing_size"),
    ],
)
def test_a_topic_answers_to_its_name_its_title_and_its_clauses(
    catalogue: Catalogue, asked: str, topic: str
) -> None:
    assert wanted_topics(catalogue, [asked], []) == [topic]


def test_a_part_answers_to_its_title(catalogue: Catalogue) -> None:
    assert wanted_topics(catalogue, [], ["ledger fasteners"]) == wanted_topics(
        catalogue, [], ["fasteners"]
    )


def test_every_unknown_name_is_told_at_once_with_what_comes_near(catalogue: Catalogue) -> None:
    with pytest.raises(InputError) as refused:
        wanted_topics(catalogue, ["ledger_spacing", "bema span", "xyzzy"], ["building site"])
    told = [problem.message for problem in refused.value.problems]
    assert any("ledger_fastener_spacing (Fastener spacing)" in message for message in told)
    assert any("Did you mean beam span?" in message for message in told)
    assert any("rules concordance lists all" in m and "'xyzzy'" in m for m in told)
    assert any("placement (Where a fastener may go)" in message for message in told)
