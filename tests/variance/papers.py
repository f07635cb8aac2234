"""The papers of a request, built in process for any kind, form and deck, and what they must say."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from html import unescape
from pathlib import Path
from typing import Any

from msgspec import Struct

from deckclause.answers.request.answer import RequestAnswer
from deckclause.answers.request.build import request_answer
from deckclause.answers.request.new import new_request
from deckclause.report.document.html import document_html
from deckclause.report.document.model import Document
from deckclause.report.drawing.draw_section import worked_out
from deckclause.report.request.document import request_document
from deckclause.report.request.template import request_template
from deckclause.rulesets.relief import ReliefRules
from deckclause.variance.relief import ReliefReport, relief_report
from deckclause.variance.request.build import read_request
from deckclause.variance.request.check import check_request
from variance.decks import STEP_DOWN, catalogue, read
from variance.requests import fill

SECOND = (("below_band_joist: 3 in", "below_band_joist: 2-1/2 in"),)
THIRD = (
    ("below_band_joist: 3 in", "below_band_joist: 2-1/2 in"),
    ("ledger:\n  size: 2x10", "ledger:\n  size: 2x8"),
    ("lower_row_below_ledger_top: 6-1/2 in", "lower_row_below_ledger_top: 5-1/2 in"),
    ("joists: {size: 2x10", "joists: {size: 2x8"),
)
DECKS = (((), "irc-2021"), (SECOND, "irc-2012"), (THIRD, "irc-2012"))
"""Changes of the shipped design, each with the edition relief is asked under."""
GROUNDS = {"appeal": "equally_good", "state_variance": "unnecessary"}
FIGURE = re.compile(
    r"(?<![\w./-])(\d+(?:-\d+/\d+|/\d+|\.\d+)?(?: ft)?(?: \d+(?:-\d+/\d+|/\d+)?)? (?:in|ft|psf|psi|lb))\b"
)


@cache
def rules() -> ReliefRules:
    return report_of(0).case.rules


@cache
def report_of(deck: int) -> ReliefReport:
    return relief_report(catalogue(), read(text_of(deck)), DECKS[deck][1])


@cache
def text_of(deck: int) -> str:
    text = STEP_DOWN.read_text()
    for old, new in DECKS[deck][0]:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def pairs() -> list[tuple[str, str]]:
    """Every kind of relief with every form that serves for it."""
    return [
        (k, form.name) for k in rules().kinds for form in rules().forms.values() if k in form.kinds
    ]


def papers(
    folder: Path, deck: int, kind: str, form: str, *, filed: bool = True
) -> tuple[RequestAnswer, Document, dict[str, str]]:
    """A filled request's answer and document, and what the applicant wrote, by field."""
    (folder / "deck.yaml").write_text(text_of(deck))
    path = folder / "request.yaml"
    report = report_of(deck)
    path.write_text(
        request_template(
            new_request(
                report,
                rules().kinds[kind],
                rules().forms[form],
                None,
                "deck.yaml",
                report.choices[0],
            )
        )
    )
    words = fill(path, ground=GROUNDS.get(kind, ""))
    if filed:
        path.write_text(path.read_text().replace("state: draft", "state: filed"))
    request = read_request(catalogue(), path)
    checked = check_request(request)
    assert checked.is_complete, (checked.missing, checked.against, checked.differs)
    answer = request_answer(request, checked)
    return answer, request_document(answer), words


def text_on_paper(document: Document) -> str:
    """The words of a document without its drawings, styles and marks."""
    page = re.sub(
        r"<svg.*?</svg>|<style.*?</style>|<head.*?</head>",
        " ",
        document_html(document),
        flags=re.DOTALL,
    )
    return unescape(re.sub(r"<[^>]+>", " ", page))


def strings(value: Any) -> Iterator[str]:
    """Every text of a frozen answer, however deep."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple | list):
        for one in value:
            yield from strings(one)
    elif isinstance(value, Struct):
        for attribute in value.__struct_fields__:
            yield from strings(getattr(value, attribute))


def told(answer: RequestAnswer) -> Iterator[str]:
    """Every text of an answer that its papers must print."""
    yield from strings(
        [answer.code, answer.place_values, answer.design, answer.clocks, answer.stated]
    )
    for item in answer.items:
        yield from (
            item.section, item.requirement, item.required, item.value, item.short, item.standing,
            item.asked, item.allowed, *item.steps, *item.context,
        )  # fmt: skip
    letter = answer.letter
    yield from (a.words for a in letter.head)
    yield from (
        *letter.engineering,
        *letter.permits,
        *letter.decisions,
        *letter.conditions,
        letter.ends,
        letter.set_so,
        letter.follows,
    )
    for one in answer.alternatives:
        yield from (one.change, one.judged, one.step_down, one.why_not)
    yield from strings([answer.sources, answer.sums, answer.receipt])
    for who in answer.permits:
        yield from strings([who.permits, who.none, who.silent])
    if answer.calculation is not None:
        sheet = answer.calculation
        yield from (*sheet.assumptions, *sheet.left_out, *sheet.to_judge)
        for step in sheet.steps:
            yield from (step.title, step.section, step.formula, *(i.value for i in step.inputs))
            yield from (r.text for r in step.results)
    for shown in answer.sections.scenes:
        yield from (d.bounds_text() for d in shown.drawing.clauses)


def known_figures(answer: RequestAnswer) -> set[str]:
    """Every figure an answer holds, as it is printed."""
    texts = [*told(answer), *strings([answer.letter, answer.parts, answer.tests, answer.papers])]
    texts += [words for shown in answer.sections.scenes for words in worked_out(shown)]
    texts += [answer.no_calculation, *answer.cautions]
    if answer.calculation is not None:
        for step in answer.calculation.steps:
            texts += [f.line() for f in step.factors] + [step.limits, *strings(step.inputs)]
            texts += [r.no_value for r in step.results]
            for result in step.results:
                texts += [
                    f"{p:.0f} lb" for p in (result.demand_lb, result.capacity_lb) if p is not None
                ]
    return {figure for text in texts for figure in figures(text)}


def figures(text: str) -> list[str]:
    """The figures of a text with their units.

    >>> figures("at least 5-1/2 in, 40 psf over 11 ft 6 in")
    ['5-1/2 in', '40 psf', '11 ft 6 in']
    """
    return FIGURE.findall(text)


def squeezed(text: str) -> str:
    """A text without spaces, in small letters: a line's first letter is set large on paper."""
    return re.sub(r"\s+", "", text).lower()
