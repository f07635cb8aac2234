"""Solve where a design's fasteners may go, and how far its deck may step down, with proofs."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from deckclause.cli.place.shared import add_places, add_under, exit_status, rules_for
from deckclause.cli.shared import open_catalogue, terminal_width


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("design", metavar="DESIGN", type=Path, help="the design file (YAML)")
    add_under(parser)
    add_places(parser)
    parser.add_argument("--format", choices=["text", "json"], default="text", help="how to print")


def run(options: argparse.Namespace) -> int:
    """Print the answers; return 0 where all complies, 1 where something does not, 3 undecided."""
    from deckclause.answers.placing import place_answers
    from deckclause.placement.place import place
    from deckclause.report.placing.place_data import placements_data
    from deckclause.report.placing.place_text import PlacementText

    catalogue = open_catalogue(options)
    design = catalogue.design(options.design)
    placements = [place(design, rules) for rules in rules_for(catalogue, options)]
    answers = place_answers(placements)
    name = design.design.name
    if options.format == "json":
        data = placements_data(name, design.design.digest, answers)
        print(json.dumps(data, indent=1, ensure_ascii=False))
    else:
        text = PlacementText(catalogue.vocabulary, terminal_width())
        print("\n".join(text.lines(name, answers)))
    return exit_status(p.status for p in placements)
