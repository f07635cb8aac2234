"""Differences between rule sets: complete, symmetric, and readable."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser

import pytest

from deckclause.cli.main import run
from deckclause.compare.difference import differing_keys, settings_by_key, substance
from deckclause.compare.rule_diff import ADDED, CHANGED, GONE, MOVED, RuleDiff, rule_diff
from deckclause.evaluate.catalogue import Catalogue
from deckclause.report.rule_diff_data import rule_diff_data
from deckclause.report.rule_diff_html import rule_diff_html
from deckclause.report.rule_diff_markdown import rule_diff_markdown
from deckclause.report.rule_diff_text import cells_of

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
        ("loads framing table snow", "footings tributary area", "site soil bearing")
    }
    assert sum(counts) == 312  # all that differs in the table of 2021, each figure once


def test_2012_asks_a_deeper_lower_row_than_2009_which_had_none() -> None:
    diff = _diff("irc-2009", "irc-2012")
    (change,) = diff.on("ledger_lower_row_below_ledger_top")
    assert change.kind == ADDED


def test_an_amendment_is_named_with_its_ordinance() -> None:
    text = rule_diff_markdown(_diff("irc-2021", "Ellavane@2024-01-01"), VOCABULARY)
    assert "Ellavane, Rule 15-401" in text
    assert "| loads deck live load | not fixed | 60 psf |" in text


@pytest.mark.parametrize(("one", "two"), PAIRS)
def test_what_only_is_known_otherwise_stands_in_one_table(one: str, two: str) -> None:
    """A line for each topic and pair of standings; every such clause counted, none told at length."""
    diff = _diff(one, two)
    only = [c for c in diff.changes if c.only_standing]
    text = rule_diff_markdown(diff, VOCABULARY)
    assert text.count("## Figure unchanged, standing changed") == bool(only)
    _, _, rest = text.partition("## Figure unchanged, standing changed")
    section = rest.partition("\n## ")[0]
    rows = [cells_of(r) for r in section.splitlines() if r.startswith("| ")][1:]
    assert sum(int(row[2]) for row in rows) == len(only)
    assert len(rows) == len({(c.topic, c.before.standing, c.after.standing) for c in only})  # type: ignore[union-attr]
    assert all(before != after for *_, before, after in rows)
    asked = [c for c in diff.changes if not c.only_standing]
    assert len(re.findall(r"^\*\*(Changed|New|Gone|Moved)", text, re.MULTILINE)) == len(asked)
    if only:
        assert f"{len(only)} with another standing only" in text


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
        assert "irc-2021" in out
        if form == "json":
            data = json.loads(out)
            total = sum(data["counts"].values())
            assert total == data["counts"]["unchanged"] + sum(
                len(t["changes"]) for t in data["topics"]
            )
        if form == "text":
            assert all(len(line) <= 100 for line in out.splitlines())


def test_a_name_that_is_none_is_bad_input(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["diff", "irc-2018", "irc-2020"]) == 2
    assert "irc-2020" in capsys.readouterr().err
