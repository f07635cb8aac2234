"""Who already permits it: every other published edition and guide, and places with rules of their own.

A place that takes a clause over from its edition unchanged says nothing new: it is folded into the
edition. Places made up for demonstration are never asked for a real deck.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from msgspec import Struct

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Evaluation, Finding
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY, STATUS_WORDS, worst
from deckclause.variance.case import ReliefCase
from deckclause.variance.same_loads import There, other_loads, read_there


class Precedent(Struct, frozen=True):
    """A published rule, or a place's own, that permits what is asked for (or refuses it).

    `published` is the year of the edition or guide, or of the place's adoption; `later` tells that
    it is later than the day of the request. `sources` are ids of rules/sources.yaml.
    """

    ruleset: str
    title: str
    clause: str
    cites: str
    says: str
    least: Fraction | None
    most: Fraction | None
    kind: str
    unit: str
    standing: str
    same_clause: bool
    published: int
    later: bool
    sources: tuple[str, ...]


class Precedents(Struct, frozen=True):
    """For one failing clause: who permits it, who refuses it, who says nothing (never a pass).

    `on_other_loads` are rule sets that speak of it for other loads than those set here, with how they
    differ: they permit nothing of it. `inherit` are places that take what their edition says, and are folded into it. `model` is what
    the rule set's own edition, without any amendment, makes of it, in words.
    """

    finding: Finding
    permit: tuple[Precedent, ...]
    refuse: tuple[Precedent, ...]
    silent: tuple[str, ...]
    undecided: tuple[str, ...]
    inherit: tuple[str, ...]
    model: str
    on_other_loads: tuple[tuple[str, str], ...] = ()

    @property
    def looked_at(self) -> int:
        """How many rule sets with rules of their own were asked."""
        told = (self.permit, self.refuse, self.silent, self.undecided, self.on_other_loads)
        return sum(map(len, told))


def rule_set_names(catalogue: Catalogue, *, invented: bool = False) -> tuple[str, ...]:
    """Return every edition and guide, and every place on the first day of each adoption.

    A product's report is none: what it allows its own fastener is no precedent for another.
    Places made up for demonstration are among them only where `invented` is asked for.
    """
    files = catalogue.files
    names = [*files.of_kind("editions"), *files.of_kind("guides")]
    for place in catalogue.register.places.values():
        if invented or not place.invented:
            for adoption in place.adoptions:
                names += catalogue.register.ways(f"{place.name}@{adoption.begins}")
    return tuple(dict.fromkeys(names))


def find_precedents(
    case: ReliefCase, findings: Iterable[Finding], evaluation: Evaluation | None = None
) -> tuple[Precedents, ...]:
    """Ask every other rule set what it makes of the same design on each failing clause.

    `evaluation` is that of the design changed, where it is not asked of the case's own.
    Each is read with the values the case's places set: the site is the same under any book.
    """
    own = case.evaluation if evaluation is None else evaluation
    catalogue = case.catalogue
    others = [
        read_there(case, catalogue.evaluator(name), own.design)
        for name in rule_set_names(catalogue, invented=case.design.design.invented)
        if name != case.evaluator.ruleset.name
    ]
    return tuple(_of(case, own, finding, others) for finding in findings)


def _of(case: ReliefCase, here: Evaluation, finding: Finding, others: list[There]) -> Precedents:
    on_other_loads: list[tuple[str, str]] = []
    permit: list[Precedent] = []
    refuse: list[Precedent] = []
    model = ""
    silent: list[str] = []
    undecided: list[str] = []
    inherit: list[str] = []
    silent_editions = {
        there.read.ruleset.name for there in others if not _on_the_matter(there.read, finding)
    }
    for there in others:
        ruleset = there.read.ruleset
        name, edition = ruleset.name, ruleset.edition
        found = _on_the_matter(there.read, finding)
        if name == case.evaluator.ruleset.edition:
            model = STATUS_WORDS[worst([f.status for f in _on_the_matter(there.itself, finding)])]
        if "@" in name and _inherited(found, edition in silent_editions):
            inherit.append(name)
        elif not found:
            silent.append(name)
        elif loads := _other_loads(case, here, finding, there):
            on_other_loads.append((name, loads))
        elif all(f.status == COMPLIES for f in found):
            permit.append(_precedent(case, there.read, found[0], finding))
        elif failing := [f for f in found if f.status == DOES_NOT_COMPLY]:
            refuse.append(_precedent(case, there.read, failing[0], finding))
        else:
            undecided.append(name)
    return Precedents(
        finding,
        tuple(permit),
        tuple(refuse),
        tuple(silent),
        tuple(undecided),
        tuple(inherit),
        model,
        tuple(on_other_loads),
    )


def _other_loads(case: ReliefCase, here: Evaluation, finding: Finding, there: There) -> str:
    """Say on which other loads another rule set speaks of the matter; nothing where on the same."""
    told = [
        words
        for found in _on_the_matter(there.read, finding)
        for words in other_loads(here, finding, there, found, case.vocabulary)
    ]
    return "; ".join(dict.fromkeys(told))


def _inherited(found: list[Finding], edition_is_silent: bool) -> bool:
    """Tell whether a place says on the matter only what its edition does."""
    if not found:
        return edition_is_silent
    return all(not f.clause.origin.place for f in found)


def _on_the_matter(evaluation: Evaluation, finding: Finding) -> list[Finding]:
    """Return the other rule set's findings of the same clause, else of the same topic."""
    same = [f for f in evaluation.findings if (f.key, f.part) == (finding.key, finding.part)]
    if same:
        return same
    return [f for f in evaluation.findings if (f.topic, f.part) == (finding.topic, finding.part)]


def _precedent(
    case: ReliefCase, evaluation: Evaluation, found: Finding, finding: Finding
) -> Precedent:
    explainer = Explainer(evaluation, case.vocabulary)
    ruleset, asked_on = evaluation.ruleset, case.asked_on
    _, _, day = ruleset.name.partition("@")
    published = int(day[:4]) if day else ruleset.published
    return Precedent(
        published=published,
        later=asked_on is not None and published > asked_on.year,
        sources=tuple(explainer.sources(found)),
        ruleset=ruleset.name,
        title=ruleset.title,
        clause=found.key,
        cites=found.cites,
        says=found.says,
        least=found.least,
        most=found.most,
        kind=found.kind,
        unit=found.unit,
        standing=explainer.standing(found),
        same_clause=found.key == finding.key,
    )
