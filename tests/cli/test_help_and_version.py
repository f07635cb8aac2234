"""Help, version, completion: what a new user asks for first."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

import pytest

import deckclause
from deckclause.cli.main import COMMANDS, run
from deckclause.evaluate.catalogue import Catalogue

EXAMPLE = Path(__file__).parents[2] / "rules" / "examples" / "step-down-3in.yaml"


def test_help_is_what_the_option_gives(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["help"]) == 0
    general = capsys.readouterr().out
    assert run(["--help"]) == run([]) == 0
    assert capsys.readouterr().out == general * 2
    for words in (["compare"], ["place"], ["place", "layout"], ["rules", "lint"]):
        told = []
        for asked in (["help", *words], [*words, "--help"]):
            with pytest.raises(SystemExit) as left:
                run(asked)
            assert left.value.code == 0
            told.append(capsys.readouterr().out)
        assert told[0] == told[1]
        assert told[0].startswith(f"usage: deckclause {' '.join(words)} ")
    assert run(["help", "comapre"]) == 2
    assert "Did you mean compare?" in capsys.readouterr().err


def test_the_version_names_the_rules_as_a_receipt_does(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["--version"]) == 0
    first, where, *lines = capsys.readouterr().out.splitlines()
    assert first == f"deckclause {deckclause.__version__}"
    assert where.startswith("rules in ")
    told = dict(line.split() for line in lines)
    catalogue = Catalogue.open()
    assert set(catalogue.files.rulesets) | {"vocabulary", "register"} <= set(told)
    run(["compare", str(EXAMPLE), "--under", "irc-2018", "--format", "json"])
    receipt = json.loads(capsys.readouterr().out)["receipt"]
    assert told["vocabulary"] == receipt["vocabulary"]
    (held,) = receipt["rule_sets"]
    assert told["irc-2018"] == held["digest"]


def test_the_version_is_told_where_the_rules_cannot_be_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("DECKCLAUSE_RULES", str(tmp_path))
    assert run(["--version"]) == 0
    first, second = capsys.readouterr().out.splitlines()
    assert first == f"deckclause {deckclause.__version__}"
    assert second.startswith("the rules cannot be read")


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_every_command_can_be_completed(shell: str, capsys: pytest.CaptureFixture[str]) -> None:
    pytest.importorskip("shtab")
    assert run(["completion", shell]) == 0
    script = capsys.readouterr().out
    for command in COMMANDS:
        assert command in script


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (["comp"], {"compare", "completion"}),
        (["place", "lay"], {"layout"}),
        (["compare", "deck.yaml", "--under", "irc-202"], {"irc-2021", "irc-2024"}),
        (["rules", "lint", "--form"], {"--format"}),
        (["rules", "lint", "--format", "s"], {"sarif"}),
    ],
)
def test_bash_completes(
    words: list[str], wanted: set[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Sourced in a bash of its own, as a login shell does, and asked as the tab key asks."""
    pytest.importorskip("shtab")
    run(["completion", "bash"])
    script = tmp_path / "completion.bash"
    script.write_text(capsys.readouterr().out, encoding="utf-8")
    quoted = " ".join(f"'{word}'" for word in ["deckclause", *words])
    asked = (
        f"source {script}; COMP_WORDS=({quoted}); COMP_CWORD={len(words)};"
        " $(complete -p deckclause | sed 's/.*-F \\([^ ]*\\).*/\\1/');"
        " printf '%s\\n' \"${COMPREPLY[@]}\""
    )
    done = subprocess.run(["bash", "-c", asked], capture_output=True, text=True, check=True)
    assert set(done.stdout.split()) == wanted
