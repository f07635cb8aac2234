"""Write a commented starting file: a design to fill in. Nothing is ever overwritten."""

from __future__ import annotations

import argparse

from deckclause.cli.subcommands import add_subcommands, run_subcommand

KINDS: dict[str, tuple[str, str]] = {
    "design": ("new.design", "a design with every question of the vocabulary"),
    "archive": ("new.archive", "an archive of invented permits, for trying impact"),
}


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add a parser for each kind of file."""
    add_subcommands(parser, KINDS, "KIND")


def run(options: argparse.Namespace) -> int:
    """Run the kind asked for; return its exit status."""
    return run_subcommand(options)
