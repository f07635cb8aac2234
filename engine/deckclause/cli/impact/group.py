"""What a change of rule set does to an archive of designs; a map of an office's own sheet first."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from deckclause.cli.subcommands import add_subcommands, run_subcommand

RUN = "run"
SUBCOMMANDS: dict[str, tuple[str, str]] = {
    RUN: ("impact.run", "an archive under two rule sets: who newly fails, and what drives it"),
    "map": ("impact.map", "an office's own sheet: propose which column says which fact"),
}


def arranged(words: Sequence[str]) -> list[str]:
    """Put in the subcommand that is meant where none is named: `impact ARCHIVE` runs.

    >>> arranged(["permits.csv", "--from", "irc-2015"])
    ['run', 'permits.csv', '--from', 'irc-2015']
    """
    given = list(words)
    if not given or given[0] in (*SUBCOMMANDS, "-h", "--help"):
        return given
    return [RUN, *given]


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add a parser for each subcommand."""
    add_subcommands(parser, SUBCOMMANDS)


def run(options: argparse.Namespace) -> int:
    """Run the subcommand asked for; return its exit status."""
    return run_subcommand(options)
