"""Bring a request up to a changed design or changed rules, and say what that does to it."""

from __future__ import annotations

import argparse

from deckclause.cli.shared import open_catalogue
from deckclause.rulesets.write_file import write_whole


def refresh_step(options: argparse.Namespace) -> int:
    """Say what changes; write it where asked. Return 0. Raises InputError."""
    from deckclause.answers.request.refreshing import take_up
    from deckclause.report.request.refresh import refresh_request

    found = refresh_request(take_up(open_catalogue(options), options.file))
    told = (
        ("changed", found.changed),
        ("no longer asked", found.stale),
        ("new", found.new),
        ("look again at what you wrote here", found.look_again),
    )
    for head, lines in told:
        if lines:
            print(f"{head}:")
            print("\n".join(f"  {line}" for line in lines))
    print(f"{found.kept} answers kept")
    if not any(lines for _, lines in told):
        print("nothing has changed that bears on this request")
    if options.write:
        write_whole(options.file, found.text)
        print(f"wrote {options.file}")
    else:
        print("nothing is written; --write writes it")
    return 0
