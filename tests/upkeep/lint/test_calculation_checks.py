"""Remembered figures against calculations: what is flagged, and what must not be."""

from __future__ import annotations

from pathlib import Path

from upkeep.lint.faulty_sets import FAULTY, SHIPPED, lint, rules_folder

CHECK = "figure-against-calculation"
SET = "remembered-figure-against-its-calculation.yaml"


def _folder(tmp_path: Path, *changes: tuple[str, str]) -> Path:
    text = (FAULTY / SET).read_text()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    source = tmp_path / "sets" / SET
    source.parent.mkdir()
    source.write_text(text)
    rules = tmp_path / "rules"
    rules.mkdir()
    return rules_folder(rules, source)


def test_the_message_gives_both_figures_and_the_command(tmp_path: Path) -> None:
    (finding,) = lint(_folder(tmp_path), CHECK)
    assert "1 of 1 figures from memory" in finding.message
    assert "through bolt, 18 ft: 91 in, calculated 19 in" in finding.message
    assert "The table stands" in finding.message


def test_a_remembered_figure_that_agrees_is_not_flagged(tmp_path: Path) -> None:
    assert not lint(_folder(tmp_path, ("91 in", "19 in")), CHECK)


def test_a_confirmed_figure_that_differs_is_never_flagged(tmp_path: Path) -> None:
    note = "    notes:\n      - {at: [through_bolt, 18 ft], standing: memory, sources: [memory]}\n"
    assert not lint(_folder(tmp_path, (note, "")), CHECK)


def test_without_confirmed_figures_nothing_is_established(tmp_path: Path) -> None:
    folder = _folder(
        tmp_path, ("standing: confirmed\n    sources: [wisconsin-cr-15-043]",
                   "standing: memory\n    sources: [memory]"),
    )  # fmt: skip
    assert not lint(folder, CHECK)


def test_the_shipped_flags_are_those_the_rule_files_know_of() -> None:
    found = lint(SHIPPED, CHECK)
    tables = {(f.place.file.split("/")[-2], f.subject) for f in found}
    assert ("irc-2021", "ledger_spacing") in tables
    assert ("irc-2018", "footing_sizes") in tables
    assert not any(name in ("irc-2009", "irc-2012") for name, _ in tables)
