"""The Python interface: the command line's answers, under names that stay."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import fields
from html.parser import HTMLParser
from pathlib import Path

import pytest

import deckclause
from deckclause.api import Measure, Outcome
from deckclause.cli.main import run
from deckclause.rulesets.yaml_tree import parse_tree

EXAMPLES = Path(__file__).parents[2] / "rules" / "examples"
STEP_DOWN = EXAMPLES / "step-down-3in.yaml"
UNDER = ("irc-2012", "Tarn Hollow@2025-03-01")


@pytest.fixture(scope="module")
def rules() -> deckclause.Rules:
    return deckclause.Rules()


@pytest.fixture(scope="module")
def compared(rules: deckclause.Rules) -> deckclause.Compared:
    return deckclause.compare(STEP_DOWN, UNDER, rules=rules)


@pytest.fixture(scope="module")
def placed(rules: deckclause.Rules) -> deckclause.Placed:
    return deckclause.place(STEP_DOWN, UNDER, rules=rules)


def test_the_comparison_is_that_of_the_command_line(
    compared: deckclause.Compared, capsys: pytest.CaptureFixture[str]
) -> None:
    under = [word for name in UNDER for word in ("--under", name)]
    status = run(["compare", str(STEP_DOWN), *under, "--format", "json"])
    printed = json.loads(capsys.readouterr().out)
    assert compared.to_dict() == printed
    assert compared.exit_status == status == 1
    assert compared.rule_sets == UNDER
    statuses = [(o.topic, o.rule_set, o.status) for o in compared.outcomes]
    held = [
        (topic["topic"], "every rule set", topic["status"])
        for topic in printed["holds_together"]["topics"]
    ]
    assert held
    assert statuses == held + [
        (topic["topic"], outcome["rule_set"], outcome["status"])
        for topic in printed["topics"]
        for outcome in topic["outcomes"]
    ]
    changes = [(t["topic"], c["from"], c["to"]) for t in printed["topics"] for c in t["changes"]]
    assert [(c.topic, c.first, c.second) for c in compared.changes] == changes
    assert compared.failing()


def test_the_text_is_that_of_the_command_line(
    compared: deckclause.Compared,
    placed: deckclause.Placed,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("COLUMNS", "100")
    under = [word for name in UNDER for word in ("--under", name)]
    for command, result in (("compare", compared), ("place", placed)):
        assert run([command, str(STEP_DOWN), *under]) == result.exit_status
        assert capsys.readouterr().out == f"{result}\n"


def test_the_placement_is_that_of_the_command_line(
    placed: deckclause.Placed, capsys: pytest.CaptureFixture[str]
) -> None:
    under = [word for name in UNDER for word in ("--under", name)]
    run(["place", str(STEP_DOWN), *under, "--format", "json"])
    printed = json.loads(capsys.readouterr().out)
    assert placed.to_dict() == printed
    (first, *_) = placed.measures
    assert first.greatest == printed["rule_sets"][0]["drop"]["greatest"]["value"]["text"]


def test_a_mapping_is_a_design_as_its_file_is(
    compared: deckclause.Compared, rules: deckclause.Rules
) -> None:
    deck = parse_tree(STEP_DOWN.read_bytes(), "deck").data
    assert rules.compare(deck, UNDER).outcomes == compared.outcomes


def test_truths_and_numbers_are_written_as_a_file_has_them(rules: deckclause.Rules) -> None:
    deck = {"design": 1, "ledger": {"size": "2x10"}, "fasteners": {"staggered": True}}
    written = {"design": "1", "ledger": {"size": "2x10"}, "fasteners": {"staggered": "yes"}}
    one, two = (rules.compare(d, "irc-2018") for d in (deck, written))
    assert one.outcomes == two.outcomes
    assert one.exit_status == 3, "what is not stated is never a pass"


def test_faults_come_all_at_once(rules: deckclause.Rules) -> None:
    with pytest.raises(deckclause.InputError) as caught:
        deckclause.compare({"design": 1, "ledger": {"siez": "2x10", "size": "2x9"}}, rules=rules)
    assert [p.line for p in caught.value.problems] == [4, 5]
    with pytest.raises(deckclause.InputError, match="there is no such file"):
        deckclause.place("nothing.yaml", rules=rules)
    with pytest.raises(deckclause.InputError, match="not a topic"):
        deckclause.compare(STEP_DOWN, topics="nonsense", rules=rules)


@pytest.mark.parametrize("library", ["polars", "pandas"])
def test_frames(library: str, compared: deckclause.Compared, placed: deckclause.Placed) -> None:
    pytest.importorskip(library)
    for result, kind, rows in (
        (compared, Outcome, compared.outcomes),
        (placed, Measure, placed.measures),
    ):
        frame = result.to_frame(library)  # type: ignore[attr-defined]
        assert type(frame).__module__.split(".")[0] == library
        assert list(frame.columns) == [field.name for field in fields(kind)]
        assert frame["rule_set"].to_list() == [row.rule_set for row in rows]


def test_a_frame_without_a_library_says_what_to_install(
    compared: deckclause.Compared, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("polars", "pandas"):
        monkeypatch.setitem(sys.modules, name, None)
    with pytest.raises(ModuleNotFoundError, match="pip install polars"):
        compared.to_frame()


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.cells: list[str] = []

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.open.append(tag)
        if tag in ("td", "th"):
            self.cells.append("")

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] in ("td", "th"):
            self.cells[-1] += data


def test_a_notebook_shows_a_table_with_its_cautions(
    compared: deckclause.Compared, placed: deckclause.Placed
) -> None:
    for result in (compared, placed):
        page = _Reader()
        page.feed(result._repr_html_())
        assert not page.open
        assert "not an engineered design" in result._repr_html_()
    cells = _Reader()
    cells.feed(compared._repr_html_())
    assert "Lower row above the band joist's bottom" in cells.cells
    assert any(cell.startswith("FAILS") for cell in cells.cells)


def test_what_a_design_says_of_itself_is_never_markup(rules: deckclause.Rules) -> None:
    deck = {"design": 1, "name": "<script>alert(1)</script>", "ledger": {"size": "2x10"}}
    for result in (deckclause.compare(deck, rules=rules), deckclause.place(deck, rules=rules)):
        assert "<script" not in result._repr_html_()


def test_the_package_of_that_name_answers_whatever_was_imported_first() -> None:
    code = (
        "import deckclause\n"
        "{first}\n"
        "found = deckclause.compare({{'design': 1, 'ledger': {{'size': '2x10'}}}}, 'irc-2012')\n"
        "print(type(found).__name__, found.exit_status)\n"
        "from deckclause.compare.comparison import Comparison\n"
        "print(deckclause.compare.comparison.Comparison is Comparison)\n"
    )
    for first in ("", "from deckclause.compare.comparison import compare", "import deckclause.api"):
        done = subprocess.run(
            [sys.executable, "-c", code.format(first=first)],
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.stdout == "Compared 3\nTrue\n", done.stderr


def test_public_names_stay() -> None:
    """Whoever renames one of these breaks what others wrote."""
    assert [f.name for f in fields(Outcome)] == [
        "topic", "title", "part", "rule_set", "status", "role", "drawn", "asked", "clause",
        "cites", "standing", "unverified", "differs", "expected",
    ]  # fmt: skip
    assert [f.name for f in fields(Measure)] == [
        "rule_set", "status", "measure", "least", "greatest", "proof", "missing",
    ]  # fmt: skip
    assert {"compare", "place", "Rules", "Compared", "Placed", "InputError"} <= set(dir(deckclause))
