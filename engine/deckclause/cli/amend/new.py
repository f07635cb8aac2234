"""Write an amendment from a plain description. Without --ordinance and --adopted it is a draft.

The difference it makes is shown first. Nothing is written without --write, no file is overwritten.
"""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from deckclause.cli.amend.changes import add_change_options, described_changes
from deckclause.cli.amend.shared import (
    add_writing_options,
    check_date,
    default_id,
    preview,
    shown_path,
    tell_exceptions,
    tell_register,
)
from deckclause.cli.shared import open_catalogue
from deckclause.rulesets.problems import InputError, suggestion

if TYPE_CHECKING:
    from pathlib import Path

    from deckclause.evaluate.catalogue import Catalogue


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("--place", required=True, help="the jurisdiction")
    parser.add_argument("--edition", required=True, help="the rule set it amends")
    parser.add_argument("--id", default="", help="the amendment's id (default: place and year)")
    parser.add_argument("--ordinance", default="", help="the ordinance; without it, a draft")
    parser.add_argument(
        "--adopted", default="", metavar="DATE", help="the day, as 2025-03-01; without it, a draft"
    )
    parser.add_argument("--source", default="memory", help="a source of rules/sources.yaml")
    parser.add_argument(
        "--in-hand",
        action="store_true",
        help="the adopted ordinance is in your hands: it becomes a source, its figures confirmed",
    )
    add_change_options(parser)
    add_writing_options(parser, "write the new file")


def run(options: argparse.Namespace) -> int:
    """Run the command; return the exit status."""
    from deckclause.rulesets.write_file import write_new, write_together
    from deckclause.upkeep.amending.describe import AmendmentWriter, Description
    from deckclause.upkeep.amending.trial import amendment_path

    check_date("--adopted", options.adopted)
    if options.adopted and not options.ordinance:
        raise InputError.single("--adopted", "names the day of an ordinance; give --ordinance too")
    catalogue = open_catalogue(options)
    name = options.id or default_id(options.place, options.edition)
    catalogue, source, beside = _source(catalogue, options, name)
    standing = "confirmed" if _states_it_directly(catalogue, source) else "memory"
    description = Description(
        name,
        options.place,
        options.edition,
        options.ordinance,
        options.adopted,
        source,
        standing,
    )
    loaded = catalogue.library.load(options.edition)
    writer = AmendmentWriter(description, loaded, catalogue.vocabulary)
    text = writer.text(described_changes(options))
    preview(catalogue, name, text, options.edition)
    tell_exceptions(writer.exceptions, writing=options.write)
    path = amendment_path(catalogue.files, name)
    if not options.adopted:
        print("\nThis is a draft: nobody has adopted it, and it is in force nowhere.")
    if not options.write:
        undecided = any(held.undecided for held in writer.exceptions)
        print(
            "\nNothing was written, and --write will refuse until the exceptions above are struck "
            "or kept."
            if undecided
            else f"\nNothing was written. With --write it becomes {shown_path(path)}."
        )
        return 0
    path.parent.mkdir(exist_ok=True)
    write_new(path, text)
    write_together(dict(beside))
    print("".join(f"\n{shown_path(written)}: written." for written in (path, *beside)))
    tell_register(catalogue, options, name, options.place, options.ordinance)
    return 0


def _source(
    catalogue: Catalogue, options: argparse.Namespace, name: str
) -> tuple[Catalogue, str, dict[Path, str]]:
    """Return the source the figures name, the rules that know it, and what is written with it.

    With --in-hand it is the ordinance itself, made a source. Raises InputError.
    """
    if not options.in_hand:
        if options.source not in catalogue.vocabulary.sources:
            near = suggestion(options.source, catalogue.vocabulary.sources)
            raise InputError.single(
                "--source",
                f"there is no source '{options.source}'.{near} Add it with `deckclause sources add`, "
                "or give --in-hand where the adopted ordinance itself is in your hands",
            )
        return catalogue, options.source, {}
    if not (options.ordinance and options.adopted) or options.source != "memory":
        raise InputError.single(
            "--in-hand", "needs --ordinance and --adopted, and takes the place of --source"
        )
    from deckclause.evaluate.cache import Cache
    from deckclause.evaluate.catalogue import Catalogue
    from deckclause.rulesets.files import find_files
    from deckclause.upkeep.amending.new_source import ORDINANCE, NewSource, with_source

    source = NewSource(
        f"{name}-ordinance",
        f"{options.ordinance}, adopted {options.adopted}",
        ORDINANCE,
        "The figures of this ordinance, read in the ordinance itself.",
        "direct",
        publisher=options.place,
        year=options.adopted[:4],
    )
    beside = with_source(catalogue.files, source)
    files = find_files(catalogue.files.root)
    files.contents.update({path: text.encode() for path, text in beside.items()})
    return Catalogue(files, Cache(None)), source.name, beside


def _states_it_directly(catalogue: Catalogue, source: str) -> bool:
    """Tell whether a source is the place's own adopted law, so that its figures are confirmed."""
    from deckclause.upkeep.amending.new_source import ORDINANCE

    found = catalogue.vocabulary.sources[source]
    return found.kind == ORDINANCE and found.reach == "direct"
