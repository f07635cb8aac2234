"""Write an archive of invented permits, to try `deckclause impact` on. No permit in it is real."""

from __future__ import annotations

import argparse
from pathlib import Path

from deckclause.cli.progress import needing_extra, progress
from deckclause.cli.shared import add_rules_options, open_catalogue
from deckclause.rulesets.problems import InputError


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument(
        "path", metavar="FILE", type=Path, help="a .csv or .parquet file, or a new folder"
    )
    parser.add_argument("--designs", type=int, default=1000, metavar="N", help="how many (1000)")
    parser.add_argument(
        "--seed", type=int, default=1, metavar="S", help="the same seed gives the same permits"
    )
    parser.add_argument(
        "--plans",
        action="store_true",
        help="into a folder: each permit with its whole plan, post by post, so that it can be known "
        "whether its deck holds together",
    )
    parser.add_argument("--quiet", action="store_true", help="show no progress")
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command; return the exit status."""
    if options.designs < 1:
        raise InputError.single("--designs", "at least 1 is needed")
    if options.seed < 0:
        raise InputError.single("--seed", "a whole number from 0 up is needed")
    vocabulary = open_catalogue(options).vocabulary
    with needing_extra("archive"):
        from deckclause.designs.invented.archive import write_archive, write_plans

        with progress(options.designs, "permits", quiet=options.quiet) as step:
            write = write_plans if options.plans else write_archive
            write(options.path, options.designs, options.seed, vocabulary, step)
    print(f"{options.designs} invented permits in {options.path}. None of them is real.")
    return 0
