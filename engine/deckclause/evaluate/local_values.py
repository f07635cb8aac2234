"""The values a place fixes that a finding rests on, directly or through what other clauses give."""

from __future__ import annotations

from deckclause.evaluate.findings import Evaluation, Finding
from deckclause.evaluate.words import fact_text
from deckclause.rulesets.clauses import Provides
from deckclause.rulesets.ruleset import Setting
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.walk import clause_reads


def local_values(
    finding: Finding, evaluation: Evaluation, vocabulary: Vocabulary, *, si: bool = False
) -> tuple[str, ...]:
    """Say each value of the place that a finding may rest on and the design does not state alike."""
    return tuple(
        f"the {vocabulary.quantities[setting.quantity].called} is "
        f"{fact_text(setting.value, vocabulary.quantities[setting.quantity], si=si)} here "
        f"({act_text(setting)})"
        for setting in local_settings(finding, evaluation)
    )


def local_settings(finding: Finding, evaluation: Evaluation) -> tuple[Setting, ...]:
    """Return the place's settings a finding may rest on and the design does not state alike."""
    settings = evaluation.ruleset.settings
    if not settings:
        return ()
    stated = evaluation.design.facts()
    read = _read(finding, evaluation)
    return tuple(s for s in settings if s.quantity in read and stated.get(s.quantity) != s.value)


def act_text(setting: Setting) -> str:
    """Name the place and the ordinance, with its section, that fix a value."""
    origin = setting.origin
    return f"{origin.place}, {' '.join([origin.ordinance, origin.section]).strip()}"


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
