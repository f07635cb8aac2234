"""The answer of `compare`: everything a printer tells of one deck under several rule sets."""

from __future__ import annotations

from msgspec import Struct

from deckclause.answers.compare.attention import ALIKE, BEGUN, SHOWN
from deckclause.answers.compare.card import RuleSetCard
from deckclause.answers.compare.decisive import Decisive
from deckclause.answers.compare.failures import Failure
from deckclause.answers.compare.known import KnownOfPair
from deckclause.answers.compare.questions import Question
from deckclause.answers.compare.row import TopicRow
from deckclause.answers.compare.to_do import ToDo
from deckclause.answers.compare.together import HoldsTogether
from deckclause.answers.compare.ways import WaysToComply
from deckclause.evaluate.status import COMPLIES


class Told(Struct, frozen=True):
    """What must be said of one rule set, or of the design itself, besides its findings."""

    title: str
    says: tuple[str, ...]
    of_design: bool = False


class Unstated(Struct, frozen=True):
    """A part of the deck the design says nothing of, with how many topics wait for it."""

    part: str
    title: str
    topics: int


class DesignHead(Struct, frozen=True):
    """The design a comparison is of."""

    name: str
    says: str
    file: str
    digest: str


class CompareAnswer(Struct, frozen=True):
    """One deck under several rule sets, everything decided.

    `holds_together` says whether the parts carry each other, the same under every rule set; it
    stands first in every output, and is None where it is not asked. `rows` are the topics in order;
    `known` says of every pair of columns explained how much is known of what changed.
    """

    design: DesignHead
    si: bool
    cards: tuple[RuleSetCard, ...]
    holds_together: HoldsTogether | None
    rows: tuple[TopicRow, ...]
    known: tuple[KnownOfPair, ...]
    ways: tuple[WaysToComply, ...]
    unstated: tuple[Unstated, ...]
    told: tuple[Told, ...]
    to_do: tuple[ToDo, ...]
    failures: tuple[Failure, ...]
    failures_where_they_differ: tuple[Failure, ...]
    questions: tuple[Question, ...]
    decisive: Decisive | None
    decisive_questions: tuple[str, ...]
    undecided_topics: int
    table_cautions: tuple[str, ...]
    exit_status: int
    engine: str
    vocabulary: str

    @property
    def every_row(self) -> tuple[TopicRow, ...]:
        """All rows, in order."""
        return self.rows

    @property
    def passes_nothing(self) -> bool:
        """Whether no rule set's outcome counts as a pass: the deck is not known to hold together."""
        together = self.holds_together
        return together is not None and together.binding and not together.holds

    @property
    def complies_wholly(self) -> bool:
        """Whether every rule set's outcome of the whole deck, not of some topics, is a pass."""
        return all(card.status == COMPLIES for card in self.cards)

    def with_attention(self, attention: str) -> tuple[TopicRow, ...]:
        """Return the rows that deserve one kind of attention."""
        return tuple(row for row in self.every_row if row.attention == attention)

    @property
    def shown(self) -> tuple[TopicRow, ...]:
        """The rows for the matrix."""
        return self.with_attention(SHOWN)

    @property
    def alike(self) -> tuple[TopicRow, ...]:
        """The rows alike under all rule sets that need no one's attention."""
        return self.with_attention(ALIKE)

    @property
    def begun(self) -> tuple[TopicRow, ...]:
        """The rows regulated only from a later rule set on, and alike since."""
        return self.with_attention(BEGUN)

    @property
    def asked(self) -> tuple[Question, ...]:
        """What to find out of the parts the design describes."""
        return tuple(q for q in self.questions if not q.in_unstated)

    @property
    def warnings(self) -> tuple[tuple[str, str], ...]:
        """The rule sets held from memory, those of the same words together, with their own words."""
        said: dict[str, list[str]] = {}
        for card in self.cards:
            if card.warning:
                said.setdefault(card.warning, []).append(card.title)
        return tuple(("; ".join(titles), words) for words, titles in said.items())

    @property
    def titles(self) -> tuple[str, ...]:
        """The names of the rule sets as they are read."""
        return tuple(card.title for card in self.cards)
