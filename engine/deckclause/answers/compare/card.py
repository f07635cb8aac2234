"""One rule set of a comparison at a glance: its outcome, the counts behind it, how well known."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from msgspec import Struct

from deckclause.answers.compare.cell import CHECKED
from deckclause.answers.compare.row import TopicRow
from deckclause.evaluate.explain import RANK
from deckclause.evaluate.findings import Evaluation
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    STATUS_WORDS,
    worst,
)
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.ruleset import Layer
from deckclause.rulesets.standing import unread_part


class RuleSetCard(Struct, frozen=True):
    """What one rule set makes of the whole deck, counted in topics.

    `standings` counts the findings that decide an outcome from the best founded to the least;
    `warning` is the rule set's own word of how it is known, told where most of them are from
    memory, and empty elsewhere. `unread` is 0 where less than half of the rule set is so carried.
    """

    name: str
    title: str
    full_title: str
    kind: str
    edition: str
    status: int
    complies: int
    complies_on_memory: int
    fails: int
    needs_engineer: int
    not_known: int
    decided: int
    decided_on_memory: int
    standings: tuple[tuple[str, int], ...]
    otherwise_at_stated: int
    """Outcomes that a load the design states, higher than the place's, would change."""
    warning: str
    unread: int
    """Clauses it carries from the rule set before without anybody having read them in it."""
    clauses: int
    digest: str
    layers: tuple[Layer, ...]

    @property
    def status_words(self) -> str:
        """The outcome of the whole in words."""
        return STATUS_WORDS[self.status]


_SETTLED = (COMPLIES, DOES_NOT_COMPLY, ENGINEERING_REQUIRED)


def card(
    evaluation: Evaluation, rows: Sequence[TopicRow], column: int, binding: int | None = None
) -> RuleSetCard:
    """Count one column of the rows; its status as a whole is never better than `binding`."""
    ruleset = evaluation.ruleset
    cells = [row.cells[column] for row in rows]
    counts = Counter(cell.status for cell in cells if cell.role == CHECKED)
    decided = [c for c in cells if c.status in _SETTLED and c.role == CHECKED]
    on_memory = [c for c in decided if c.on_memory]
    unread = unread_part(ruleset)
    standings = Counter(c.deciding.standing for c in cells if c.deciding is not None)
    return RuleSetCard(
        name=ruleset.name,
        title=rule_set_title(ruleset.name),
        full_title=ruleset.title,
        kind=ruleset.kind,
        edition=ruleset.edition,
        status=worst([s for s in (evaluation.status, binding) if s is not None]),
        complies=counts[COMPLIES],
        complies_on_memory=sum(c.status == COMPLIES for c in on_memory),
        fails=counts[DOES_NOT_COMPLY],
        needs_engineer=counts[ENGINEERING_REQUIRED],
        not_known=sum(cell.status == INFORMATION_MISSING for cell in cells),
        decided=len(decided),
        decided_on_memory=len(on_memory),
        standings=tuple((rank, standings[rank]) for rank in RANK),
        otherwise_at_stated=sum(bool(cell.at_stated) for cell in cells),
        warning=ruleset.warns if 2 * len(on_memory) > len(decided) else "",
        unread=unread.unread if unread.mostly else 0,
        clauses=unread.clauses,
        digest=ruleset.digest,
        layers=ruleset.layers,
    )
