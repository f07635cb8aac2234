"""Whether the deck holds together, as an answer: told before any rule set's, and above it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from deckclause.answers.compare.finding import FindingAnswer, FindingReader
from deckclause.answers.compare.questions import Question
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Evaluation, TopicOutcome
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    STATUS_WORDS,
)
from deckclause.evaluate.together import PART, is_of_whole_deck
from deckclause.rulesets.vocabulary import Topic, Vocabulary

ASKS = "Does it hold together?"
BASIS = "statics and fit, no clause"
NOT_ASKED = "NOT ASKED: this rules folder has no coherence.yaml"
_GRAVE = (DOES_NOT_COMPLY, ENGINEERING_REQUIRED)


@dataclass(frozen=True, slots=True)
class TogetherRow:
    """One thing asked of every deck, whatever book is read: its outcome and what decides it."""

    topic: Topic
    status: int
    findings: tuple[FindingAnswer, ...]
    """Those that fail, need an engineer or lack something; where none does, the one that decides."""

    @property
    def status_words(self) -> str:
        """The status in words."""
        return STATUS_WORDS[self.status]


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that does not hold, needs an engineer or is not modelled: topic, part, how it comes about.

    What is merely not stated is no fault: it is asked for.
    """

    status: int
    title: str
    part: str
    step: str
    says: str

    @property
    def status_words(self) -> str:
        """The status in words."""
        return STATUS_WORDS[self.status]

    @property
    def text(self) -> str:
        """The fault in a sentence."""
        named = f" [{self.part}]" if self.part else ""
        return f"{self.title}{named}: {self.step}. {self.says}"


@dataclass(frozen=True, slots=True)
class HoldsTogether:
    """Whether the parts stated carry each other, fit and agree; the same under every rule set.

    `of_whole_deck` tells that the design describes more than its connection to the house; where it
    does not, `unstated` names the parts of the deck it says nothing of. `binding` tells that no
    rule set's outcome as a whole stands above this one.
    """

    status: int
    rows: tuple[TogetherRow, ...]
    faults: tuple[Fault, ...]
    questions: tuple[Question, ...]
    of_whole_deck: bool
    unstated: tuple[str, ...]
    binding: bool

    @property
    def status_words(self) -> str:
        """The status in words."""
        return STATUS_WORDS[self.status]

    @property
    def holds(self) -> bool:
        """Whether everything asked is stated, and holds."""
        return self.status in (COMPLIES, NOT_APPLICABLE)

    @property
    def headline(self) -> str:
        """The outcome in one line."""
        counts = Counter(row.status for row in self.rows)
        asked = sum(n for status, n in counts.items() if status != NOT_APPLICABLE)
        of = f"of {asked} checks of statics and fit"
        if self.status == DOES_NOT_COMPLY:
            count = counts[DOES_NOT_COMPLY]
            return f"NO: {count} {of} fail{'s' * (count == 1)}"
        if self.status == ENGINEERING_REQUIRED:
            count = counts[ENGINEERING_REQUIRED]
            return f"FOR AN ENGINEER: {count} {of} need{'s' * (count == 1)} one"
        if self.holds:
            return f"YES, as far as it is stated: {asked} checks of statics and fit (no clause)"
        if not self.of_whole_deck:
            lacks = f"not stated: {', '.join(self.unstated)}"
            return f"NOT KNOWN, a question about the whole deck: {lacks}"
        count = counts[INFORMATION_MISSING]
        return f"NOT KNOWN: {count} {of} lack{'s' * (count == 1)} something"


def headline(together: HoldsTogether | None) -> str:
    """Write the question and its answer in one line.

    >>> headline(None)
    'DOES IT HOLD TOGETHER? NOT ASKED: this rules folder has no coherence.yaml'
    """
    return f"{ASKS.upper()} {NOT_ASKED if together is None else together.headline}"


def lacking_lines(together: HoldsTogether | None) -> Iterator[tuple[str, str]]:
    """Yield status and sentence for what does not hold; then what is not known, of a whole deck."""
    if together is None:
        return
    for fault in together.faults:
        yield fault.status_words, fault.text
    if together.of_whole_deck:
        for question in together.questions:
            words = f"{question.words} - for: {', '.join(question.topics)}"
            yield STATUS_WORDS[INFORMATION_MISSING], words


def together_answer(
    evaluation: Evaluation | None,
    vocabulary: Vocabulary,
    *,
    binding: bool,
    si: bool = False,
    depth: bool = False,
) -> HoldsTogether | None:
    """Return the answer of an evaluation; None where it was not asked."""
    if evaluation is None:
        return None
    explainer = Explainer(evaluation, vocabulary, si=si)
    reader = FindingReader(explainer, depth=depth)
    topics = [topic for topic in vocabulary.topics.values() if topic.part == PART]
    outcomes = [(topic, evaluation.outcome(topic.name)) for topic in topics]
    rows = tuple(_row(topic, outcome, reader) for topic, outcome in outcomes)
    design = evaluation.design.design
    return HoldsTogether(
        status=evaluation.status,
        rows=rows,
        faults=tuple(_faults(rows)),
        questions=_questions(rows),
        of_whole_deck=is_of_whole_deck(evaluation.design),
        unstated=tuple(
            vocabulary.groups[name].title.lower()
            for name in ("joists", "beams", "posts", "footings", "guards", "stairs", "doors")
            if name not in design.parts
        ),
        binding=binding,
    )


def _row(topic: Topic, outcome: TopicOutcome, reader: FindingReader) -> TogetherRow:
    grave = [f for f in outcome.findings if f.status in (*_GRAVE, INFORMATION_MISSING)]
    decides = outcome.governing
    told = grave or ([decides] if decides is not None else [])
    return TogetherRow(topic, outcome.status, tuple(map(reader.read, told)))


def _faults(rows: tuple[TogetherRow, ...]) -> list[Fault]:
    found = [
        Fault(f.status, row.topic.title, f.part, f.decides, f.says)
        for row in rows
        for f in row.findings
        if f.status in _GRAVE or (f.status == INFORMATION_MISSING and not f.missing)
    ]
    order = (*_GRAVE, INFORMATION_MISSING)
    return sorted(found, key=lambda fault: order.index(fault.status))


def _questions(rows: tuple[TogetherRow, ...]) -> tuple[Question, ...]:
    """Return each thing to find out once, with the parts that lack it named."""
    asked: dict[tuple[str, str], dict[str, list[str]]] = {}
    for row in rows:
        for finding in row.findings:
            if finding.status == INFORMATION_MISSING:
                for what in finding.missing:
                    topics = asked.setdefault(what, {})
                    topics.setdefault(row.topic.title, []).append(finding.part)
    found = []
    for (quantity, words), topics in asked.items():
        parts = dict.fromkeys(part for found_in in topics.values() for part in found_in if part)
        at = f"[{', '.join(parts)}] " if parts else ""
        found.append(Question(quantity, at + words, tuple(topics)))
    return tuple(found)
