"""Whole published rules as alternatives: this deck, or one near it, under a later edition's rule.

An official grants a rule that was published and read by others sooner than a figure made for one
deck. So before any home-made figure each later edition and guide is asked whether its whole rule on
the matter holds, for the deck as drawn or with one or two changes that keep the step at the door.
What the deck then still misses under its own rule set is what the request asks for.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from deckclause.designs.design import Design
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Evaluation, evaluate
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
)
from deckclause.rulesets.clauses import Scalar
from deckclause.variance.case import ReliefCase, places, with_status
from deckclause.variance.changing import Change, changed
from deckclause.variance.relax import Relaxation, missed
from deckclause.variance.same_loads import There, other_loads, read_there, set_here
from deckclause.variance.search import find_changes

LEDGER_RULE = ("connection", "fasteners", "placement")
"""Parts of the topics that are one rule in every edition: how a ledger is fastened to the house."""
MOST_CHANGES = 2
EFFORT = 150
MOST_RULES = 3
ORDER_OF_STANDING = ("confirmed", "derived", "common practice", "memory")


class PublishedClause(Struct, frozen=True):
    """One clause of the rule asked for in place of one that the deck misses."""

    key: str
    cites: str
    says: str
    standing: str
    sources: tuple[str, ...]
    instead_of: str


class PublishedRule(Struct, frozen=True):
    """A later published rule under which a deck, changed or not, complies wholly on the matter.

    `changes` are those the deck needs for it; `also` the later rule sets that hold as well;
    `relaxations` what it then still misses under its own rule set; `evaluation` that evaluation;
    `open` topics of the rule on which information is missing.
    """

    ruleset: str
    title: str
    published: int
    later: bool
    clauses: tuple[PublishedClause, ...]
    changes: tuple[Change, ...]
    also: tuple[str, ...]
    relaxations: tuple[Relaxation, ...]
    evaluation: Evaluation
    open: tuple[str, ...] = ()

    @property
    def is_whole(self) -> bool:
        """Whether nothing of the rule is open for want of information."""
        return not self.open

    @property
    def standing(self) -> str:
        """The weakest standing of its clauses."""
        return max(
            (c.standing for c in self.clauses), key=ORDER_OF_STANDING.index, default="memory"
        )

    @property
    def values(self) -> tuple[tuple[str, Scalar], ...]:
        """What the request sets differently from the design file."""
        return tuple((c.quantity, c.after) for c in self.changes)


class _PartOfRule(ReliefCase, frozen=True):
    """A case that looks at some topics alone."""

    topics: frozenset[str] = frozenset()

    def evaluate(self, design: Design) -> Evaluation:
        """Evaluate a changed design, keeping the findings of these topics."""
        return _only(super().evaluate(design), self.topics)


def find_published(case: ReliefCase) -> tuple[PublishedRule, ...]:
    """Return the later published rules that would do, fewest changes and best standing first."""
    if not case.failing:
        return ()
    found: dict[tuple[tuple[str, Scalar], ...], PublishedRule] = {}
    for name in later_rules(case):
        other = _on_the_rule(case, name)
        for changes in _ways(case, other, tuple(tuple(r.changes) for r in found.values())):
            rule = _rule(case, other, changes)
            if rule is None:
                continue
            known = found.get(rule.values)
            found[rule.values] = rule if known is None else replace(known, also=(*known.also, name))
    ordered = sorted(
        found.values(),
        key=lambda r: (len(r.changes), ORDER_OF_STANDING.index(r.standing), r.published),
    )
    return tuple(ordered[:MOST_RULES])


def followed_as_asked(case: ReliefCase) -> PublishedRule | None:
    """Return the later rule of best standing that the deck follows wholly as it stands, with all others."""
    found = [
        rule for name in later_rules(case) if (rule := _rule(case, _on_the_rule(case, name), ()))
    ]
    if not found:
        return None
    best = min(found, key=lambda r: (not r.is_whole, ORDER_OF_STANDING.index(r.standing)))
    also = tuple(r.ruleset for r in found if r is not best and r.is_whole)
    return replace(best, also=also)


def later_rules(case: ReliefCase) -> tuple[str, ...]:
    """Name the editions and guides published after the case's own edition, in order of year."""
    catalogue, own = case.catalogue, case.evaluator.ruleset.published
    names = (*catalogue.files.of_kind("editions"), *catalogue.files.of_kind("guides"))
    years = {name: catalogue.evaluator(name).ruleset.published for name in names}
    return tuple(
        sorted((n for n, year in years.items() if year > own), key=lambda n: (years[n], n))
    )


def rule_topics(case: ReliefCase) -> frozenset[str]:
    """Return the topics of the whole rule that what fails belongs to."""
    topics = case.vocabulary.topics
    parts = {topics[f.topic].part for f in case.failing}
    if parts & set(LEDGER_RULE):
        parts |= set(LEDGER_RULE)
    return frozenset(name for name, topic in topics.items() if topic.part in parts)


def _on_the_rule(case: ReliefCase, name: str) -> _PartOfRule:
    evaluator = set_here(case, case.catalogue.evaluator(name))
    evaluation = evaluate(case.design, evaluator, case.vocabulary)
    topics = rule_topics(case)
    return _PartOfRule(
        case.catalogue,
        case.rules,
        evaluator,
        _only(evaluation, topics),
        case.together,
        topics=topics,
    )


def _only(evaluation: Evaluation, topics: frozenset[str]) -> Evaluation:
    return replace(evaluation, findings=tuple(f for f in evaluation.findings if f.topic in topics))


def _ways(
    case: ReliefCase, other: _PartOfRule, known: tuple[tuple[Change, ...], ...]
) -> Iterator[tuple[Change, ...]]:
    """Yield changes to try under the other rule: those known to do elsewhere, none, or the least."""
    yield from known
    if not other.failing and () not in known:
        yield ()
    elif not known:
        for option in find_changes(other, most_changes=MOST_CHANGES, effort=EFFORT).options:
            if option.keeps_step or option.surface_before is None:
                yield option.changes


def _rule(
    case: ReliefCase, other: _PartOfRule, changes: tuple[Change, ...]
) -> PublishedRule | None:
    """Return the published rule with these changes; None where it does not hold, or is no relief."""
    values = {c.quantity: c.after for c in changes}
    design = changed(case.design.design, values, case.vocabulary) if values else case.design.design
    here = case.evaluate(design)
    published = case.catalogue.evaluator(other.evaluator.ruleset.name)
    whole = read_there(case, published, here.design)
    there = _only(whole.read, other.topics)
    if not _holds(case, there) or _on_other_loads(case, here, whole, there):
        return None
    missing = _missing(case, here)
    if not missing:
        return None
    ruleset, asked_on = other.evaluator.ruleset, case.asked_on
    return PublishedRule(
        ruleset=ruleset.name,
        title=ruleset.title,
        published=ruleset.published,
        later=asked_on is not None and ruleset.published > asked_on.year,
        clauses=tuple(_clauses(case, there, missing)),
        changes=changes,
        also=(),
        relaxations=missing,
        evaluation=here,
        open=tuple(
            dict.fromkeys(f.topic for f in there.findings if f.status == INFORMATION_MISSING)
        ),
    )


def _holds(case: ReliefCase, there: Evaluation) -> bool:
    """Tell whether the other rule holds: nothing fails or is newly left to an engineer.

    What fails in the case must be regulated there, and comply: silence is no rule.
    """
    engineers = {f.topic for f in case.engineering}
    for finding in there.findings:
        if finding.status == DOES_NOT_COMPLY:
            return False
        if finding.status == ENGINEERING_REQUIRED and finding.topic not in engineers:
            return False
    complying = {f.topic for f in there.findings if f.status == COMPLIES}
    return {f.topic for f in case.failing} <= complying


def _on_other_loads(case: ReliefCase, here: Evaluation, whole: There, rule: Evaluation) -> bool:
    """Tell whether any clause of the other rule speaks for other loads than those set here."""
    own = {(f.topic, f.part): f for f in here.findings}
    failing = with_status(here, DOES_NOT_COMPLY)
    return bool(failing) and any(
        other_loads(here, own.get((f.topic, f.part), failing[0]), whole, f, case.vocabulary)
        for f in rule.findings
        if f.status == COMPLIES
    )


def _missing(case: ReliefCase, here: Evaluation) -> tuple[Relaxation, ...]:
    """Return what the deck misses under its own rule set; nothing where that is no case for relief."""
    found = []
    for finding in with_status(here, DOES_NOT_COMPLY):
        relaxation = missed(finding)
        if relaxation is None or case.never_relax(finding.clause):
            return ()
        found.append(relaxation)
    if not places(with_status(here, ENGINEERING_REQUIRED)) <= places(case.engineering):
        return ()
    return tuple(found)


def _clauses(
    case: ReliefCase, there: Evaluation, missing: tuple[Relaxation, ...]
) -> Iterator[PublishedClause]:
    explainer = Explainer(there, case.vocabulary)
    for relaxation in missing:
        for found in there.findings:
            here = relaxation.finding
            if (found.topic, found.part) == (here.topic, here.part) and found.status == COMPLIES:
                yield PublishedClause(
                    found.key, found.cites, found.says, explainer.standing(found),
                    tuple(explainer.sources(found)), here.key,
                )  # fmt: skip
