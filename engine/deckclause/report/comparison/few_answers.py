"""How much a few answers supply, in one line; the questions themselves stand below it."""

from __future__ import annotations

from deckclause.answers.compare.answer import CompareAnswer

NO_OTHER_QUESTIONS = "TO FIND OUT: nothing else; see above what the deck lacks to hold together."
NO_QUESTIONS = "NOTHING TO FIND OUT: everything asked of this design is stated."


def few_answers_words(answer: CompareAnswer) -> str:
    """Say how much is open, and how much of it the few answers that supply most would supply."""
    count = len(answer.questions)
    few = answer.decisive
    if not count:
        return NO_OTHER_QUESTIONS if answer.passes_nothing else NO_QUESTIONS
    topics = _many(answer.undecided_topics, "topic")
    head = f"TO FIND OUT: {_many(count, 'question')} on {topics}"
    if few is None:
        return f"{head}; no answer decides one: a book must be read"
    answers = "1 answer supplies" if len(few.answers) == 1 else f"{len(few.answers)} answers supply"
    how = "" if few.exact else " (best found, unproved)"
    return f"{head}. {answers} all that {few.covered} lack{how}:"


def _many(count: int, thing: str) -> str:
    return f"{count} {thing}{'s' * (count != 1)}"
