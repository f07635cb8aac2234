"""The letter that decides, and a decision for the official to sign: two pages before any annex."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.answers.request.answer import RequestAnswer
from deckclause.report.document import (
    Block,
    Bullets,
    Facts,
    Heading,
    Paragraph,
    Signature,
)
from deckclause.report.request.parts import told, told_paragraph

SCOPE = "This deck only, as drawn in this request. No other deck may rely on it."
OWN_WORDS = (
    "Paragraphs with a number are the applicant's own words; every figure beside them is worked out "
    "from the design and the rules, and shown in the annexes."
)
OUTCOMES = "Approved / approved with these conditions / more information / denied"


def letter_blocks(answer: RequestAnswer) -> Iterator[Block]:
    """Yield the letter."""
    letter = answer.letter
    yield Heading(1, "The request", "letter")
    yield Facts(tuple((a.title, told(a)) for a in letter.head))
    yield from map(Paragraph, letter.asked)
    if letter.set_so:
        yield Paragraph(f"For this request the deck is set so: {letter.set_so}.")
    if letter.summary is not None:
        yield told_paragraph(letter.summary)
    for heading, answers in letter.said:
        yield Heading(2, heading)
        yield from map(told_paragraph, answers)
    if letter.engineering:
        yield Heading(2, "What the calculation shows (Annex A; for context, it decides nothing)")
        yield Bullets(letter.engineering)
    yield Heading(2, "Published rules that permit what is asked (Annex D)")
    if letter.follows:
        yield Paragraph(letter.follows)
    if letter.permits:
        yield Bullets(letter.permits)
    else:
        yield Paragraph("No published rule looked at permits what is asked.")
    if letter.decisions:
        yield Heading(2, "Earlier decisions of this office on the same section")
        yield Bullets(letter.decisions)
    yield Heading(2, "Conditions offered")
    if letter.conditions:
        yield Bullets(letter.conditions)
    else:
        yield Paragraph("None.")
    yield Paragraph(OWN_WORDS, "note")


def decision_blocks(answer: RequestAnswer) -> Iterator[Block]:
    """Yield a decision for the official to sign or change; its reasons are left to them."""
    letter = answer.letter
    yield Heading(1, "Proposed decision", "decision")
    yield Paragraph(f"For {answer.decided_by} to sign, change or refuse.", "note")
    yield Bullets(letter.allowed)
    conditions = "as offered in the letter" if letter.conditions else "none offered"
    yield Facts(
        (
            ("Conditions", conditions),
            ("Scope", SCOPE),
            ("Ends if not used", letter.ends),
        )
    )
    yield Signature(
        f"Decision of {answer.decided_by}",
        (OUTCOMES, "Findings and reasons", "Name", "Signature", "Date"),
    )
