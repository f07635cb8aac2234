"""The first screen of a comparison: outcomes, what to do, what to find out, what is on memory.

It fits 24 lines, of 80 columns or more, for up to seven rule sets. What does not fit is counted, and
stands below.
"""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import shorten, wrap

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.answers.compare.card import RuleSetCard
from deckclause.answers.compare.to_do import Asked, ToDo, Where
from deckclause.answers.compare.together import headline, lacking_lines
from deckclause.report.comparison.cells import SHORT
from deckclause.report.comparison.few_answers import few_answers_words, none_of_it

LINES = 24
MOST_ITEMS, FEWEST_ITEMS, FEWEST_ASKED = 9, 3, 4
STATUS, LEAST_WHERE = 9, 24
"""Widths: of the status, and the least of where something is asked."""
NOTHING = "Nothing decided fails or needs an engineer."
SEE_ABOVE = "first what stands above of how the deck holds together; the rules fail nothing."
MARKED = "MARKED !: otherwise at the higher load the design states; see the notes."
MOST_FAULTS, FEW_CARDS = 3, 3
NO_APPROVAL = "Not an engineered design and not an approval: local code and the official decide."


def first_screen(answer: CompareAnswer, width: int) -> list[str]:
    """Return the lines of the first screen, none wider than `width`."""
    head = [
        _cut(answer.design.name, width),
        *_together(answer, width),
        *_cards(answer, width),
        *ways_lines(answer, width),
        *warning_lines(answer, width),
    ]
    foot = [*_marked(answer, width), *_memory(answer, width), _cut(NO_APPROVAL, width)]
    asked = list(_questions(answer, width))
    room = LINES - len(head) - len(foot) - 3
    items = list(_items(answer, width))
    kept = min(len(items), MOST_ITEMS, max(room - min(len(asked), 4) - 1, FEWEST_ITEMS))
    more = [f"{'':{STATUS}}and {len(items) - kept} more, told below"] if len(items) > kept else []
    cut_off = sum(not _is_whole(*pair) for pair in zip(answer.to_do, items[:kept], strict=False))
    left = room - kept - len(more)
    asked = _as_many(answer, asked, max(left - cut_off, min(left, FEWEST_ASKED), 1), width)
    told = _at_length(answer, items[:kept], left - len(asked), width)
    return [*head, "", *_heading(answer, width), *told, *more, *asked, *foot]


def _at_length(answer: CompareAnswer, items: list[str], spare: int, width: int) -> Iterator[str]:
    """Yield the items; one that is cut off in two lines, while there are spare ones."""
    for item, line in zip(answer.to_do, items, strict=False):
        if spare < 1 or _is_whole(item, line):
            yield line
            continue
        spare -= 1
        yield f"{SHORT[item.status_words]:{STATUS}}{_cut(_what(item), width - STATUS)}"
        yield f"{'':{STATUS + 2}}{_where(item, width - STATUS - 2)}"


def _is_whole(item: ToDo, line: str) -> bool:
    """Tell whether a line says all of an item: what is drawn and allowed, and every place."""
    every = "; ".join(_place(a, w, item) for a in item.asked for w in _by_section(a))
    return _what(item) in line and line.endswith(every)


def _marked(answer: CompareAnswer, width: int) -> Iterator[str]:
    if any(card.otherwise_at_stated for card in answer.cards):
        yield _cut(MARKED, width)


def warning_lines(answer: CompareAnswer, width: int) -> Iterator[str]:
    """Yield each rule set's own word of being held from memory, those of the same words together."""
    for titles, words in answer.warnings:
        yield from wrap(f"{titles}: {words}", width, subsequent_indent="  ")


def ways_lines(answer: CompareAnswer, width: int) -> Iterator[str]:
    """Yield, for each place with several ways to comply, which of them is kept wholly."""
    for ways in answer.ways:
        yield from wrap(ways.words, width, subsequent_indent="  ")


def _together(answer: CompareAnswer, width: int) -> Iterator[str]:
    """Yield whether the deck holds together, with as much of why not as there is room for."""
    lines = list(wrap(headline(answer.holds_together), width, subsequent_indent="  "))
    said = list(lacking_lines(answer.holds_together))
    most = MOST_FAULTS if len(answer.cards) <= FEW_CARDS else 1
    for status, text in said[:most]:
        lines.append(f"{SHORT[status]:{STATUS}}{_cut(text, width - STATUS)}")
    if len(said) > most:
        lines.append(f"{'':{STATUS}}and {len(said) - most} more, told below")
    yield from lines


def _cards(answer: CompareAnswer, width: int) -> Iterator[str]:
    titles = [card.title for card in answer.cards]
    column = max(map(len, titles)) + 2
    for title, card in zip(titles, answer.cards, strict=True):
        yield _cut(f"{title:{column}}{_counts(card)}", width)


def _counts(card: RuleSetCard) -> str:
    counted = (
        ("does not comply", card.fails),
        ("engineering required", card.needs_engineer),
        ("information missing", card.not_known),
    )
    told = [f"{SHORT[status]} {count}" for status, count in counted if count]
    memory = f", {card.complies_on_memory} of them on memory*" if card.complies_on_memory else ""
    if card.complies:
        told.append(f"ok {card.complies}{memory}")
    if card.otherwise_at_stated:
        told.append(f"{card.otherwise_at_stated} marked !")
    return " | ".join(told) or "nothing here is checked"


# -- what to do ------------------------------------------------------------------------------------


def _heading(answer: CompareAnswer, width: int) -> Iterator[str]:
    if not answer.to_do:
        yield _cut(f"WHAT TO DO: {SEE_ABOVE if answer.passes_nothing else NOTHING}", width)
        return
    column = STATUS + _column(answer, width)
    yield _cut(f"{'WHAT TO DO: as drawn, and what is allowed':{column}}  where", width)


def _column(answer: CompareAnswer, width: int) -> int:
    """Return the width for what is drawn and allowed at which least of all lines is cut off."""
    whole = width - STATUS - 2
    told = [(len(_what(item)), len(_where(item, 10 * width))) for item in answer.to_do]

    def lost(column: int) -> int:
        return sum(max(a - column, 0) + max(b - (whole - column), 0) for a, b in told)

    return min(range(whole * 2 // 5, whole - LEAST_WHERE + 1), key=lost)


def _items(answer: CompareAnswer, width: int) -> Iterator[str]:
    """Yield a line for each item; a long one takes from the room of where it stands."""
    for item in answer.to_do:
        column = _column(answer, width)
        what = _what(item)
        room = max(width - STATUS - 2 - LEAST_WHERE, column)
        line = f"{SHORT[item.status_words]:{STATUS}}{_cut(what, room):{column}}  "
        yield line + _where(item, width - len(line))


def _what(item: ToDo) -> str:
    """Write the fact, as drawn, and what is allowed; the reason where no one fact decides."""
    allowed = item.asked[0].allowed
    if not item.drawn:
        reason = allowed.split(";")[0]
        return f"{reason[:1].upper()}{reason[1:]} ({_topics(item)})"
    return f"{item.fact}{_of(item)}: {item.drawn}, {_short(allowed)}"


def _topics(item: ToDo) -> str:
    return item.topics[0] if len(item.topics) == 1 else f"{len(item.topics)} topics"


def _of(item: ToDo) -> str:
    """Name the one part a fact is of, or count the parts or topics it decides."""
    if len(item.topics) > 1:
        return f" ({len(item.topics)} topics)"
    if len(item.parts) == 1:
        return f" [{item.parts[0]}]"
    return f" ({len(item.parts)} parts)" if item.parts else ""


def _short(allowed: str) -> str:
    for words, short in (("at least ", "min "), ("at most ", "max ")):
        allowed = allowed.replace(words, short)
    return allowed


def _where(item: ToDo, room: int) -> str:
    """Write as many places as there is room for, and count the others."""
    told = [_place(asked, where, item) for asked in item.asked for where in _by_section(asked)]
    for count in range(len(told), 0, -1):
        more = len(told) - count
        text = "; ".join(told[:count]) + (f"; {more} more" if more else "")
        if len(text) <= room:
            return text
    return _cut(told[0], room)


def _by_section(asked: Asked) -> list[Where]:
    """Join rule sets that ask by the same sections: which acts amend them stands further on."""
    alike: dict[tuple[tuple[str, ...], bool], list[str]] = {}
    for where in asked.where:
        alike.setdefault((where.cites, where.on_memory), []).extend(where.rule_sets)
    return [Where(tuple(names), cites, memory) for (cites, memory), names in alike.items()]


def _place(asked: Asked, where: Where, item: ToDo) -> str:
    """Write rule sets and section, and what they allow where that is not what stands before."""
    cites = where.cites[0].split(";")[0]
    more = f" +{len(where.cites) - 1}" if len(where.cites) > 1 else ""
    own = f"{_short(asked.allowed)}: " if asked is not item.asked[0] else ""
    return f"{own}{', '.join(where.rule_sets)}, {cites}{'*' if where.on_memory else ''}{more}"


# -- what to find out, what is on memory -----------------------------------------------------------


def _questions(answer: CompareAnswer, width: int) -> Iterator[str]:
    yield _cut(few_answers_words(answer), width)
    yield from (_cut(f"  {words}", width) for words in none_of_it(answer))
    asked = answer.decisive_questions or tuple(question.words for question in answer.questions)
    for words in asked:
        yield _cut(f"  {words}", width)


def _as_many(answer: CompareAnswer, asked: list[str], room: int, width: int) -> list[str]:
    """Return as many lines as there is room for; the last says how many questions it leaves out."""
    left = len(asked) - room
    if left <= 0:
        return asked
    where = "deckclause ask puts them" if answer.decisive_questions else "told below"
    more = f"  (+{left}: {where})"
    last = asked[room - 1]
    if room == 1:
        last = last.partition(". ")[0]  # how much they supply is said where they are listed
    return [*asked[: room - 1], _cut(last, width - len(more)) + more]


def _memory(answer: CompareAnswer, width: int) -> Iterator[str]:
    decided = sum(card.decided for card in answer.cards)
    memory = sum(card.decided_on_memory for card in answer.cards)
    if memory:
        words = f"ON MEMORY*: {memory} of {decided} outcomes rest on figures not seen in print"
        yield _cut(f"{words}; read the code first.", width)


def _cut(text: str, width: int) -> str:
    """Cut between words to a width; the cut shows."""
    if len(text) <= width:
        return text
    indent = text[: len(text) - len(text.lstrip())]
    cut = shorten(text, max(width - len(indent), 4), placeholder=" ...")
    return indent + cut
