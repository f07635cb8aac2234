"""A command that is stopped, or stops itself: said in a line, with its own status."""

from __future__ import annotations

import os
import signal
import subprocess
import time
from pathlib import Path

import pytest

from faults.commands import MODULE, STEP_DOWN, command

CRASH = """
import sys
from deckclause.cli import main
def broken(*a, **k): raise KeyError("site.frosT_depth")
import deckclause.cli.compare as c
c.compare = broken
main.entry()
"""


def _crash(**env: str) -> subprocess.CompletedProcess[str]:
    import sys

    return subprocess.run(
        [sys.executable, "-c", CRASH, "compare", str(STEP_DOWN), "--under", "irc-2012"],
        capture_output=True,
        text=True,
        env={**os.environ, **env},
        check=False,
    )


def test_a_fault_of_the_program_says_so_and_how_to_report_it() -> None:
    done = _crash()
    assert done.returncode == 70
    assert "Traceback" not in done.stderr
    assert "KeyError: 'site.frosT_depth' (cli/compare.py, line " in done.stderr
    assert "Please report it" in done.stderr
    assert "DECKCLAUSE_TRACEBACK=1" in done.stderr


def test_the_traceback_is_shown_where_it_is_asked_for() -> None:
    done = _crash(DECKCLAUSE_TRACEBACK="1")
    assert done.returncode == 70
    assert "Traceback (most recent call last)" in done.stderr


@pytest.mark.parametrize(
    ("number", "status"), [(signal.SIGINT, 130), (signal.SIGTERM, 143), (signal.SIGHUP, 129)]
)
def test_a_signal_ends_a_long_command(number: int, status: int, tmp_path: Path) -> None:
    path = tmp_path / "permits.csv"
    process = subprocess.Popen(
        [*MODULE, "new", "archive", str(path), "--designs", "2000000", "--quiet"],
        stderr=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        preexec_fn=_heed_hangups,  # noqa: PLW1509 - no threads here
    )
    _wait_until_begun(tmp_path, process)
    process.send_signal(number)
    _, said = process.communicate(timeout=60)
    assert process.returncode == status
    assert "Traceback" not in said
    assert len(said.splitlines()) == 1
    assert not list(tmp_path.iterdir()), "nothing is left, under no name"


def test_a_killed_command_leaves_nothing_under_the_name_asked_for(tmp_path: Path) -> None:
    path = tmp_path / "permits.csv"
    process = subprocess.Popen(
        [*MODULE, "new", "archive", str(path), "--designs", "2000000", "--quiet"],
        stderr=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
    )
    _wait_until_begun(tmp_path, process)
    process.kill()
    process.wait()
    assert not path.exists()


def _heed_hangups() -> None:
    """Undo a caller that ignores hang-ups, as `nohup` does: a child would ignore them too."""
    signal.signal(signal.SIGHUP, signal.SIG_DFL)


def _wait_until_begun(
    folder: Path, process: subprocess.Popen[str] | subprocess.Popen[bytes]
) -> None:
    end = time.monotonic() + 60
    while not any(p.stat().st_size for p in folder.iterdir()):
        assert process.poll() is None
        assert time.monotonic() < end
        time.sleep(0.02)


def test_no_memory_is_told(tmp_path: Path) -> None:
    import resource

    def little() -> None:
        resource.setrlimit(resource.RLIMIT_AS, (150 << 20, 150 << 20))

    done = command(
        "new", "archive", str(tmp_path / "x.csv"), "--designs", "3000000", preexec_fn=little
    )
    assert done.returncode == 70, done.stderr
    assert "Traceback" not in done.stderr
    assert not list(tmp_path.iterdir())
