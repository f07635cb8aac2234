"""List, show and check the rule sets."""

from __future__ import annotations

import argparse
from importlib import import_module
from importlib.util import find_spec

from deckclause.cli.shared import add_rules_options

SUBCOMMANDS: dict[str, tuple[str, str]] = {
    "list": ("rules_list", "every edition, guide, amendment and place"),
    "show": ("rules_show", "one rule set, clause by clause, tables as printed"),
    "concordance": ("rules_concordance", "topic by edition: citation and figure"),
    "standing": ("rules_standing", "how well the figures of each rule set are founded"),
    "lint": ("rules_lint", "check every rule file"),
    "schema": ("rules_schema", "the JSON Schemas editors read"),
    "affirm": ("rules_affirm", "re-affirm an amendment whose clauses have moved"),
    "coverage": ("rules_coverage", "which clauses, exceptions and cells the examples exercise"),
    "boundary-designs": ("rules_boundary", "designs on both sides of every boundary"),
}


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add a parser for each subcommand."""
    subparsers = parser.add_subparsers(dest="subcommand", required=True, metavar="SUBCOMMAND")
    for name, (module_name, says) in SUBCOMMANDS.items():
        if find_spec(f"deckclause.cli.{module_name}") is None:
            continue
        module = import_module(f"deckclause.cli.{module_name}")
        sub = subparsers.add_parser(name, help=says, description=module.__doc__, allow_abbrev=False)
        module.arguments(sub)
        if not any("--rules" in action.option_strings for action in sub._actions):
            add_rules_options(sub)
        sub.set_defaults(module=module)


def run(options: argparse.Namespace) -> int:
    """Run the subcommand; return its exit status."""
    status: int = options.module.run(options)
    return status
