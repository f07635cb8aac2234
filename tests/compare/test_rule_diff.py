"""Differences between rule sets: complete, symmetric, and readable."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from deckclause.cli.main import run
from deckclause.compare.difference import differing_keys, settings_by_key, substance
from deckclause.compare.felt_figures import felt_figures
from deckclause.compare.rule_diff.clauses import ADDED, CHANGED, GONE, MOVED, RuleDiff, rule_diff
from deckclause.compare.rule_diff.weight import (
    BOTH,
    LOOSER,
    OTHERWISE,
    STRICTER,
    true_changes,
    unheld,
    weight,
)
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import evaluate
from deckclause.evaluate.words import bounds_text
from deckclause.report.document.model import Grid
from deckclause.report.rule_diff.data import rule_diff_data
from deckclause.report.rule_diff.document import rule_diff_document
from deckclause.report.rule_diff.html import rule_diff_html
from deckclause.report.rule_diff.markdown import rule_diff_markdown
from deckclause.report.rule_diff.text import cells_of

CATALOGUE = Catalogue.open()
VOCABULARY = CATALOGUE.vocabulary
PAIRS = [
    ("irc-2006", "irc-2009"),
    ("irc-2009", "irc-2012"),
    ("irc-2012", "irc-2015"),
    ("irc-2015", "irc-2018"),
    ("irc-2018", "irc-2021"),
    ("irc-2021", "irc-2024"),
    ("irc-2021", "Tarn Hollow@2025-02-01"),
    ("irc-2012", "awc-dca6-2012"),
]


def _diff(one: str, two: str) -> RuleDiff:
    return rule_diff(CATALOGUE.ruleset(one), CATALOGUE.ruleset(two), VOCABULARY)


@pytest.mark.parametrize(("one", "two"), PAIRS)
def test_every_clause_is_counted_once(one: str, two: str) -> None:
    diff = _diff(one, two)
    keys = {c.key for r in (diff.one, diff.two) for c in r.clauses}
    assert diff.unchanged + len(diff.changes) == len(keys)
    assert len({c.key for c in diff.changes}) == len(diff.changes)


@pytest.mark.parametrize(("one", "two"), PAIRS)
def test_it_finds_what_differs_in_substance_and_nothing_else(one: str, two: str) -> None:
    """Against the comparison of substance that drivers rest on."""
    diff = _diff(one, two)
    wanted = {k for k in differing_keys(diff.one, diff.two) if k not in _settings(diff)}
    found = {c.key for c in diff.changes if c.kind in (ADDED, GONE)}
    found |= {c.key for c in diff.changes if c.kind == CHANGED and not _same_substance(c)}
    assert found == wanted
    for change in diff.changes:
        if change.kind == MOVED:
            assert _same_substance(change)
            assert change.before.cites != change.after.cites  # type: ignore[union-attr]


def _settings(diff: RuleDiff) -> set[str]:
    return {*settings_by_key(diff.one), *settings_by_key(diff.two)}


def _same_substance(change: object) -> bool:
    return bool(substance(change.before) == substance(change.after))  # type: ignore[attr-defined]


@pytest.mark.parametrize(("one", "two"), PAIRS)
def test_turned_round_it_says_the_opposite(one: str, two: str) -> None:
    forth, back = _diff(one, two), _diff(two, one)
    turn = {ADDED: GONE, GONE: ADDED, MOVED: MOVED, CHANGED: CHANGED}
    assert {(c.key, turn[c.kind]) for c in forth.changes} == {(c.key, c.kind) for c in back.changes}


@pytest.mark.parametrize("name", ["irc-2018", "Ellavane@2024-01-01"])
def test_a_rule_set_does_not_differ_from_itself(name: str) -> None:
    diff = _diff(name, name)
    assert not diff.changes
    assert not diff.settings
    assert "Nothing differs." in rule_diff_markdown(diff, VOCABULARY)


def test_the_figures_of_the_2021_snow_rows_stand_side_by_side() -> None:
    """The 40 psf cells are alike in 2018 and 2021; the snow rows are new."""
    diff = _diff("irc-2018", "irc-2021")
    (change,) = diff.on("ledger_fastener_spacing")
    (table,) = change.tables
    assert {c.before for c in table.cells} == {"no figure"}
    assert len(table.cells) == 3 * 3 * 7
    assert not [c for c in table.cells if c.keys[0] == "40 psf"]


def test_a_clause_that_reads_one_column_compares_that_column() -> None:
    """The footing table gives side, diameter and thickness; the clause on square ones reads sides."""
    diff = _diff("irc-2018", "irc-2021")
    by_key = {c.key: c for c in diff.changes}
    axes, counts = [], []
    for key in ("footing_size.square", "footing_size.round", "footing_thickness"):
        (table,) = by_key[key].tables
        axes.append(table.axes)
        counts.append(len(table.cells))
    assert set(axes) == {
        ("load row of the framing tables", "tributary area of the footing", "soil bearing")
    }
    assert sum(counts) == 312  # all that differs in the table of 2021, each figure once


def test_2012_asks_a_deeper_lower_row_than_2009_which_had_none() -> None:
    diff = _diff("irc-2009", "irc-2012")
    (change,) = diff.on("ledger_lower_row_below_ledger_top")
    assert change.kind == ADDED


def test_an_amendment_is_named_with_its_ordinance() -> None:
    text = rule_diff_markdown(_diff("irc-2021", "Ellavane@2024-01-01"), VOCABULARY)
    assert "Ellavane, Rule 15-401" in text
    assert "| deck live load | 40 psf (Table R301.5) * | 60 psf |" in text


def test_what_a_fixed_value_comes_to_is_shown_for_the_example() -> None:
    """60 psf is read in the 70 psf snow rows: the spacing of the example falls to that of the row."""
    names = ("irc-2021", "Tarn Hollow@2025-02-01")
    diff = _diff(*names)
    path = CATALOGUE.files.root / "examples" / "whole-deck-12x16.yaml"
    design = CATALOGUE.design(path)
    one, two = (CATALOGUE.evaluator(name) for name in names)
    felt = felt_figures(diff, (one, two), design, VOCABULARY)
    text = rule_diff_markdown(diff, VOCABULARY, felt, "Whole deck")
    section = text.partition("though their words do not:")[2].partition("\n## ")[0]
    row = next(line for line in section.splitlines() if line.startswith("| Fastener spacing |"))
    most = [evaluate(design, e, VOCABULARY).outcome("ledger_fastener_spacing") for e in (one, two)]
    assert [int(o.governing.most) for o in most] == [18, 13]  # type: ignore[union-attr, arg-type]
    assert "| stricter | at most 18 in * | at most 13 in * |" in row


@pytest.mark.parametrize(("one", "two"), PAIRS)
def test_what_only_is_known_otherwise_stands_in_one_table(one: str, two: str) -> None:
    """A line for each topic and pair of standings; every such clause counted, none told at length."""
    diff = _diff(one, two)
    only = [c for c in diff.changes if c.only_standing]
    text = rule_diff_markdown(diff, VOCABULARY)
    assert text.count("## The same as held here, known better or less well") == bool(only)
    _, _, rest = text.partition("## The same as held here, known better or less well")
    section = rest.partition("\n## ")[0]
    rows = [cells_of(r) for r in section.splitlines() if r.startswith("| ")][1:]
    assert sum(int(row[2]) for row in rows) == len(only)
    assert len(rows) == len({(c.topic, c.before.standing, c.after.standing) for c in only})  # type: ignore[union-attr]
    assert all(before != after for *_, before, after in rows)
    asked = true_changes(diff)
    assert len(re.findall(r"^\*\*(Changed|New|Gone)", text, re.MULTILINE)) == len(asked)
    if only:
        assert f"{len(only)} known better or less well here" in text


@pytest.mark.parametrize(("one", "two"), PAIRS)
def test_the_summary_counts_each_change_once(one: str, two: str) -> None:
    diff = _diff(one, two)
    only = [c for c in diff.changes if c.only_standing]
    moved = [c for c in diff.changes if c.kind == MOVED]
    assert len(true_changes(diff)) + len(unheld(diff)) + len(only) + len(moved) == len(diff.changes)
    text = rule_diff_markdown(diff, VOCABULARY)
    counted = re.search(r"^(\d+) rules? truly changes?: (.*?)\.", text, re.MULTILINE)
    if counted is None:
        assert not true_changes(diff)
        return
    assert int(counted[1]) == len(true_changes(diff))
    assert sum(int(n) for n in re.findall(r"\d+", counted[2])) == int(counted[1])
    first = text.index("\n## ") if diff.settings or true_changes(diff) else len(text)
    assert "It covers wood decks at dwellings only" in text[:first]
    assert "How well known" in text[:first]


OPPOSITE = {STRICTER: LOOSER, LOOSER: STRICTER, BOTH: BOTH, OTHERWISE: OTHERWISE}


@pytest.mark.parametrize(("one", "two"), PAIRS)
def test_turned_round_stricter_is_looser(one: str, two: str) -> None:
    forth, back = (
        {c.key: weight(c) for c in true_changes(d) if c.kind == CHANGED}
        for d in (_diff(one, two), _diff(two, one))
    )
    assert {key: OPPOSITE[way] for key, way in forth.items()} == back


def test_a_flight_of_12_ft_7_in_is_looser_than_one_of_12_ft_3_in() -> None:
    """R311.7.3: 147 in to 2015, 151 in from 2018 on (as the rule files hold it, from memory)."""
    by_key = {c.key: c for c in _diff("irc-2015", "irc-2018").changes}
    (rise,) = [c for c in by_key.values() if c.topic == "stair_flight_rise"]
    assert weight(rise) == LOOSER
    assert weight(rise, STRICTER) == BOTH


def test_an_exception_that_comes_is_looser_and_one_that_is_said_otherwise_is_not_ranked() -> None:
    by_key = {c.key: c for c in _diff("irc-2015", "irc-2021").changes}
    ways = {c.topic: weight(c) for c in by_key.values() if c.kind == CHANGED}
    assert ways["footing_depth"] == LOOSER  # a low freestanding deck on blocks is let off
    assert ways["footing_frost"] == OTHERWISE  # one exception takes in another method


def test_new_rules_without_a_figure_are_named_in_a_line_of_the_summary() -> None:
    text = rule_diff_markdown(_diff("irc-2015", "irc-2021"), VOCABULARY)
    first = text.partition("\n## ")[0]
    line = next(x for x in first.splitlines() if x.startswith("New, of their own:"))
    assert "Load path of guards (R507.10.1)" in line
    assert "| Load path of guards |" not in first


def test_a_table_that_asks_no_species_stands_beside_every_species() -> None:
    """Table R507.8 of 2015 is led into by the post's size alone; R507.4 of 2021 by species and area."""
    (change,) = [c for c in _diff("irc-2015", "irc-2021").changes if c.key == "post_height"]
    (table,) = change.tables
    assert (
        "the same figure for any species group of the posts and tributary area of the post"
        in table.note
    )
    both = [c for c in table.cells if "no figure" not in (c.before, c.after)]
    assert len({c.keys[0] for c in both}) > 1
    assert {c.before for c in both if c.keys[2] == "4x4"} == {"8 ft"}
    assert not [c for c in table.cells if "not seen" in (c.before, c.after)]
    assert table.unseen > 0
    assert table.smaller + table.larger == len(both)


def test_tables_each_led_into_by_a_value_of_its_own_meet_at_the_first_keys() -> None:
    """The 2015 joist table has columns by cantilever, the 2021 one rows by load: 40 psf is compared."""
    (change,) = [c for c in _diff("irc-2015", "irc-2021").changes if c.key == "joist_span"]
    (table,) = change.tables
    assert "set beside 40 psf" in table.note
    assert "set beside without cantilever" in table.note
    both = [c for c in table.cells if "no figure" not in (c.before, c.after)]
    assert both
    assert {c.keys[:2] for c in both} == {("40 psf", "without cantilever")}


@pytest.mark.parametrize(("one", "two"), PAIRS[1:3])
def test_none_of_which_a_part_is_from_memory_is_counted_as_confirmed(one: str, two: str) -> None:
    """The files say it of each part: a clause, its exceptions, its other readings."""
    diff = _diff(one, two)
    parts = {
        name: {c.key: (c, *c.exceptions, *c.readings) for c in CATALOGUE.ruleset(name).clauses}
        for name in (one, two)
    }
    sure = 0
    for change in true_changes(diff):
        sides = [parts[name].get(change.key, ()) for name in (one, two)]
        sure += all(part.standing == "confirmed" for side in sides for part in side)
    text = " ".join(rule_diff_markdown(diff, VOCABULARY).split())
    told = re.search(r"of these \d+, (\d+) \(", text)
    assert told is not None
    assert int(told[1]) <= sure


def test_figures_from_memory_are_marked() -> None:
    text = rule_diff_markdown(_diff("irc-2015", "irc-2021"), VOCABULARY)
    flight = next(
        line for line in text.splitlines() if line.startswith("| figure | at most 147 in")
    )
    assert flight == "| figure | at most 147 in * | at most 151 in * |"
    tables = text.partition("## Tables")[2]
    assert "| southern pine | 60 sq ft | 8 ft / 11 ft * |" in tables


@pytest.mark.parametrize(("one", "two"), PAIRS)
def test_every_cell_that_differs_stands_in_a_table(one: str, two: str) -> None:
    """Told from what differs: each figure after is printed once, folded or not."""
    diff = _diff(one, two)
    tables = [t for c in true_changes(diff) for t in c.tables]
    text = rule_diff_markdown(diff, VOCABULARY).partition("\n## Tables")[2].partition("\n## ")[0]
    rows = [cells_of(line) for line in text.splitlines() if line.startswith("| ")]
    for table in tables:
        for cell in table.cells:
            rest = [r for r in rows if sum(k in r for k in cell.keys) >= len(cell.keys) - 1]
            wanted = cell.after if cell.after != "no figure" else cell.before
            assert any(wanted in text for row in rest for text in row), cell


def test_an_example_deck_gives_figures_for_tables() -> None:
    diff = _diff("irc-2015", "irc-2021")
    design = CATALOGUE.design(CATALOGUE.files.root / "examples" / "whole-deck-12x16.yaml")
    evaluators = CATALOGUE.evaluator("irc-2015"), CATALOGUE.evaluator("irc-2021")
    felt = felt_figures(diff, evaluators, design, VOCABULARY)
    for edition, side in zip(evaluators, ("before", "after"), strict=True):
        found = evaluate(design, edition, VOCABULARY).outcome("beam_span").governing
        assert found is not None
        text = bounds_text(found.least, found.most, found.kind, found.unit)
        assert getattr(felt["beam_span"], side) == text
    text = rule_diff_markdown(diff, VOCABULARY, felt, "Whole deck")
    row = next(line for line in text.splitlines() if line.startswith("| Beam span |"))
    assert row.count("e.g. at most") == 2
    assert "by the table(" not in text


def test_a_rule_set_whose_figures_are_not_held_is_no_new_rule() -> None:
    diff = _diff("irc-2018", "irc-2021")
    held = unheld(diff)
    assert held
    text = rule_diff_markdown(diff, VOCABULARY)
    assert "Not held here, and so not compared: Footing size" in text
    assert not {c.key for c in held} & {c.key for c in true_changes(diff)}


def test_the_data_keeps_every_clause_that_is_only_known_otherwise() -> None:
    diff = _diff("irc-2018", "irc-2021")
    data = rule_diff_data(diff, VOCABULARY)
    told = [c for t in data["topics"] for c in t["changes"] if c["only_standing"]]
    assert {c["clause"] for c in told} == {c.key for c in diff.changes if c.only_standing}
    assert all(c["before"]["standing"] != c["after"]["standing"] for c in told)
    assert len(told) > 10


class _Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.seen: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append(tag)
        if tag != "meta":
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def test_the_page_is_well_formed_and_stands_alone() -> None:
    parser = _Tags()
    page = rule_diff_html(_diff("irc-2018", "irc-2021"), VOCABULARY)
    parser.feed(page)
    assert not parser.open
    assert "table" in parser.seen
    assert "http" not in page
    assert "script" not in parser.seen


def test_the_command_prints_each_format(capsys: pytest.CaptureFixture[str]) -> None:
    for form in ("text", "markdown", "json", "html"):
        assert run(["diff", "irc-2018", "irc-2021", "--format", form]) == 0
        out = capsys.readouterr().out
        assert ("irc-2021" if form == "json" else "IRC 2021") in out
        if form == "json":
            data = json.loads(out)
            total = sum(data["counts"].values())
            assert total == data["counts"]["unchanged"] + sum(
                len(t["changes"]) for t in data["topics"]
            )
        if form == "text":
            assert all(len(line) <= 100 for line in out.splitlines())


@pytest.mark.parametrize("ending", ["txt", "md", "json", "html", "docx"])
def test_a_file_is_written_by_its_ending_and_never_overwritten(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], ending: str
) -> None:
    path = tmp_path / f"report.{ending}"
    command = ["diff", "irc-2018", "irc-2021", "--part", "guards", "-o", str(path)]
    assert run(command) == 0
    content = path.read_bytes()
    starts = {
        "md": b"# What",
        "json": b"{",
        "html": b"<!doctype html>",
        "docx": b"PK",
        "txt": b"WHAT",
    }
    assert content.startswith(starts[ending])
    assert run(command) == 2
    assert path.read_bytes() == content
    assert not capsys.readouterr().out


def test_paper_needs_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["diff", "irc-2018", "irc-2021", "--format", "pdf"]) == 2
    assert "name a file with -o" in capsys.readouterr().err
    assert run(["diff", "irc-2018", "irc-2021", "-o", str(tmp_path / "a.xls")]) == 2
    assert ".docx" in capsys.readouterr().err


def test_the_document_holds_what_the_markdown_holds() -> None:
    diff = _diff("irc-2018", "irc-2021")
    document = rule_diff_document(diff, VOCABULARY, {}, "")
    grids = [b for b in document.blocks if isinstance(b, Grid)]
    lines = rule_diff_markdown(diff, VOCABULARY).splitlines()
    assert sum(len(g.rows) for g in grids) + 2 * len(grids) == sum(x.startswith("|") for x in lines)
    assert {len(g.headers) for g in grids} == {len(r) for g in grids for r in g.rows}


def test_a_name_that_is_none_is_bad_input(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["diff", "irc-2018", "irc-2020"]) == 2
    assert "irc-2020" in capsys.readouterr().err
