"""The values a place fixes that a finding rests on, directly or through what other clauses give."""

from __future__ import annotations

from deckclause.evaluate.findings import Evaluation, Finding
from deckclause.evaluate.words import fact_text, name_text
from deckclause.rulesets.clauses import Provides
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.walk import clause_reads


def local_values(
    finding: Finding, evaluation: Evaluation, vocabulary: Vocabulary, *, si: bool = False
) -> tuple[str, ...]:
    """Say each value of the place that a finding may rest on and the design does not state alike."""
    settings = {s.quantity: s for s in evaluation.ruleset.settings}
    if not settings:
        return ()
    stated = evaluation.design.facts()
    read = _read(finding, evaluation)
    return tuple(
        f"{name_text(name)} is {fact_text(setting.value, vocabulary.quantities[name], si=si)} here "
        f"({setting.origin.place}, {' '.join([setting.origin.ordinance, setting.origin.section]).strip()})"
        for name, setting in settings.items()
        if name in read and stated.get(name) != setting.value
    )


def _read(finding: Finding, evaluation: Evaluation) -> set[str]:
    """Return every quantity a finding's clause reads, and those that what it reads is given from."""
    giving = {
        f.clause.requirement.quantity: f.clause
        for f in evaluation.findings
        if isinstance(f.clause.requirement, Provides)
    }
    waiting, found = list(clause_reads(finding.clause)), set[str]()
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            if name in giving:
                waiting += clause_reads(giving[name])
    return found
