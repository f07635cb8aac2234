"""Write designs on both sides of every boundary of each rule set, as test data beside the rules.

For every clause: each way it can come out, both sides of each table cell, and for every single slip
(a figure a step off, a choice more or less, a key moved, an exception lost) a design that comes out
otherwise, in a place that sets other values where nothing else shows it. Every case was evaluated:
it is kept only where the regions and the evaluator agree on it. A slip no design tells changes
nothing. Nothing is written without --write. Exit status: 0 every file is current (or was written), 1 some are not.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from deckclause.cli.shared import add_rules_options, open_catalogue, rule_set_names

if TYPE_CHECKING:
    from deckclause.upkeep.coverage.boundary import NotBuilt


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument(
        "--under", action="append", default=[], metavar="RULESET", help="only this rule set; repeat"
    )
    parser.add_argument("--write", action="store_true", help="write what is missing or out of date")
    parser.add_argument(
        "--untold", action="store_true", help="name every single slip that no design can tell"
    )
    parser.add_argument("--to", metavar="FOLDER", type=Path, help="another folder to write to")
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command; return the exit status."""
    from deckclause.rulesets.write_file import write_whole
    from deckclause.upkeep.coverage.shipped import boundary_texts

    catalogue = open_catalogue(options)
    names = rule_set_names(catalogue, options.under)
    texts, not_built = boundary_texts(catalogue, tuple(names))
    stale = 0
    for shipped, text in texts.items():
        path = options.to / shipped.name if options.to else shipped
        if path.is_file() and path.read_text(encoding="utf-8") == text:
            continue
        stale += 1
        if options.write:
            path.parent.mkdir(parents=True, exist_ok=True)
            write_whole(path, text)
        print(f"{path.name}: {'written' if options.write else 'not current'}")
    _say_not_built(not_built, all_of_them=options.untold)
    if not stale:
        print("every file of boundary designs is current")
    return 1 if stale and not options.write else 0


def _say_not_built(not_built: Sequence[NotBuilt], *, all_of_them: bool) -> None:
    slips = [m for m in not_built if m.slip]
    for missing in not_built:
        if all_of_them or not missing.slip:
            print(f"{missing.ruleset}: {missing.clause}: {missing.why}")
    if slips and not all_of_them:
        clauses = len({(m.ruleset, m.clause) for m in slips})
        print(
            f"{len(slips)} single slips in {clauses} clauses change no outcome, so no design tells "
            "them; --untold names them"
        )
