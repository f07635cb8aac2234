"""Whether the deck holds together, as an answer: told before any rule set's, and above it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct

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
STATICS, PRACTICE = "statics and fit", "practice"
BASES = {"derived": STATICS, "common practice": "common practice", "memory": "practice from memory"}
"""What a finding rests on, by the standing of its figure: nothing here is a clause of a book."""
NOT_ASKED = "NOT ASKED: this rules folder has no coherence.yaml"
_GRAVE = (DOES_NOT_COMPLY, ENGINEERING_REQUIRED)


class TogetherRow(Struct, frozen=True):
    """One thing asked of every deck, whatever book is read: its outcome and what decides it."""

    topic: Topic
    status: int
    findings: tuple[FindingAnswer, ...]
    """Those that fail, need an engineer or lack something; where none does, the one that decides."""
    bases: tuple[str, ...]
    """What the checks it asks of this deck rest on: statics and fit, practice, or both."""

    @property
    def basis(self) -> str:
        """What it rests on, in words."""
        return basis_words(self.bases)

    @property
    def status_words(self) -> str:
        """The status in words."""
        return STATUS_WORDS[self.status]


class Fault(Struct, frozen=True):
    """One thing that does not hold, needs an engineer or is not modelled: topic, part, how it comes about.

    What is merely not stated is no fault: it is asked for.
    """

    status: int
    title: str
    part: str
    step: str
    says: str
    basis: str

    @property
    def status_words(self) -> str:
        """The status in words."""
        return STATUS_WORDS[self.status]

    @property
    def text(self) -> str:
        """The fault in a sentence."""
        named = f" [{self.part}]" if self.part else ""
        return f"{self.title}{named}: {self.step}. {self.says}"


class HoldsTogether(Struct, frozen=True):
    """Whether the parts stated carry each other, fit and agree; the same under every rule set.

    `of_whole_deck` tells that the design describes more than its connection to the house; where it
    does not, `unstated` names the parts of the deck it says nothing of. `binding` tells that no
    rule set's outcome as a whole stands above this one.
    """

    status: int
    rows: tuple[TogetherRow, ...]
    faults: tuple[Fault, ...]
    questions: tuple[tuple[Question, str], ...]
    """What to find out, each once, with what the checks that ask it rest on."""
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
        if self.status == DOES_NOT_COMPLY:
            return f"NO: {self._counted('fail')}"
        if self.status == ENGINEERING_REQUIRED:
            return f"FOR AN ENGINEER: {self._counted('need', ' one')}"
        if self.holds:
            return f"YES, as far as stated: {self._asked()}; no clause"
        if not self.of_whole_deck:
            lacks = f"not stated: {', '.join(self.unstated)}"
            return f"NOT KNOWN of the whole deck; {lacks}"
        return f"NOT KNOWN: {self._counted('lack', ' something')}"

    def _asked(self) -> str:
        """Count what is asked by what it rests on; a row that rests on both is counted as practice."""
        asked = [row.bases for row in self.rows if row.status != NOT_APPLICABLE]
        by_statics = sum(bases == (STATICS,) for bases in asked)
        rest = len(asked) - by_statics
        more = f", {rest} of practice" if rest else ""
        return f"{by_statics} checks of statics and fit{more}"

    def _counted(self, does: str, what: str = "") -> str:
        """Count the rows that come to the worst status, with what those findings of theirs rest on."""
        asked = sum(row.status != NOT_APPLICABLE for row in self.rows)
        worst = [row for row in self.rows if row.status == self.status]
        bases = _bases(f.standing for row in worst for f in row.findings if f.status == self.status)
        short = basis_words(dict.fromkeys(b if b == STATICS else PRACTICE for b in bases))
        count = len(worst)
        return f"{count} of {asked} checks {does}{'s' * (count == 1)}{what} ({short})"


def headline(together: HoldsTogether | None) -> str:
    """Write the question and its answer in one line.

    >>> headline(None)
    'DOES IT HOLD TOGETHER? NOT ASKED: this rules folder has no coherence.yaml'
    """
    return f"{ASKS.upper()} {NOT_ASKED if together is None else together.headline}"


class Shortcoming(Struct, frozen=True):
    """One thing that does not hold or is not known, in a sentence, and what asks for it."""

    status_words: str
    text: str
    basis: str


def shortcomings(together: HoldsTogether | None) -> Iterator[Shortcoming]:
    """Yield what does not hold; then what is not known, of a whole deck."""
    if together is None:
        return
    for fault in together.faults:
        yield Shortcoming(fault.status_words, fault.text, fault.basis)
    if together.of_whole_deck:
        for question, basis in together.questions:
            words = f"{question.words} - for: {', '.join(question.topics)}"
            yield Shortcoming(STATUS_WORDS[INFORMATION_MISSING], words, basis)


def lacking_lines(together: HoldsTogether | None) -> Iterator[tuple[str, str]]:
    """Yield status and sentence, with what it rests on, for each of the `shortcomings`."""
    for found in shortcomings(together):
        yield found.status_words, f"{found.text} ({found.basis})"


def basis_words(bases: Iterable[str]) -> str:
    """Write what several things rest on.

    >>> basis_words(("statics and fit", "common practice"))
    'statics and fit; common practice'
    """
    return "; ".join(bases)


def _bases(standings: Iterable[str]) -> tuple[str, ...]:
    """Return what findings rest on, each once, statics first."""
    found = set(standings)
    known = tuple(basis for standing, basis in BASES.items() if standing in found)
    return (*known, *sorted(found - set(BASES)))


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
    asked = [f for f in outcome.findings if f.status != NOT_APPLICABLE]
    bases = _bases(reader.explainer.standing(f) for f in asked)
    return TogetherRow(topic, outcome.status, tuple(map(reader.read, told)), bases)


def _faults(rows: tuple[TogetherRow, ...]) -> list[Fault]:
    found = [
        Fault(f.status, row.topic.title, f.part, f.decides, f.says, _bases([f.standing])[0])
        for row in rows
        for f in row.findings
        if f.status in _GRAVE or (f.status == INFORMATION_MISSING and not f.missing)
    ]
    order = (*_GRAVE, INFORMATION_MISSING)
    return sorted(found, key=lambda fault: order.index(fault.status))


def _questions(rows: tuple[TogetherRow, ...]) -> tuple[tuple[Question, str], ...]:
    """Return each thing to find out once, with the parts that lack it named, and what asks it."""
    asked: dict[tuple[str, str], list[tuple[str, FindingAnswer]]] = {}
    for row in rows:
        for finding in row.findings:
            if finding.status == INFORMATION_MISSING:
                for what in finding.missing:
                    asked.setdefault(what, []).append((row.topic.title, finding))
    found = []
    for (quantity, words), asking in asked.items():
        parts = dict.fromkeys(finding.part for _, finding in asking if finding.part)
        at = f"[{', '.join(parts)}] " if parts else ""
        topics = tuple(dict.fromkeys(title for title, _ in asking))
        basis = basis_words(_bases(finding.standing for _, finding in asking))
        found.append((Question(quantity, at + words, topics), basis))
    return tuple(found)
