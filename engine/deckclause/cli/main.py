"""The command line's entry: choose the command, import only what it needs."""

from __future__ import annotations

import argparse
import gc
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import NoReturn

from deckclause.cli.exits import BAD_INPUT, leave_with, say_problems
from deckclause.cli.waiting import waiting
from deckclause.rulesets.problems import InputError

OBJECTS_BEFORE_COLLECTING = 100_000
"""A command is short, and most of what it makes it keeps to its end."""

COMMANDS: dict[str, tuple[str, str]] = {
    "compare": ("compare", "compare what several rule sets ask of one design"),
    "choose": (
        "choose",
        "choose sizes that comply under every rule set asked, and list what to buy",
    ),
    "ask": (
        "ask",
        "ask what is not known of a deck, one by one, and write the answers into its file",
    ),
    "place": (
        "place.group",
        "where fasteners may go, how far the deck may step down, layouts, drawings",
    ),
    "relief": ("relief", "say what would make a failing design comply, and the least relief"),
    "diff": ("diff", "what one rule set changes of another"),
    "basis": ("basis", "show the calculation beside a cell of a table, and count what it meets"),
    "where": ("where", "where rule sets part on a topic, region by region"),
    "page": ("page", "work on a design on a local web page"),
    "request": ("request.group", "draft a request for relief: new, check, build"),
    "amend": ("amend.group", "write an amendment, or carry one to another edition"),
    "rules": ("rules.group", "list, show and check the rule sets"),
    "init": ("init", "lay out a place's own rules folder, over the shipped rules"),
    "sources": ("sources.group", "add a published source that figures rest on"),
    "impact": ("impact.group", "say what a change of rule set does to an archive of designs"),
    "new": ("new.group", "write a commented starting file"),
    "completion": ("completion", "let a shell complete commands, options and rule sets"),
}


def entry() -> NoReturn:
    """Run the command of this process; end the process, whatever happens, with a true status."""
    leave_with(run)


def run(arguments: Sequence[str] | None = None) -> int:
    """Run a command; return its exit status (0, 1, 2 bad input, 3 undecided)."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    try:
        return _run(given)
    except InputError as fault:
        return say_problems(fault)


def _run(given: list[str]) -> int:
    if given[:1] == ["help"]:
        given = [*given[1:], "--help"]
    if not given or given[0] in ("-h", "--help"):
        print(_help())
        return 0
    if given[0] == "--version":
        from deckclause.cli.version import version_lines

        print("\n".join(version_lines()))
        return 0
    if given[0] not in COMMANDS:
        from deckclause.rulesets.problems import suggestion

        print(
            f"deckclause: no command '{given[0]}'.{suggestion(given[0], COMMANDS)}", file=sys.stderr
        )
        return BAD_INPUT
    gc.set_threshold(OBJECTS_BEFORE_COLLECTING)
    module = import_module(f"deckclause.cli.{COMMANDS[given[0]][0]}")
    parser = argparse.ArgumentParser(
        prog=f"deckclause {given[0]}", description=module.__doc__, allow_abbrev=False
    )
    module.arguments(parser)
    options = parser.parse_args(getattr(module, "arranged", list)(given[1:]))
    with waiting(given):
        status: int = module.run(options)
    return status


def _help() -> str:
    width = max(map(len, COMMANDS))
    lines = [
        "deckclause: compare what each edition of the residential code, and each town's",
        "amendment, asks of one wood deck.",
        "",
        "usage: deckclause COMMAND [options]     (deckclause help COMMAND tells more)",
        "",
        *(f"  {name:<{width}}  {says}" for name, (_, says) in COMMANDS.items()),
        "",
        "exit status: 0 complies everywhere asked, 1 something does not, 2 bad input,",
        "3 not decided (not known, or engineering required); 70 a fault of deckclause",
        "itself, 74 the output could not be written, 130 interrupted, 141 nobody read the output.",
        "",
        "Not an engineered design and not an approval: local code, the building official and",
        "licensed practice decide.",
    ]
    return "\n".join(lines)


if __name__ == "__main__":
    entry()
