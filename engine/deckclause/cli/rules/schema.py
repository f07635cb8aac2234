"""Check that the published schemas are current, or write them anew."""

from __future__ import annotations

import argparse

from deckclause.cli.shared import add_rules_options, open_catalogue


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument(
        "--write", action="store_true", help="write the schemas that are missing or out of date"
    )
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command; 1 where schemas are out of date and were not written."""
    from deckclause.report.schemas import stale_schemas
    from deckclause.rulesets.write_file import write_whole

    catalogue = open_catalogue(options)
    stale = stale_schemas(catalogue.files.root, catalogue.vocabulary)
    if not stale:
        print("every schema is current")
        return 0
    for path, text in stale.items():
        name = catalogue.files.name(path)
        if options.write:
            path.parent.mkdir(parents=True, exist_ok=True)
            write_whole(path, text)
            print(f"{name}: written")
        else:
            print(f"{name}: not as the models and the vocabulary have it; write it with --write")
    return 0 if options.write else 1
