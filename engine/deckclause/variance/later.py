"""What later tables make of a change, and what the change brings with it that no clause here asks.

A change that clears an edition without a joist table may be one no later edition would accept.
Each later edition is asked about the deck before and after; what then fails that did not, or is
missed by more, is told. Nothing of it decides compliance under the rule set asked for.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Evaluation, Finding, evaluate
from deckclause.evaluate.status import DOES_NOT_COMPLY, ENGINEERING_REQUIRED
from deckclause.placement.from_design import section_facts
from deckclause.quantities import length_text
from deckclause.rulesets.relief import WORK
from deckclause.variance.case import ReliefCase, with_status
from deckclause.variance.options import LaterVerdict, Option
from deckclause.variance.published import later_rules
from deckclause.variance.search import Search

MOST_JUDGED = 12
"""Options looked at under later tables: as many as are ever shown."""


class _Later(Struct, frozen=True):
    name: str
    title: str
    before: dict[tuple[str, str], Fraction | None]


def judged(case: ReliefCase, search: Search) -> Search:
    """Return a search whose first options carry their remarks and the later tables' verdicts.

    Within a kind of work, options with neither stand first.
    """
    editions = [
        n for n in later_rules(case) if case.catalogue.evaluator(n).ruleset.kind == "edition"
    ]
    later = [_before(case, name) for name in editions]
    told = [
        replace(
            o, remarks=remarks(case, o), later=tuple(v for x in later for v in _after(case, o, x))
        )
        for o in search.options[:MOST_JUDGED]
    ]
    told.sort(key=lambda o: (_work(o), not o.is_settled, bool(o.later), bool(o.remarks)))
    return replace(search, options=(*told, *search.options[MOST_JUDGED:]))


def _work(option: Option) -> int:
    return max((WORK.index(c.move.work) for c in option.changes), default=0)


def _before(case: ReliefCase, name: str) -> _Later:
    evaluator = case.catalogue.evaluator(name)
    evaluation = evaluate(case.design, evaluator, case.vocabulary)
    missed = {(f.key, f.part): f.margin for f in with_status(evaluation, DOES_NOT_COMPLY)}
    return _Later(name, evaluator.ruleset.title, missed)


def _after(case: ReliefCase, option: Option, later: _Later) -> list[LaterVerdict]:
    evaluator = case.catalogue.evaluator(later.name)
    evaluation = evaluate(option.evaluation.design, evaluator, case.vocabulary)
    explainer = Explainer(evaluation, case.vocabulary)
    return [
        LaterVerdict(later.name, later.title, f.topic, f.cites, explainer.steps(f)[-1])
        for f in with_status(evaluation, DOES_NOT_COMPLY)
        if _is_new(f, later)
    ]


def _is_new(finding: Finding, later: _Later) -> bool:
    place = (finding.key, finding.part)
    if place not in later.before:
        return True
    before, after = later.before[place], finding.margin
    return before is not None and after is not None and after < before


def remarks(case: ReliefCase, option: Option) -> tuple[str, ...]:
    """Say of a change what no clause says: a curb at the door, a size no table here covers."""
    said = []
    curb = curb_height(option.evaluation)
    if curb is not None and curb > 0:
        said.append(
            f"the ledger's top would stand {length_text(curb)} above the decking: a curb at the door "
            "that holds water against the wall"
        )
    changed = {c.quantity.partition(".")[0] for c in option.changes if c.move.work != "measure"}
    topics = case.vocabulary.topics
    engineered = [
        topics[f.topic].title
        for f in with_status(option.evaluation, ENGINEERING_REQUIRED)
        if topics[f.topic].part in changed
    ]
    if engineered:
        named = ", ".join(dict.fromkeys(engineered))
        said.append(f"engineering is required for what is changed: {named}")
    return tuple(said)


def curb_height(evaluation: Evaluation) -> Fraction | None:
    """Return how far the ledger's top stands above the decking, inches; None where not known."""
    facts = section_facts(evaluation.design)
    below, decking = facts.get("joists.below_ledger_top"), facts.get("decking.thickness")
    if not isinstance(below, Fraction) or not isinstance(decking, Fraction):
        return None
    return below - decking
