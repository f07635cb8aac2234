"""Run the command line: `python -m deckclause`."""

from __future__ import annotations

from deckclause.cli.main import entry

if __name__ == "__main__":
    entry()
