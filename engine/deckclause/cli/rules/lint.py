"""Check rule files: what is wrong, or likely to be, each check with a page in docs/lint.

Files, ids or places named narrow it to what concerns them: the ten gravest, and a count of the rest.

Exit status: 0 no errors, 1 errors (with --strict: or warnings), 2 bad input.
"""

from __future__ import annotations

import argparse
from contextlib import suppress
from typing import TYPE_CHECKING

from deckclause.cli.shared import add_rules_options, open_catalogue, terminal_width
from deckclause.rulesets.problems import InputError, suggestion

if TYPE_CHECKING:
    from deckclause.evaluate.catalogue import Catalogue
    from deckclause.upkeep.lint.finding import Check, LintFinding

MOST = 10
"""Findings shown of what concerns a file or place named."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument(
        "named",
        nargs="*",
        metavar="FILE",
        help="a rule file, or an edition, amendment or place by name (default: everything)",
    )
    parser.add_argument(
        "--for",
        dest="places",
        action="append",
        default=[],
        metavar="PLACE",
        help="what concerns it",
    )
    parser.add_argument("--all", action="store_true", help="show all that concerns what is named")
    parser.add_argument(
        "--check", action="append", default=[], metavar="NAME", help="only this check; repeat"
    )
    parser.add_argument(
        "--level",
        choices=["error", "warning", "note"],
        default="warning",
        help="the slightest level shown (default: warning)",
    )
    parser.add_argument("--strict", action="store_true", help="warnings count as errors too")
    parser.add_argument(
        "--format", choices=["text", "json", "sarif"], default="text", help="how to print"
    )
    parser.add_argument("--list", action="store_true", help="list the checks")
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command; return the exit status."""
    from deckclause.upkeep.lint.finding import ERROR, LEVELS, WARNING
    from deckclause.upkeep.lint.run import CHECKS

    if options.list:
        for check in CHECKS:
            print(f"{check.level:<8} {check.name}: {check.says}")
        return 0
    names = [check.name for check in CHECKS]
    for name in options.check:
        if name not in names:
            raise InputError.single(
                "--check", f"there is no check '{name}'.{suggestion(name, names)}"
            )
    levels = LEVELS[: LEVELS.index(options.level) + 1] if not options.check else LEVELS
    counted = {*levels, ERROR, WARNING}  # a check neither shown nor counted is not run
    checks = [c for c in CHECKS if c.name in options.check or not options.check]
    found, others = _findings(options, [c for c in checks if c.level in counted])
    shown = [f for f in found if f.level in levels]
    rest = sum(f.level in levels for f in others)
    print(_report(shown, checks, options, rest))
    failing = (ERROR, WARNING) if options.strict else (ERROR,)
    return 1 if any(f.level in failing for f in found) else 0


def _findings(
    options: argparse.Namespace, checks: list[Check]
) -> tuple[list[LintFinding], list[LintFinding]]:
    """Return what is to be shown, and what was found besides."""
    from pathlib import Path

    from deckclause.upkeep.lint.kept import Findings, kept_findings

    catalogue = open_catalogue(options)

    def find() -> Findings:
        found, others = _found(catalogue, options, checks)
        return tuple(found), tuple(others)

    asked = [f"{name} {Path(name).resolve()}" for name in options.named]
    asked += ["for", *options.places, "checks", *(c.name for c in checks)]
    found, others = kept_findings(catalogue.cache, catalogue.files, asked, find)
    return list(found), list(others)


def _found(
    catalogue: Catalogue, options: argparse.Namespace, checks: list[Check]
) -> tuple[list[LintFinding], list[LintFinding]]:
    from deckclause.upkeep.lint.kept_surveys import KeptSurveys

    library = catalogue.library
    kept, compiled = KeptSurveys(catalogue.cache), catalogue.evaluator
    if library.files.beneath is not None and not (options.named or options.places):
        from deckclause.upkeep.lint.focus import concerning, own_focus

        focus = own_focus(library)
        return concerning(library, focus, checks, narrow=False, kept=kept, compiled=compiled)
    if options.named or options.places:
        from deckclause.upkeep.lint.focus import concerning, focus_on

        with suppress(InputError):  # the checks say what is wrong with it
            library.take_register(catalogue.register)
        focus = focus_on(library, options.named, options.places)
        return concerning(library, focus, checks, kept=kept, compiled=compiled)
    from deckclause.upkeep.lint.context import LintContext
    from deckclause.upkeep.lint.run import run_checks

    return run_checks(LintContext(library, kept=kept, compiled=compiled), checks), []


def _report(
    found: list[LintFinding], checks: list[Check], options: argparse.Namespace, rest: int
) -> str:
    from deckclause.report.rule_sets.lint_sarif import lint_sarif
    from deckclause.report.rule_sets.lint_text import lint_json, lint_lines

    if options.format == "json":
        return lint_json(found)
    if options.format == "sarif":
        return lint_sarif(found, checks)
    if not (options.named or options.places or rest):
        return "\n".join(lint_lines(found, terminal_width()))
    if not (options.named or options.places):
        lines = list(lint_lines(found, terminal_width()))
        lines.append(f"{rest} more of the shipped rules beneath, not shown")
        return "\n".join(lines)
    short = found if options.all else found[:MOST]
    lines = list(lint_lines(short, terminal_width()))
    if len(found) > len(short):
        lines.append(f"{len(found) - len(short)} more concern what is named; --all shows them")
    lines.append(
        f"{rest} other finding{'' if rest == 1 else 's'} on the way not shown; `deckclause rules "
        "lint` without a name looks at every rule set"
    )
    return "\n".join(lines)
