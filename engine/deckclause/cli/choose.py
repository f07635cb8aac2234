"""Choose the sizes that comply under every rule set asked, all members together."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from deckclause.cli.shared import (
    add_rules_options,
    open_catalogue,
    rule_set_names,
    tell_real_places,
    terminal_width,
)
from deckclause.cli.under import each_named
from deckclause.rulesets.problems import InputError

arranged = each_named
"""Rule sets may follow one `--under`."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("design", type=Path, metavar="DESIGN", help="the design file")
    parser.add_argument(
        "--under",
        action="append",
        default=[],
        metavar="RULESET",
        help="an edition or guide by id, Place@date, all-editions or all-guides; more may follow",
    )
    parser.add_argument(
        "--keep",
        action="append",
        default=[],
        metavar="MEMBER",
        help="leave as drawn: a part (ledger) or one size (joist spacing); repeat for more",
    )
    parser.add_argument(
        "--try",
        dest="tried",
        action="append",
        default=[],
        metavar="SIZE[=A,B,C]",
        help="choose this too, or among these only: 'joist species', 'ledger below band joist top', "
        "'joist cantilever=0 in,1 ft,2 ft'",
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
    from deckclause.answers.chosen import chosen_answer
    from deckclause.choosing.prices import read_prices

    catalogue = open_catalogue(options)
    names = rule_set_names(catalogue, options.under)
    tell_real_places(catalogue, names)
    if not names:
        raise InputError.single("--under", "name one rule set or more")
    design = catalogue.design(options.design).design
    prices = read_prices(options.prices) if options.prices else None
    opened = tried(options.tried)
    answer = chosen_answer(
        catalogue, design, names, keep=options.keep, opened=opened, prices=prices
    )
    if options.format == "json":
        from deckclause.report.choosing.data import chosen_json

        print(chosen_json(answer))
    elif options.format == "csv":
        from deckclause.report.choosing.buying import buying_csv

        if not answer.solutions:
            raise InputError.single("--format csv", "nothing fits, so there is nothing to buy")
        print(buying_csv(answer.solutions[0], si=options.si), end="")
    else:
        from deckclause.report.choosing.text import ChosenText

        print("\n".join(ChosenText(answer, width=terminal_width(), si=options.si).lines()))
    return answer.exit_status


def tried(texts: Sequence[str]) -> dict[str, list[str]]:
    """Read `QUANTITY=A,B,C`, or `QUANTITY` for the trade's own values. Raises InputError for `=` alone.

    >>> tried(["joists.cantilever=0 in,1 ft", "joists.species"])
    {'joists.cantilever': ['0 in', '1 ft'], 'joists.species': []}
    """
    found: dict[str, list[str]] = {}
    for text in texts:
        name, equals, values = text.partition("=")
        listed = [value.strip() for value in values.split(",") if value.strip()]
        if equals and not listed:
            raise InputError.single(
                "--try", f"'{text}' gives no values; write 'joist cantilever=0 in,1 ft'"
            )
        found[name.strip()] = listed
    return found
