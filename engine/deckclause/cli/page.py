"""Work on a design on a local web page: no internet, no account, for this machine only."""

from __future__ import annotations

import argparse
from pathlib import Path

from deckclause.cli.shared import add_rules_options, open_catalogue
from deckclause.rulesets.problems import InputError


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument(
        "folder",
        metavar="FOLDER",
        type=Path,
        nargs="?",
        default=Path(),
        help="designs are read from this folder and saved into it, nothing else (this folder); what is read in a book, at /witness, is kept in the rules folder",
    )
    parser.add_argument("--port", type=int, default=0, help="the port to use (any free one)")
    parser.add_argument("--open", action="store_true", help="open the page in the web browser")
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Serve the page until it is stopped with Ctrl-C."""
    from deckclause.page.serve import serve

    if not options.folder.is_dir():
        raise InputError.single(str(options.folder), "is not a folder")
    serve(open_catalogue(options), options.folder, port=options.port, open_browser=options.open)
    return 0
