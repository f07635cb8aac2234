"""Whether each deck of an archive holds together, design by design: the same under both rule sets.

It has no columns: what carries what is worked out across a deck's parts. A permit that states no beam,
post or footing is of the connection to the house; it may fail in what it states, and is never known to
hold.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from msgspec import Struct, field

from deckclause.designs.together.whole import states_whole_deck, worked_out
from deckclause.evaluate.columns.chunk import Chunk
from deckclause.evaluate.columns.columns import Mask, Numbers
from deckclause.evaluate.compile import compile_ruleset
from deckclause.evaluate.findings import STATUSES
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.ready import make_ready
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY, INFORMATION_MISSING, worst
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import Vocabulary


class HeldTogether(Struct, frozen=True):
    """What the rows of a chunk come to. `status` counts only where `asked`.

    `of_whole` are the rows that state more than the connection to the house; `failing` are the topics
    that fail, with on how many rows.
    """

    status: Numbers
    asked: Mask
    of_whole: Mask
    failing: dict[str, int]

    def counted(self) -> dict[str, Any]:
        """Return the counts as plain data."""
        fails = self.asked & (self.status == DOES_NOT_COMPLY)
        holds = self.asked & (self.status == COMPLIES)
        return {
            "of_whole": int((self.asked & self.of_whole).sum()),
            "holds": int(holds.sum()),
            "fails": int(fails.sum()),
            "open": int((self.asked & ~fails & ~holds).sum()),
            "fails_in_part": int((fails & ~self.of_whole).sum()),
            "failing_on": dict(sorted(self.failing.items())),
        }


class TogetherRows:
    """Asks of each row of a chunk whether the deck holds together; `coherence` says what that is."""

    def __init__(self, coherence: RuleSet, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        compiled = compile_ruleset(coherence, vocabulary.quantities)
        self.evaluator = make_ready(compiled, vocabulary.quantities)

    def rows(
        self, chunk: Chunk, wanted: Sequence[int]
    ) -> tuple[HeldTogether, dict[int, InputError]]:
        """Return what the rows wanted come to, and those that cannot be evaluated."""
        status = np.full(chunk.count, INFORMATION_MISSING, np.uint8)
        asked, of_whole = np.zeros(chunk.count, bool), np.zeros(chunk.count, bool)
        failing: dict[str, int] = {}
        problems: dict[int, InputError] = {}
        for row in wanted:
            design = chunk.design(row, self.vocabulary)
            try:
                prepared = PreparedDesign(worked_out(design), self.vocabulary.quantities)
                found = [
                    (index, STATUSES[got[0]]) for index, _, got in self.evaluator.rows(prepared)
                ]
            except InputError as fault:
                problems[row] = fault
                continue
            asked[row], of_whole[row] = True, states_whole_deck(design)
            come_to = worst([each for _, each in found])
            if come_to == DOES_NOT_COMPLY or of_whole[row]:
                status[row] = come_to
            clauses = self.evaluator.ruleset.clauses
            for topic in {clauses[i].topic for i, each in found if each == DOES_NOT_COMPLY}:
                failing[topic] = failing.get(topic, 0) + 1
        return HeldTogether(status, asked, of_whole, failing), problems


class TogetherTotal(Struct):
    """The counts over the whole archive; `asked` is False where no rule set asks it."""

    asked: bool = False
    of_whole: int = 0
    holds: int = 0
    fails: int = 0
    open: int = 0
    fails_in_part: int = 0
    failing_on: dict[str, int] = field(default_factory=dict)

    def add(self, found: dict[str, Any] | None) -> None:
        """Add one chunk's counts; None where it was not asked."""
        if found is None:
            return
        self.asked = True
        for name in ("of_whole", "holds", "fails", "open", "fails_in_part"):
            setattr(self, name, getattr(self, name) + found[name])
        for topic, count in found["failing_on"].items():
            self.failing_on[topic] = self.failing_on.get(topic, 0) + count
