"""What is not settled: sizes that no rule set decides, and topics that a choice leaves open.

A size is chosen only where a rule set asked says yes or no to it on the very topic that it answers
(the joist's on its span, the footing's on its size). What nobody decides stays as drawn.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from deckclause.choosing.members import BY_QUANTITY, Choice, Variable
from deckclause.choosing.tables import ClauseTable, Verdict
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.findings import Evaluation, Finding
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
)
from deckclause.rulesets.clauses import Scalar

OPEN = (ENGINEERING_REQUIRED, INFORMATION_MISSING)


class Undecided(Struct, frozen=True):
    """A topic of the members chosen that the best combination leaves open under one rule set.

    `missing` names facts the design does not state; with none, print was not seen or not modelled,
    or an engineer decides: there the size is chosen by the other rule sets alone.
    """

    ruleset: str
    finding: Finding
    missing: tuple[str, ...]


class Silent(Struct, frozen=True):
    """A rule set that has nothing to say of a topic by which sizes are chosen."""

    ruleset: str
    topic: str


def decided(variable: Variable, tables: Iterable[ClauseTable]) -> bool:
    """Tell whether a clause says yes or no to an option, on a topic that decides the choice."""
    return any(_says_yes_or_no(table, variable.quantity) for table in tables)


def _says_yes_or_no(table: ClauseTable, quantity: str) -> bool:
    return (
        table.clause.topic in BY_QUANTITY[quantity].topics
        and quantity in table.scope
        and any(v.status in (COMPLIES, DOES_NOT_COMPLY) for v in table.verdicts.values())
    )


def unsure(
    chosen: Sequence[Variable],
    tables: Sequence[ClauseTable],
    best: Choice,
    evaluations: Sequence[Evaluation],
    asked: Sequence[str],
) -> frozenset[str]:
    """Return the choices that one of the rule sets asked does not decide as chosen.

    A clause that depends on the choice is open; or the topic that decides it is open or silent.
    """
    found = {
        name
        for table in tables
        if table.verdicts[tuple(best[n] for n in table.scope)].status in OPEN
        for name in table.scope
        if deciding(table, name)
    }
    for evaluation in evaluations:
        if evaluation.ruleset.name in asked:
            mine = [t for t in tables if t.ruleset == evaluation.ruleset.name]
            found |= {v.quantity for v in chosen if not _settled(evaluation, mine, v.quantity)}
    return frozenset(found)


def _settled(evaluation: Evaluation, tables: Iterable[ClauseTable], quantity: str) -> bool:
    """Tell whether a rule set says yes or no to a choice, and leaves nothing open that decides it."""
    topics = BY_QUANTITY[quantity].topics
    left_open = any(f.topic in topics and f.status in OPEN for f in evaluation.findings)
    return not left_open and any(_says_yes_or_no(table, quantity) for table in tables)


def deciding(table: ClauseTable, name: str) -> bool:
    """Tell whether a choice changes what the clause comes to, the others as they are."""
    place = table.scope.index(name)
    seen: dict[tuple[Scalar, ...], Verdict] = {}
    for values, verdict in table.verdicts.items():
        others = (*values[:place], *values[place + 1 :])
        if seen.setdefault(others, verdict) != verdict:
            return True
    return table.undecided_throughout


def topics_of(chosen: Sequence[Variable], evaluators: Sequence[Evaluator]) -> frozenset[str]:
    """Return the topics that decide a choice, or whose clauses read anything of its member."""
    members = {variable.quantity.split(".")[0] for variable in chosen}
    read = {
        clause.topic
        for evaluator in evaluators
        for clause, reads in zip(evaluator.ruleset.clauses, evaluator.plan.reads, strict=True)
        if any(name.split(".")[0] in members for name in reads)
    }
    return frozenset(read.union(*(BY_QUANTITY[v.quantity].topics for v in chosen)))


def undecided(topics: frozenset[str], evaluations: Sequence[Evaluation]) -> tuple[Undecided, ...]:
    """Return what the best combination leaves open on some topics."""
    found: dict[tuple[str, str, tuple[str, ...]], Undecided] = {}
    for evaluation in evaluations:
        for finding in evaluation.findings:
            if finding.topic in topics and finding.status in OPEN:
                missing = tuple(str(name) for name in finding.missing)
                name = evaluation.ruleset.name
                found.setdefault((name, finding.topic, missing), Undecided(name, finding, missing))
    return tuple(found.values())


def silent(
    chosen: Sequence[Variable], evaluations: Sequence[Evaluation], asked: Sequence[str]
) -> tuple[Silent, ...]:
    """Return, for the first topic that decides each choice, the rule sets with no clause on it."""
    topics = dict.fromkeys(BY_QUANTITY[v.quantity].topics[0] for v in chosen)
    return tuple(
        Silent(evaluation.ruleset.name, topic)
        for topic in topics
        for evaluation in evaluations
        if evaluation.ruleset.name in asked and not evaluation.ruleset.topic_clauses(topic)
    )
