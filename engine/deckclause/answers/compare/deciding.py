"""The fact that decides a finding which fails or needs an engineer: what to look at first."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from msgspec import Struct

from deckclause.compare.comparison import WORKED_OUT
from deckclause.designs.design import Facts
from deckclause.designs.geometry import distance_rests_on
from deckclause.evaluate.explain import Explainer, failing_tests
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.status import ENGINEERING_REQUIRED
from deckclause.evaluate.words import asked_limit, fact_text, scalar_text
from deckclause.rulesets.clauses import (
    AllOf,
    Condition,
    Distance,
    Limit,
    MustBe,
    NeedsEngineering,
    NotPermitted,
    Provides,
    Test,
)

DROP = "ledger.below_band_joist"
GREATEST_DROP = "ledger_greatest_drop"


class Deciding(Struct, frozen=True):
    """A fact that decides a finding; findings with the same key are decided by the same fact.

    `leads` marks the finding whose figures speak for the item; `by_topics` that the item is named
    by the topics it decides, for want of one fact.
    """

    key: tuple[str, ...]
    fact: str
    drawn: str
    allowed: str
    leads: bool = True
    by_topics: bool = False


def deciding_facts(
    finding: Finding, title: str, explainer: Explainer, *, drop_fails: bool
) -> Iterator[Deciding]:
    """Yield the facts that decide a grave finding; `title` is its topic's.

    `drop_fails` tells that the ledger's drop is past the greatest the rule set allows: then what
    rests on the drop belongs to it.
    """
    if finding.status == ENGINEERING_REQUIRED:
        yield from _out_of_scope(finding, title, explainer)
        return
    if drop_fails and _rests_on_drop(finding, explainer.facts(finding)):
        called = explainer.vocabulary.quantities[DROP].called
        drawn, allowed = _limit(finding, explainer)
        leads = finding.topic == GREATEST_DROP
        yield Deciding(("fact", DROP), called, drawn, allowed, leads)
        return
    requirement = finding.requirement
    if isinstance(requirement, Limit) and finding.limit != (None, None):
        yield _of_limit(finding, requirement, title, explainer)
    elif isinstance(requirement, MustBe | NotPermitted):
        yield from _of_condition(finding, requirement, title, explainer)
    else:
        yield Deciding(("topic", finding.topic), title, "", _first_sentence(finding.says))


def _rests_on_drop(finding: Finding, facts: Facts) -> bool:
    if finding.topic in WORKED_OUT:
        return True
    requirement = finding.requirement
    if not isinstance(requirement, Limit) or not isinstance(requirement.subject, Distance):
        return False
    subject = requirement.subject
    return DROP in distance_rests_on(subject.start, subject.end, facts)


def _limit(finding: Finding, explainer: Explainer) -> tuple[str, str]:
    kind, unit, si = finding.kind, finding.unit, explainer.si
    drawn = "" if finding.value is None else scalar_text(finding.value, kind, unit, si=si)
    return drawn, asked_limit(finding, si=si)


def _of_limit(finding: Finding, requirement: Limit, title: str, explainer: Explainer) -> Deciding:
    drawn, allowed = _limit(finding, explainer)
    if isinstance(requirement.subject, str):
        called = explainer.vocabulary.quantities[requirement.subject].called
        return Deciding(("fact", requirement.subject), called, drawn, allowed)
    return Deciding(("topic", finding.topic), title, drawn, allowed)


def _of_condition(
    finding: Finding, requirement: MustBe | NotPermitted, title: str, explainer: Explainer
) -> Iterator[Deciding]:
    """Yield each quantity whose test fails; the topic itself where no one quantity does."""
    facts, words = explainer.facts(finding), explainer.words
    barred = isinstance(requirement, NotPermitted)
    tests = (
        _only_test(requirement.condition)
        if barred
        else failing_tests(requirement.condition, facts, explainer.vocabulary)
    )
    found = [t for t in tests if t.quantity in facts]
    for test in found:
        definition = explainer.vocabulary.quantities[test.quantity]
        drawn = fact_text(facts[test.quantity], definition, si=explainer.si)
        allowed = "not permitted" if barred else words.allowed(test)
        yield Deciding(("fact", test.quantity), definition.called, drawn, allowed)
    if not found:
        yield Deciding(("topic", finding.topic), title, "", _first_sentence(finding.says))


def _only_test(condition: Condition) -> tuple[Test, ...]:
    """Return the test that is the whole of a condition, if one is."""
    while isinstance(condition, AllOf) and len(condition.parts) == 1:
        condition = condition.parts[0]
    return (condition,) if isinstance(condition, Test) else ()


def _out_of_scope(finding: Finding, title: str, explainer: Explainer) -> Iterator[Deciding]:
    """Yield the facts past what the clause, or what it reads from another, covers; else its reason."""
    root = _root(finding, explainer)
    facts = explainer.facts(root)
    outside = failing_tests(root.clause.scope, facts, explainer.vocabulary)
    for test in outside:
        definition = explainer.vocabulary.quantities[test.quantity]
        drawn = fact_text(facts[test.quantity], definition, si=explainer.si)
        allowed = f"covered: {explainer.words.allowed(test)}"
        yield Deciding(("outside", test.quantity, drawn), definition.called, drawn, allowed)
    if outside:
        return
    past = list(_outside_tables(root, explainer))
    yield from past
    if not past:
        requirement = root.requirement
        stated = isinstance(requirement, NeedsEngineering)
        reason = requirement.reason if isinstance(requirement, NeedsEngineering) else ""
        reason = reason or explainer.engineering_reason(root).removeprefix("engineering: ")
        key = ("reason", reason) if stated else ("reason", finding.topic, reason)
        yield Deciding(key, title, "", reason, by_topics=True)


def _outside_tables(finding: Finding, explainer: Explainer) -> Iterator[Deciding]:
    """Yield the facts a table was entered with that lie outside its keys, however many topics ask."""
    for read in explainer.trace(finding).cells:
        for place in read.outside:
            axis, value = read.table.axes[place], read.entered[place]
            definition = explainer.vocabulary.quantities[axis.quantity]
            drawn = fact_text(value, definition, si=explainer.si)
            first, last = axis.keys[0], axis.keys[-1]
            allowed = "not in the table"
            if isinstance(value, Fraction) and isinstance(last, Fraction) and value > last:
                allowed = f"covered: at most {fact_text(last, definition, si=explainer.si)}"
            elif isinstance(value, Fraction) and isinstance(first, Fraction) and value < first:
                allowed = f"covered: at least {fact_text(first, definition, si=explainer.si)}"
            yield Deciding(("outside", axis.quantity, drawn), definition.called, drawn, allowed)


def _root(finding: Finding, explainer: Explainer) -> Finding:
    """Follow a value another clause could not give to that clause's finding."""
    for name in finding.missing:
        for other in explainer.evaluation.findings:
            requirement = other.clause.requirement
            gives = isinstance(requirement, Provides) and requirement.quantity == name
            if gives and other is not finding and other.status == ENGINEERING_REQUIRED:
                return _root(other, explainer)
    return finding


def _first_sentence(text: str) -> str:
    """Return the first clause of a sentence, short enough for one line's column."""
    return " ".join(text.split()).split(";")[0].rstrip(".")
