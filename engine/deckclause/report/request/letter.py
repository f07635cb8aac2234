"""The letter that decides: at most two pages before any annex, and a decision for the official to sign.

It says what is asked of which section, why the letter of the code cannot be met, why it is as safe,
what is offered and who permits it. The figures are the engine's, the reasons the applicant's own.
"""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.evaluate.words import asked_limit, scalar_text
from deckclause.report.document import (
    Block,
    Bullets,
    Facts,
    Heading,
    Paragraph,
    Signature,
    Unwritten,
)
from deckclause.report.request.computed import RequestBlocks
from deckclause.report.request.summary import asked_sentences, label
from deckclause.variance.calculation import AS_ASKED, AS_PRESCRIBED
from deckclause.variance.request.build import Request, RequestItem

WHY_NOT_MET = ("items.why_impractical", "items.special_condition")
WHY_AS_SAFE = ("items.intent", "items.mitigation", "items.equivalence.strength",
               "items.equivalence.safety", "items.ground_argument")  # fmt: skip
SCOPE = "This deck only, as drawn in this request. No other deck may rely on it."
OUTSIDE = "Outside NDS scope"


def letter_blocks(blocks: RequestBlocks, wanted: frozenset[str]) -> Iterator[Block]:
    """Yield the letter, then the proposed decision; `wanted` names the fields the form asks for."""
    request = blocks.request
    yield Heading(1, "The request", "letter")
    yield _head(request)
    for sentence in asked_sentences(request, blocks.vocabulary):
        yield Paragraph(sentence)
    adopted = request.case.evaluator.ruleset.title
    yield Paragraph(
        f"The code is {adopted}; its sections and acts stand in the parts that follow.", "note"
    )
    moved = request.tree.data.get("with_changes") or {}
    if moved:
        told = "; ".join(f"{label(n, blocks.vocabulary)}: {text}" for n, text in moved.items())
        yield Paragraph(f"For this request the deck is set so: {told}.")
    if request.written("summary"):
        yield Paragraph(request.written("summary"), "applicant")
    yield from _said(request, "Why the letter of the code cannot be met", WHY_NOT_MET, wanted)
    yield from _said(request, "Why it is as safe", WHY_AS_SAFE, wanted)
    engineering = tuple(_engineering(blocks))
    if engineering:
        yield Paragraph("From the calculation sheet (Annex B), for context only:")
        yield Bullets(engineering)
    permits = tuple(_permits(blocks))
    yield Paragraph("Published rules that permit what is asked:" if permits else
                    "No published rule looked at permits what is asked.")  # fmt: skip
    if permits:
        yield Bullets(permits)
    conditions = tuple(request.tree.data.get("conditions") or ())
    yield Paragraph("Conditions offered:" if conditions else "No conditions are offered.")
    if conditions:
        yield Bullets(conditions)
    yield from decision_blocks(blocks, conditions)


def decision_blocks(blocks: RequestBlocks, conditions: tuple[str, ...]) -> Iterator[Block]:
    """Yield a decision for the official to sign or change; its reasons are left to them."""
    request = blocks.request
    yield Heading(1, "Proposed decision", "decision")
    yield Paragraph(f"For {request.kind.decided_by} to sign, change or refuse.", "note")
    found = []
    for _, finding in blocks.findings:
        required = asked_limit(finding) or "as said"
        value = (
            scalar_text(finding.value, finding.kind, finding.unit)
            if finding.value is not None
            else "as drawn"
        )
        found.append(f"{finding.cites} asks for {required}; {value} is allowed for this deck.")
    yield Bullets(tuple(found))
    yield Facts(
        (
            ("Conditions", "\n".join(conditions) or "none offered"),
            ("Scope", SCOPE),
            ("Ends if not used", request.written("expires") or "as the law of the place sets"),
            ("Findings and reasons", "of the official: ________________________________"),
        )
    )
    yield Signature(
        f"Decision of {request.kind.decided_by}",
        (
            "Approved / approved with these conditions / more information / denied",
            "Name",
            "Signature",
            "Date",
        ),
    )


def _head(request: Request) -> Facts:
    official = request.written("official.name") or ""
    decider = request.kind.decided_by
    to = official if decider.removeprefix("the ") in official.casefold() else ", ".join(
        n for n in (official, decider) if n
    )  # fmt: skip
    enclosed = "; ".join(
        f"{p['id']} {p['title']}" for p in request.tree.data.get("attachments") or ()
    )
    return Facts(
        (
            ("Date", request.written("date") or Unwritten("the date of the request")),
            ("To", to),
            ("From", request.written("applicant.name") or Unwritten("name of the applicant")),
            ("Property", request.written("address") or Unwritten("address")),
            ("Enclosed", enclosed or Unwritten("attachments: plans, photos, letters")),
        )
    )


def _said(
    request: Request, title: str, names: tuple[str, ...], wanted: frozenset[str]
) -> Iterator[Block]:
    """Yield the applicant's own words under a heading, item by item; empty where wanted and empty."""
    several = len(request.items) > 1
    yield Heading(2, title)
    for item in request.items:
        told = [w for name in names if (w := request.written(name, item))]
        if several and told:
            yield Paragraph(f"Item {item.number}:")
        for words in told:
            yield Paragraph(words, "applicant")
        if not told:
            yield Paragraph(Unwritten(_asks(names, wanted, item)))


def _asks(names: tuple[str, ...], wanted: frozenset[str], item: RequestItem) -> str:
    asked = [
        n.removeprefix("items.").replace("_", " ").replace(".", ": ") for n in names if n in wanted
    ]
    return f"item {item.number}: {', '.join(asked) or 'the applicant has not said'}"


def _engineering(blocks: RequestBlocks) -> Iterator[str]:
    found = blocks.calculation
    if found is None:
        return
    if found.sheet is None:
        yield f"Not worked out: {'; '.join(found.why_none)}."
        return
    for step in found.sheet.steps:
        before, after = (step.result(name) for name in (AS_PRESCRIBED, AS_ASKED))
        if after.no_value:
            yield f"{step.title}, {step.section}: {after.no_value}. An engineer must weigh this."
        elif (
            before.ratio is not None
            and after.ratio is not None
            and not step.limits.startswith(OUTSIDE)
        ):
            yield (
                f"{step.title}, {step.section}: {before.ratio:.2f} of the resistance used {AS_PRESCRIBED}, "
                f"{after.ratio:.2f} {AS_ASKED}."
            )


def _permits(blocks: RequestBlocks) -> Iterator[str]:
    for (item, _), found in zip(blocks.findings, blocks.found_precedents, strict=True):
        for p in found.permit:
            limit = asked_limit(p) or "permitted"
            later = "; later than this request" if p.later else ""
            several = f"Item {item.number}: " if len(blocks.findings) > 1 else ""
            yield f"{several}{p.title}, {p.cites}: {limit} ({p.standing}{later})."
    for decision in blocks.office_decisions:
        yield (
            f"This office, {decision.decided}: {decision.cites}, {decision.allowed} in place of "
            f"{decision.required} ({decision.outcome})."
        )
