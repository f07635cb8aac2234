"""No text a builder reads holds a raw key, an underscored choice, or `is yes`."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from deckclause.answers.compare.build import compare_answer
from deckclause.answers.compare.strictest import strictest_answer
from deckclause.compare.comparison import Comparison, compare
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.words import ClauseWords
from deckclause.report.comparison.depth import depth_lines
from deckclause.report.comparison.markdown import comparison_markdown
from deckclause.report.comparison.strictest_text import strictest_lines
from deckclause.report.comparison.table import ComparisonText
from deckclause.rulesets.clauses import AllOf, AnyOf, Not
from deckclause.rulesets.clauses import Test as Check
from support.write_first_screens import TOWNS, examples

CATALOGUE = Catalogue.open()
VOCABULARY = CATALOGUE.vocabulary
KEYS = {name for name in VOCABULARY.quantities if "." in name}
CHOICES = {c for q in VOCABULARY.quantities.values() for c in q.choices if "_" in c}
BOOLEAN = re.compile(r"\b(?:is|are) (?:yes|no)(?=[.,;:)*]|$)")
RAW_NAME = re.compile(r"\b(irc|awc-dca6)-20\d\d|\w@20\d\d")
UNKNOWNS = re.compile(
    r"\b(unknown|undecided|unread|unclear|unstated|information missing|"
    r"(?:cannot be|not|never) told|not given|not determined|not checked)\b",
    re.IGNORECASE,
)
"""Other words for what has one: not known (no answer), not stated (in the design), not decided (not
known, or for an engineer), not seen in print (a figure), not modelled (a clause), not regulated."""
SOURCES = re.compile(r"sources: .*(\n {6}.*)*")
"""Ids of published sources, which may be named as a rule set is."""
SETS = (TOWNS, ("irc-2006", "irc-2015", "irc-2024", "awc-dca6-2015"))


def told(comparison: Comparison) -> dict[str, str]:
    """Write a comparison in every way a person reads."""
    answer = compare_answer(comparison, VOCABULARY, depth=True)
    whole = ComparisonText(answer, everything=True, why=True)
    return {
        "table": "\n".join(ComparisonText(answer).lines()),
        "all, why and depth": "\n".join(whole.lines(depth_lines(whole))),
        "markdown": comparison_markdown(answer).replace("\\", ""),
        "strictest": "\n".join(strictest_lines(strictest_answer(comparison, VOCABULARY), 100)),
    }


@pytest.mark.parametrize("names", SETS)
@pytest.mark.parametrize("design", examples(CATALOGUE), ids=lambda path: path.stem)
def test_what_is_read_is_in_the_trades_words(design: Path, names: tuple[str, ...]) -> None:
    comparison = compare(CATALOGUE, CATALOGUE.design(design), names)
    for kind, text in told(comparison).items():
        words = set(re.findall(r"[\w.]+", text))
        assert not words & KEYS, (kind, words & KEYS)
        assert not words & CHOICES, (kind, words & CHOICES)
        assert not UNKNOWNS.findall(text), kind
        found = BOOLEAN.findall(" ".join(text.split()))
        assert not found, (kind, found)
        assert not RAW_NAME.search(SOURCES.sub("", text)), kind


def test_drop_is_one_thing_the_ledgers() -> None:
    """Of a guard, a stair, a door or the joists the words are height, distance, step down."""
    told = [
        (name, words)
        for name, q in VOCABULARY.quantities.items()
        for words in (q.called, q.says, q.ask, *(said for _, said in q.said))
    ]
    told += [(t.name, words) for t in VOCABULARY.topics.values() for words in (t.title, t.question)]
    told += [
        (clause.topic, clause.says)
        for folder in ("editions", "guides")
        for path in CATALOGUE.files.found(folder).iterdir()
        for clause in CATALOGUE.library.ruleset(path.name).clauses
    ]
    of_drop = {name for name, words in told if re.search(r"\bdrops?\b", words, re.IGNORECASE)}
    assert of_drop == {"ledger.below_band_joist", "ledger_greatest_drop"}


def test_every_yes_and_no_has_its_sentence() -> None:
    """A yes or no that clauses or steps may show reads as a sentence, not as `is yes`."""
    bare = {
        q.name
        for q in VOCABULARY.quantities.values()
        if q.kind == "yes_no" and {value for value, _ in q.said} != {"yes", "no"}
    }
    assert not bare


def test_a_condition_and_its_denial_read_as_sentences() -> None:
    words = ClauseWords(VOCABULARY)
    notched = Check("guards.post_notched", (False,))
    kind = Check("fasteners.kind", ("lag_screw", "through_bolt"))
    assert words.condition(notched) == "the guard posts are not notched where they are fastened"
    assert words.condition(Not(notched)) == "the guard posts are notched where they are fastened"
    assert words.condition(kind) == "the kind of ledger fastener is lag screw or through bolt"
    assert (
        words.condition(Not(kind)) == "the kind of ledger fastener is not lag screw or through bolt"
    )
    both = AllOf((notched, AnyOf((kind, Check("wall.veneer", ("none",))))))
    assert words.condition(both) == (
        "the guard posts are not notched where they are fastened; and either the kind of ledger "
        "fastener is lag screw or through bolt or there is no masonry veneer behind the ledger"
    )
    assert words.condition(Not(AllOf((notched, notched)))).count(" or ") == 1
