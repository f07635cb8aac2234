"""Re-affirm an amendment whose clauses have moved: show what moved, then record it as it stands.

Nothing is written without --write.
"""

from __future__ import annotations

import argparse

from deckclause.cli.shared import add_rules_options, open_catalogue


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("amendment", metavar="AMENDMENT", help="the amendment's id")
    parser.add_argument(
        "--write", action="store_true", help="write the current fingerprints into the file"
    )
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command; 1 where fingerprints are stale and were not written."""
    from deckclause.rulesets.stale import affirmed_text
    from deckclause.rulesets.write_file import write_whole

    library = open_catalogue(options).library
    text, stale = affirmed_text(library, options.amendment)
    path = library.files.amendment_path(options.amendment)
    name = library.files.name(path)
    if not stale:
        print(f"{name}: every clause it changes is as it was when it was written")
        return 0
    for change in stale:
        print(f"{name}, line {change.line}: {change.kind} {change.target}")
        print(f"    recorded {change.recorded or 'nothing'}, now {change.now}")
        print(f"    it now reads: {change.stands}")
    if not options.write:
        print("Read each again. If the changes still hold, run this again with --write.")
        return 1
    write_whole(path, text)
    print(f"{name}: written; {len(stale)} re-affirmed")
    return 0
