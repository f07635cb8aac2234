"""The strictest limits: a figure to build to only where every rule set gives one."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from deckclause.answers.compare.strictest import strictest_answer
from deckclause.compare.comparison import Comparison, compare
from deckclause.compare.strictest import Strictest, strictest
from deckclause.designs.read_design import design_of
from deckclause.evaluate.catalogue import Catalogue
from deckclause.report.comparison.strictest_text import strictest_lines
from support.designs import EXAMPLES

TARN, SKERRY, DUN = "Tarn Hollow@2025-03-01", "Skerryvane@2024-05-01", "Dunmarrow@2020-01-01"
READ = {name: name.replace("@", ", ") for name in (TARN, SKERRY, DUN)}
"""The towns as a reader sees them."""
WHOLE_DECK = EXAMPLES / "whole-deck-12x16.yaml"


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


def compared(
    catalogue: Catalogue, *topics: str, under=(TARN, SKERRY, DUN), left_out=()
) -> Comparison:
    text = WHOLE_DECK.read_text()
    for line in left_out:
        assert line in text
        text = text.replace(line, "", 1)
    design = catalogue.prepare(design_of(text.encode(), "deck.yaml", catalogue.vocabulary))
    return compare(catalogue, design, under, topics=topics)


def only(comparison: Comparison) -> Strictest:
    (entry,) = strictest(comparison)
    return entry


def told(comparison: Comparison, catalogue: Catalogue) -> str:
    return "\n".join(strictest_lines(strictest_answer(comparison, catalogue.vocabulary), 400))


def test_every_town_gives_a_figure_and_the_strictest_is_told(catalogue: Catalogue) -> None:
    """42 in (Quillmere County), 48 in (Skerryvane) and 24 in (Dunmarrow): the towns' own acts."""
    found = strictest(compared(catalogue, "footing_frost"))
    assert {e.bounds.least for e in found if e.bounds} == {F(48)}
    assert all({f.ruleset for f in e.bounds.least_by} == {SKERRY} for e in found if e.bounds)


def test_one_town_alone_gives_no_figure_to_build_to(catalogue: Catalogue) -> None:
    """Two towns load decks with 60 psf, for which no beam table was seen; the third reads one."""
    comparison = compared(catalogue, "beam_span")
    entry = only(comparison)
    assert entry.bounds is None
    assert [(name, b.most) for name, b in entry.alone] == [(DUN, F(96))]
    words = strictest_answer(comparison, catalogue.vocabulary)
    assert words.limits == ()
    text = told(comparison, catalogue)
    assert f"not known in {READ[TARN]}; {READ[SKERRY]}; {READ[DUN]} alone: at most 8 ft" in text
    assert "build to" not in text


def test_an_engineer_needed_somewhere_bars_a_figure_too(catalogue: Catalogue) -> None:
    """IRC 2012 has no deck joist table, 2018 has one."""
    entry = only(compared(catalogue, "joist_span", under=("irc-2012", "irc-2018")))
    assert entry.bounds is None
    assert [name for name, _ in entry.alone] == ["irc-2018"]


def test_what_is_undecided_everywhere_is_listed_and_no_pass(catalogue: Catalogue) -> None:
    comparison = compared(catalogue, "post_height", under=(TARN, SKERRY))
    text = told(comparison, catalogue)
    assert f"Post height: not known in {READ[TARN]}; {READ[SKERRY]}" in text
    assert (
        "read Table R507.4 (Tarn Hollow, 2025-03-01; Skerryvane, 2024-05-01) - for: Post height"
        in text
    )
    assert "NOT YET ONE DECK FOR ALL OF THEM: 1 TOPIC NOT KNOWN" in text
    assert "FAILS" not in text
    assert "COMPLIES" not in text


def test_a_topic_no_rule_set_regulates_is_no_pass(catalogue: Catalogue) -> None:
    comparison = compared(catalogue, "ledger_fastener_spacing", under=("irc-2006",))
    headline = strictest_answer(comparison, catalogue.vocabulary).headline
    assert headline == "No rule set here decides anything of this design: that is no pass"


def test_all_complying_says_so(catalogue: Catalogue) -> None:
    comparison = compared(catalogue, "guard_height")
    headline = strictest_answer(comparison, catalogue.vocabulary).headline
    assert headline == "Every topic decided complies under all of them"


def test_a_limit_is_settled_though_the_design_leaves_its_value_open(catalogue: Catalogue) -> None:
    comparison = compared(
        catalogue, "ledger_top_edge_distance", left_out=["  upper_row_below_ledger_top: 2 in\n"]
    )
    entry = only(comparison)
    assert entry.bounds is not None
    assert entry.bounds.least == F(2)
    (row,) = strictest_answer(comparison, catalogue.vocabulary).limits
    assert (row.limit, row.design, row.mark) == ("at least 2 in", "not known", "ASK")


def test_a_limit_that_hangs_on_the_open_value_is_not_told(catalogue: Catalogue) -> None:
    """The fastener table is read at the joist span: without it there is no spacing."""
    comparison = compared(catalogue, "ledger_fastener_spacing", left_out=["  span: 10 ft\n"])
    assert only(comparison).bounds is None
    assert strictest_answer(comparison, catalogue.vocabulary).limits == ()


def test_width_and_depth_of_a_landing_keep_their_own_limits(catalogue: Catalogue) -> None:
    """A landing is as wide as its stair (42 in here) and 36 in deep (R311.7.6)."""
    found = {e.subject: e.bounds for e in strictest(compared(catalogue, "stair_landing"))}
    assert {name: b.least for name, b in found.items() if b} == {
        "stairs.landing_width": F(42),
        "stairs.landing_depth": F(36),
    }


def test_a_fault_is_told_once_with_its_towns_and_what_would_do(catalogue: Catalogue) -> None:
    comparison = compared(catalogue, "ledger_fastener_spacing")
    (heading, lines), *_ = strictest_answer(comparison, catalogue.vocabulary).sections
    assert heading == "What must change"
    assert lines == (
        f"Fastener spacing: 16 in stands; at most 13 in is asked by {READ[TARN]}; {READ[SKERRY]} "
        "(Table R507.9.1.3(1)). For all of them: at most 13 in",
    )


@pytest.mark.parametrize("width", [60, 80, 100])
def test_no_column_breaks_a_word(catalogue: Catalogue, width: int) -> None:
    answer = strictest_answer(compared(catalogue), catalogue.vocabulary)
    text = "\n".join(strictest_lines(answer, width))
    table = text.split("set by\n")[1].split("\n\n")[0]
    assert "2024-05-01*" in table
    assert "FAILS" in table
    assert "9 ft 9 in" in table
    assert max(map(len, table.split("\n"))) <= max(width, 80)
