"""The answer of `compare A B`: what differs between two decks, and what that does."""

from __future__ import annotations

from msgspec import Struct

from deckclause.compare.designs import Apart, OutcomeApart, TwoDesigns
from deckclause.compare.words import outcome_text
from deckclause.evaluate.words import fact_text, name_text
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.vocabulary import Vocabulary


class ApartAnswer(Struct, frozen=True):
    """One difference between the decks, in words."""

    key: str
    words: str
    before: str
    after: str


class OutcomeAnswer(Struct, frozen=True):
    """One outcome that changes, and the differences of the decks that drive it.

    `because` is empty where nothing was sought; several entries are alternatives.
    """

    topic: str
    title: str
    rule_set: str
    before: str
    after: str
    status_before: str
    status_after: str
    because: tuple[tuple[str, ...], ...]


class TwoDesignsAnswer(Struct, frozen=True):
    """Two decks under the same rule sets, everything decided; a graver outcome comes first."""

    one: str
    two: str
    rule_sets: tuple[str, ...]
    apart: tuple[ApartAnswer, ...]
    outcomes: tuple[OutcomeAnswer, ...]
    unchanged: int
    sought: bool
    exit_status: int


def two_designs_answer(
    found: TwoDesigns, vocabulary: Vocabulary, exit_status: int, *, si: bool = False
) -> TwoDesignsAnswer:
    """Return the answer; `exit_status` is that of the second deck."""
    apart = tuple(_apart(a, vocabulary, si=si) for a in found.apart)
    words = {a.key: a.words for a in apart}
    worst_first = sorted(
        found.outcomes,
        key=lambda o: (-max(o.before.status, o.after.status), found.names.index(o.rule_set)),
    )
    return TwoDesignsAnswer(
        one=found.one.name,
        two=found.two.name,
        rule_sets=tuple(map(rule_set_title, found.names)),
        apart=apart,
        outcomes=tuple(_outcome(o, words, si=si) for o in worst_first),
        unchanged=found.unchanged,
        sought=all(o.drivers is not None for o in found.outcomes),
        exit_status=exit_status,
    )


def _apart(apart: Apart, vocabulary: Vocabulary, *, si: bool) -> ApartAnswer:
    if apart.parts is not None:
        title = vocabulary.groups[apart.key].title
        counts = [f"{n} stated" if n else "none stated" for n in apart.parts]
        return ApartAnswer(apart.key, title, *counts)
    definition = vocabulary.quantities[apart.key]

    def told(values: tuple[Scalar | None, ...]) -> str:
        known = ["not stated" if v is None else fact_text(v, definition, si=si) for v in values]
        return ", ".join(dict.fromkeys(known))

    return ApartAnswer(apart.key, name_text(apart.key), told(apart.before), told(apart.after))


def _outcome(outcome: OutcomeApart, words: dict[str, str], *, si: bool) -> OutcomeAnswer:
    drivers = () if outcome.drivers is None else outcome.drivers.drivers
    return OutcomeAnswer(
        topic=outcome.topic.name,
        title=outcome.topic.title,
        rule_set=rule_set_title(outcome.rule_set),
        before=_told(outcome, before=True, si=si),
        after=_told(outcome, before=False, si=si),
        status_before=outcome.before.status_words,
        status_after=outcome.after.status_words,
        because=tuple(tuple(words[key] for key in driver.keys) for driver in drivers),
    )


def _told(outcome: OutcomeApart, *, before: bool, si: bool) -> str:
    """Write an outcome with what was measured, so that two that differ never read alike."""
    side = outcome.before if before else outcome.after
    words = outcome_text(side, si=si)
    finding = side.governing
    if finding is None or finding.value is None or isinstance(finding.value, bool):
        return words
    from deckclause.evaluate.words import scalar_text

    measured = scalar_text(finding.value, finding.kind, finding.unit, si=si)
    return words if measured in words else f"{words}, as drawn {measured}"
