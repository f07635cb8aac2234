"""Check every rule file: what is wrong, or likely to be, each check with a page in docs/lint.

Exit status: 0 no errors, 1 errors (with --strict: or warnings), 2 bad input.
"""

from __future__ import annotations

import argparse

from deckclause.cli.shared import add_rules_options, open_catalogue, terminal_width
from deckclause.rulesets.problems import InputError, suggestion


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
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
    from deckclause.compare.lint.context import LintContext
    from deckclause.compare.lint.finding import ERROR, LEVELS, WARNING
    from deckclause.compare.lint.run import CHECKS, run_checks

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
    checks = [c for c in CHECKS if not options.check or c.name in options.check]
    context = LintContext(open_catalogue(options).library)
    found = run_checks(context, checks)
    shown = LEVELS[: LEVELS.index(options.level) + 1] if not options.check else LEVELS
    print(_report([f for f in found if f.level in shown], checks, options.format))
    failing = (ERROR, WARNING) if options.strict else (ERROR,)
    return 1 if any(f.level in failing for f in found) else 0


def _report(found: list, checks: list, kind: str) -> str:  # type: ignore[type-arg]
    from deckclause.report.lint_sarif import lint_sarif
    from deckclause.report.lint_text import lint_json, lint_lines

    if kind == "json":
        return lint_json(found)
    if kind == "sarif":
        return lint_sarif(found, checks)
    return "\n".join(lint_lines(found, terminal_width()))
