"""`rules witness`: a whole edition typed through, as a person would; the standing afterwards."""

from __future__ import annotations

import io
import re
import shutil
from collections import Counter
from pathlib import Path

import pytest

from deckclause.cli.main import run
from deckclause.rulesets.files import default_root
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.standing import count_standings
from deckclause.rulesets.walk import is_unmodelled

BY = ["--printing", "first", "--on", "2024-05-01"]


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    ignored = shutil.ignore_patterns("examples", "schema")
    return Path(shutil.copytree(default_root(), tmp_path / "rules", ignore=ignored))


def typed(
    monkeypatch: pytest.MonkeyPatch, answers: list[str], rules: Path, *more: str, by: str = "Ada"
) -> int:
    monkeypatch.setattr("sys.stdin", io.StringIO("\n".join(answers) + "\n"))
    name = ["rules", "witness", "irc-2015", "--rules", str(rules), "--by", by]
    return run([*name, *BY, *more])


def test_a_whole_edition_is_read_through_and_counted(
    rules: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    before = count_standings(RuleLibrary.open(rules).ruleset("irc-2015"))
    assert typed(monkeypatch, [""] * 500, rules) == 0
    capsys.readouterr()
    ruleset = RuleLibrary.open(rules).ruleset("irc-2015")
    after = count_standings(ruleset)
    # Every clause, exception and cell shown was read as shown. What is left was not shown:
    # other readings are judgements of words, not figures to be seen in a book.
    others = Counter(r.standing for clause in ruleset.clauses for r in clause.readings)
    assert sum(after.values()) == sum(before.values())
    assert after["memory"] == others["memory"]
    assert after["derived"] == others["derived"]
    assert not ruleset.errata
    assert run(["rules", "standing", "--under", "irc-2015", "--rules", str(rules)]) == 0
    shown = " ".join(capsys.readouterr().out.split())
    # what is not modelled is no figure, and counted apart; its words were read all the same
    unmodelled = sum(is_unmodelled(clause.requirement) for clause in ruleset.clauses)
    assert f"{sum(after.values()) - sum(others.values()) + unmodelled} of " in shown
    assert "read by Ada (2024-05-01)" in shown


def test_rows_are_answered_by_one_key_and_only_what_differs_is_typed(
    rules: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    table = "beam_spans_southern_pine"  # 8 rows of 7: 56 cells
    answers = ["", "2=7-5 @ Table 9; 7?", "nonsense", "9=1", "?", "b", "", "s", "", "q"]
    assert typed(monkeypatch, answers, rules, "--part", table) == 0
    out = capsys.readouterr().out
    assert out.count("not understood") == 2
    text = (rules / "witness" / "irc-2015" / "ada.yaml").read_text()
    seen = Counter(word for word in ("as shown", "otherwise", "not found")
                   for line in text.splitlines() if f'seen: "{word}"' in line)  # fmt: skip
    # rows 1 (7 cells), 2 (5, one otherwise, one not found), 3 (none found, then back and as shown
    # instead), 4 skipped, 5 (7)
    assert seen == {"as shown": 7 + 5 + 7 + 7, "otherwise": 1, "not found": 1}
    assert 'figure: "7 ft 5 in", where: "Table 9"' in text
    assert typed(monkeypatch, ["q"], rules, "--part", table) == 0
    assert "4 to look up" in capsys.readouterr().out  # the one skipped, and the three not reached


def test_two_readers_and_a_file_that_was_sent(
    rules: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    table = ["--part", "beam_spans_southern_pine"]
    typed(monkeypatch, [""] * 8, rules, *table)
    typed(monkeypatch, ["", "1=8-8", *[""] * 6], rules, *table, by="Ben Reader")
    sent = tmp_path / "sent.yaml"
    kept = rules / "witness" / "irc-2015" / "ben-reader.yaml"
    sent.write_bytes(kept.read_bytes())
    kept.unlink()
    capsys.readouterr()
    take = ["rules", "witness", "irc-2015", "--rules", str(rules), "--take", str(sent)]
    assert run(take) == 1  # they disagree
    shown = " ".join(capsys.readouterr().out.split())
    assert re.search(r"55 of \d+ read in the book as the rules have them, 55 of them by two", shown)
    assert "READERS DISAGREE" in shown
    assert "Ben Reader read 8 ft 8 in" in shown
    design = str(default_root() / "examples" / "whole-deck-12x16.yaml")
    run(["compare", design, "--under", "irc-2015", "--part", "beams", "--rules", str(rules)])
    assert "read otherwise in the book" in " ".join(capsys.readouterr().out.split())


def test_the_tick_sheet_has_every_figure_of_the_table(rules: Path, tmp_path: Path) -> None:
    path = tmp_path / "sheet.html"
    ask = ["rules", "witness", "irc-2015", "--part", "beam_spans_southern_pine"]
    assert run([*ask, "--rules", str(rules), "--sheet", str(path)]) == 0
    text = path.read_text()
    assert text.count("\u2610") == 56 + 1  # one in the words that explain it
    assert "15-3 \u2610" in text
    assert "2-2x12" in text
