"""Run the command line in a process of its own, as a shell would, with a fault laid in its way."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

EXAMPLES = Path(__file__).parents[2] / "rules" / "examples"
STEP_DOWN = EXAMPLES / "step-down-3in.yaml"
FAILING = ("compare", str(STEP_DOWN), "--under", "irc-2012")
"""Ends with 1: the deck does not comply."""
MODULE = (sys.executable, "-m", "deckclause.cli.main")


def command(
    *arguments: str,
    into: Any = subprocess.PIPE,
    env: dict[str, str] | None = None,
    encoding: str = "utf-8",
    **more: Any,
) -> subprocess.CompletedProcess[str]:
    """Run a command; standard output goes `into` a file where one is given."""
    return subprocess.run(
        [*MODULE, *arguments],
        stdout=into,
        stderr=subprocess.PIPE,
        env={**os.environ, **(env or {})},
        text=True,
        encoding=encoding,
        timeout=120,
        check=False,
        **more,
    )


def shell(script: str, **env: str) -> subprocess.CompletedProcess[str]:
    """Run a line of shell in which `$D` is the command."""
    return subprocess.run(
        ["bash", "-c", script],
        env={**os.environ, "D": " ".join(MODULE), "DECK": str(STEP_DOWN), **env},
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=120,
        check=False,
    )
