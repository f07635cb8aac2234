"""Print what lets a shell complete commands, options, files and rule sets.

bash: deckclause completion bash > ~/.local/share/bash-completion/completions/deckclause
zsh: deckclause completion zsh > a folder of $fpath, as _deckclause
fish: deckclause completion fish > ~/.config/fish/completions/deckclause.fish
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from typing import Any

from deckclause.cli.progress import needing_extra
from deckclause.cli.shared import ALL_EDITIONS, ALL_GUIDES, add_rules_options, open_catalogue

SHELLS = ("bash", "zsh", "fish")
RULE_SETS = ("--under", "--between", "--from", "--to")
"""Options that take the name of a rule set."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("shell", choices=SHELLS, help="the shell it is for")
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Print the shell's script. Needs shtab (the `completion` extra)."""
    catalogue = open_catalogue(options)
    with needing_extra("completion"):
        shtab: Any = import_module("shtab")
    parser = whole_parser()
    names = [ALL_EDITIONS, ALL_GUIDES, *catalogue.files.rulesets]
    for action in _actions(parser):
        if action.type is Path and action.metavar == "FOLDER":
            action.complete = shtab.DIRECTORY  # type: ignore[attr-defined]
        elif action.type is Path:
            action.complete = shtab.FILE  # type: ignore[attr-defined]
        elif set(action.option_strings) & {*RULE_SETS}:
            action.choices = names
    print(shtab.complete(parser, shell=options.shell))
    return 0


def whole_parser() -> argparse.ArgumentParser:
    """Return one parser of every command and option, for those who need to know all of them."""
    from deckclause.cli.main import COMMANDS

    parser = argparse.ArgumentParser(prog="deckclause", description="", allow_abbrev=False)
    parser.add_argument("--version", action="store_true", help="the version and the rules' digests")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND")
    for name, (module_name, says) in COMMANDS.items():
        module = import_module(f"deckclause.cli.{module_name}")
        module.arguments(commands.add_parser(name, help=says, description=says, allow_abbrev=False))
    return parser


def _actions(parser: argparse.ArgumentParser) -> Iterator[argparse.Action]:
    """Yield every action of a parser and of those beneath it."""
    for action in parser._actions:
        yield action
        if isinstance(action, argparse._SubParsersAction):
            for inner in dict.fromkeys(action.choices.values()):
                yield from _actions(inner)
