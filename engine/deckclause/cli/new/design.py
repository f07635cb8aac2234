"""Write a commented starting design: the few values to begin with, the rest as open questions."""

from __future__ import annotations

import argparse
from pathlib import Path

from deckclause.cli.shared import open_catalogue
from deckclause.report.design_template import design_template
from deckclause.rulesets.write_file import write_new


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("file", metavar="FILE", type=Path, nargs="?", help="where to write it")
    parser.add_argument("--name", default="", help="the design's name")
    parser.add_argument("--full", action="store_true", help="ask everything, not the ledger alone")


def run(options: argparse.Namespace) -> int:
    """Write the design, or print it where no file is named. Never overwrites."""
    catalogue = open_catalogue(options)
    name = options.name or (options.file.stem.replace("-", " ") if options.file else "a deck")
    text = design_template(catalogue.vocabulary, name, full=options.full)
    if options.file is None:
        print(text, end="")
        return 0
    write_new(options.file, text)
    print(f"wrote {options.file}; fill in what you know, then:")
    print(f'  deckclause compare {options.file} --under irc-2021 --under "Town@2026-01-31"')
    print("  deckclause rules list    shows the editions and the towns")
    return 0
