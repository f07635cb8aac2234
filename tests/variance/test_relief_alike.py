"""One relief everywhere: the command, the data, the page and the papers print the answer's own figures."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from deckclause.answers.relief.answer import ChoiceFound, LaterWord, ReliefAnswer
from deckclause.answers.relief.build import relief_answer
from deckclause.page.app import templates
from deckclause.report.cautions import IN_WORDS
from deckclause.report.relief.choice import choice_lines
from deckclause.report.relief.data import relief_data
from deckclause.report.relief.text import relief_lines
from deckclause.rulesets.names import rule_set_title
from variance.papers import figures, papers, report_of, squeezed, strings, text_on_paper

RATIO = re.compile(r"\b\d\.\d\d\b")


def _page(answer: ReliefAnswer) -> str:
    page = templates().get_template("relief.html").render(relief=answer, cautions=IN_WORDS)
    return unescape(re.sub(r"<[^>]+>", " ", page))


def _told(choice: ChoiceFound) -> list[str]:
    """What every printer owes a choice: what it asks and moves, and both scales."""
    rule = [choice.published.told] if choice.published else []
    return [
        *rule, *choice.moves, *choice.engineering, *choice.not_advisable,
        *([choice.tension] if choice.tension else []), choice.precedent,
    ]  # fmt: skip


@pytest.mark.parametrize("deck", [1, 2])
def test_command_and_page_print_every_choice_alike(deck: int) -> None:
    answer = relief_answer(report_of(deck), most_options=8)
    command, page = " ".join(relief_lines(answer)), _page(answer)
    assert answer.relaxations.choices
    for choice in answer.relaxations.choices:
        for words in _told(choice):
            assert squeezed(words) in squeezed(command), words
            assert squeezed(words) in squeezed(page), words
        for item, ask in zip(choice.items, choice.asks, strict=True):
            assert squeezed(ask) in squeezed(page)
            assert squeezed(f"{item.cites}: from {item.required} to {item.asked}") in squeezed(
                command
            )
            assert figures(ask) == figures(f"from {item.required} to {item.asked}")
            who = item.precedents
            for undecided in who.undecided if who else ():
                assert squeezed(rule_set_title(undecided)) in squeezed(command)
    for option in answer.changes.options:
        for change in option.changes:
            for value in (change.before, change.after):
                assert value in command
                assert value in page
        for step in option.steps:
            assert squeezed(step.told) in squeezed(command)
            assert squeezed(step.told) in squeezed(page)
    for question in (answer.to_find_out.told, *answer.to_find_out.questions):
        assert squeezed(question) in squeezed(page)
    assert squeezed(answer.to_find_out.told) in squeezed(command)


def test_the_page_and_the_data_hold_no_figure_that_the_answer_does_not() -> None:
    answer = relief_answer(report_of(2), most_options=8)
    data = relief_data(answer)
    texts = [*strings(answer), *_texts(data), *IN_WORDS]
    rules = (c.published for c in answer.relaxations.choices)
    known = {f for text in texts for f in figures(text)} | {
        f for rule in rules if rule for f in figures(rule.told)
    }
    for printed in (_page(answer), " ".join(relief_lines(answer))):
        assert set(figures(printed)) <= known
    asked = [[item["asked"] for item in c["items"]] for c in data["relaxations"]["choices"]]
    assert asked == [[item.asked for item in c.items] for c in answer.relaxations.choices]


def test_a_later_edition_that_would_not_accept_a_change_is_named_as_it_is_read() -> None:
    answer = relief_answer(report_of(2))
    word = LaterWord("irc-2024", "Joist span", "Table R507.6", "10 ft against at most 9 ft")
    first, *others = answer.changes.options
    options = (replace(first, later=(word,)), *others)
    told = replace(answer, changes=replace(answer.changes, options=options))
    for text in (" ".join(relief_lines(told)), _page(told)):
        assert squeezed("IRC 2024 would not accept it: Joist span, Table R507.6") in squeezed(text)


def test_the_papers_print_the_choice_they_were_begun_with(tmp_path: Path) -> None:
    """The request on relief 1: its papers hold that choice's clauses, ratios, permits and no others."""
    choice = relief_answer(report_of(2)).relaxations.choices[0]
    paper, document, _ = papers(tmp_path, 2, "modification", "plain")
    text = squeezed(text_on_paper(document))
    assert [item.section.partition(";")[0] for item in paper.items] == [
        i.cites for i in choice.items
    ]
    for item, asked, who in zip(choice.items, paper.items, paper.permits, strict=True):
        assert asked.required == item.required
        assert asked.value == item.value_asked.text()
        assert squeezed(f"from {item.required} to {item.asked}") in text
        assert item.precedents is not None
        assert [p.title for p in item.precedents.permit] == [p.title for p in who.permits]
        assert item.context.lines == asked.context
    assert not paper.elevations.found
    assert squeezed("The ledger is not drawn in elevation: only a layout that complies") in text
    ratios = [r for line in choice.engineering for r in RATIO.findall(line)]
    shown = [r for line in paper.letter.engineering for r in RATIO.findall(line)]
    assert ratios, choice.engineering
    assert set(shown) == set(ratios)
    assert all(squeezed(line) in text for line in paper.letter.engineering)


def test_the_guided_file_names_every_choice_in_the_same_lines() -> None:
    answer = relief_answer(report_of(2))
    page, command = _page(answer), " ".join(relief_lines(answer))
    assert rule_set_title(answer.rule_set.name) in command
    for choice in answer.relaxations.choices:
        for figure in figures(" ".join(choice_lines(choice))):
            assert figure in command
            assert figure in page


def _texts(value: Any) -> list[str]:
    if isinstance(value, dict):
        return [t for v in value.values() for t in _texts(v)]
    if isinstance(value, list):
        return [t for v in value for t in _texts(v)]
    return [value] if isinstance(value, str) else []
