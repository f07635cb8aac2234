"""Five states of knowledge: unknown is never unchanged, and ignorance never a change."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from deckclause.cli.main import run
from deckclause.compare.knowledge import TopicState, topic_states
from deckclause.compare.known_state import State
from deckclause.compare.rule_diff.clauses import ADDED, GONE, RuleDiff, rule_diff
from deckclause.compare.rule_diff.otherwise import LAID_OUT, kinds, otherwise
from deckclause.compare.rule_diff.weight import OTHERWISE, true_changes, weight
from deckclause.evaluate.catalogue import Catalogue
from deckclause.report.rule_diff.markdown import rule_diff_markdown
from deckclause.report.rule_diff.summary import side_texts, states_line
from deckclause.report.rule_diff.text import cells_of
from deckclause.rulesets.library import RuleLibrary
from rulesets.small_rules import open_rules

CATALOGUE = Catalogue.open()
VOCABULARY = CATALOGUE.vocabulary
EDITIONS = [f"irc-{year}" for year in (2006, 2009, 2012, 2015, 2018, 2021, 2024)]
PAIRS = [
    *pairwise(EDITIONS),
    ("awc-dca6-2009", "awc-dca6-2012"),
    ("irc-2012", "awc-dca6-2012"),
    ("irc-2021", "Tarn Hollow@2025-02-01"),
]
HEAD = "ruleset: {name}\nkind: edition\ntitle: T\nin_force: {{published: {year}}}\n"
KIND = """
  - key: bolt_kind
    topic: bolt_kind
    cites: "{cites}"
    says: Lags or bolts.
    {asks}
    standing: {standing}
    sources: [invented]
"""
TABLE = """tables:
  spacing:
    title: Bolt spacing
    cites: Table 1
    by: [bolts.kind]
    columns: [lag, bolt]
    cells: [{cells}]
    standing: confirmed
    sources: [invented]
clauses:
  - key: bolt_spacing
    topic: bolt_spacing
    cites: "5.1"
    says: By the table.
    limit: bolts.spacing
    at_most: {{table: spacing}}
    standing: confirmed
    sources: [invented]
"""


def small_diff(root: Path, one: str, two: str) -> RuleDiff:
    open_rules(root)
    for year, text in ((2018, one), (2021, two)):
        body = text if text.startswith("tables") else f"clauses:{text}"
        head = HEAD.format(name=f"code-{year}", year=year)
        (root / "editions" / f"code-{year}.yaml").write_text(head + body)
    library = RuleLibrary.open(root)
    sets = (library.ruleset("code-2018"), library.ruleset("code-2021"))
    return rule_diff(*sets, library.vocabulary)


def state_of(root: Path, one: str, two: str) -> TopicState:
    (state,) = topic_states(small_diff(root, one, two), ("bolt_kind", "bolt_spacing"))
    return state


def kind(asks: str = "must_be: {bolts.kind: lag}", **words: str) -> str:
    return KIND.format(**{"cites": "1", "standing": "confirmed", "asks": asks} | words)


@pytest.mark.parametrize(
    ("one", "two", "state"),
    [
        (kind(), kind(), State.SAME),
        (kind(), kind(cites="2"), State.MOVED),
        (kind(), kind(standing="memory"), State.AS_FAR_AS_KNOWN),
        (kind(standing="memory"), kind(cites="2"), State.AS_FAR_AS_KNOWN),
        (kind(), kind("must_be: {bolts.kind: bolt}"), State.CHANGED),
        (kind(), kind("must_be: {bolts.kind: bolt}", standing="memory"), State.CHANGED),
        (kind(), kind("unmodelled: the words were not found"), State.CANNOT_BE_TOLD),
        (kind("unmodelled: not found"), kind("unmodelled: not found yet"), State.CANNOT_BE_TOLD),
        (kind(), kind().replace("key: bolt_kind", "key: split"), State.CHANGED),
    ],
)
def test_the_state_of_a_pair_of_clauses(tmp_path: Path, one: str, two: str, state: State) -> None:
    found = state_of(tmp_path / "forth", one, two)
    assert found.state == state
    back = state_of(tmp_path / "back", two, one)
    assert (back.state, back.unread[::-1]) == (state, found.unread)


@pytest.mark.parametrize(
    ("one", "two", "state"),
    [
        ("30 in, 36 in", "30 in, 36 in", State.SAME),
        ("30 in, 36 in", "30 in, 35 in", State.CHANGED),
        ("30 in, 36 in", "30 in, not seen", State.CANNOT_BE_TOLD),
        ("30 in, not seen", "30 in, not seen", State.CANNOT_BE_TOLD),
        ("30 in, not seen", "29 in, not seen", State.CHANGED),
        ("30 in, 36 in", "30 in, not permitted", State.CHANGED),
    ],
)
def test_the_state_of_a_pair_of_tables(tmp_path: Path, one: str, two: str, state: State) -> None:
    assert state_of(tmp_path, TABLE.format(cells=one), TABLE.format(cells=two)).state == state


def test_carried_and_unread_is_the_same_only_as_far_as_known(tmp_path: Path) -> None:
    """A standing of `derived` is no reading of the text either, where the line is carried."""
    one = kind()
    open_rules(tmp_path)
    small_diff(tmp_path, one, one)
    from deckclause.rulesets.fingerprint import fingerprint

    raw = RuleLibrary.open(tmp_path).load("code-2018").raw_clauses["bolt_kind"]
    line = '\n  - {{key: bolt_kind, carried: code-2018, cites: "1", standing: {standing}, sources: [invented], fingerprint: "{mark}"}}\n'  # fmt: skip
    mark = fingerprint(raw, {})
    for standing, state in (
        ("memory", State.AS_FAR_AS_KNOWN),
        ("derived", State.AS_FAR_AS_KNOWN),
        ("confirmed", State.SAME),
    ):
        assert state_of(tmp_path, one, line.format(standing=standing, mark=mark)).state == state


def _diff(one: str, two: str) -> RuleDiff:
    return rule_diff(CATALOGUE.ruleset(one), CATALOGUE.ruleset(two), VOCABULARY)


@pytest.mark.parametrize(("one", "two"), PAIRS)
def test_states_do_not_depend_on_which_rule_set_comes_first(one: str, two: str) -> None:
    topics = tuple(VOCABULARY.topics)
    forth, back = topic_states(_diff(one, two), topics), topic_states(_diff(two, one), topics)
    assert [(s.topic, s.state) for s in forth] == [(s.topic, s.state) for s in back]
    spoken = {c.topic for r in (_diff(one, two).one, _diff(one, two).two) for c in r.clauses}
    assert {s.topic for s in forth} == spoken
    assert all(s.read or s.one_text for s in forth if s.state in (State.SAME, State.MOVED))


@pytest.mark.parametrize(("one", "two"), PAIRS)
def test_two_columns_never_hold_one_sentence_and_otherwise_says_what(one: str, two: str) -> None:
    diff = _diff(one, two)
    for change in true_changes(diff):
        before, after = side_texts(change, {})
        assert before != after
        assert before.removesuffix(" *") != after.removesuffix(" *")
        if weight(change) == OTHERWISE:
            assert otherwise(change)
            assert kinds(change)
    text = rule_diff_markdown(diff, VOCABULARY)
    rows = [cells_of(x) for x in text.partition("\n## ")[0].splitlines() if x.startswith("| ")]
    assert not [row for row in rows[1:] if OTHERWISE in row[1].split(", ")]
    assert not [row for row in rows if row[-1] == row[-2]]
    assert states_line(diff, VOCABULARY) in text


@pytest.mark.parametrize(("one", "two"), PAIRS)
def test_nothing_is_new_and_gone_on_one_topic_at_once(one: str, two: str) -> None:
    """One clause split in two is laid out otherwise; what a place strikes and adds is its act."""
    diff = _diff(one, two)
    told = [c for c in true_changes(diff) if c.beside is None and c.origin is None]
    added = {c.topic for c in told if c.kind == ADDED}
    gone = {c.topic for c in told if c.kind == GONE}
    assert not added & gone


def test_the_footing_rows_of_2018_are_not_gone_in_2021() -> None:
    """R507.3.1 has snow rows in both; 2021 gives them under a clause with another key."""
    diff = _diff("irc-2018", "irc-2021")
    (gone,) = [c for c in diff.changes if c.key == "framing_table_load.footing_rows"]
    assert gone.beside is not None
    assert otherwise(gone) == (LAID_OUT,)
    text = rule_diff_markdown(diff, VOCABULARY)
    assert "**Gone**" not in text
    assert "The footing table has rows" in text


def test_what_is_not_held_of_2024_is_no_change_of_the_code() -> None:
    """Engineered rims under 2024 have not been read: that is no new rule."""
    diff = _diff("irc-2021", "irc-2024")
    assert true_changes(diff) == []
    states = {s.topic: s.state for s in topic_states(diff, tuple(VOCABULARY.topics))}
    assert states["engineered_rim"] == State.CANNOT_BE_TOLD
    assert states["ledger_lower_row_below_ledger_top"] == State.AS_FAR_AS_KNOWN
    text = rule_diff_markdown(diff, VOCABULARY)
    assert "No rule is known to change." in text
    first = text.splitlines()[4:8]
    assert first[0].startswith("Most of IRC 2021 has not been read")
    assert first[2].startswith("IRC 2024 has not been read")
    assert first[2].endswith("This comparison cannot show what changed.")
    assert "Not held here, and so not compared: Engineered rim" in text


def test_the_snow_rows_of_2021_are_said() -> None:
    """2021 adds ground snow rows of 50, 60 and 70 psf to the ledger table (R507.9.1.3(1))."""
    (change,) = _diff("irc-2018", "irc-2021").on("ledger_fastener_spacing")
    (rows,) = [words for words in otherwise(change) if words.startswith("new rows for")]
    assert rows.endswith(" 50 psf, 60 psf, 70 psf")


def test_what_a_place_leaves_as_its_edition_has_it_is_the_same_read_or_not() -> None:
    """Tarn Hollow adopts the text of 2021, whatever that says; only its own acts are changes."""
    diff = _diff("irc-2021", "Tarn Hollow@2025-02-01")
    states = {s.topic: s.state for s in topic_states(diff, tuple(VOCABULARY.topics))}
    assert set(states.values()) == {State.CHANGED, State.SAME}
    assert states["deck_live_load"] == State.CHANGED  # the town fixes the value
    text = rule_diff_markdown(diff, VOCABULARY)
    assert "has not been read" not in text
    assert "the same, being the text of one edition" in text


def test_where_and_impact_say_how_much_is_known(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """Nobody has read 2024: neither command may let its silence read as no change."""
    words = ["where", "guard_opening", "--under", "irc-2021", "--under", "irc-2024"]
    run(words)
    told = " ".join(capsys.readouterr().out.split())
    assert "What is known of IRC 2021 and IRC 2024 here: the same as far as known" in told
    archive = tmp_path / "a.csv"
    run(["new", "archive", str(archive), "--designs", "5"])
    capsys.readouterr()
    run(
        [
            "impact",
            "--from",
            "irc-2021",
            "--to",
            "irc-2024",
            str(archive),
            "--out",
            str(tmp_path / "out"),
            "--quiet",
        ]
    )
    told = " ".join(capsys.readouterr().out.split())
    assert "none known to have changed" in told
    assert "the same as far as known, one side not seen in print" in told
