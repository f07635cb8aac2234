"""What the ways to amend share: dates, file names, the preview, exceptions that stay."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING

from deckclause.cli.shared import date_option, terminal_width
from deckclause.evaluate.catalogue import Catalogue

if TYPE_CHECKING:
    from deckclause.rulesets.ruleset import LoadedRuleSet
    from deckclause.upkeep.amending.describe import Exceptions


def check_date(option: str, text: str) -> None:
    """Raise InputError where a date is none."""
    if text:
        date_option(option, text)


def shown_path(path: Path) -> str:
    """Name a file as it can be opened from here."""
    here = Path.cwd()
    full = path.resolve()
    return str(full.relative_to(here)) if full.is_relative_to(here) else str(full)


def preview(
    catalogue: Catalogue, name: str, text: str, base: LoadedRuleSet, *, carried: bool = False
) -> None:
    """Print an amendment, the difference it makes, and what it changes for the example designs.

    Raises InputError where it cannot be layered or a change of it changes nothing; where it is
    `carried` from another edition, that is only said.
    """
    from deckclause.report.rule_diff.text import rule_diff_text
    from deckclause.upkeep.amending.effect import odd_changes, refuse_idle, without_effect
    from deckclause.upkeep.amending.trial import flips, try_out

    trial = try_out(catalogue, name, text, base)
    idle = without_effect(trial.base, trial.amended, catalogue.vocabulary)
    if not carried:
        refuse_idle(idle)
    print(text)
    print(rule_diff_text(trial.difference, catalogue.vocabulary, terminal_width()))
    odd = [f"{line}: it changes nothing" for line in idle]
    odd += odd_changes(trial.base, trial.amended)
    if odd:
        print("\nLOOK AGAIN")
        for line in odd:
            _print(line)
    print("\nWHAT IT CHANGES FOR THE EXAMPLE DESIGNS")
    examples = sorted(catalogue.files.found("examples").glob("*.yaml"))
    found = list(flips(catalogue, trial, [catalogue.design(path) for path in examples]))
    struck = {s.topic: s.says for s in trial.amended.struck}
    for flip in found:
        title = catalogue.vocabulary.topics[flip.topic].title
        own = f" ({struck[flip.topic]})" if flip.topic in struck else ""
        _print(f"{flip.design}: {title}: {flip.before}, then {flip.after}{own}")
    if not found:
        print("  no outcome of any of them")


def tell_exceptions(found: Sequence[Exceptions], *, writing: bool) -> None:
    """Print which exceptions stay and which are struck, and how to say otherwise.

    Raises InputError where one that permits less stays, nobody said so, and it is to be written.
    """
    from deckclause.upkeep.amending.describe import exception_lines, refuse_undecided

    for held in found:
        print(f"\nEXCEPTIONS OF {held.clause}")
        for line in exception_lines(held):
            _print(line)
        if held.undecided:
            _print(
                "Say what becomes of them, after its --clause: --strike-exception N, or "
                "--keep-exceptions."
            )
    if writing:
        refuse_undecided(found)


def tell_register(
    catalogue: Catalogue, options: argparse.Namespace, name: str, place: str, ordinance: str
) -> None:
    """Print how an amendment is put in force, and how it is tried before."""
    from deckclause.upkeep.amending.adopt import register_lines
    from deckclause.upkeep.amending.describe import NO_ORDINANCE

    rules = f" --rules {options.rules}" if options.rules else ""
    asked = "" if options.adopted else " --ordinance NAME --adopted YYYY-MM-DD"
    print(
        f"\nIt is not in force yet. Try it as a draft: deckclause diff {options.edition} {name}{rules}"
    )
    print(
        f"To put it in force: deckclause amend register {name} --from YYYY-MM-DD{asked} "
        f"--write{rules}"
    )
    print(f"or add to {shown_path(catalogue.files.register_path)}, under places:")
    print("\n".join(register_lines(place, options.edition, name, ordinance or NO_ORDINANCE)))


def add_writing_options(parser: argparse.ArgumentParser, says: str) -> None:
    """Add --write and its meaning."""
    parser.add_argument("--write", action="store_true", help=says)


def _print(text: str) -> None:
    lines = wrap(text, max(terminal_width(), 60), initial_indent="  ", subsequent_indent="    ")
    print("\n".join(lines))
