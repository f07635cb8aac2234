"""What the placement commands share: rule sets asked for, lengths typed, exit statuses."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING

from deckclause.cli.shared import ALL_EDITIONS, rule_set_names, tell_real_places
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY
from deckclause.rulesets.problems import InputError

if TYPE_CHECKING:
    from deckclause.placement.from_rules import PlacementRules

UNDER_HELP = "an edition or guide by id, Place@date, all-editions or all-guides; more may follow"


def add_under(parser: argparse.ArgumentParser) -> None:
    """Add the option that names rule sets."""
    parser.add_argument("--under", action="append", default=[], metavar="RULESET", help=UNDER_HELP)


def add_places(parser: argparse.ArgumentParser) -> None:
    """Add the option that names every place of the register."""
    parser.add_argument(
        "--places-on", metavar="DATE", help="every place of the register as of a date (2024-05-01)"
    )


def rules_for(catalogue: Catalogue, options: argparse.Namespace) -> list[PlacementRules]:
    """Return the rule sets asked for, ready for placement. Raises InputError."""
    from deckclause.placement.from_rules import PlacementRules

    given = list(options.under)
    day = getattr(options, "places_on", None)
    if day is not None:
        given = given or [ALL_EDITIONS]
        given += _places(catalogue, day)
    names = rule_set_names(catalogue, given or [ALL_EDITIONS])
    tell_real_places(catalogue, names)
    return [PlacementRules(catalogue.evaluator(name), catalogue.vocabulary) for name in names]


def _places(catalogue: Catalogue, day: str) -> list[str]:
    """Return every place that had a code on a day, as `Place@date`."""
    try:
        date.fromisoformat(day)
    except ValueError:
        raise InputError.single("--places-on", f"'{day}' is no date; write 2024-05-01") from None
    found = []
    for place in catalogue.register.places:
        try:
            catalogue.resolve(f"{place}@{day}")
        except InputError:
            continue
        found.append(f"{place}@{day}")
    return found


def length_option(text: str | None, option: str) -> Fraction | None:
    """Read a length typed as an option, in inches. Raises InputError."""
    from deckclause.quantities import LENGTH, QuantityError, parse_quantity

    if text is None:
        return None
    try:
        quantity = parse_quantity(text)
    except QuantityError as fault:
        raise InputError.single(option, str(fault)) from None
    if quantity.dimension != LENGTH:
        raise InputError.single(option, f"'{text}' is not a length; write it as 3 in")
    return quantity.value


def exit_status(statuses: Iterable[int]) -> int:
    """Return 1 where something does not comply, 3 where something is undecided, else 0."""
    found = set(statuses)
    if DOES_NOT_COMPLY in found:
        return 1
    return 0 if found == {COMPLIES} else 3
