"""How much a few answers supply, in one line; the questions themselves stand below it."""

from __future__ import annotations

from collections.abc import Iterator

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
    answers = "1 answer is" if len(few.answers) == 1 else f"{len(few.answers)} answers are"
    how = "" if few.exact else " (best found, unproved)"
    return f"{head}. {answers} all that {few.covered} of them wait for{how}:"


MAY_BE_NONE = ("stairs", "guards")
"""Parts a deck often has none of, by their names in a design and among the topics."""


def none_of_it(answer: CompareAnswer) -> Iterator[str]:
    """Say in one line what one word answers, of parts the design says nothing of."""
    waiting = {u.part: u.topics for u in answer.unstated if u.part in MAY_BE_NONE}
    told = [
        f"{part}: none ({_many(waiting[part], 'topic')})" for part in MAY_BE_NONE if part in waiting
    ]
    if told:
        yield f"Has it no {' or no '.join(p for p in MAY_BE_NONE if p in waiting)}? One line says so: {'; '.join(told)}"


def _many(count: int, thing: str) -> str:
    return f"{count} {thing}{'s' * (count != 1)}"
