"""Write a new request for relief, and say which relief it asks for."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from deckclause.cli.shared import (
    open_catalogue,
    refuse_existing,
    tell_real_places,
    write_new_file,
)
from deckclause.rulesets.problems import InputError, suggestion

if TYPE_CHECKING:
    from deckclause.answers.request.new import NewRequest
    from deckclause.rulesets.relief import LocalSettings, ReliefKind, ReliefRules
    from deckclause.variance.relief import Choice, ReliefReport

DEFAULT_KIND = "modification"
DEFAULT_FORM = "plain"


def new_step(options: argparse.Namespace) -> int:
    """Write a new request; return the exit status. Raises InputError."""
    from deckclause.answers.request.new import new_request
    from deckclause.report.request.template import request_template
    from deckclause.rulesets.relief import read_relief
    from deckclause.variance.relief import relief_report

    refuse_existing(options.output)
    catalogue = open_catalogue(options)
    rules = read_relief(catalogue.files, catalogue.vocabulary)
    local = _local(rules, options.local, options.under)
    kind = _kind(rules, options.kind, local)
    name = options.form or (local.form if local is not None else DEFAULT_FORM)
    if name not in rules.forms:
        raise InputError.single(
            "--form", f"'{name}' is no form here.{suggestion(name, rules.forms)}"
        )
    form = rules.forms[name]
    if kind.name not in form.kinds:
        serve = ", ".join(f.name for f in rules.forms.values() if kind.name in f.kinds)
        raise InputError.single(
            "--form", f"{name} does not serve for {kind.name}; these do: {serve}"
        )
    tell_real_places(catalogue, [options.under])
    report = relief_report(catalogue, catalogue.design(options.design), options.under)
    folder = options.output.parent if options.output else Path()
    design = _relative(options.design, folder)
    choice = _choice(report, options, design)
    new = new_request(report, kind, form, local, design, choice)
    text = request_template(new)
    if options.output is None:
        print(text, end="")
    else:
        write_new_file(options.output, text.encode())
        print(f"fill it in, then: deckclause request check {options.output}", file=sys.stderr)
    for line in _taken(new):
        print(line, file=sys.stderr)
    return 0


def _choice(report: ReliefReport, options: argparse.Namespace, design: str) -> Choice:
    """Return the relief named, or the one the user picks where someone can be asked."""
    from deckclause.answers.request.new import must_choose

    must_choose(report, design)
    if options.keep_rows:
        if report.as_drawn is None:
            raise InputError.single("--keep-rows", f"{design} {_why_not_as_drawn(report)}")
        return report.as_drawn
    number = options.relief if options.relief is not None else _ask(report)
    chosen = report.choice(number)
    if chosen is None:
        known = ", ".join(str(c.number) for c in report.choices)
        raise InputError.single(
            "--relief", f"there is no relief {number}; deckclause relief numbers: {known}"
        )
    return chosen


def _why_not_as_drawn(report: ReliefReport) -> str:
    if not report.relief.stands_as_drawn:
        return "cannot stand as drawn: a row does not pass through both boards, and no relief changes that"
    told = "; ".join(n.reason for n in report.not_offered)
    return f"gets no relief just as drawn{f': {told}' if told else ''}"


def _ask(report: ReliefReport) -> int:
    """Show the reliefs and ask for a number; InputError where nobody is there to answer."""
    from deckclause.answers.relief.choices import choices_found
    from deckclause.report.relief.choice import choice_lines

    shown = "\n".join("\n".join(choice_lines(c)) for c in choices_found(report))
    if not sys.stdin.isatty():
        raise InputError.single(
            "--relief", f"say which relief is asked for; none is taken by itself.\n{shown}"
        )
    print(shown, file=sys.stderr)
    print("Which relief is asked for? Number: ", end="", file=sys.stderr, flush=True)
    answer = sys.stdin.readline().strip()
    if not answer.isdigit():
        raise InputError.single("--relief", f"'{answer}' is no number of a relief")
    return int(answer)


def _taken(new: NewRequest) -> Iterator[str]:
    """Say which relief was taken, what it moves, and how to take another."""
    from deckclause.report.relief.choice import choice_lines

    yield "asks for " + "\n".join(choice_lines(new.choice))
    others = [str(c.number) for c in new.others]
    if others:
        drawn = "; --keep-rows asks for the design just as drawn" if new.choice.moves else ""
        yield (
            f"others would do too: --relief {' or '.join(others)} (they stand as comments in the "
            f"file{drawn})"
        )


def _relative(path: Path, folder: Path) -> str:
    import os

    try:
        return Path(os.path.relpath(path.resolve(), folder.resolve())).as_posix()
    except ValueError:
        return str(path.resolve())


def _local(rules: ReliefRules, named: str, under: str) -> LocalSettings | None:
    name = named or under.partition("@")[0]
    found = rules.of_place(name)
    if found is None and named:
        raise InputError.single(
            "--local", f"there are no settings for '{named}'.{suggestion(named, rules.local)}"
        )
    return found


def _kind(rules: ReliefRules, named: str, local: LocalSettings | None) -> ReliefKind:
    other = rules.other_process(named)
    if other is not None:
        raise InputError.single("--kind", f"{other.title}: {other.says}")
    name = named or (local.kinds[0] if local is not None else DEFAULT_KIND)
    if name not in rules.kinds:
        raise InputError.single(
            "--kind", f"'{name}' is no kind here.{suggestion(name, rules.kinds)}"
        )
    return rules.kinds[name]
