"""Commands that are made of several: a parser for each, and the run of the one asked for."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from importlib import import_module

from deckclause.cli.shared import add_rules_options

Subcommands = Mapping[str, tuple[str, str]]
"""By name: the module under `deckclause.cli` that has `arguments` and `run`, and a line of help."""


def add_subcommands(
    parser: argparse.ArgumentParser, subcommands: Subcommands, metavar: str = "SUBCOMMAND"
) -> None:
    """Add a parser for each subcommand, with the options that say which rules are read."""
    subparsers = parser.add_subparsers(dest="subcommand", required=True, metavar=metavar)
    for name, (module_name, says) in subcommands.items():
        module = import_module(f"deckclause.cli.{module_name}")
        sub = subparsers.add_parser(name, help=says, description=module.__doc__, allow_abbrev=False)
        module.arguments(sub)
        if not any("--rules" in action.option_strings for action in sub._actions):
            add_rules_options(sub)
        sub.set_defaults(module=module)


def run_subcommand(options: argparse.Namespace) -> int:
    """Run the subcommand that was asked for; return its exit status."""
    status: int = options.module.run(options)
    return status
