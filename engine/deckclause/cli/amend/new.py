"""Write an amendment from a plain description. Without --ordinance and --adopted it is a draft.

The difference it makes is shown first. Nothing is written without --write, no file is overwritten.
"""

from __future__ import annotations

import argparse

from deckclause.cli.amend.changes import add_change_options, described_changes
from deckclause.cli.amend.shared import (
    add_writing_options,
    check_date,
    preview,
    shown_path,
    tell_exceptions,
    tell_register,
)
from deckclause.cli.amend.source import add_source_options, figures_source, states_it_directly
from deckclause.cli.shared import open_catalogue
from deckclause.rulesets.problems import InputError


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("--place", required=True, help="the jurisdiction")
    parser.add_argument("--edition", required=True, help="the rule set it amends")
    parser.add_argument("--id", default="", help="the amendment's id (default: place and year)")
    parser.add_argument("--ordinance", default="", help="the ordinance; without it, a draft")
    parser.add_argument(
        "--adopted", default="", metavar="DATE", help="the day, as 2025-03-01; without it, a draft"
    )
    add_source_options(parser, "memory")
    add_change_options(parser)
    add_writing_options(parser, "write the new file")


def run(options: argparse.Namespace) -> int:
    """Run the command; return the exit status."""
    from deckclause.rulesets.write_file import write_new, write_together
    from deckclause.upkeep.amending.describe import AmendmentWriter, Description, default_id
    from deckclause.upkeep.amending.trial import amendment_path

    check_date("--adopted", options.adopted)
    if options.adopted and not options.ordinance:
        raise InputError.single("--adopted", "names the day of an ordinance; give --ordinance too")
    catalogue = open_catalogue(options)
    name = options.id or default_id(options.place, options.edition)
    catalogue, source, beside = figures_source(catalogue, options, name, options.place)
    standing = "confirmed" if states_it_directly(catalogue, source) else "memory"
    description = Description(
        name,
        options.place,
        options.edition,
        options.ordinance,
        options.adopted,
        source,
        standing,
    )
    if options.edition not in catalogue.files.rulesets:
        catalogue.library.load(options.edition)  # says what is wrong with it
    loaded = catalogue.library.beneath_draft(options.place, options.edition)
    writer = AmendmentWriter(description, loaded, catalogue.vocabulary)
    text = writer.text(described_changes(options))
    preview(catalogue, name, text, loaded)
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
