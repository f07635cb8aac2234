"""Put an amendment in force: enter it in register.yaml, from a day on.

An adoption of the place that has no end is ended on that day. The lines are shown first; nothing
is written without --write.
"""

from __future__ import annotations

import argparse
from difflib import unified_diff
from pathlib import Path

from deckclause.cli.amend.shared import add_writing_options, check_date, shown_path
from deckclause.cli.shared import open_catalogue


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
    add_writing_options(parser, "write the register (and the draft's ordinance and date)")


def run(options: argparse.Namespace) -> int:
    """Run the command; return the exit status."""
    from deckclause.rulesets.files import find_files
    from deckclause.rulesets.library import RuleLibrary
    from deckclause.rulesets.write_file import write_together
    from deckclause.upkeep.amending.adopt import Adopting, adopted

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
    done = adopted(catalogue.library, wish)
    fresh = {files.register_path: done.register}
    if done.amendment is not None:
        fresh[files.amendment_path(options.amendment)] = done.amendment
    trial = find_files(files.root)
    trial.contents.update({path: text.encode() for path, text in fresh.items()})
    RuleLibrary(trial).ruleset(f"{done.place}@{options.begins}")
    for path, text in fresh.items():
        print("\n".join(_changed(path, text)))
    print("\n".join(f"  {line}" for line in done.says))
    if not options.write:
        print("\nNothing was written. Add --write to write it.")
        return 0
    write_together(dict(fresh))
    for path in fresh:
        print(f"{shown_path(path)}: written.")
    print(f"The rule set is named '{done.place}@{options.begins}'.")
    return 0


def _changed(path: Path, text: str) -> list[str]:
    before = path.read_text(encoding="utf-8").splitlines() if path.is_file() else []
    name = shown_path(path)
    return list(unified_diff(before, text.splitlines(), name, name, lineterm="", n=1))
