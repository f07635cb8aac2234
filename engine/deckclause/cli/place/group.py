"""Solve where a ledger's fasteners may go: at once for a design, by sizes, laid out, drawn."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from deckclause.cli.subcommands import add_subcommands, run_subcommand
from deckclause.cli.under import each_named

SOLVE = "solve"
SUBCOMMANDS: dict[str, tuple[str, str]] = {
    SOLVE: ("place.solve", "one design: place for the rows, drops, step-downs, each proved"),
    "steps": ("place.steps", "every ledger, band joist and joist size: how far it steps down"),
    "layout": ("place.layout", "the fewest fasteners along the ledger, with a schedule"),
    "draw": ("place.draw", "section, elevation, two rule sets side by side, chart of sizes"),
}


def arranged(words: Sequence[str]) -> list[str]:
    """Put in the subcommand that is meant where none is named: `place DESIGN` solves.

    >>> arranged(["deck.yaml", "--under", "irc-2012"])
    ['solve', 'deck.yaml', '--under', 'irc-2012']
    """
    given = each_named(words)
    if not given or given[0] in (*SUBCOMMANDS, "-h", "--help"):
        return given
    return [SOLVE, *given]


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add a parser for each subcommand."""
    add_subcommands(parser, SUBCOMMANDS)


def run(options: argparse.Namespace) -> int:
    """Run the subcommand asked for; return its exit status."""
    return run_subcommand(options)
