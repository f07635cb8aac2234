"""Add a source to sources.yaml: what it is, what it was seen to show, and how near that is.

The lines are shown first; nothing is written without --write. The list of sources that editors
complete from is written with it.
"""

from __future__ import annotations

import argparse

from deckclause.cli.shared import open_catalogue


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    from deckclause.upkeep.amending.new_source import KINDS, REACHES, STATES

    parser.add_argument("id", metavar="ID", help="a short id: small letters, digits and hyphens")
    parser.add_argument("--title", required=True, help="its title")
    parser.add_argument("--kind", required=True, choices=KINDS, help="what sort of publication")
    parser.add_argument("--seen", required=True, help="what it was seen to show, in your own words")
    reaches = "; ".join(f"{name}: {says}" for name, says in REACHES.items())
    parser.add_argument("--reach", required=True, choices=tuple(REACHES), help=reaches)
    parser.add_argument("--state", default="adopted", choices=STATES, help="default: adopted")
    parser.add_argument("--publisher", default="", help="who published it")
    parser.add_argument("--year", default="", help="the year it was published")
    parser.add_argument("--address", default="", help="where it can be read")
    parser.add_argument("--write", action="store_true", help="write it")


def run(options: argparse.Namespace) -> int:
    """Run the command; return the exit status."""
    from deckclause.rulesets.write_file import write_together
    from deckclause.upkeep.amending.new_source import NewSource, with_source

    files = open_catalogue(options).files
    source = NewSource(
        options.id, options.title, options.kind, options.seen, options.reach, options.state,
        options.publisher, options.year, options.address,
    )  # fmt: skip
    fresh = with_source(files, source)
    path, text = next(iter(fresh.items()))
    print(text[text.index(f"\n  {options.id}:") + 1 :], end="")
    if not options.write:
        print(f"\nNothing was written. With --write it is added to {files.name(path)}.")
        return 0
    write_together(dict(fresh))
    print("\n".join(f"{files.name(path)}: written." for path in fresh))
    return 0
