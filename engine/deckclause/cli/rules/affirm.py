"""Affirm amendments and carried lines whose clauses have moved: show what moved, then record it.

Nothing is written without --write.
"""

from __future__ import annotations

import argparse

from deckclause.cli.shared import add_rules_options, open_catalogue


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument(
        "name",
        metavar="NAME",
        nargs="+",
        help="an amendment, or an edition or guide that carries clauses; several are taken in "
        "turn, so name the earliest edition first",
    )
    parser.add_argument(
        "--write", action="store_true", help="write the current fingerprints into the files"
    )
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command; 1 where fingerprints are stale and were not written."""
    for done, name in enumerate(options.name, start=1):
        if _affirm(options, name):
            later = ", ".join(options.name[done:])
            if later:
                print(f"Not looked at yet, as they may carry it on: {later}.")
            return 1
    return 0


def _affirm(options: argparse.Namespace, name: str) -> int:
    from deckclause.rulesets.stale import affirmed_files
    from deckclause.rulesets.write_file import write_whole

    library = open_catalogue(options).library  # afresh: the one before may have been written
    files = affirmed_files(library, name)
    if not files:
        what = "carries" if name in library.files.rulesets else "changes"
        print(f"{name}: every clause it {what} is as it was when it was written")
        return 0
    for file in files:
        for line in file.stale:
            print(f"{line.file}, line {line.line}: {line.kind} {line.target}")
            print(f"    recorded {line.recorded or 'nothing'}, now {line.now}")
            print(f"    it now reads: {line.stands}")
    if not options.write:
        print("Read each again. If it still holds, run this again with --write.")
        return 1
    for file in files:
        write_whole(file.path, file.text)
        print(f"{library.files.name(file.path)}: written; {len(file.stale)} re-affirmed")
    return 0
