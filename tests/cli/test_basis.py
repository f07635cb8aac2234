"""deckclause basis, as a reader types it."""

from __future__ import annotations

import json

import pytest

from deckclause.cli.main import run
from deckclause.engineering.cautions import BY_KEY


def test_one_cell(capsys: pytest.CaptureFixture[str]) -> None:
    words = [
        "irc-2015",
        "joists",
        "columns=without",
        "species=southern",
        "size=2x8",
        "spacing=16in",
    ]
    assert run(["basis", *words]) == 0
    out = capsys.readouterr().out
    assert "PRINTED     11 ft 10 in   confirmed" in out
    assert "CALCULATED  11 ft 10 in   met" in out
    for part in ("inputs:", "factors:", "checks:", "governed by: bending", "unrounded: 141.88 in"):
        assert part in out
    assert "The printed table is the rule" in out
    assert BY_KEY["not_a_design"].short in out


def test_a_miss_is_named_and_the_table_stands(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["irc-2021", "ledger_spacing", "snow=50 psf", "assembly=lag", "span=8 ft"]
    assert run(["basis", *words]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "PRINTED 21 in memory" in out
    assert "CALCULATED 22 in missed: 1 in more than printed" in out
    assert "derived check" in out
    assert "a strength of nothing else" in out


def test_no_ledger_output_calls_a_ledger_failing(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["basis", "ledger", "--all"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "a smaller NDS value is no failure of a ledger fastened to the table" in out
    for word in ("does not comply", "fails", "unsafe", "overstressed"):
        assert word not in out


def test_every_cell_of_a_table(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["basis", "irc-2015", "joists", "--all"]) == 0
    out = capsys.readouterr().out
    assert "met 69 of 72 printed cells (confirmed 51 of 53, memory 18 of 19)" in out
    assert out.count("8 ft 6 in  memory") == 1


def test_every_book_with_such_a_table(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["basis", "ledger_spacing", "--all"]) == 0
    out = capsys.readouterr().out
    for name in ("IRC 2009", "IRC 2021", "AWC DCA6 2012"):
        assert f"{name}, Table" in out


def test_keys_narrow_the_cells(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["basis", "irc-2018", "joist_spans", "size=2x6", "--all"]) == 0
    assert "met 9 of 9 printed cells" in capsys.readouterr().out


def test_a_rule_set_alone_lists_its_tables(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["basis", "irc-2018"]) == 0
    out = capsys.readouterr().out
    assert "ledger_spacing" in out
    assert "21 of 21 met" in out
    assert "no calculation" in out


def test_a_place_has_the_tables_of_its_edition(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["basis", "Dunmarrow@2018-06-01", "ledger", "assembly=lag", "span=12 ft"]) == 0
    assert "PRINTED     15 in   confirmed" in capsys.readouterr().out


def test_json_carries_everything(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["irc-2018", "ledger", "assembly=through_bolt", "span=12 ft", "--format", "json"]
    assert run(["basis", *words]) == 0
    data = json.loads(capsys.readouterr().out)
    (table,) = data["tables"]
    (cell,) = table["cells"]
    assert cell["printed"]["exact"] == "29"
    assert cell["verdict"] == "met"
    assert cell["standing"] == "memory"  # seen for an earlier edition only
    assert cell["calculation"]["basis"] == "implied by a table"
    assert cell["calculation"]["unrounded_in"] == pytest.approx(29.08)
    assert "agrees with this one, from memory" in cell["derived_check"]["says"]
    assert {c["key"] for c in data["cautions"]} >= {"ledger_table_tests", "not_a_design"}
    assert all(c["text"] for c in data["cautions"])


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["irc-2051", "joists"], "Did you mean irc-2021?"),
        (["irc-2015", "joist_span"], "span_columns="),
        (["irc-2015", "joists", "size=2x9"], "Did you mean 2x8?"),
        (["irc-2015", "joists", "size=2x8", "size=2x6"], "given twice"),
        (["irc-2015", "joists", "size=2x8", "joists.size=2x6"], "given twice"),
        (["nothing", "--all"], "no rule set has a table 'nothing'"),
        (["joists"], "say RULESET TABLE"),
        (["irc-2006"], "has no tables"),
        (["irc-2018", "ledger", "span=12", "ft"], "quote a value with a space"),
    ],
)
def test_bad_input_says_what_would_be_right(
    capsys: pytest.CaptureFixture[str], words: list[str], said: str
) -> None:
    assert run(["basis", *words]) == 2
    assert said in capsys.readouterr().err
