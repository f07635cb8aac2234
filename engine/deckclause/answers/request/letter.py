"""The letter: at most two pages with the proposed decision, before any annex.

It says what is asked of which section, why the letter of the code cannot be met, why it is as safe,
what is offered and who permits it. The figures are worked out, the reasons the applicant's own. An
answer too long for two pages stands in its part of the form instead.
"""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.answers.relief.choices import published_followed
from deckclause.answers.request.answer import Answered, AskedItem, Letter
from deckclause.answers.request.items import act_words, label
from deckclause.answers.request.office import decided_words
from deckclause.answers.request.written import Writing
from deckclause.engineering.ledger_joint.joint import CalculationSheet
from deckclause.evaluate.words import asked_limit
from deckclause.variance.calculation import engineering_lines
from deckclause.variance.precedents import Precedent, Precedents
from deckclause.variance.published import followed_as_asked
from deckclause.variance.request.build import Request
from deckclause.variance.request.decisions import Decision

PROPOSED = ("items.proposal",)
WHY_NOT_MET = ("items.why_impractical", "items.special_condition")
WHY_AS_SAFE = ("items.intent", "items.mitigation", "items.equivalence.strength",
               "items.equivalence.safety", "items.ground_argument")  # fmt: skip
SECTIONS = (
    ("What is proposed instead", PROPOSED),
    ("Why the letter of the code cannot be met", WHY_NOT_MET),
    ("Why it is as safe", WHY_AS_SAFE),
)
ROOM = 2600
"""Characters of the applicant's own words that leave the letter and the decision on two pages."""
EACH = 90
"""What a paragraph takes beside its words."""


def letter(
    request: Request,
    writing: Writing,
    items: tuple[AskedItem, ...],
    sheet: CalculationSheet | None,
    why_no_sheet: str,
    permits: tuple[Precedents, ...],
    decisions: tuple[Decision, ...],
) -> Letter:
    """Return the letter of a request; `writing` then knows which answers it prints."""
    vocabulary = request.case.vocabulary
    moved = request.tree.data.get("with_changes") or {}
    follows = _follows(request)
    room = _Room(ROOM - len(follows))
    summary = None
    if request.written("summary") and room.takes(request.written("summary")):
        summary = writing.answer("summary", None, "paragraph 1 of the letter", mark="1.")
    return Letter(
        head=tuple(_head(request, writing)),
        asked=tuple(item.asked for item in items),
        set_so="; ".join(f"{label(n, vocabulary)}: {text}" for n, text in moved.items()),
        summary=summary,
        said=tuple(_said(request, writing, room, 1 if summary else 0)),
        engineering=tuple(_engineering(sheet, why_no_sheet)),
        follows=follows,
        permits=tuple(_permits(permits)),
        decisions=tuple(map(decided_words, decisions)),
        conditions=tuple(request.tree.data.get("conditions") or ()),
        allowed=tuple(item.allowed for item in items),
        ends=request.written("expires") or "as the law of the place sets",
    )


class _Room:
    """How much of the letter's two pages the applicant's own words may still take."""

    def __init__(self, left: int) -> None:
        self.left = left

    def takes(self, words: str) -> bool:
        """Take the words where they have room."""
        needed = len(words) + EACH
        if needed > self.left:
            return False
        self.left -= needed
        return True


def _head(request: Request, writing: Writing) -> Iterator[Answered]:
    yield writing.answer("date", None, "the letter")
    official = request.written("official.name") or ""
    decider = request.kind.decided_by
    to = official if decider.removeprefix("the ") in official.casefold() else ", ".join(
        n for n in (official, decider) if n
    )  # fmt: skip
    yield Answered("to", "To", "", to)
    for name, title in (("applicant.name", "From"), ("address", "Property")):
        field = writing.fields[name]
        yield Answered(name, title, field.asks, request.written(name) or "")
    yield Answered("code", "Code", "", code_as_adopted(request))
    enclosed = "; ".join(
        f"{p['id']} {p['title']}" for p in request.tree.data.get("attachments") or ()
    )
    yield Answered("enclosed", "Enclosed", "plans, photographs, letters", enclosed)


def code_as_adopted(request: Request) -> str:
    """Name the edition and, where a place adopted it, the acts and the day it is read for."""
    ruleset = request.case.evaluator.ruleset
    edition = request.case.catalogue.evaluator(ruleset.edition).ruleset.title
    acts = [act_words(x.place, x.ordinance, x.adopted) for x in ruleset.layers if x.ordinance]
    if not acts:
        return edition if edition == ruleset.title else f"{edition}; {ruleset.title}"
    day = ruleset.name.partition("@")[2]
    return f"{edition}, as adopted by {'; '.join(acts)}" + (f"; in force on {day}" if day else "")


def _said(
    request: Request, writing: Writing, room: _Room, number: int
) -> Iterator[tuple[str, tuple[Answered, ...]]]:
    """Yield the letter's headings, each with the answers it prints as paragraphs after `number`."""
    for heading, names in SECTIONS:
        told: list[Answered] = []
        long = False
        for item in request.items:
            for name in names:
                words = request.written(name, item)
                if not words:
                    continue
                if not room.takes(words):
                    long = True
                    continue
                number += 1
                told.append(
                    writing.answer(
                        name, item, f"paragraph {number} of the letter", mark=f"{number}."
                    )
                )
        if not told and heading == SECTIONS[0][0] and not long:
            continue
        if long:
            told.append(
                Answered("", "", "", "", instead="At greater length in the parts that follow.")
            )
        elif not told:
            told = [_unsaid(writing, names)]
        yield heading, tuple(told)


def _unsaid(writing: Writing, names: tuple[str, ...]) -> Answered:
    asked = [
        n.removeprefix("items.").replace("_", " ").replace(".", ": ")
        for n in names
        if n in writing.wanted
    ]
    return Answered("", "", ", ".join(asked) or "the applicant has not said")


def _follows(request: Request) -> str:
    rule = followed_as_asked(request.case)
    return "" if rule is None else published_followed(rule, request.case.vocabulary).told


def _engineering(sheet: CalculationSheet | None, why_none: str) -> Iterator[str]:
    if sheet is None:
        if why_none:
            yield f"Not worked out: {why_none}."
        return
    yield from (f"{line}." for line in engineering_lines(sheet))


def _permits(permits: tuple[Precedents, ...]) -> Iterator[str]:
    """Yield who permits each item, rules with one limit in one line; later ones said to be later."""
    for number, found in enumerate(permits, 1):
        several = f"Item {number}: " if len(permits) > 1 else ""
        by_limit: dict[tuple[str, bool], list[Precedent]] = {}
        for p in found.permit:
            by_limit.setdefault((asked_limit(p) or "permitted", p.later), []).append(p)
        for (limit, later), rules in by_limit.items():
            told = "; ".join(map(_named, rules, [None, *rules]))
            when = " Later than this request: " if later else " "
            yield f"{several}{limit[0].upper()}{limit[1:]}.{when}{told}."


def _named(precedent: Precedent, before: Precedent | None) -> str:
    """Name a rule with its section and standing; by its year alone right after the same book's."""
    book, _, year = precedent.title.rpartition(", ")
    same = before is not None and before.title.rpartition(", ")[0] == book and year.isdigit()
    named = year if same else precedent.title
    return f"{named}, {precedent.cites} ({precedent.standing})"
