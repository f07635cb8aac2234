"""Review a request as the office: afresh, with a draft decision; keep a log of what was decided."""

from __future__ import annotations

import argparse
import sys
from datetime import date
from pathlib import Path

from msgspec.structs import replace

from deckclause.cli.shared import open_catalogue
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.write_file import write_whole

HEAD = "# The office's decisions, one entry each; no names. Only what may be cited is cited.\ndecisions:\n"


def review_step(options: argparse.Namespace) -> int:
    """Print the review, or write a decision to the log. Return 0, or 1 where it cannot be decided yet."""
    from deckclause.answers.request.review import review_request
    from deckclause.report.request.review_text import review_lines
    from deckclause.variance.request.build import read_request

    if bool(options.log) != bool(options.decide):
        raise InputError.single(
            "--log", "a decision is logged with both --log FILE and --decide OUTCOME"
        )
    review = review_request(read_request(open_catalogue(options), options.file), date.today())
    if options.format == "json":
        import json

        from deckclause.answers.data import plain_data

        print(json.dumps(plain_data(review), indent=1, ensure_ascii=False))
    else:
        print("\n".join(review_lines(review)))
    if options.log:
        _log(options, review.drafts)
    return 0 if review.can_be_decided else 1


def _log(options: argparse.Namespace, drafts: tuple[object, ...]) -> None:
    from deckclause.variance.request.decisions import (
        Decision,
        entry_text,
        parse_decisions,
        read_decisions,
    )

    path: Path = options.log
    entries = "".join(
        entry_text(
            replace(
                d,
                outcome=options.decide,
                reasons=options.reasons,
                may_be_cited=options.may_be_cited,
            )
        )
        for d in drafts
        if isinstance(d, Decision)
    )
    if path.exists():
        read_decisions(path)  # what is no log is not written to
        before = path.read_text(encoding="utf-8").rstrip("\n") + "\n"
    else:
        before = HEAD
    log = before + entries
    parse_decisions(log.encode(), path)  # what could not be read again is never put in place
    write_whole(path, log)
    print(f"wrote {len(drafts)} to {path}", file=sys.stderr)
