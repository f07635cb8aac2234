"""List, show and check the rule sets."""

from __future__ import annotations

import argparse

from deckclause.cli.subcommands import add_subcommands, run_subcommand

SUBCOMMANDS: dict[str, tuple[str, str]] = {
    "list": ("rules.list", "every edition, guide, amendment and place"),
    "show": ("rules.show", "one rule set, clause by clause, tables as printed"),
    "concordance": ("rules.concordance", "topic by edition: citation and figure"),
    "standing": ("rules.standing", "how well the figures of each rule set are founded"),
    "witness": ("rules.witness", "look figures up in a book of your own, and keep what you saw"),
    "history": ("rules.history", "the years of a place: what came into force, what fell away"),
    "lint": ("rules.lint", "check every rule file"),
    "schema": ("rules.schema", "the JSON Schemas editors read"),
    "affirm": ("rules.affirm", "re-affirm an amendment whose clauses have moved"),
    "coverage": ("rules.coverage", "which clauses, exceptions and cells the examples exercise"),
    "boundary-designs": ("rules.boundary", "designs on both sides of every boundary"),
}


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add a parser for each subcommand."""
    add_subcommands(parser, SUBCOMMANDS)


def run(options: argparse.Namespace) -> int:
    """Run the subcommand asked for; return its exit status."""
    return run_subcommand(options)
