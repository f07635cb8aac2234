"""Say, for every ledger, band joist and joist size, how far the deck may step down."""

from __future__ import annotations

import argparse
import json
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from deckclause.cli.place.shared import (
    add_places,
    add_under,
    length_option,
    rules_for,
)
from deckclause.cli.shared import open_catalogue, terminal_width
from deckclause.rulesets.problems import InputError

if TYPE_CHECKING:
    from deckclause.answers.steps import StepsReport
    from deckclause.designs.design import Design
    from deckclause.evaluate.catalogue import Catalogue
    from deckclause.placement.steps_from_rules import Stand

NO_DESIGN = "No design is given: a ledger on a sawn band joist of a wood-framed wall, no door reckoned with."


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument(
        "design", metavar="DESIGN", type=Path, nargs="?", help="the design file; sizes in it vary"
    )
    add_under(parser)
    add_places(parser)
    add_step_options(parser)
    parser.add_argument(
        "--format", choices=["table", "csv", "json"], default="table", help="how to print"
    )
    parser.add_argument("--proofs", action="store_true", help="print the sum behind each figure")


def add_step_options(parser: argparse.ArgumentParser) -> None:
    """Add the options on joists, floor, decking and the step wanted."""
    parser.add_argument("--step-down", metavar="LENGTH", help='the step down wanted, as "3 in"')
    parser.add_argument(
        "--from",
        dest="datum",
        choices=["floor", "threshold"],
        help="what the step down wanted is measured from: the floor inside (default), or the door's threshold",
    )
    parser.add_argument(
        "--joists",
        default="bottom",
        metavar="WHERE",
        help="joists level with the ledger's bottom (default) or top, or a length below its top",
    )
    parser.add_argument("--floor", metavar="LENGTH", help="floor above the band joist, in all")
    parser.add_argument("--decking", metavar="LENGTH", help="thickness of the decking")


def run(options: argparse.Namespace) -> int:
    """Print the tables; 0 where the step wanted can be had under each rule set, else 1 or 3."""
    from deckclause.report.placing.steps_data import steps_csv, steps_data
    from deckclause.report.placing.steps_text import steps_lines

    catalogue = open_catalogue(options)
    report = steps_report(catalogue, options)
    if options.format == "json":
        print(json.dumps(steps_data(report), indent=1, ensure_ascii=False))
    elif options.format == "csv":
        print(steps_csv(report))
    else:
        lines = steps_lines(report, catalogue.vocabulary, terminal_width(), proofs=options.proofs)
        print("\n".join(lines))
    if report.wanted is None:
        return 0
    if not report.told or any(t.missing for t in report.tables):
        return 3
    return 0 if all(any(report.allows(r) for r in t.rows) for t in report.tables) else 1


def steps_report(catalogue: Catalogue, options: argparse.Namespace) -> StepsReport:
    """Solve every combination of sizes under the rule sets asked for."""
    from deckclause.answers.steps import steps_report as report

    design, taken = _design(catalogue, options)
    wanted, said = _wanted(design, options)
    return report(
        catalogue.prepare(design),
        catalogue.vocabulary,
        rules_for(catalogue, options),
        _stand(options.joists),
        wanted=wanted,
        taken=(*taken, *said),
    )


def _wanted(design: Design, options: argparse.Namespace) -> tuple[Fraction | None, tuple[str, ...]]:
    """Return the step down wanted from the floor, and in words how it was meant where that matters.

    Raises InputError where it is measured from a threshold no one has stated.
    """
    from deckclause.quantities import length_text

    wanted = length_option(options.step_down, "--step-down")
    heights = {
        height: door.name or "the door"
        for door in design.parts.get("doors", ())
        if isinstance(height := door.facts.get("doors.threshold_above_floor"), Fraction)
    }
    if options.datum == "threshold":
        if wanted is None:
            raise InputError.single("--from", "says what --step-down is measured from; give it too")
        if len(heights) != 1:
            why = "states no threshold" if not heights else "has doors with different thresholds"
            raise InputError.single(
                "--from", f"the design {why}; give the step down from the floor"
            )
        ((height, door),) = heights.items()
        told = f"{length_text(wanted)} from the threshold of {door}"
        return wanted - height, (f"{told} is {length_text(wanted - height)} from the floor.",)
    if wanted is None or options.datum == "floor":
        return wanted, ()
    others = " and ".join(
        f"{length_text(wanted + height)} from the threshold of {door}"
        for height, door in heights.items()
        if height
    )
    if not others:
        return wanted, ()
    return wanted, (
        f"The step down wanted, {length_text(wanted)}, is taken from the floor: that is {others}. "
        "If the threshold is meant, say --from threshold.",
    )


def _stand(text: str) -> Stand:
    if text == "top":
        return "top"
    if text == "bottom":
        return "bottom"
    length = length_option(text, "--joists")
    assert length is not None
    return length


def _design(catalogue: Catalogue, options: argparse.Namespace) -> tuple[Design, tuple[str, ...]]:
    """Return the design, or a plain one, with floor and decking as the options give them."""
    from msgspec.structs import replace

    from deckclause.designs.design import Design

    taken: list[str] = []
    if options.design is None:
        facts = {
            "deck.attachment": "ledger",
            "band_joist.kind": "sawn_lumber",
            "wall.structure": "wood_frame",
        }
        design = Design("Sizes of lumber", "", dict(facts), {"doors": ()}, "", "")
        taken.append(NO_DESIGN)
    else:
        design = catalogue.design(options.design).design
    changed = dict(design.facts)
    for option, value in (("--floor", options.floor), ("--decking", options.decking)):
        length = length_option(value, option)
        if length is None:
            continue
        if length < 0 or (option == "--decking" and length == 0):
            raise InputError.single(option, f"'{value}' is no thickness; give more than 0 in")
        if option == "--decking":
            changed["decking.thickness"] = length
        else:
            changed["floor.subfloor_thickness"] = length
            changed["floor.finish_thickness"] = Fraction(0)
    return replace(design, facts=changed), tuple(taken)
