"""Lay out a place's own rules folder over the shipped rules: register, sources, schemas, a check.

Nothing that stands there is overwritten. What is not in the folder is read from the shipped rules.
"""

from __future__ import annotations

import argparse
from pathlib import Path

NEWEST = "irc-2024"


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("folder", metavar="FOLDER", type=Path, help="a new folder, or an empty one")
    parser.add_argument("--place", default="", help="the jurisdiction (default: the folder's name)")
    parser.add_argument("--within", default="", help="the larger place of the register it lies in")
    parser.add_argument(
        "--edition", default=NEWEST, help=f"the edition its README begins with ({NEWEST})"
    )


def run(options: argparse.Namespace) -> int:
    """Write the folder; return the exit status."""
    from deckclause.rulesets.write_file import refuse_existing, write_together
    from deckclause.upkeep.town_folder import NewFolder, town_files

    folder: Path = options.folder
    place = options.place or folder.resolve().name.replace("-", " ").replace("_", " ").title()
    files = town_files(folder, NewFolder(place, options.edition, options.within))
    for path in files:
        refuse_existing(path)
    for path in files:
        path.parent.mkdir(parents=True, exist_ok=True)
    write_together(dict(files))
    print(f"{folder}: laid out for {place}, over the rules shipped with deckclause.")
    print(f"Read {folder / 'README.md'}. Every command takes it with --rules {folder / 'rules'}.")
    return 0
