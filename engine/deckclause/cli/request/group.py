"""Ask for relief: a guided file, a check of what it lacks, the documents, a fresh start on a change."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from deckclause.cli.request.build import build_step
from deckclause.cli.request.new import new_step
from deckclause.cli.request.refresh import refresh_step
from deckclause.cli.request.review import review_step
from deckclause.cli.shared import add_rules_options, open_catalogue

if TYPE_CHECKING:
    from deckclause.variance.request.check import Checked

INCOMPLETE = 1
OUTCOMES = ("approved", "approved with conditions", "more information", "denied", "withdrawn")
HELP = """\
kinds of relief (--kind)
  modification        one case: the letter of the code is impractical, its intent is kept
  alternative_method  another material, design or method, at least equivalent
  appeal              the official's decision is wrong; nothing is waived
  state_variance      from a state's code, on one of its grounds
  A zoning variance is another process and is refused. A place may take only some kinds.

forms (--form), the order the request is printed in
  plain            our own order, for every kind; taken where the place names none
  seven_parts      New York, 19 NYCRR 1205.4: state_variance, appeal
  four_statements  New Jersey, N.J.A.C. 5:23-2.10: modification, state_variance
  ten_items        University of Minnesota: modification, alternative_method

which relief (--relief, --keep-rows)
  deckclause relief DESIGN --under ... numbers the reliefs that would do, each on two scales,
  precedent and engineering. None is taken by itself: --relief N asks for one, --keep-rows for that
  which leaves everything as drawn; without either the command asks at a terminal and stops
  elsewhere. Some reliefs move a row of fasteners or take another size: the request then holds
  `with_changes`, the values in which the deck asked for differs from the design file, and
  everything is worked out and drawn with them. The design file stays as it is.

exit status
  0  nothing is missing (check); complete and built (build); written (new, refresh)
  1  fields are empty (check); built as a draft with empty fields (build)
  2  bad input, or something stands against the request: nothing is built
"""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the steps: new, check, build, refresh, review."""
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.epilog = HELP
    steps = parser.add_subparsers(dest="step", required=True, metavar="STEP")
    new = steps.add_parser("new", help="write a guided request for a failing design", epilog=HELP,
                           formatter_class=argparse.RawDescriptionHelpFormatter)  # fmt: skip
    new.add_argument("design", metavar="DESIGN", type=Path, help="the design file (YAML)")
    new.add_argument("--under", required=True, metavar="RULESET", help="Place@date or an edition")
    new.add_argument("--kind", default="", metavar="KIND", help="modification, alternative_method, appeal or state_variance")  # fmt: skip
    new.add_argument("--form", default="", metavar="FORM", help="plain, seven_parts, four_statements or ten_items")  # fmt: skip
    new.add_argument("--local", default="", metavar="PLACE", help="whose local settings hold")
    which = new.add_mutually_exclusive_group()
    which.add_argument("--relief", type=int, metavar="N", help="ask for the relief numbered N by deckclause relief")  # fmt: skip
    which.add_argument("--keep-rows", action="store_true", help="ask for relief of the design just as drawn: no row moves")  # fmt: skip
    new.add_argument("-o", "--output", metavar="FILE", type=Path, help="where to write it")
    check = steps.add_parser("check", help="list what a request lacks")
    check.add_argument("file", metavar="FILE", type=Path, help="the request file")
    build = steps.add_parser("build", help="write the request as Word, PDF and HTML")
    build.add_argument("file", metavar="FILE", type=Path, help="the request file")
    build.add_argument("-o", "--output", metavar="DIR", type=Path, required=True, help="the folder")
    build.add_argument(
        "--format", action="append", choices=["html", "pdf", "docx"], default=[],
        help="only this format; repeat for more",
    )  # fmt: skip
    build.add_argument(
        "--replace", action="store_true",
        help="replace files an earlier build wrote here, as long as nobody changed them since",
    )  # fmt: skip
    refresh = steps.add_parser(
        "refresh", help="take up the design and rules as they are now, and keep every answer"
    )
    refresh.add_argument("file", metavar="FILE", type=Path, help="the request file")
    refresh.add_argument("--write", action="store_true", help="write it; else only say what would change")  # fmt: skip
    review = steps.add_parser(
        "review", help="the office's view: worked out afresh, a draft decision"
    )
    review.add_argument("file", metavar="FILE", type=Path, help="the request file")
    review.add_argument(
        "--log", metavar="FILE", type=Path, help="write the decision to the office's log"
    )
    review.add_argument("--decide", default="", choices=["", *OUTCOMES], metavar="OUTCOME", help="how it was decided: approved, approved with conditions, more information, denied, withdrawn")  # fmt: skip
    review.add_argument("--format", choices=["text", "json"], default="text", help="how to print")
    review.add_argument("--reasons", default="", metavar="TEXT", help="the official's reasons")
    review.add_argument("--may-be-cited", action="store_true", help="later requests may cite it; its parties agree")  # fmt: skip
    for step in (new, check, build, refresh, review):
        add_rules_options(step)


def run(options: argparse.Namespace) -> int:
    """Run one step; return its exit status."""
    steps = {
        "new": new_step,
        "check": _check,
        "build": build_step,
        "refresh": refresh_step,
        "review": review_step,
    }
    return steps[options.step](options)


def _check(options: argparse.Namespace) -> int:
    from deckclause.variance.request.build import read_request
    from deckclause.variance.request.check import check_request

    checked = check_request(read_request(open_catalogue(options), options.file))
    _say(checked)
    return 0 if checked.is_complete else INCOMPLETE


def _say(checked: Checked) -> None:
    for words in checked.against:
        print(f"stands against it: {words}")
    if checked.missing:
        print(f"{len(checked.missing)} fields are empty:")
    for lack in checked.missing:
        print(f"  {lack.where}: {lack.asks} ({lack.wanted_by})")
    for words in checked.differs:
        print(f"differs: {words}")
    for comment in checked.comments:
        print(comment)
    if checked.unsaid:
        print(
            f"note: {checked.unsaid} changes that would avoid relief stand without a word on why they "
            "are not made (why_not)"
        )
    for note in checked.notes:
        print(f"note: {note}")
    if checked.is_complete:
        print("Nothing is missing. The official decides; this is a draft, not an approval.")
