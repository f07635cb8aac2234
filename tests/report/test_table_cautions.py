"""The engineering cautions reach comparisons, and a compliant ledger is never failed by NDS."""

from __future__ import annotations

import json

import pytest

from deckclause.answers.compare.table_cautions import KINDS, NEAR, table_cautions
from deckclause.cli.main import run
from deckclause.compare.comparison import Comparison, compare
from deckclause.engineering.cautions import CAUTIONS, for_topic
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.status import COMPLIES
from support.designs import EXAMPLES

WHOLE_DECK = EXAMPLES / "whole-deck-12x16.yaml"
COMPLIANT = EXAMPLES / "complies-everywhere.yaml"
LEDGER_YEARS = ("irc-2009", "irc-2012", "irc-2015", "irc-2018", "irc-2021", "irc-2024")


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


def compared(catalogue: Catalogue, *topics: str, design=WHOLE_DECK) -> Comparison:
    return compare(catalogue, catalogue.design(design), ("irc-2015", "irc-2021"), topics=topics)


def shorts(topic: str) -> set[str]:
    return {caution.short for caution in for_topic(topic)}


@pytest.mark.parametrize(
    ("topic", "kind"),
    [
        ("ledger_fastener_spacing", "ledger"),
        ("ledger_top_edge_distance", "ledger"),
        ("joist_span", "joists"),
        ("beam_span", "beams"),
        ("post_height", "posts"),
        ("footing_size", "footings"),
    ],
)
def test_a_topic_read_from_a_table_carries_its_cautions(
    catalogue: Catalogue, topic: str, kind: str
) -> None:
    found = set(table_cautions(compared(catalogue, topic).rows))
    assert {caution for caution in found if not caution.startswith(NEAR)} == shorts(kind)


@pytest.mark.parametrize("topic", ["guard_height", "ledger_on_veneer", "deck_live_load"])
def test_a_topic_without_a_table_carries_none(catalogue: Catalogue, topic: str) -> None:
    assert table_cautions(compared(catalogue, topic).rows) == ()


def test_a_value_near_its_limit_says_so(catalogue: Catalogue) -> None:
    # the fasteners stand 2 in from both edges; the codes ask 2 in above and 3/4 in below
    above = compared(catalogue, "ledger_top_edge_distance", design=COMPLIANT)
    below = compared(catalogue, "ledger_bottom_edge_distance", design=COMPLIANT)
    assert f"{NEAR}: Upper row below the ledger's top." in table_cautions(above.rows)
    assert not [c for c in table_cautions(below.rows) if c.startswith(NEAR)]


def test_a_caution_of_nearness_names_the_results_and_where(catalogue: Catalogue) -> None:
    """The rows of Table R507.9.1.3(2) stand 5-1/2 in below a 2x8's top; the 2015 code agrees."""
    rows = compared(catalogue, "ledger_lower_row_below_ledger_top", "ledger_fastener_diameter").rows
    (near,) = (c for c in table_cautions(rows) if c.startswith(NEAR))
    assert near == f"{NEAR}: Lower row below the ledger's top."


def test_every_kind_has_cautions() -> None:
    for kind in KINDS.values():
        assert for_topic(kind)


def test_the_twelve_reach_a_whole_deck(capsys: pytest.CaptureFixture[str]) -> None:
    run(["compare", str(WHOLE_DECK), "--under", "irc-2021", "--format", "json"])
    said = set(json.loads(capsys.readouterr().out)["cautions"])
    missing = {c.key for c in CAUTIONS if c.short not in said}
    assert missing <= {"near_a_limit"}  # said only of a value that is near one


def test_a_pair_in_depth_ends_with_the_cautions_of_its_tables(
    capsys: pytest.CaptureFixture[str],
) -> None:
    words = ["--between", "irc-2018", "irc-2021", "--topic", "ledger_fastener_spacing"]
    run(["compare", str(WHOLE_DECK), *words])
    out = " ".join(capsys.readouterr().out.split())
    assert "CAUTIONS FOR THE TABLES READ" in out
    assert all(caution.short in out for caution in for_topic("ledger"))


# -- the ledger: a table that rests on tests, and NDS beside it ------------------------------------


def test_a_compliant_ledger_is_decided_by_the_table_alone(catalogue: Catalogue) -> None:
    found = compare(
        catalogue, catalogue.design(COMPLIANT), LEDGER_YEARS, topics=("ledger_fastener_spacing",)
    )
    (row,) = found.rows
    for outcome in row.outcomes:
        assert outcome.status == COMPLIES
        for finding in outcome.findings:
            assert finding.status == COMPLIES
            assert "NDS" not in f"{finding.says} {finding.cites} {finding.clause.note}"


def test_no_comparison_gives_a_capacity(capsys: pytest.CaptureFixture[str]) -> None:
    run(["compare", str(COMPLIANT), "--under", "irc-2018", "--format", "json"])
    text = capsys.readouterr().out
    for figure in ("385 lb", "727 lb", "618 lb"):
        assert figure not in text
