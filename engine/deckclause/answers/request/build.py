"""Build a request's answer from what was written and what is worked out afresh."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from deckclause.answers.elevations import elevations_answer
from deckclause.answers.place_values import place_values
from deckclause.answers.request.annexes import (
    Sources,
    alternatives,
    papers,
    permits,
    receipt,
    stated,
    sums,
)
from deckclause.answers.request.answer import AskedItem, Part, RequestAnswer
from deckclause.answers.request.items import act_words, asked_items, found_items
from deckclause.answers.request.letter import letter
from deckclause.answers.request.office import earlier_decisions, power
from deckclause.answers.request.written import Writing
from deckclause.answers.sections import sections_answer
from deckclause.answers.sheet import PaperSheet
from deckclause.engineering.cautions import BY_KEY
from deckclause.evaluate.explain import Explainer
from deckclause.variance.calculation import Calculation, relief_calculation
from deckclause.variance.precedents import find_precedents
from deckclause.variance.relax import missed
from deckclause.variance.request.build import Request
from deckclause.variance.request.check import Checked
from deckclause.variance.steps_down import steps_text

TESTS = "The legal tests"
NOT_A_DESIGN = BY_KEY["not_a_design"].text
"""Said at the foot of every page in the document's own words, and not again."""


def request_answer(request: Request, checked: Checked) -> RequestAnswer:
    """Return all a request's papers say. Raises InputError for a log or a picture that cannot be read."""
    case = request.case
    items = asked_items(request)
    sheet = _calculation(request)
    why_none = "; ".join(sheet.why_none) if sheet and sheet.sheet is None else ""
    found = find_precedents(case, [f for _, f in found_items(request)])
    sources = Sources(case.vocabulary)
    permitted = tuple(permits(request, found, tuple(i for i, _ in found_items(request)), sources))
    _name_sources(request, sources)
    writing = Writing(request)
    told = letter(
        request, writing, items, sheet.sheet if sheet else None, why_none, found,
        earlier_decisions(request),
    )  # fmt: skip
    parts = _parts(request, writing)
    sections = sections_answer(
        case.design, (case.evaluator,), case.vocabulary,
        {(f.key, f.part) for _, f in found_items(request)},
    )  # fmt: skip
    hands, count = _hands(request), len(sections.scenes)
    notes = (f"{n[0].upper()}{n[1:].rstrip('.')}." for n in checked.notes)
    return RequestAnswer(
        title=f"{request.kind.title}: {case.design.design.name}",
        subtitle=f"To {request.kind.decided_by}, under {case.evaluator.ruleset.title}.",
        decided_by=request.kind.decided_by,
        draft=request.written("state") == "draft",
        complete=not checked.missing,
        author=request.written("applicant.name") or "",
        place=request.written("address") or "",
        date=request.written("date") or "",
        head=tuple(_head(request, checked)),
        code=tuple(_code(request)),
        place_values=tuple(v.told for v in place_values(case.evaluation, case.vocabulary)),
        design=tuple(_design(request)),
        items=items,
        letter=told,
        parts=parts,
        tests=writing.tests(TESTS.lower()),
        papers=tuple(papers(request)),
        clocks=tuple(_clocks(request)),
        alternatives=tuple(alternatives(request)),
        permits=permitted,
        sources=tuple(sources.rows()),
        stated=tuple(stated(request)),
        sections=sections,
        papered=tuple(replace(hands, number=f"S-{n} of {count}") for n in range(1, count + 1)),
        hands=hands,
        elevations=elevations_answer(case.design, (case.evaluator,), case.vocabulary),
        calculation=sheet.sheet if sheet else None,
        no_calculation=why_none,
        sums=sums(request),
        cautions=_cautions(items),
        receipt=tuple(receipt(request)),
        form=f"{request.form.title}, {request.form.published_as}",
        notes=() if not checked.missing else tuple(notes),
        empty=tuple(_empty(writing, checked)),
    )


def _calculation(request: Request) -> Calculation | None:
    case = request.case
    relaxations = [r for _, f in found_items(request) if (r := missed(f)) is not None]
    return relief_calculation(case.evaluation, case.vocabulary, relaxations)


def _name_sources(request: Request, sources: Sources) -> None:
    """Number what the findings, the kind of relief, the form and the place's settings rest on."""
    explainer = Explainer(request.case.evaluation, request.case.vocabulary)
    for _, finding in found_items(request):
        for source in explainer.sources(finding):
            sources.number(source, explainer.standing(finding))
    for rests in (request.kind, request.form, request.local):
        for source in rests.sources if rests is not None else ():
            sources.number(source, rests.standing if rests is not None else "")


def _parts(request: Request, writing: Writing) -> tuple[Part, ...]:
    """Return the form's parts in order, the last after what no part holds where it is the signatures'."""
    forms = [writing.part(n, part) for n, part in enumerate(request.form.parts, 1)]
    rest = writing.rest()
    if rest is None:
        return tuple(forms)
    *first, last = forms
    return (*first, rest, last) if "signatures" in last.computed else (*first, last, rest)


def _head(request: Request, checked: Checked) -> Iterator[str]:
    """Yield what stands over a draft: that it is one, and how many fields are empty."""
    if request.written("state") == "draft":
        yield "Draft, unsigned. Not an engineered design and not an approval."
    if checked.missing:
        count = len(checked.missing)
        fields = "1 field is empty and is" if count == 1 else f"{count} fields are empty and are"
        yield f"Not complete: {fields} shown as not written."


def _code(request: Request) -> Iterator[tuple[str, str]]:
    """Yield the code as adopted: its edition, amendments and acts; then kind, who decides, the power."""
    ruleset = request.case.evaluator.ruleset
    acts = [act_words(x.place, x.ordinance, x.adopted) for x in ruleset.layers if x.ordinance]
    yield "Edition", request.case.catalogue.evaluator(ruleset.edition).ruleset.title
    yield "Amendments", "\n".join(acts) or "none"
    yield "Kind of relief", request.kind.title
    yield "Decided by", request.kind.decided_by
    yield "Power to grant it", power(request)


def _design(request: Request) -> Iterator[tuple[str, str]]:
    design = request.case.design
    yield "Design", design.design.name
    if design.design.says:
        yield "In short", design.design.says
    step = steps_text(design)
    if step:
        yield "Step down", step


def _hands(request: Request) -> PaperSheet:
    """Return who drew and checked the sheets, when, and what was revised, as the applicant states it."""
    said = ("drawn_by", "checked_by", "date", "revisions")
    return PaperSheet("", *(request.written(f"drawing.{name}") or "" for name in said))


def _clocks(request: Request) -> Iterator[tuple[str, str]]:
    local = request.local
    if local is None:
        return
    for clock in local.clocks:
        yield f"{clock.event[0].upper()}{clock.event[1:]}", f"{clock.days} {clock.counted_in}"
    yield "Fees", local.fees or "not stated here"
    yield "How well this is known", local.standing


def _cautions(items: tuple[AskedItem, ...]) -> tuple[str, ...]:
    """Return the cautions of the engineering beside the items, each once."""
    every = dict.fromkeys(text for item in items for text in item.cautions)
    return tuple(text for text in every if text != NOT_A_DESIGN)


def _empty(writing: Writing, checked: Checked) -> Iterator[str]:
    for lack in checked.missing:
        item = f"Item {lack.item}, " if lack.item else ""
        yield f"{item}{writing.fields[lack.field].title}: {lack.asks}"
