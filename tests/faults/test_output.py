"""Where the output goes wrong: no status says what was not shown, no traceback is shown."""

from __future__ import annotations

import json
import resource
import subprocess
from pathlib import Path

import pytest

from faults.commands import FAILING, STEP_DOWN, command, shell


def test_nobody_reads_the_output() -> None:
    done = shell('set -o pipefail; $D compare "$DECK" --under irc-2012 | true')
    assert (done.returncode, done.stderr) == (141, "")


def test_a_reader_that_goes_half_way() -> None:
    done = shell('set -o pipefail; $D compare "$DECK" --all --format json | head -c 100 >/dev/null')
    assert (done.returncode, done.stderr) == (141, "")


def test_a_full_disk_under_the_output() -> None:
    with open("/dev/full", "w", encoding="utf-8") as full:
        done = command(*FAILING, into=full)
    assert done.returncode == 74
    assert "the output cannot be written (No space left on device)" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("arguments", ["", "--help", "--version", "compare --help", "rules list"])
def test_no_command_says_it_went_well_on_a_full_disk(arguments: str) -> None:
    done = shell(f"$D {arguments} > /dev/full")
    assert done.returncode == 74
    assert "Traceback" not in done.stderr


def test_closed_output() -> None:
    done = shell('$D compare "$DECK" --under irc-2012 >&-')
    assert done.returncode == 74
    assert "the output cannot be written" in done.stderr


def test_a_file_is_written_though_the_streams_are_closed(tmp_path: Path) -> None:
    done = shell(f'$D compare "$DECK" --under irc-2012 -o {tmp_path}/x.json <&- >&- 2>&-')
    assert done.returncode == 1, "the deck does not comply, and the report of it is there"
    assert json.loads((tmp_path / "x.json").read_text(encoding="utf-8"))


def test_closed_and_full_error_streams_keep_the_status() -> None:
    assert shell("$D compare nothing.yaml 2>&-").returncode == 2
    assert shell("$D compare nothing.yaml 2>/dev/full").returncode == 2


@pytest.mark.parametrize("columns", ["abc", "-5", "0", "1", "13", "9" * 30, "８０", ""])
def test_odd_widths(columns: str) -> None:
    done = command(*FAILING, env={"COLUMNS": columns})
    assert (done.returncode, done.stderr) == (1, "")
    assert "IRC 2012" in done.stdout


@pytest.mark.parametrize(
    "env",
    [
        {"PYTHONIOENCODING": "ascii"},
        {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
        {"PYTHONIOENCODING": "cp1252"},
    ],
)
def test_letters_the_output_cannot_hold(env: dict[str, str], tmp_path: Path) -> None:
    deck = tmp_path / "deck.yaml"
    text = STEP_DOWN.read_text(encoding="utf-8")
    deck.write_text(
        text.replace("name: Step down of 3 in", "name: Terrasse Süd 露台 𝕏"), encoding="utf-8"
    )
    written = env.get("PYTHONIOENCODING", "ascii")
    done = command("compare", str(deck), "--under", "irc-2012", env=env, encoding=written)
    assert (done.returncode, done.stderr) == (1, "")
    asked = ("compare", str(deck), "--under", "irc-2012", "--format", "json")
    data = command(*asked, env=env, encoding=written)
    assert json.loads(data.stdout)["design"]["name"] == "Terrasse Süd 露台 𝕏"


def _small_files() -> None:
    resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))


@pytest.mark.parametrize(
    "arguments",
    [
        ("compare", str(STEP_DOWN), "-o", "x.html"),
        ("compare", str(STEP_DOWN), "-o", "x.json"),
        ("new", "design", "x.yaml", "--full"),
        ("new", "archive", "x.csv", "--designs", "200"),
        ("new", "archive", "x.parquet", "--designs", "2000"),
        ("place", "draw", str(STEP_DOWN), "--under", "irc-2012", "-o", "x.svg"),
    ],
)
def test_nothing_is_left_where_there_is_no_room(arguments: tuple[str, ...], tmp_path: Path) -> None:
    done = command(
        *arguments, cwd=tmp_path, preexec_fn=_small_files, env={"DECKCLAUSE_CACHE": "off"}
    )
    assert done.returncode == 74, done.stderr
    assert "cannot be written (File too large); nothing was left" in done.stderr
    assert not list(tmp_path.iterdir())


def test_a_small_disk(tmp_path: Path) -> None:
    small = tmp_path / "small"
    small.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=16k", "tmpfs", str(small)]
    if subprocess.run(mount, capture_output=True, check=False).returncode:
        pytest.skip("only root may mount a small disk")
    try:
        done = command("compare", str(STEP_DOWN), "-o", str(small / "x.html"))
        assert done.returncode == 74
        assert "No space left on device" in done.stderr
        assert not list(small.iterdir())
        done = command("new", "archive", str(small / "permits"), "--designs", "50")
        assert done.returncode == 74
        assert not list(small.iterdir())
    finally:
        subprocess.run(["umount", str(small)], check=True)
