"""Write designs on both sides of every boundary of each rule set, as test data beside the rules.

Every case was evaluated: it is kept only where the regions and the evaluator agree on it. Nothing
is written without --write. Exit status: 0 every file is current (or was written), 1 some are not.
"""

from __future__ import annotations

import argparse
from pathlib import Path

from deckclause.cli.shared import add_rules_options, open_catalogue, rule_set_names


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument(
        "--under", action="append", default=[], metavar="RULESET", help="only this rule set; repeat"
    )
    parser.add_argument("--write", action="store_true", help="write what is missing or out of date")
    parser.add_argument(
        "--cells", action="store_true", help="both sides of every table cell too (with --to)"
    )
    parser.add_argument("--to", metavar="FOLDER", type=Path, help="another folder to write to")
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command; return the exit status."""
    from deckclause.compare.coverage.shipped import boundary_texts
    from deckclause.rulesets.problems import InputError
    from deckclause.rulesets.write_file import write_whole

    if options.cells and not options.to:
        raise InputError.single("--cells", "is for a folder of your own; name it with --to FOLDER")
    catalogue = open_catalogue(options)
    names = rule_set_names(catalogue, options.under)
    texts, not_built = boundary_texts(catalogue, tuple(names), cells=options.cells)
    stale = 0
    for shipped, text in texts.items():
        path = options.to / shipped.name if options.to else shipped
        count = text.count("\n  - {of: ")
        if path.is_file() and path.read_text(encoding="utf-8") == text:
            continue
        stale += 1
        if options.write:
            path.parent.mkdir(parents=True, exist_ok=True)
            write_whole(path, text)
        print(f"{path.name}: {count} cases{', written' if options.write else ', not current'}")
    for missing in dict.fromkeys(not_built):
        print(f"not built: {missing.clause}: {missing.why}")
    if not stale:
        print("every file of boundary designs is current")
    return 1 if stale and not options.write else 0
