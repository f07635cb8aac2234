"""Options several commands share."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.files import NO_RULES, is_rules_folder
from deckclause.rulesets.problems import InputError

ALL_EDITIONS = "all-editions"
ALL_GUIDES = "all-guides"
USUAL, NARROWEST = 100, 40
"""Characters a line has where nothing tells, and at the least."""
MOST_DIGITS = 7
"""Of a width that is believed."""


def add_rules_options(parser: argparse.ArgumentParser) -> None:
    """Add the options that say which rules folder is read."""
    parser.add_argument("--rules", metavar="FOLDER", type=Path, help="a rules folder of your own")
    parser.add_argument("--no-cache", action="store_true", help="read the YAML afresh")


def open_catalogue(options: argparse.Namespace) -> Catalogue:
    """Open the rules folder the options name."""
    root = options.rules
    if root is not None and not is_rules_folder(root):
        raise InputError.single(str(root), NO_RULES)
    return Catalogue.open(root, cached=not options.no_cache)


def date_option(option: str, text: str) -> date:
    """Read the date an option gives. Raises InputError where it is none."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise InputError.single(option, f"'{text}' is not a date; write it as 2025-03-01") from None


def tell_real_places(catalogue: Catalogue, names: Sequence[str]) -> None:
    """Say, beside an answer, of each real place asked that its law is held only as far as read."""
    cautions = (catalogue.register.caution(name) for name in names if "@" in name)
    for words in dict.fromkeys(filter(None, cautions)):
        print(words, file=sys.stderr)


def rule_set_names(catalogue: Catalogue, given: list[str]) -> list[str]:
    """Spell out the rule sets asked for: ids, `Place@date`, all-editions, all-guides, many places."""
    from deckclause.cli.many_places import places_meant

    names: list[str] = []
    for name in given:
        if name == ALL_EDITIONS:
            names += catalogue.files.of_kind("editions")
        elif name == ALL_GUIDES:
            names += catalogue.files.of_kind("guides")
        elif (places := places_meant(catalogue, name)) is not None:
            names += places
        else:
            meaning = catalogue.resolve(name)
            if isinstance(meaning, str):
                names.append(meaning)
            elif "@" in name:
                names += catalogue.register.ways(name)  # all codes that may be used that day
            else:
                names.append(meaning.label)
    return list(dict.fromkeys(names))


def terminal_width() -> int:
    """Return the width to fit output to, in characters: the terminal's, else COLUMNS, else 100.

    No table reads in fewer than 40; a terminal narrower than that wraps it.
    """
    try:
        columns = os.get_terminal_size(sys.stdout.fileno()).columns
    except (OSError, ValueError, AttributeError):
        columns = 0
    if columns <= 0:
        told = os.environ.get("COLUMNS", "").strip()
        columns = int(told) if told.isdecimal() and len(told) < MOST_DIGITS else 0
    return max(columns, NARROWEST) if columns > 0 else USUAL


def show(text: str, output: Path | None) -> None:
    """Print text, or write it to a new file. Raises InputError where the file stands there."""
    if output is None:
        print(text)
    else:
        write_new_file(output, f"{text}\n".encode())


def write_new_file(output: Path, content: bytes) -> None:
    """Write a new file and say so. Raises InputError where it stands there or cannot be written."""
    from deckclause.rulesets.write_file import write_new

    write_new(output, content)
    print(f"wrote {output}", file=sys.stderr)


def refuse_existing(output: Path | None) -> None:
    """Raise InputError where a file already stands there: nothing is overwritten."""
    if output is not None:
        from deckclause.rulesets import write_file

        write_file.refuse_existing(output)
