"""Draft a request for relief: a guided file, a check of what it lacks, the documents themselves."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from deckclause.cli.shared import (
    add_rules_options,
    open_catalogue,
    refuse_existing,
    write_new_file,
)
from deckclause.rulesets.problems import InputError, suggestion

if TYPE_CHECKING:
    from deckclause.rulesets.relief import LocalSettings, ReliefKind, ReliefRules
    from deckclause.variance.request_check import Checked

DEFAULT_KIND = "modification"
DEFAULT_FORM = "plain"
INCOMPLETE = 1


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the three steps: new, check, build."""
    steps = parser.add_subparsers(dest="step", required=True, metavar="STEP")
    new = steps.add_parser("new", help="write a guided request for a failing design")
    new.add_argument("design", metavar="DESIGN", type=Path, help="the design file (YAML)")
    new.add_argument("--under", required=True, metavar="RULESET", help="Place@date or an edition")
    new.add_argument("--kind", default="", metavar="KIND", help="modification, alternative_method, appeal or state_variance")  # fmt: skip
    new.add_argument("--form", default="", metavar="FORM", help="plain, seven_parts, four_statements or ten_items")  # fmt: skip
    new.add_argument("--local", default="", metavar="PLACE", help="whose local settings hold")
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
    for step in (new, check, build):
        add_rules_options(step)


def run(options: argparse.Namespace) -> int:
    """Run one step; return its exit status."""
    return {"new": _new, "check": _check, "build": _build}[options.step](options)


def _new(options: argparse.Namespace) -> int:
    from deckclause.report.request_template import request_template
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
    report = relief_report(catalogue, catalogue.design(options.design), options.under)
    folder = options.output.parent if options.output else Path()
    design = _relative(options.design, folder)
    text = request_template(report, kind, form, local, design)
    if options.output is None:
        print(text, end="")
    else:
        write_new_file(options.output, text.encode())
        print(f"fill it in, then: deckclause request check {options.output}", file=sys.stderr)
    return 0


def _relative(path: Path, folder: Path) -> str:
    import os

    try:
        return Path(os.path.relpath(path.resolve(), folder.resolve())).as_posix()
    except ValueError:
        return str(path.resolve())


def _local(rules: ReliefRules, named: str, under: str) -> LocalSettings | None:
    name = named or under.partition("@")[0]
    found = next((s for p, s in rules.local.items() if p.casefold() == name.casefold()), None)
    if found is None and named:
        raise InputError.single(
            "--local", f"there are no settings for '{named}'.{suggestion(named, rules.local)}"
        )
    return found


def _kind(rules: ReliefRules, named: str, local: LocalSettings | None) -> ReliefKind:
    plain = named.replace("_", " ").lower()
    for other in rules.other_processes.values():
        if named == other.name or any(plain and word in plain for word in other.words):
            raise InputError.single("--kind", f"{other.title}: {other.says}")
    name = named or (local.kinds[0] if local is not None else DEFAULT_KIND)
    if name not in rules.kinds:
        raise InputError.single(
            "--kind", f"'{name}' is no kind here.{suggestion(name, rules.kinds)}"
        )
    return rules.kinds[name]


def _check(options: argparse.Namespace) -> int:
    from deckclause.variance.request import read_request
    from deckclause.variance.request_check import check_request

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
    for note in checked.notes:
        print(f"note: {note}")
    if checked.is_complete:
        print("Nothing is missing. The official decides; this is a draft, not an approval.")


def _build(options: argparse.Namespace) -> int:
    from deckclause.report.request_document import request_document, request_drawings
    from deckclause.report.write_document import document_bytes
    from deckclause.variance.request import read_request
    from deckclause.variance.request_check import check_request

    catalogue = open_catalogue(options)
    request = read_request(catalogue, options.file)
    checked = check_request(request)
    if checked.against:
        raise InputError.single(str(options.file), "is not built: " + "; ".join(checked.against))
    formats = options.format or ["docx", "pdf", "html"]
    files = {f: options.output / f"{options.file.stem}.{f}" for f in formats}
    for path in files.values():
        refuse_existing(path)
    document = request_document(catalogue, request, checked)
    contents = {path: document_bytes(document, f) for f, path in files.items()}
    for number, drawing in enumerate(request_drawings(request), 1):
        contents[options.output / f"{options.file.stem}-drawing-{number}.svg"] = (
            drawing.svg.encode()
        )
    try:
        options.output.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise InputError.single(str(options.output), f"cannot be made ({fault.strerror})") from None
    for path, content in contents.items():
        write_new_file(path, content)
    if not checked.is_complete:
        print(f"{len(checked.missing)} fields are empty and show as such; see request check")
        return INCOMPLETE
    return 0
