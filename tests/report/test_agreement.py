"""That rule sets agree is said as far as it is known, and no further."""

from __future__ import annotations

from msgspec.structs import replace

from deckclause.answers.compare.build import compare_answer
from deckclause.compare.comparison import compare
from deckclause.evaluate.catalogue import Catalogue
from deckclause.report.comparison.agreement import agreement_words
from support.designs import EXAMPLES

CATALOGUE = Catalogue.open()


def test_a_rule_set_nobody_has_read_is_not_said_to_agree() -> None:
    """2024 is carried from 2021, all but what is confirmed of it by a source of its own."""
    design = CATALOGUE.design(EXAMPLES / "step-down-3in.yaml")
    comparison = compare(CATALOGUE, design, ["irc-2021", "irc-2024"])
    answer = compare_answer(comparison, CATALOGUE.vocabulary)
    words = agreement_words(answer)
    ruleset = CATALOGUE.ruleset("irc-2024")
    unread = [c for c in ruleset.clauses if c.origin.carried and c.standing != "confirmed"]
    assert f"{len(unread)} of the {len(ruleset.clauses)} clauses of IRC 2024" in words
    assert "That nothing changed is not known" in words
    read = replace(answer, cards=tuple(replace(card, unread=0) for card in answer.cards))
    assert agreement_words(read) == "The rule sets agree on everything asked."


def test_one_rule_set_is_not_said_to_agree() -> None:
    design = CATALOGUE.design(EXAMPLES / "whole-deck-12x16.yaml")
    answer = compare_answer(compare(CATALOGUE, design, ["irc-2018"]), CATALOGUE.vocabulary)
    assert agreement_words(answer) == "IRC 2018 alone is asked, so nothing is set beside it."
