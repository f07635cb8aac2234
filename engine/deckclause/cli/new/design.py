"""Write a starting design: a few lines, a form of every question, an interview, or an example's copy."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from deckclause.cli.shared import open_catalogue
from deckclause.evaluate.catalogue import Catalogue
from deckclause.report.design_template import design_form, questions_by_part, starting_file
from deckclause.rulesets.problems import InputError, suggestion
from deckclause.rulesets.read_file import read_bytes
from deckclause.rulesets.write_file import write_new


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("file", metavar="FILE", type=Path, nargs="?", help="where to write it")
    parser.add_argument("--name", default="", help="the design's name")
    way = parser.add_mutually_exclusive_group()
    way.add_argument(
        "--full", action="store_true", help="every question there is, as a form to fill in"
    )
    way.add_argument(
        "--part",
        action="append",
        default=[],
        metavar="PART",
        help="the questions of one part alone, as a form (stairs, fasteners); repeat for more",
    )
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
    elif options.full or options.part:
        parts = [_part_named(catalogue, part) for part in options.part]
        text = design_form(catalogue.vocabulary, name, parts)
    else:
        text = starting_file(catalogue.vocabulary, name, str(options.file or "FILE"))
    if options.file is None:
        print(text, end="")
        return 0
    write_new(options.file, text)
    print(f"wrote {options.file}, {len(text.splitlines())} lines; make them your deck's, then:")
    _tell_next(options.file)
    return 0


def _part_named(catalogue: Catalogue, part: str) -> str:
    """Return a part's name in the file. Raises InputError, with the parts there are."""
    known = list(questions_by_part(catalogue.vocabulary))
    name = part.strip().lower().replace(" ", "_")
    if name in known:
        return name
    if f"{name}s" in known:
        return f"{name}s"
    near = suggestion(name, known) or f" The parts: {', '.join(known)}."
    raise InputError.single("--part", f"'{part}' is no part of a design.{near}")


def _tell_next(file: Path) -> None:
    """Name the commands that follow, one a line."""
    told = {
        f"ask {file} --under irc-2021": "what else the rules ask, written into the file",
        f"choose {file} --under irc-2021": "sizes that comply, and what to buy",
        f"compare {file} --under irc-2021": "what each rule set says of the deck",
        "rules list": "the editions and the towns to put there (Town@2026-01-31)",
    }
    width = max(map(len, told))
    for command, words in told.items():
        print(f"  deckclause {command:<{width}}   {words}")


def _interview(catalogue: Catalogue, file: Path | None, name: str) -> int:
    from deckclause.cli.ask import typed_line
    from deckclause.cli.new.interview import Interview

    if file is None:
        raise InputError.single("FILE", "name the file to write the answers into")
    write_new(file, f"design: 1\nname: {json.dumps(name)}\n")
    answered = Interview(catalogue, file, typed_line, print).through()
    print(f"\nwrote {file}, {answered} answered. What was passed is chosen, or asked, later:")
    _tell_next(file)
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
