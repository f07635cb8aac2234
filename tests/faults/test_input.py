"""What is named as input and is no ordinary file, or a damaged one."""

from __future__ import annotations

import os
import shutil
import threading
from pathlib import Path

import pytest

from deckclause.cli.main import run
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.read_file import MAX_BYTES, read_bytes
from deckclause.rulesets.yaml_tree import parse_tree
from faults.commands import FAILING, STEP_DOWN, command, shell


@pytest.mark.parametrize("device", ["/dev/zero", "/dev/null", "/dev/random"])
def test_a_device_is_no_design(device: str) -> None:
    done = command("compare", device, "--under", "irc-2012")
    assert done.returncode == 2
    assert done.stderr == f"deckclause: {device}: is a device; a file is needed\n"


def test_a_design_out_of_a_pipe() -> None:
    plain = command(*FAILING)
    for given in ('<(cat "$DECK")', '/dev/stdin < <(sleep 0.3; cat "$DECK")'):
        done = shell(f"$D compare {given} --under irc-2012")
        assert (done.returncode, done.stderr) == (1, "")
        assert done.stdout == plain.stdout


def test_a_pipe_nobody_writes_to_is_given_up(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(InputError, match="nothing came out of it"):
        read_bytes(pipe, patience=0.1)


def test_an_endless_pipe_is_given_up() -> None:
    done = shell("$D compare <(cat /dev/zero) --under irc-2012")
    assert done.returncode == 2
    assert "is over 4,000,000 bytes" in done.stderr


def test_a_file_that_says_it_is_empty_and_is_not(tmp_path: Path) -> None:
    def write() -> None:
        with open(pipe, "wb") as stream:
            stream.write(b"x" * 1000)

    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    writer = threading.Thread(target=write)
    writer.start()
    assert read_bytes(pipe) == b"x" * 1000
    writer.join()
    large = tmp_path / "large"
    with open(large, "wb") as stream:
        stream.truncate(MAX_BYTES + 1)
    with pytest.raises(InputError, match="no file of this kind is over"):
        read_bytes(large)
    assert Path("/proc/self/status").stat().st_size == 0
    assert read_bytes(Path("/proc/self/status"))


@pytest.mark.parametrize("end", ["\u2028", "\u2029", "\x85"])
def test_line_ends_that_programs_disagree_on(end: str) -> None:
    with pytest.raises(InputError) as caught:
        parse_tree(f"a: 1\r\nb: 2{end}c: 3\n".encode(), "d.yaml")
    (problem,) = caught.value.problems
    assert problem.line == 2
    assert f"U+{ord(end):04X}" in problem.message


def test_a_request_whose_lines_end_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = "request: 1\ndesign: deck.yaml\n".replace("\n", "\u2028")
    (tmp_path / "r.yaml").write_text(text, encoding="utf-8")
    assert run(["request", "check", str(tmp_path / "r.yaml")]) == 2
    assert "U+2028" in capsys.readouterr().err


@pytest.mark.skipif(os.name != "posix" or os.getuid() != 0, reason="root reads all files")
def test_a_rules_folder_that_cannot_be_listed(tmp_path: Path) -> None:
    rules = tmp_path / "rules"
    shutil.copytree(STEP_DOWN.parents[1], rules, ignore=shutil.ignore_patterns("examples"))
    (rules / "register.yaml").unlink()
    (rules / "register.yaml").symlink_to("register.yaml")  # round in a circle
    done = command(
        "compare", str(STEP_DOWN), "--under", "Tarn Hollow@2024-02-01", "--rules", str(rules)
    )
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
