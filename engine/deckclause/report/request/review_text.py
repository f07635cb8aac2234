"""The office's review of a request as text."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.answers.request.review import Review

CAUTION = (
    "A draft for the official, who decides. What is computed rests on the design file and the rules held "
    "here, each figure with its standing; what is asserted was not looked at."
)


def review_lines(review: Review) -> Iterator[str]:
    """Yield the review line by line."""
    yield f"{review.title}, under {review.under}"
    yield from _part("WORKED OUT AFRESH", review.computed)
    yield from _part(
        "ON THE APPLICANT'S WORD ALONE",
        tuple(f"{name}: {words}" for name, words in review.asserted),
    )
    yield from _part("STANDS AGAINST IT", review.against)
    yield from _part("MISSING FOR A DECISION", review.missing)
    clocks = tuple(
        f"{c.event}: {c.days} {c.counted_in}"
        + (
            f", to {c.until} (public holidays not counted)"
            if c.until
            else "; the request has no date as 2025-03-01"
        )
        for c in review.clocks
    )
    yield from _part("CLOCKS", clocks, "no clocks are known for this place: ask the office")
    yield ""
    yield "DRAFT DECISION (to sign, change or throw away)"
    for draft in review.drafts:
        yield f"  {draft.cites}: {draft.required} required, {draft.allowed} asked for: {draft.outcome}."
        yield "    This deck only, as drawn; no other deck may rely on it."
        for condition in draft.conditions:
            yield f"    Condition: {condition}"
        if not draft.conditions:
            yield "    Conditions: none offered."
        yield "    Findings of fact and reasons: to be written by the official."
    yield ""
    yield CAUTION


def _part(head: str, lines: tuple[str, ...], none: str = "nothing") -> Iterator[str]:
    yield ""
    yield head
    for line in lines or (none,):
        yield f"  {line}"
