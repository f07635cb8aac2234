"""Put an amendment in force: enter it in register.yaml, from a day on.

An adoption of the place that has no end is ended on that day. The lines are shown first; nothing
is written without --write.
"""

from __future__ import annotations

import argparse
from difflib import unified_diff
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING

from deckclause.cli.amend.shared import add_writing_options, check_date, shown_path
from deckclause.cli.shared import open_catalogue, terminal_width
from deckclause.rulesets.problems import InputError, suggestion

if TYPE_CHECKING:
    from deckclause.rulesets.library import RuleLibrary
    from deckclause.upkeep.amending.adopt import Adopted, Adopting
    from deckclause.upkeep.amending.fallen import FallenRule


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("amendment", metavar="AMENDMENT", help="the amendment's id")
    parser.add_argument(
        "--from", dest="begins", required=True, metavar="DATE", help="the first day in force"
    )
    parser.add_argument("--place", default="", help="the jurisdiction (default: the amendment's)")
    parser.add_argument(
        "--within", default="", metavar="PLACE", help="the larger place a new one lies in"
    )
    parser.add_argument("--ordinance", default="", help="the ordinance, where it was a draft")
    parser.add_argument(
        "--adopted", default="", metavar="DATE", help="the day adopted, where it was a draft"
    )
    parser.add_argument(
        "--let-fall",
        action="append",
        default=[],
        metavar="RULE",
        help="a rule of the code before that is knowingly given up: its clause, table or quantity; "
        "repeat, or `all`",
    )
    add_writing_options(parser, "write the register (and the draft's ordinance and date)")


def run(options: argparse.Namespace) -> int:
    """Run the command; return the exit status."""
    from deckclause.rulesets.write_file import write_together
    from deckclause.upkeep.amending.adopt import Adopting

    for option, text in (("--from", options.begins), ("--adopted", options.adopted)):
        check_date(option, text)
    catalogue = open_catalogue(options)
    files = catalogue.files
    wish = Adopting(
        options.amendment,
        options.begins,
        options.place,
        options.within,
        options.ordinance,
        options.adopted,
    )
    done, fallen = _decided(catalogue.library, wish, options.let_fall)
    fresh = {files.register_path: done.register}
    if done.amendment is not None:
        fresh[files.amendment_path(options.amendment)] = done.amendment
    for path, text in fresh.items():
        print("\n".join(_changed(path, text)))
    print("\n".join(f"  {line}" for line in done.says))
    _tell_departures(_tried(catalogue.library, wish, done), f"{done.place}@{options.begins}")
    if fallen:
        _tell_fallen(fallen, writing=options.write)
    if not options.write:
        print("\nNothing was written. Add --write to write it.")
        return 0
    write_together(dict(fresh))
    for path in fresh:
        print(f"{shown_path(path)}: written.")
    print(f"The rule set is named '{done.place}@{options.begins}'.")
    return 0


def _decided(
    library: RuleLibrary, wish: Adopting, let_fall: list[str]
) -> tuple[Adopted, tuple[FallenRule, ...]]:
    """Return the register as it would be, and the rules it would lose that nobody decided on."""
    from datetime import date

    from msgspec.structs import replace

    from deckclause.upkeep.amending.adopt import adopted
    from deckclause.upkeep.amending.fallen import fallen_on

    done = adopted(library, wish)
    day = date.fromisoformat(wish.begins)
    fallen = fallen_on(_tried(library, wish, done), done.place, day)
    targets = list(dict.fromkeys(rule.target for rule in fallen))
    chosen = targets if "all" in let_fall else let_fall
    for name in chosen:
        if name not in targets:
            raise InputError.single(
                "--let-fall", f"'{name}' does not fall away here.{suggestion(name, targets)}"
            )
    if chosen:
        done = adopted(library, replace(wish, lets_fall=tuple(chosen)))
    return done, tuple(rule for rule in fallen if rule.target not in chosen)


def _tried(library: RuleLibrary, wish: Adopting, done: Adopted) -> RuleLibrary:
    """Return the rules as they would be. Raises InputError where the place could not be read."""
    from deckclause.rulesets.files import find_files
    from deckclause.rulesets.library import RuleLibrary

    trial = find_files(library.files.root)
    trial.contents[library.files.register_path] = done.register.encode()
    if done.amendment is not None:
        trial.contents[library.files.amendment_path(wish.amendment)] = done.amendment.encode()
    tried = RuleLibrary(trial)
    tried.ruleset(f"{done.place}@{wish.begins}")
    return tried


def _tell_departures(tried: RuleLibrary, name: str) -> None:
    """Print how far the place goes from a larger one that says how far it may."""
    from deckclause.upkeep.local_limits import departures

    found = departures(tried, name)
    if found:
        print("\nHOW FAR IT GOES FROM THE LARGER PLACE'S CODE")
    for departure in found:
        words = f"{departure} ({departure.larger} allows: {departure.local})"
        print("\n".join(wrap(words, terminal_width(), initial_indent="  ",
                             subsequent_indent="    ")))  # fmt: skip


def _tell_fallen(fallen: tuple[FallenRule, ...], *, writing: bool) -> None:
    """Print what falls away. Raises InputError where it is to be written and is not decided."""
    print("\nWHAT HOLDS NO LONGER FROM THAT DAY")
    for rule in fallen:
        print("\n".join(wrap(str(rule), terminal_width(), initial_indent="  ",
                             subsequent_indent="    ")))  # fmt: skip
    print("  Carry each into an amendment of the new edition (deckclause amend carry), or give it")
    print("  up knowingly: --let-fall RULE, or --let-fall all.")
    if writing:
        names = ", ".join(dict.fromkeys(rule.target for rule in fallen))
        raise InputError.single(
            "amend register",
            f"these rules would be lost: {names}. Nothing was written. Carry them first, or say "
            "--let-fall for each",
        )


def _changed(path: Path, text: str) -> list[str]:
    before = path.read_text(encoding="utf-8").splitlines() if path.is_file() else []
    name = shown_path(path)
    return list(unified_diff(before, text.splitlines(), name, name, lineterm="", n=1))
