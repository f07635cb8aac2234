"""The request for relief, for the page: its form, what it lacks, the guided file, the draft itself."""

from __future__ import annotations

from pathlib import Path, PurePath
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

from msgspec import Struct
from msgspec.structs import replace

from deckclause.page.bench import Bench
from deckclause.page.downloads import KINDS, Made
from deckclause.page.request_answers import answered
from deckclause.page.request_form import RequestView, request_view
from deckclause.page.typed import ToRequest, TypedItem
from deckclause.rulesets.problems import InputError, suggestion
from deckclause.rulesets.relief import Form, ReliefKind, ReliefRules, read_relief
from deckclause.rulesets.yaml_tree import parse_tree
from deckclause.variance.request.build import Request, read_request
from deckclause.variance.request.check import Checked, check_request

if TYPE_CHECKING:
    from deckclause.variance.relief import Choice, ReliefReport

GUIDED = "yaml"
MEDIA = {GUIDED: "application/yaml", **{f: KINDS[f].media_type for f in ("html", "pdf", "docx")}}


class ReliefChoice(Struct, frozen=True):
    """One relief that would do: its number, what it asks and moves, whether it is asked for."""

    number: int
    lines: tuple[str, ...]
    taken: bool


class RequestForm(Struct, frozen=True):
    """A request opened in the form: its file as it stands, and the answers no item of it takes."""

    text: str
    view: RequestView
    checked: Checked
    settings: dict[str, str]
    left_out: tuple[TypedItem, ...]


class Opened(Struct, frozen=True):
    """What opening a request gives: the reliefs to choose from, and the form.

    No `form` where no relief was named: none is taken by itself; no `choices` for a request begun
    before, which asks for what it asks.
    """

    choices: tuple[ReliefChoice, ...]
    form: RequestForm | None


def request_choices(bench: Bench) -> dict[str, Any]:
    """Return the kinds of relief and the forms, each place's own first choice, and what is refused."""
    rules = _rules(bench)
    return {
        "kinds": [{"name": k.name, "title": k.title} for k in rules.kinds.values()],
        "forms": [
            {"name": f.name, "title": f.title, "kinds": list(f.kinds)} for f in rules.forms.values()
        ],
        "local": {s.place: {"kinds": list(s.kinds), "form": s.form} for s in rules.local.values()},
        "elsewhere": [f"{o.title}: {o.says}" for o in rules.other_processes.values()],
    }


def request_file(bench: Bench, asked: ToRequest) -> Made:
    """Write the request: the guided file, or the draft in a format.

    Raises InputError where there is nothing to ask for, or something stands against the request.
    """
    text = _text(bench, asked)
    name = f"{PurePath(asked.file).stem}-request.{asked.format}"
    if asked.format == GUIDED:
        return Made(name, text.encode(), MEDIA[GUIDED])
    from deckclause.answers.request.build import request_answer
    from deckclause.report.document.write import document_bytes
    from deckclause.report.request.document import request_document

    request, checked = _read(bench, asked, text)
    if checked.against:
        raise InputError.single("the request", "is not built: " + "; ".join(checked.against))
    document = request_document(request_answer(request, checked))
    return Made(name, document_bytes(document, asked.format), MEDIA[asked.format])


def request_form(bench: Bench, asked: ToRequest) -> Opened:
    """Open a request in the form: a new one, or one begun before, with the answers given.

    An answer to a clause that is no item of it is left out and named. Raises InputError.
    """
    if asked.filled:
        return Opened((), _form(bench, asked, asked.filled))
    report = _report(bench, asked)
    if not asked.relief:
        _nothing_to_choose(report, asked)
        return Opened(_choices(report, None), None)
    choice = _choice(report, asked)
    form = _form(bench, asked, _new(bench, asked, report, choice))
    return Opened(_choices(report, choice), form)


def _form(bench: Bench, asked: ToRequest, text: str) -> RequestForm:
    text, left_out = _answered(text, asked)
    request, checked = _read(bench, asked, text)
    return RequestForm(
        text,
        request_view(request, checked),
        checked,
        {name: str(request.tree.data[name]) for name in ("kind", "form", "under")},
        left_out,
    )


def request_lacks(bench: Bench, asked: ToRequest) -> Checked:
    """Return what a request lacks and what stands against it. Raises InputError."""
    return _read(bench, asked, _text(bench, asked))[1]


def _rules(bench: Bench) -> ReliefRules:
    return read_relief(bench.catalogue.files, bench.catalogue.vocabulary)


def _text(bench: Bench, asked: ToRequest) -> str:
    """Return the request with every answer given in it. Raises InputError where one has no place."""
    text = asked.filled
    if not text:
        report = _report(bench, asked)
        text = _new(bench, asked, report, _choice(report, asked))
    text, left_out = _answered(text, asked)
    if left_out:
        names = ", ".join(item.clause for item in left_out)
        raise InputError.single("the request", f"has no item on {names}; take it up again")
    return text


def _answered(text: str, asked: ToRequest) -> tuple[str, tuple[TypedItem, ...]]:
    """Return a request with the answers given written into it, and those it has no item for."""
    if asked.answers is None:
        return text, ()
    found = answered(text, asked.answers, asked.file)
    return found.text, found.left_out


def _report(bench: Bench, asked: ToRequest) -> ReliefReport:
    _kind_and_form(_rules(bench), asked)
    return bench.relief(asked, asked.under)


def _nothing_to_choose(report: ReliefReport, asked: ToRequest) -> None:
    """Raise InputError where no relief is needed or none would do."""
    from deckclause.answers.request.new import must_choose

    must_choose(report, asked.file)


def _choices(report: ReliefReport, taken: Choice | None) -> tuple[ReliefChoice, ...]:
    from deckclause.answers.relief.choices import choices_found
    from deckclause.report.relief.choice import choice_lines

    return tuple(
        ReliefChoice(
            choice.number,
            tuple(line.strip() for line in choice_lines(choice)),
            taken is not None and choice.number == taken.number,
        )
        for choice in choices_found(report)
    )


def _choice(report: ReliefReport, asked: ToRequest) -> Choice:
    _nothing_to_choose(report, asked)
    if not asked.relief:
        raise InputError.single("the relief", "say which relief is asked for")
    found = report.choice(asked.relief)
    if found is None:
        raise InputError.single("the relief", f"there is no relief {asked.relief} here")
    return found


def _new(bench: Bench, asked: ToRequest, report: ReliefReport, choice: Choice) -> str:
    from deckclause.answers.request.new import new_request
    from deckclause.report.request.template import request_template

    rules = _rules(bench)
    kind, form = _kind_and_form(rules, asked)
    local = rules.of_place(asked.under.partition("@")[0])
    return request_template(new_request(report, kind, form, local, asked.file, choice))


def _kind_and_form(rules: ReliefRules, asked: ToRequest) -> tuple[ReliefKind, Form]:
    for name, known, what in ((asked.kind, rules.kinds, "kind"), (asked.form, rules.forms, "form")):
        if name not in known:
            raise InputError.single(what, f"'{name}' is none here.{suggestion(name, known)}")
    kind, form = rules.kinds[asked.kind], rules.forms[asked.form]
    if kind.name not in form.kinds:
        serve = [f.title for f in rules.forms.values() if kind.name in f.kinds]
        raise InputError.single(
            "form", f"{form.title} does not serve for {kind.title}; these do: {', '.join(serve)}"
        )
    return kind, form


def _read(bench: Bench, asked: ToRequest, text: str) -> tuple[Request, Checked]:
    """Read a request beside its design, both in a folder of their own that holds nothing else."""
    tree = parse_tree(text.encode(), "the request")
    named = tree.data.get("design") if isinstance(tree.data, dict) else None
    if named != asked.file:
        raise InputError.single(
            "the request", f"is for the design {named}; open that one, or name this one so"
        )
    bench.folder.path(asked.file)  # a plain name, so that the request reads nothing else
    design, _ = bench.file_design(asked)
    with TemporaryDirectory() as where:
        folder = Path(where)
        (folder / asked.file).write_text(design, encoding="utf-8")
        path = folder / "the request.yaml"
        if path.name == asked.file:
            raise InputError.single(
                asked.file, "is the request's own name; name the design otherwise"
            )
        path.write_text(text, encoding="utf-8")
        try:
            request = read_request(bench.catalogue, path)
            return request, check_request(request)
        except InputError as fault:
            problems = [replace(p, file=PurePath(p.file).name) for p in fault.problems]
            raise InputError(problems) from None
