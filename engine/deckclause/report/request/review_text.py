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
    yield f"Power to grant it: {review.power}."
    yield review.holds
    yield from _part("WORKED OUT AFRESH, from what the design states", review.computed)
    yield from _part(
        "WHAT THE FIGURES REST ON: the design and the request say so; to be seen on site",
        tuple(f"{name}: {words}" for name, words in review.rests_on),
    )
    yield from _part(
        "ON THE APPLICANT'S WORD ALONE",
        tuple(f"{name}: {words}" for name, words in review.asserted),
    )
    if review.particulars:
        yield f"  Particulars: {'; '.join(f'{name}: {words}' for name, words in review.particulars)}"
    yield from _part("PAPERS AND DECLARATIONS", review.papers)
    yield from _part("OPEN UNDER THE CODE, whatever is decided here", review.open)
    yield from _part("STANDS AGAINST IT", review.against)
    yield from _part("MISSING FOR A DECISION", review.missing)
    clocks = tuple(
        f"{c.event}: {c.days} {c.counted_in}"
        + (
            f", to {c.until} (public holidays not counted)"
            if c.until
            else "; the request gives no date (write it as 2025-03-01)"
        )
        for c in review.clocks
    )
    yield from _part("CLOCKS", clocks, "no clocks are known for this place: ask the office")
    if review.earlier:
        yield from _part("EARLIER DECISIONS OF THIS OFFICE that may be cited", review.earlier)
    yield ""
    yield "DRAFT DECISION (to sign, change or throw away)"
    for draft in review.drafts:
        yield f"  {draft.cites}: {draft.required} required, {draft.allowed} asked for: {draft.outcome}."
        if draft.reasons:
            yield f"    Why: {draft.reasons}."
        yield "    This deck only, as drawn; no other deck may rely on it."
        for condition in draft.conditions:
            yield f"    Condition: {condition}"
        if not draft.conditions:
            yield "    Conditions: none offered."
        yield "    Findings of fact and reasons, to be written by the official:"
        yield from (f"      {test}" for test in review.tests)
    yield ""
    yield CAUTION


def _part(head: str, lines: tuple[str, ...], none: str = "nothing") -> Iterator[str]:
    yield ""
    yield head
    for line in lines or (none,):
        yield f"  {line}"
