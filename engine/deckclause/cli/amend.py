"""Write an amendment from a plain description, or carry one to another edition.

Both show the difference it makes, and what it changes for the example designs, before anything is
saved. Nothing is written without --write, and no file is ever overwritten.
"""

from __future__ import annotations

import argparse
import re
from datetime import date

from deckclause.cli.shared import add_rules_options, open_catalogue, terminal_width
from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.problems import InputError


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add a parser for each way to amend."""
    ways = parser.add_subparsers(dest="way", required=True, metavar="WAY")
    new = ways.add_parser("new", help="from a plain description", allow_abbrev=False)
    new.add_argument("--place", required=True, help="the jurisdiction")
    new.add_argument("--edition", required=True, help="the rule set it amends")
    new.add_argument("--clause", default="", metavar="KEY", help="the clause, by its key")
    new.add_argument("--section", default="", help="or by the section it stands in")
    for word in ("at-least", "at-most", "exactly"):
        new.add_argument(f"--{word}", metavar="FIGURE", help=f"the clause now asks {word}")
    new.add_argument("--strike", action="store_true", help="the clause is struck")
    new.add_argument(
        "--set",
        action="append",
        default=[],
        metavar="QUANTITY=VALUE",
        help="a value the place fixes",
    )
    new.add_argument("--says", default="", help="the change in a line of your own words")
    new.add_argument("--ordinance-section", default="", help="where in the ordinance it stands")
    new.add_argument("--source", default="memory", help="a source of rules/sources.yaml")
    rebase = ways.add_parser("rebase", help="to another edition", allow_abbrev=False)
    rebase.add_argument("amendment", metavar="AMENDMENT", help="the amendment's id")
    rebase.add_argument("edition", metavar="NEW_EDITION", help="the edition it is carried to")
    for way in (new, rebase):
        way.add_argument(
            "--id", default="", help="the new amendment's id (default: place and year)"
        )
        way.add_argument("--ordinance", default="", help="the ordinance")
        way.add_argument("--adopted", default="", metavar="DATE", help="the day, as 2025-03-01")
        way.add_argument("--write", action="store_true", help="write the new file")
        add_rules_options(way)


def run(options: argparse.Namespace) -> int:
    """Run the command; 1 where a change could not be carried."""
    if options.adopted:
        try:
            date.fromisoformat(options.adopted)
        except ValueError:
            raise InputError.single(
                "--adopted", f"'{options.adopted}' is not a date; write it as 2025-03-01"
            ) from None
    catalogue = open_catalogue(options)
    return _new(catalogue, options) if options.way == "new" else _rebase(catalogue, options)


def _new(catalogue: Catalogue, options: argparse.Namespace) -> int:
    from deckclause.compare.amending.describe import Description, amendment_text

    missing = [f"--{n}" for n in ("ordinance", "adopted") if not getattr(options, n)]
    if missing:
        raise InputError.single("amend new", f"{' and '.join(missing)} must be given")
    bounds = {
        word: getattr(options, word)
        for word in ("at_least", "at_most", "exactly")
        if getattr(options, word)
    }
    settings = dict(_setting(text) for text in options.set)
    name = options.id or _id(options.place, options.edition)
    description = Description(
        name, options.place, options.edition, options.ordinance, options.adopted, options.says,
        options.clause, options.section, options.ordinance_section, options.strike, bounds,
        settings, options.source,
    )  # fmt: skip
    loaded = catalogue.library.load(options.edition)
    text = amendment_text(description, loaded, catalogue.vocabulary)
    _show_and_save(catalogue, options, name, text)
    return 0


def _rebase(catalogue: Catalogue, options: argparse.Namespace) -> int:
    from deckclause.compare.amending.rebase import NOT_CARRIED, rebased
    from deckclause.rulesets.layering import read_amendment_tree

    place = read_amendment_tree(catalogue.files, options.amendment).data["place"]
    name = options.id or _id(place, options.edition)
    if options.write and not (options.ordinance and options.adopted):
        raise InputError.single(
            "amend rebase",
            "--ordinance and --adopted of the new adoption must be given to write it",
        )
    text, outcomes = rebased(
        catalogue.library,
        options.amendment,
        options.edition,
        name,
        options.ordinance,
        options.adopted,
    )
    print("WHAT IS CARRIED")
    for outcome in outcomes:
        print(f"  {outcome.outcome}: {outcome.kind} {outcome.target}: {outcome.why}")
    print()
    if all(outcome.outcome == NOT_CARRIED for outcome in outcomes):
        print("Nothing could be carried; there is no amendment to write.")
        return 1
    _show_and_save(catalogue, options, name, text)
    return 1 if any(outcome.outcome == NOT_CARRIED for outcome in outcomes) else 0


def _show_and_save(catalogue: Catalogue, options: argparse.Namespace, name: str, text: str) -> None:
    from deckclause.compare.amending.trial import amendment_path, flips, try_out
    from deckclause.report.rule_diff_text import rule_diff_text
    from deckclause.rulesets.write_file import write_new

    trial = try_out(catalogue, name, text, options.edition)
    print(text)
    print(rule_diff_text(trial.difference, catalogue.vocabulary, terminal_width()))
    print("\nWHAT IT CHANGES FOR THE EXAMPLE DESIGNS")
    examples = sorted((catalogue.files.root / "examples").glob("*.yaml"))
    found = list(flips(catalogue, trial, [catalogue.design(path) for path in examples]))
    for flip in found:
        title = catalogue.vocabulary.topics[flip.topic].title
        print(f"  {flip.design}: {title}: {flip.before}, then {flip.after}")
    if not found:
        print("  no outcome of any of them")
    path = amendment_path(catalogue.files, name)
    if options.write:
        path.parent.mkdir(exist_ok=True)
        write_new(path, text)
        print(f"\n{catalogue.files.name(path)}: written. Put it in force in register.yaml.")
    else:
        print(f"\nNothing was written. With --write it becomes {catalogue.files.name(path)}.")


def _setting(text: str) -> tuple[str, str]:
    name, equals, value = text.partition("=")
    if not equals or not value.strip():
        raise InputError.single("--set", f"'{text}' is not QUANTITY=VALUE")
    return name.strip(), value.strip()


def _id(place: str, edition: str) -> str:
    words = re.sub(r"[^a-z0-9]+", "-", place.casefold()).strip("-")
    return f"{words}-{edition.rsplit('-', 1)[-1]}"
