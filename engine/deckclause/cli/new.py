"""Write a commented starting file: a design to fill in. Nothing is ever overwritten."""

from __future__ import annotations

import argparse
from importlib import import_module
from importlib.util import find_spec

from deckclause.cli.shared import add_rules_options

KINDS: dict[str, tuple[str, str]] = {
    "design": ("new_design", "a design with every question of the vocabulary"),
    "archive": ("new_archive", "an archive of invented permits, for trying impact"),
}


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add a parser for each kind of file."""
    subparsers = parser.add_subparsers(dest="kind", required=True, metavar="KIND")
    for name, (module_name, says) in KINDS.items():
        if find_spec(f"deckclause.cli.{module_name}") is None:
            continue
        module = import_module(f"deckclause.cli.{module_name}")
        sub = subparsers.add_parser(name, help=says, description=module.__doc__, allow_abbrev=False)
        module.arguments(sub)
        if not any("--rules" in action.option_strings for action in sub._actions):
            add_rules_options(sub)
        sub.set_defaults(module=module)


def run(options: argparse.Namespace) -> int:
    """Run the kind asked for; return its exit status."""
    status: int = options.module.run(options)
    return status
