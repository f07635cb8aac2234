"""A command that keeps its reader waiting says so, on a terminal alone and never within its answer."""

from __future__ import annotations

import io
import os
import pty
import sys
import time

import pytest

from deckclause.cli import waiting as room
from deckclause.cli.main import run
from support.designs import EXAMPLES


class Terminal(io.StringIO):
    """A stream a person looks at."""

    def isatty(self) -> bool:
        return True


def test_it_is_said_again_and_again_until_the_answer_is_there() -> None:
    out = Terminal()
    with room.waiting(["relief", "deck.yaml"], out, first=0.02, again=0.02):
        time.sleep(0.3)
    said = out.getvalue().splitlines()
    assert len(said) >= 2
    assert all(line.startswith("still working, ") for line in said)
    time.sleep(0.1)
    assert out.getvalue().splitlines() == said


@pytest.mark.parametrize(
    ("given", "stream"),
    [
        (["relief", "deck.yaml"], io.StringIO()),
        (["request", "new"], Terminal()),
        (["compare"], Terminal()),
    ],
    ids=["no terminal", "a command that asks", "a quick command"],
)
def test_nothing_is_said_where_nobody_waits(given: list[str], stream: io.StringIO) -> None:
    with room.waiting(given, stream, first=0.01, again=0.01):
        time.sleep(0.1)
    assert stream.getvalue() == ""


def test_a_command_on_a_real_terminal_says_it_beside_its_answer(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A pseudo-terminal as error stream: the answer on standard output stays as it is."""
    ours, theirs = pty.openpty()
    monkeypatch.setattr(room, "FIRST", 0.05)
    monkeypatch.setattr(room.waiting.__wrapped__, "__kwdefaults__", {"first": 0.05, "again": 0.05})
    with os.fdopen(theirs, "w") as terminal:
        monkeypatch.setattr(sys, "stderr", terminal)
        run(["relief", str(EXAMPLES / "step-down-3in.yaml"), "--under", "irc-2021"])
        said = os.read(ours, 4096).decode()
    os.close(ours)
    assert "still working" in said
    assert "still working" not in capsys.readouterr().out
