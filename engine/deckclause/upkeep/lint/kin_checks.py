"""Checks across rule sets: the same clause elsewhere, topics an edition lost, names nobody uses."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from deckclause.evaluate.words import fact_text
from deckclause.rulesets.clauses import Clause, Distance, Fixed, Limit, Value
from deckclause.rulesets.vocabulary import QuantityDefinition
from deckclause.rulesets.walk import clause_reads, requirements
from deckclause.upkeep.lint.clause_checks import place_of
from deckclause.upkeep.lint.context import LintContext
from deckclause.upkeep.lint.finding import Found, Place

FAR = 3
"""A figure this many times another edition's for the same clause is more likely a slip."""
_LENGTH = QuantityDefinition("", "length", "", "")


def topic_lost(context: LintContext) -> Found:
    """Find topics an edition leaves silent though the edition before it spoke on them."""
    editions = context.editions
    for before, after in pairwise(editions):
        had = dict.fromkeys(c.topic for c in before.ruleset.clauses)
        have = {c.topic for c in after.ruleset.clauses}
        file = context.files.name(context.files.ruleset_paths(after.ruleset.name)[0])
        for topic in had:
            if topic not in have:
                message = (
                    f"{after.ruleset.name} has no clause on {topic}; {before.ruleset.name} has "
                    f"({before.ruleset.topic_clauses(topic)[0].cites})"
                )
                yield Place(file), topic, message


def topic_unused(context: LintContext) -> Found:
    """Find topics no rule set speaks on."""
    if context.vocabulary is None:
        return
    spoken = {c.topic for read in context.sets for c in read.ruleset.clauses}
    path = context.files.vocabulary_paths()[1]
    tree = context.trees.get(path)
    if tree is None:
        return  # the vocabulary is that of the shipped rules
    for topic in context.vocabulary.topics:
        if topic not in spoken:
            yield (
                Place(tree.file, tree.line(("topics", topic))),
                topic,
                "no rule set has a clause on it",
            )


def quantity_unused(context: LintContext) -> Found:
    """Find quantities that no clause reads and nothing is derived from."""
    if context.vocabulary is None:
        return
    clauses = {id(c): c for read in context.sets for c in read.ruleset.clauses}  # each but once
    used = {q for clause in clauses.values() for q in clause_reads(clause)}
    path = context.files.vocabulary_paths()[0]
    tree = context.trees.get(path)
    if tree is None:
        return
    for name, definition in context.vocabulary.quantities.items():
        if name not in used and (definition.provided or definition.derived):
            message = "it is provided or derived, and no clause reads it"
            yield Place(tree.file, tree.line(("quantities", name))), name, message


def key_elsewhere(context: LintContext) -> Found:
    """Find keys that stand for different topics in different rule sets."""
    topics: dict[str, Clause] = {}
    for read in context.books:
        for clause in read.ruleset.clauses:
            first = topics.setdefault(clause.key, clause)
            if first.topic != clause.topic:
                message = (
                    f"{clause.key}: is on {clause.topic} here, on {first.topic} in "
                    f"{first.origin.ruleset}; a key keeps its topic"
                )
                yield place_of(clause), clause.key, message


def figure_far_from_kin(context: LintContext) -> Found:
    """Find figures far from the figure every other rule set has for the same clause."""
    for clause, others in _with_kin(context):
        mine = dict(_figures(clause))
        for word, figure in mine.items():
            kin = {f for o in others for w, f in _figures(o) if w == word}
            if len(kin) != 1 or len(others) < 2:
                continue
            other = kin.pop()
            if figure != other and (figure * FAR <= other or figure >= other * FAR) and other > 0:
                definition = _definition(context, clause)
                message = (
                    f"{clause.key}: {word} {fact_text(figure, definition)}, where every other rule set "
                    f"has {fact_text(other, definition)}"
                )
                yield place_of(clause), clause.key, message


def bound_turned(context: LintContext) -> Found:
    """Find limits that bound from the other side than every other rule set does."""
    for clause, others in _with_kin(context):
        mine = _sides(clause)
        kin = [s for s in map(_sides, others) if len(s) == 1]
        if len(mine) == 1 and len(kin) >= 2 and len(set(kin)) == 1 and kin[0] != mine:
            message = (
                f"{clause.key}: says {min(mine)}, where every other rule set that bounds one side "
                f"says {min(kin[0])}"
            )
            yield place_of(clause), clause.key, message


def _with_kin(context: LintContext) -> Iterator[tuple[Clause, list[Clause]]]:
    by_key: dict[str, list[Clause]] = {}
    for read in context.books:
        if read.ruleset.kind == "report":
            continue  # a product's own figures are no kin of a code's
        for clause in read.ruleset.clauses:
            by_key.setdefault(clause.key, []).append(clause)
    for clauses in by_key.values():
        for clause in clauses:
            yield clause, [c for c in clauses if c is not clause]


def _bounds(clause: Clause) -> Iterator[tuple[str, Value]]:
    for number, requirement in enumerate(requirements(clause)):
        if isinstance(requirement, Limit):
            for word, value in (
                ("at least", requirement.least),
                ("at most", requirement.most),
                ("exactly", requirement.exactly),
            ):
                if value is not None:
                    yield f"{word}{f' (exception {number})' if number else ''}", value


def _figures(clause: Clause) -> Iterator[tuple[str, Fraction]]:
    for word, value in _bounds(clause):
        if isinstance(value, Fixed) and isinstance(value.value, Fraction):
            yield word, value.value


def _sides(clause: Clause) -> frozenset[str]:
    requirement = clause.requirement
    if not isinstance(requirement, Limit) or requirement.one_of is not None:
        return frozenset()
    sides = {"at least": requirement.least, "at most": requirement.most}
    found = {word for word, value in sides.items() if value is not None}
    return frozenset(found or {"at least", "at most"})


def _definition(context: LintContext, clause: Clause) -> QuantityDefinition:
    requirement = clause.requirement
    if isinstance(requirement, Limit) and not isinstance(requirement.subject, Distance):
        return context.quantities[requirement.subject]
    return _LENGTH
