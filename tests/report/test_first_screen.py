"""The first screen: within 24 lines of 100 columns, the same as kept, in words a builder uses."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.answers.compare.build import compare_answer
from deckclause.answers.compare.cell import CHECKED
from deckclause.compare.comparison import compare
from deckclause.designs.read_design import design_of
from deckclause.evaluate.catalogue import Catalogue
from deckclause.report.comparison.first_screen import LINES, first_screen
from deckclause.report.comparison.table import ComparisonText
from support.designs import EXAMPLES
from support.write_first_screens import FOLDER, RULE_SETS, TOWNS, WIDTH, examples, screen

CATALOGUE = Catalogue.open()
DESIGNS = examples(CATALOGUE)
BLANK = b"design: 1\nname: bare\ndeck: {attachment: ledger}\n"


@cache
def answer(design: Path, names: tuple[str, ...]) -> CompareAnswer:
    comparison = compare(CATALOGUE, CATALOGUE.design(design), names, pairs=[])
    return compare_answer(comparison, CATALOGUE.vocabulary)


@pytest.mark.parametrize("rule_sets", RULE_SETS)
@pytest.mark.parametrize("design", DESIGNS, ids=lambda path: path.stem)
def test_a_first_screen_is_the_one_kept(design: Path, rule_sets: str) -> None:
    """If it changed for the better: python tests/support/write_first_screens.py, and read it."""
    kept = (FOLDER / f"{design.stem}-{rule_sets}.txt").read_text(encoding="utf-8")
    assert "\n".join(screen(CATALOGUE, design, rule_sets)) + "\n" == kept


EDITIONS = tuple(f"irc-{year}" for year in (2006, 2009, 2012, 2015, 2018, 2021, 2024))


@pytest.mark.parametrize(
    "names", [TOWNS, TOWNS[:1], ("irc-2015", "irc-2021", "irc-2024"), EDITIONS]
)
@pytest.mark.parametrize("design", DESIGNS, ids=lambda path: path.stem)
def test_a_first_screen_fits_a_screen(design: Path, names: tuple[str, ...]) -> None:
    for width in (60, 80, WIDTH):
        lines = first_screen(answer(design, names), width)
        assert max(map(len, lines)) <= width
        if width >= 80:
            assert len(lines) <= LINES


def test_a_blank_design_fits_and_asks() -> None:
    design = CATALOGUE.prepare(design_of(BLANK, "bare.yaml", CATALOGUE.vocabulary))
    found = compare_answer(compare(CATALOGUE, design, TOWNS, pairs=[]), CATALOGUE.vocabulary)
    lines = first_screen(found, WIDTH)
    assert len(lines) <= LINES
    assert found.decisive is not None
    assert any(line.startswith("TO FIND OUT") for line in lines)


@pytest.mark.parametrize("design", DESIGNS, ids=lambda path: path.stem)
def test_every_topic_that_fails_belongs_to_an_item(design: Path) -> None:
    found = answer(design, TOWNS)
    for status in ("does not comply", "engineering required"):
        failing = {
            row.topic.title
            for row in found.every_row
            if any(cell.status_words == status for cell in row.cells)
        }
        items = [item for item in found.to_do if item.status_words == status]
        assert failing == {topic for item in items for topic in item.topics}


def test_one_fact_that_fails_three_topics_is_one_item() -> None:
    """The drop of 3 in fails the row's distance, the greatest drop and the step down at once."""
    found = answer(EXAMPLES / "step-down-3in.yaml", ("irc-2012", "irc-2015"))
    (item,) = [item for item in found.to_do if item.status_words == "does not comply"
               and len(item.topics) > 1]  # fmt: skip
    assert (item.fact, item.drawn) == ("Drop of the ledger", "3 in")
    assert [asked.allowed for asked in item.asked] == ["at most 3/4 in", "at most 2 in"]
    assert set(item.topics) == {
        "Lower row above the band joist's bottom",
        "Greatest drop of the ledger",
        "Greatest step down from the floor",
    }


def test_what_is_out_of_the_tables_by_one_load_is_one_item() -> None:
    """Tarn Hollow asks 60 psf live load; the tables of 2018 are made for 40 psf."""
    found = answer(EXAMPLES / "whole-deck-12x16.yaml", ("Tarn Hollow@2024-02-01",))
    (item,) = [item for item in found.to_do if item.status_words == "engineering required"]
    assert (item.fact, item.drawn) == ("Deck live load", "60 psf")
    assert len(item.topics) == found.cards[0].needs_engineer == 8


def test_a_fact_past_several_tables_is_one_item_and_says_how_far_they_go() -> None:
    """6 ft past the beam on 10 ft joists: 0.6, where the beam tables of 2021 end at a quarter."""
    text = (CATALOGUE.files.found("examples") / "whole-deck-12x16.yaml").read_text("utf-8")
    content = text.replace("cantilever: 2 ft", "cantilever: 6 ft").encode()
    design = CATALOGUE.prepare(design_of(content, "far.yaml", CATALOGUE.vocabulary))
    found = compare_answer(
        compare(CATALOGUE, design, ("irc-2021",), pairs=[]), CATALOGUE.vocabulary
    )
    (line,) = (line for line in first_screen(found, WIDTH) if line.startswith("ENGINEER"))
    assert (
        "Joist cantilever as a share of the joist span (3 topics): 0.6, covered: max 0.25" in line
    )


def test_an_edition_held_from_memory_says_so_in_its_first_lines() -> None:
    warning = CATALOGUE.ruleset("irc-2024").warns
    assert "No published text" in warning
    ledger = [c for c in CATALOGUE.ruleset("irc-2024").clauses if "ledger" in c.key]
    assert {c.standing for c in ledger} == {"memory"}
    found = answer(EXAMPLES / "whole-deck-12x16.yaml", ("irc-2024",))
    head = " ".join(" ".join(first_screen(found, WIDTH)[:5]).split())
    assert f"IRC 2024: {warning}" in head
    narrowed = list(ComparisonText(found, narrowed=True).lines())[:8]
    assert warning in " ".join(" ".join(narrowed).split())


@pytest.mark.parametrize("width", [60, 80, 100, 140])
@pytest.mark.parametrize("names", [TOWNS, tuple(f"irc-{y}" for y in
                         (2006, 2009, 2012, 2015, 2018, 2021, 2024))])  # fmt: skip
def test_nothing_is_wider_than_the_terminal(names: tuple[str, ...], width: int) -> None:
    for design in DESIGNS:
        for everything in (False, True):
            text = ComparisonText(answer(design, names), width=width, everything=everything)
            wide = [line for line in text.lines() if len(line) > width]
            assert not wide, wide[:3]


def test_what_complies_alike_is_counted_and_starred_by_its_standing() -> None:
    found = answer(EXAMPLES / "complies-everywhere.yaml", ("irc-2024",))
    cells = [row.cells[0] for row in found.alike if row.cells[0].role == CHECKED]
    complies = [cell for cell in cells if cell.status_words == "complies"]
    memory = sum(cell.on_memory for cell in complies)
    text = " ".join("\n".join(ComparisonText(found, width=200).lines()).split())
    assert f"COMPLIES, {memory} of {len(complies)} on memory" in text
    card = found.cards[0]
    assert f"ok {card.complies}, {card.complies_on_memory} of them on memory*" in text
    for row in found.alike:
        cell = row.cells[0]
        if cell.role == CHECKED and cell.status_words == "complies":
            assert (f"{row.topic.title}*" in text) is cell.on_memory
