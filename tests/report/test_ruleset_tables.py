"""Tables of rule sets on a page, line by line against files looked over beside published tables."""

from __future__ import annotations

import os
import re
from fractions import Fraction
from pathlib import Path

import pytest

from deckclause.evaluate.catalogue import Catalogue
from deckclause.report.rule_sets.ruleset_tables import MARK_LEGEND, axis_text, table_lines
from deckclause.report.rule_sets.ruleset_text import ruleset_lines
from deckclause.rulesets.clauses import Axis, Table
from deckclause.rulesets.walk import clause_tables

GOLDEN = Path(__file__).parent / "golden" / "tables"
RULE_SETS = ("irc-2009", "irc-2015", "irc-2018", "irc-2021", "awc-dca6-2009", "awc-dca6-2015")
PAGES = (
    ("irc-2018", "beam_spans_southern_pine", 100),
    ("irc-2018", "beam_spans_southern_pine", 80),
    ("irc-2018", "joist_spans", 80),
    ("irc-2018", "footing_sizes", 80),
    ("irc-2018", "post_heights", 80),
    ("irc-2021", "joist_cantilevers", 100),
    ("awc-dca6-2015", "post_heights", 80),
)


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


def tables(catalogue: Catalogue, ruleset: str) -> dict[str, Table]:
    found = (t for c in catalogue.ruleset(ruleset).clauses for t in clause_tables(c))
    return {table.name: table for table in found}


@pytest.mark.parametrize(("ruleset", "name", "width"), PAGES)
def test_page(catalogue: Catalogue, ruleset: str, name: str, width: int) -> None:
    table = tables(catalogue, ruleset)[name]
    text = "\n".join(table_lines(table, catalogue.vocabulary, width)) + "\n"
    golden = GOLDEN / f"{ruleset}_{name}_{width}.txt"
    if os.environ.get("UPDATE_GOLDEN"):
        golden.parent.mkdir(exist_ok=True)
        golden.write_text(text, encoding="utf-8")
    assert text == golden.read_text(encoding="utf-8")


@pytest.mark.parametrize("ruleset", RULE_SETS)
def test_every_cell_stands_on_the_page_once(catalogue: Catalogue, ruleset: str) -> None:
    for table in tables(catalogue, ruleset).values():
        text = "\n".join(table_lines(table, catalogue.vocabulary, 80))
        body = text.partition("\n[1] ")[0]
        notes = dict(table.notes)
        standings = [
            (notes[place].standing if place in notes else "") or table.standing
            for place, cell in enumerate(table.cells)
            if isinstance(cell, Fraction)
        ]
        marked = standings.count("memory")
        assert body.count("*") == marked, table.name
        assert body.count("NP") == sum(cell == "not permitted" for cell in table.cells)
        assert len(re.findall(r"(?<!\S)\?", body)) == sum(c == "not seen" for c in table.cells)


@pytest.mark.parametrize("width", [80, 100])
@pytest.mark.parametrize("ruleset", RULE_SETS)
def test_no_line_runs_past_the_page(catalogue: Catalogue, ruleset: str, width: int) -> None:
    shown = ruleset_lines(catalogue.ruleset(ruleset), catalogue.vocabulary, "", width)
    assert [line for line in shown if len(line) > width] == []


@pytest.mark.parametrize("part", ["beams", "joists", "footings", "posts"])
def test_a_part_of_the_deck_shows_its_tables_and_the_marks(catalogue: Catalogue, part: str) -> None:
    rules = catalogue.ruleset("irc-2018")
    shown = list(ruleset_lines(rules, catalogue.vocabulary, part, 100))
    assert any(line.startswith("Table R507") for line in shown)
    assert shown[-1] == MARK_LEGEND


def test_a_column_too_wide_for_the_page_stands_alone() -> None:
    axis = Axis("joists.size", ("2x6", "2x8"))
    table = Table("t", "A title", (axis,), (Fraction(11), Fraction(12)), cites="Table 1")
    lines = list(table_lines(table, Catalogue.open().vocabulary, 5))
    assert {"2x6", "2x8"} <= set(lines)
    assert "  continued:" in lines


def test_captions_name_one_of_a_kind() -> None:
    assert axis_text("posts.tributary_area") == "post tributary area"
    assert axis_text("site.soil_bearing") == "soil bearing"
