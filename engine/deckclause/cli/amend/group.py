"""Write an amendment from a plain description, add to it, carry it to another edition, put it in force.

Each shows the difference it makes before anything is saved. Nothing is written without --write.
"""

from __future__ import annotations

import argparse

from deckclause.cli.subcommands import add_subcommands, run_subcommand

WAYS = {
    "new": ("amend.new", "from a plain description"),
    "add": ("amend.add", "more changes to an amendment that is written"),
    "carry": ("amend.carry", "carry one to another edition"),
    "rebase": ("amend.carry", "the old name of carry"),
    "register": ("amend.register", "put one in force: the register of places"),
    "papers": ("amend.papers", "its papers: ordinance, council's page, handout"),
}


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add a parser for each way to amend."""
    add_subcommands(parser, WAYS, metavar="WAY")


def run(options: argparse.Namespace) -> int:
    """Run the way asked for; return its exit status."""
    return run_subcommand(options)
