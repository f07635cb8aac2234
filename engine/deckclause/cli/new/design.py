"""Write a commented starting design: the few values to begin with, the rest as open questions."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from deckclause.cli.shared import open_catalogue
from deckclause.evaluate.catalogue import Catalogue
from deckclause.report.design_template import design_template
from deckclause.rulesets.problems import InputError, suggestion
from deckclause.rulesets.read_file import read_bytes
from deckclause.rulesets.write_file import write_new


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("file", metavar="FILE", type=Path, nargs="?", help="where to write it")
    parser.add_argument("--name", default="", help="the design's name")
    way = parser.add_mutually_exclusive_group()
    way.add_argument("--full", action="store_true", help="ask everything, not the ledger alone")
    way.add_argument(
        "--ask",
        action="store_true",
        help="a short interview instead: a deck of one joist field, in the order of the work",
    )
    way.add_argument(
        "--from",
        dest="begun_from",
        metavar="EXAMPLE",
        help="begin from a shipped example (whole-deck-12x16), or from a file of yours",
    )


def run(options: argparse.Namespace) -> int:
    """Write the design, or print it where no file is named. Never overwrites."""
    catalogue = open_catalogue(options)
    name = options.name or (options.file.stem.replace("-", " ") if options.file else "a deck")
    if options.ask:
        return _interview(catalogue, options.file, name)
    if options.begun_from:
        text = begun_from(catalogue, options.begun_from, name)
    else:
        text = design_template(catalogue.vocabulary, name, full=options.full)
    if options.file is None:
        print(text, end="")
        return 0
    write_new(options.file, text)
    print(f"wrote {options.file}; fill in what you know, then:")
    print(f'  deckclause compare {options.file} --under irc-2021 --under "Town@2026-01-31"')
    print("  deckclause rules list    shows the editions and the towns")
    return 0


def _interview(catalogue: Catalogue, file: Path | None, name: str) -> int:
    from deckclause.cli.ask import typed_line
    from deckclause.cli.new.interview import Interview

    if file is None:
        raise InputError.single("FILE", "name the file to write the answers into")
    write_new(file, f"design: 1\nname: {json.dumps(name)}\n")
    answered = Interview(catalogue, file, typed_line, print).through()
    print(f"\nwrote {file}, {answered} answered. What was passed is chosen, or asked, later:")
    print(f"  deckclause choose {file} --under irc-2021    sizes that comply, and what to buy")
    print(f"  deckclause ask {file} --under irc-2021       what else the rules ask")
    print("  deckclause rules list                   the editions and the towns to put there")
    return 0


def begun_from(catalogue: Catalogue, example: str, name: str) -> str:
    """Return an example's text under another name. Raises InputError, with the examples there are."""
    folder = catalogue.files.found("examples")
    known = sorted(path.stem for path in folder.glob("*.yaml"))
    path = folder / f"{Path(example).stem}.yaml" if Path(example).stem in known else Path(example)
    if not path.is_file():
        near = suggestion(example, known) or f" The examples: {', '.join(known)}."
        raise InputError.single("--from", f"'{example}' is no example and no file.{near}")
    kept = (
        line for line in read_bytes(path).decode().splitlines(keepends=True) if not _heading(line)
    )
    return f"# begun from {path.name}\ndesign: 1\nname: {json.dumps(name)}\n{''.join(kept)}"


def _heading(line: str) -> bool:
    """Tell whether a line is of what the copy says anew: its version, its name, that it is made up."""
    return line.startswith(("design:", "name:", "invented:", "# yaml-language-server"))
