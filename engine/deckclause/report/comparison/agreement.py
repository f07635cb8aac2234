"""What is said where rule sets come to the same on everything: never more than is known."""

from __future__ import annotations

from deckclause.answers.compare.answer import CompareAnswer


def agreement_words(answer: CompareAnswer) -> str:
    """Say that the rule sets agree; of one that nobody has read, that this is not known of it.

    One alone agrees with nothing.
    """
    if len(answer.cards) == 1:
        return f"{answer.cards[0].title} alone is asked, so nothing is set beside it."
    unread = [
        f"{card.unread} of the {card.clauses} clauses of {card.title}"
        for card in answer.cards
        if card.unread
    ]
    if not unread:
        return "The rule sets agree on everything asked."
    return (
        "As held here the rule sets agree on everything asked. That nothing changed is not known: "
        f"{' and '.join(unread)} are carried from the edition before, and nobody has read them there."
    )
