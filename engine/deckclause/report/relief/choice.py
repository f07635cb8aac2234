"""One relief in a few lines, as it is offered: what it asks, what it moves, how it stands."""

from __future__ import annotations

from deckclause.answers.relief.answer import ChoiceFound


def choice_lines(choice: ChoiceFound) -> list[str]:
    """Say what a relief asks for and moves, and how it stands on both scales, one line each."""
    rule = choice.published
    head = f"the whole rule of {rule.title} ({rule.published}): " if rule else ""
    first, *others = choice.asks or ("the design as drawn",)
    lines = [f"relief {choice.number}: {head}{first}"]
    lines += [f"  and {text}" for text in others]
    lines += [f"  moves {text}" for text in choice.moves] or ["  the design stays as drawn"]
    lines.append(f"  precedent: {choice.precedent}")
    lines += [f"  engineering: {line}" for line in choice.engineering]
    lines += [f"  engineering gives no value: {reason}" for reason in choice.not_advisable]
    if choice.tension:
        lines.append(f"  {choice.tension}")
    return lines
