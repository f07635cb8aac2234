"""Choose the sizes that comply under every rule set asked, all members together."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from deckclause.cli.shared import (
    add_rules_options,
    open_catalogue,
    rule_set_names,
    terminal_width,
)
from deckclause.rulesets.problems import InputError


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("design", type=Path, metavar="DESIGN", help="the design file")
    parser.add_argument(
        "--under",
        action="append",
        default=[],
        metavar="RULESET",
        help="an edition or guide by id, Place@date, all-editions or all-guides; repeat for more",
    )
    parser.add_argument(
        "--keep",
        action="append",
        default=[],
        metavar="MEMBER",
        help="leave as drawn: a part (ledger) or a quantity (joists.spacing); repeat for more",
    )
    parser.add_argument(
        "--try",
        dest="tried",
        action="append",
        default=[],
        metavar="QUANTITY=A,B,C",
        help="choose this too, or among these only: joists.cantilever='0 in,1 ft,2 ft'",
    )
    parser.add_argument(
        "--prices", type=Path, metavar="FILE", help="your price list (CSV: item, length, price)"
    )
    parser.add_argument(
        "--format", choices=["text", "json", "csv"], default="text", help="csv is the buy list"
    )
    parser.add_argument("--si", action="store_true", help="print in SI units")
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command; 0 all decided and complying, 1 nothing fits or something fails, 3 open."""
    from deckclause.choosing.choose import choose
    from deckclause.choosing.members import variables
    from deckclause.choosing.prices import read_prices
    from deckclause.report.choosing.text import ChosenText, buying_csv

    catalogue = open_catalogue(options)
    names = rule_set_names(catalogue, options.under)
    if not names:
        raise InputError.single("--under", "name one rule set or more")
    design = catalogue.design(options.design).design
    chosen = variables(design, catalogue.vocabulary, keep=options.keep, opened=tried(options.tried))
    if not chosen:
        raise InputError.single("--keep", "everything is kept; nothing is left to choose")
    prices = read_prices(options.prices) if options.prices else None
    answer = choose(catalogue, design, names, chosen, prices)
    text = ChosenText(answer, catalogue.vocabulary, width=terminal_width(), si=options.si)
    if options.format == "json":
        print(text.json())
    elif options.format == "csv":
        if not answer.solutions:
            raise InputError.single("--format csv", "nothing fits, so there is nothing to buy")
        print(buying_csv(answer.solutions[0]), end="")
    else:
        print("\n".join(text.lines()))
    return answer.exit_status


def tried(texts: Sequence[str]) -> dict[str, list[str]]:
    """Read `QUANTITY=A,B,C`. Raises InputError where one has no values.

    >>> tried(["joists.cantilever=0 in,1 ft"])
    {'joists.cantilever': ['0 in', '1 ft']}
    """
    found: dict[str, list[str]] = {}
    for text in texts:
        name, equals, values = text.partition("=")
        listed = [value.strip() for value in values.split(",") if value.strip()]
        if not equals or not listed:
            raise InputError.single(
                "--try", f"'{text}' gives no values; write joists.cantilever='0 in,1 ft'"
            )
        found[name.strip()] = listed
    return found
