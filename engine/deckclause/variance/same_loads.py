"""What another rule set makes of a deck at the values this place sets: its site, and the loads it must bear.

A span or a spacing that a book prints for 40 psf says nothing of a deck that must bear 60 psf. So
every other rule set is read with what the place sets in place of its own; and where it does not read
a load that the matter rests on here, and would itself give another, it is on other loads: what it
permits is no precedent.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Evaluation, Finding, evaluate
from deckclause.evaluate.plan import provided_quantity
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.words import fact_text
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.walk import clause_reads
from deckclause.variance.case import ReliefCase

LOADS = "loads."


class There(Struct, frozen=True):
    """Another rule set on a design: `read` with the values set here, and as it gives them by `itself`."""

    read: Evaluation
    itself: Evaluation


def set_here(case: ReliefCase, evaluator: Evaluator) -> Evaluator:
    """Return another rule set with every value the case's places set in place of its own."""
    mine = case.evaluator.ruleset.settings
    if not mine:
        return evaluator
    names = {s.quantity for s in mine}
    own = tuple(s for s in evaluator.ruleset.settings if s.quantity not in names)
    with_mine = replace(evaluator.ruleset, settings=(*own, *mine))
    return evaluator.with_ruleset(with_mine, case.vocabulary.quantities)


def read_there(case: ReliefCase, evaluator: Evaluator, design: PreparedDesign) -> There:
    """Evaluate a design under another rule set, with the values set here and without."""
    quantities = case.vocabulary.quantities
    read = evaluate(design, set_here(case, evaluator), case.vocabulary)
    if any(quantities[s.quantity].provided for s in case.evaluator.ruleset.settings):
        return There(read, evaluate(design, evaluator, case.vocabulary))
    return There(read, read)


def other_loads(
    here: Evaluation, finding: Finding, there: There, found: Finding, vocabulary: Vocabulary
) -> tuple[str, ...]:
    """Name the loads on which another rule set's finding speaks of a matter, where not those set here."""
    own = Explainer(here, vocabulary).facts(finding)
    read_of_it = dict.fromkeys(loads_under(there.read.ruleset, found))
    told = []
    for name in dict.fromkeys([*loads_under(here.ruleset, finding), *read_of_it]):
        evaluation = there.read if name in read_of_it else there.itself
        other, mine = _given(evaluation, found, name, vocabulary), own.get(name)
        if mine is not None and other is not None and mine != other:
            definition = vocabulary.quantities[name]
            told.append(
                f"{definition.called} {fact_text(other, definition)}, not {fact_text(mine, definition)}"
            )
    return tuple(told)


def _given(
    evaluation: Evaluation, found: Finding, name: str, vocabulary: Vocabulary
) -> Scalar | None:
    """Return what a rule set has for a load where the same clause is evaluated."""
    same = (f for f in evaluation.findings if (f.key, f.part) == (found.key, found.part))
    finding = next(same, None)
    return None if finding is None else Explainer(evaluation, vocabulary).facts(finding).get(name)


def loads_under(ruleset: RuleSet, finding: Finding) -> Iterator[str]:
    """Yield the loads a finding rests on that are given: read by its clause, or by what gives those."""
    givers: dict[str, set[str]] = {}
    for clause in ruleset.clauses:
        given = provided_quantity(clause)
        if given:
            givers.setdefault(given, set()).update(clause_reads(clause))
    for setting in ruleset.settings:
        givers.setdefault(setting.quantity, set())
    seen: set[str] = set()
    ahead = list(clause_reads(finding.clause))
    while ahead:
        name = ahead.pop(0)
        if name in givers and name not in seen:
            seen.add(name)
            if name.startswith(LOADS):
                yield name
            ahead += sorted(givers[name])
