"""The relief command: exit status, and text that says what the data says."""

from __future__ import annotations

import json
import re
from pathlib import Path

from deckclause.cli.main import run

EXAMPLE = Path(__file__).parents[2] / "rules" / "examples" / "step-down-3in.yaml"


def _run(capsys, *options: str) -> tuple[int, str]:
    status = run(["relief", str(EXAMPLE), "--under", "irc-2021", *options])
    return status, capsys.readouterr().out


def test_text_and_data_tell_the_same(capsys, monkeypatch) -> None:
    monkeypatch.setenv("COLUMNS", "100000")
    status, text = _run(capsys)
    _, raw = _run(capsys, "--format", "json")
    data = json.loads(raw)
    assert status == 1
    for option in data["changes"]["options"]:
        for change in option["changes"]:
            assert f"{change['says']} {change['before']} -> {change['after']}." in text
    assert data["relaxations"]["choices"]
    for found in data["relaxations"]["choices"]:
        for item in found["items"]:
            assert f"from {item['required']} to {item['asked']}" in text
    assert data["receipt"]["design"]
    assert re.search(r"not an engineered design", text, re.IGNORECASE)


def test_a_design_that_fails_nothing_has_nothing_to_relieve(tmp_path: Path, capsys) -> None:
    path = tmp_path / "deck.yaml"
    path.write_text(EXAMPLE.read_text().replace("below_band_joist: 3 in", "below_band_joist: 0 in"))
    assert run(["relief", str(path), "--under", "irc-2021"]) in (0, 3)
    assert "No rule fails. That is no pass" in capsys.readouterr().out


def test_bad_input_is_said_gently(capsys) -> None:
    assert run(["relief", str(EXAMPLE), "--under", "irc-2020"]) == 2
    assert "Did you mean" in capsys.readouterr().err


def test_several_rule_sets_are_each_worked_out(capsys) -> None:
    status, text = _run(capsys, "--under", "irc-2012")
    assert status == 1
    assert "under IRC 2021: does not comply" in text
    assert "under IRC 2012: does not comply" in text
    _, raw = _run(capsys, "--under", "irc-2012", "--format", "json")
    assert [d["rule_set"]["name"] for d in json.loads(raw)] == ["irc-2021", "irc-2012"]


def test_open_questions_are_counted_as_a_comparison_lists_them(capsys, monkeypatch) -> None:
    monkeypatch.setenv("COLUMNS", "100000")
    _, text = _run(capsys)
    run(["compare", str(EXAMPLE), "--under", "irc-2021"])
    listed = capsys.readouterr().out.split("WHAT TO FIND OUT\n")[1].split("\n\n")[0].splitlines()
    assert f"{len(listed)} questions are open" in text


def test_what_a_place_sets_by_ordinance_stands_with_its_section(capsys) -> None:
    run(["relief", str(EXAMPLE), "--under", "Tarn Hollow@2025-03-01"])
    text = " ".join(capsys.readouterr().out.split())
    assert "Tarn Hollow sets the deck live load to 60 psf (Town Ordinance 97, Sec. 3" in text


def test_building_anew_stands_after_every_smaller_change(capsys) -> None:
    _, raw = _run(capsys, "--format", "json", "--under", "irc-2012")
    rebuilt = [
        any(c["quantity"] in ("deck.attachment", "band_joist.size") for c in o["changes"])
        for o in json.loads(raw)[1]["changes"]["options"]
    ]
    assert rebuilt == sorted(rebuilt)
