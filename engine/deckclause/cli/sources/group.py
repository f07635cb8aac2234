"""The published sources figures rest on: add one in one command."""

from __future__ import annotations

import argparse

from deckclause.cli.subcommands import add_subcommands, run_subcommand

WAYS = {"add": ("sources.add", "add a source: what it is, and what it was seen to show")}


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add a parser for each way."""
    add_subcommands(parser, WAYS, metavar="WAY")


def run(options: argparse.Namespace) -> int:
    """Run the way asked for; return its exit status."""
    return run_subcommand(options)
