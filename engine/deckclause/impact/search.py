"""Which clauses drive a change of status, for many designs at once.

For the rows whose status on a topic differs between two rule sets, sets of clauses are exchanged
in order of size, and the mixed rule set is evaluated on every one of those rows, in columns. A
set is named for a row only where its evaluation turned that row's status into the second one's,
and only sets of the smallest size that does are named. Nothing is inferred from a sample.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import comb

import numpy as np
from msgspec.structs import replace

from deckclause.compare.difference import settings_by_key
from deckclause.compare.rule_diff.pair import RulePair
from deckclause.evaluate.columns.chunk import Chunk
from deckclause.evaluate.columns.columns import Mask, Numbers
from deckclause.evaluate.columns.derive import FactTable
from deckclause.evaluate.columns.evaluator import ColumnarEvaluator
from deckclause.evaluate.columns.topics import topic_statuses
from deckclause.evaluate.compile import compile_ruleset
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.ready import make_ready
from deckclause.rulesets.clauses import Clause
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import Vocabulary

Exchange = tuple[str, ...]
MOST_SETS = 500
"""Sets of one size are tried up to this many; past it only the exchange of all is."""
MOST_SIZE = 3


class DriverSearch:
    """Finds drivers on the topics of two rule sets, keeping the mixed rule sets it has compiled."""

    def __init__(self, one: Evaluator, two: Evaluator, vocabulary: Vocabulary) -> None:
        self.one = one
        self.two = two
        self.vocabulary = vocabulary
        self.pair = RulePair(one, two)
        self._hybrids: dict[tuple[str, Exchange], ColumnarEvaluator] = {}

    # -- searching --------------------------------------------------------------------------------

    def drivers(
        self, topic: str, chunk: Chunk, table: FactTable, before: Numbers, after: Numbers
    ) -> tuple[list[tuple[Exchange, ...]], Numbers]:
        """Return the drivers of every row: a list of the sets found, and each row's place in it.

        `before` and `after` are each row's statuses. A row no exchange accounts for has ().
        """
        keys = self.pair.keys(topic)
        sets: list[tuple[Exchange, ...]] = []
        codes = np.full(chunk.count, -1, np.int32)
        open_rows = np.arange(chunk.count)
        for exchanges in _by_size(keys):
            if not open_rows.size:
                break
            hits = np.array(
                [
                    self._both_ways(topic, exchange, chunk, table, before, after, open_rows)
                    for exchange in exchanges
                ]
            )
            found = hits.any(axis=0)
            patterns, which = _distinct(hits[:, found])
            codes[open_rows[found]] = which + len(sets)
            sets += [tuple(e for e, hit in zip(exchanges, p, strict=True) if hit) for p in patterns]
            open_rows = open_rows[~found]
        if open_rows.size:
            codes[open_rows] = len(sets)
            sets.append(())
        return sets, codes

    def _both_ways(
        self,
        topic: str,
        exchange: Exchange,
        chunk: Chunk,
        table: FactTable,
        before: Numbers,
        after: Numbers,
        rows: Numbers,
    ) -> Mask:
        """Tell on which rows an exchange turns the first status into the second, and back."""
        others = tuple(key for key in self.pair.keys(topic) if key not in exchange)
        if not (
            self._gives_what_it_reads(topic, exchange) and self._gives_what_it_reads(topic, others)
        ):
            return np.zeros(rows.size, bool)
        hit = self._turns(topic, exchange, chunk, table, after, rows)
        if hit.any():
            # the second rule set with these from the first is the first with the others exchanged
            back = self._turns(topic, others, chunk, table, before, rows[hit])
            hit[hit] = back
        return hit

    def _gives_what_it_reads(self, topic: str, exchange: Exchange) -> bool:
        """Tell whether what the clauses of a mixed rule set read of one another is given by one."""
        sides, settings = self.pair.by_key, self.pair.settings
        chosen = [sides[key in exchange].get(key) for key in self.pair.needed(topic)]
        entries = [entry for entry in chosen if entry is not None]
        given = {entry.provides for entry in entries}
        given |= {
            s.quantity
            for k in (*settings[0], *settings[1])
            if (s := settings[k in exchange].get(k))
        }
        quantities = self.vocabulary.quantities
        return all(
            name in given or not quantities[name].provided
            for entry in entries
            for name in entry.reads
        )

    def _turns(
        self,
        topic: str,
        exchange: Exchange,
        chunk: Chunk,
        table: FactTable,
        wanted: Numbers,
        rows: Numbers,
    ) -> Mask:
        """Evaluate a mixed rule set on some rows; tell where it comes to the status wanted.

        With nothing exchanged it is the first rule set, with everything the second: those were
        evaluated already, and their statuses are the ones wanted.
        """
        if len(exchange) in (0, len(self.pair.keys(topic))):
            return np.ones(rows.size, bool)
        hybrid = self.hybrid(topic, exchange)
        narrow = table.narrowed(hybrid.names).rows(rows)
        statuses, _ = topic_statuses(hybrid, chunk.rows(rows), narrow, [topic])
        return np.asarray(statuses[0] == wanted[rows])

    def hybrid(self, topic: str, exchange: Exchange) -> ColumnarEvaluator:
        """Return the first rule set's part on a topic with some clauses exchanged for the second's."""
        if (topic, exchange) not in self._hybrids:
            needed = self.pair.needed(topic)
            mixed = mixed_ruleset(self.one.ruleset, self.two.ruleset, needed, exchange)
            quantities = self.vocabulary.quantities
            evaluator = make_ready(compile_ruleset(mixed, quantities), quantities)
            self._hybrids[topic, exchange] = ColumnarEvaluator(evaluator, self.vocabulary)
        return self._hybrids[topic, exchange]


def mixed_ruleset(
    one: RuleSet, two: RuleSet, needed: frozenset[str], exchange: Sequence[str]
) -> RuleSet:
    """Return `one`'s clauses of the keys needed, with those of `exchange` from `two`."""
    first = {c.key: c for c in one.clauses if c.key in needed}
    second = {c.key: c for c in two.clauses if c.key in needed}
    clauses: list[Clause] = []
    for key in dict.fromkeys([*first, *second]):
        chosen = (second if key in exchange else first).get(key)
        if chosen is not None:
            clauses.append(chosen)
    set_one, set_two = settings_by_key(one), settings_by_key(two)
    settings = [
        setting
        for key in dict.fromkeys([*set_one, *set_two])
        if (setting := (set_two if key in exchange else set_one).get(key)) is not None
    ]
    name = f"{one.name} with {', '.join(exchange) or 'nothing'} of {two.name}"
    return replace(one, name=name, clauses=tuple(clauses), settings=tuple(settings), struck=())


def _distinct(columns: Mask) -> tuple[Mask, Numbers]:
    """Return the distinct columns of a table of yes and no, a row each, and which each one is."""
    packed = np.ascontiguousarray(np.packbits(columns, axis=0).T)
    if not packed.size:
        return np.zeros((0, columns.shape[0]), bool), np.zeros(0, np.int32)
    whole = packed.view(np.dtype((np.void, packed.shape[1]))).ravel()
    _, first, which = np.unique(whole, return_index=True, return_inverse=True)
    return np.asarray(columns[:, first].T), which.astype(np.int32)


def _by_size(keys: tuple[str, ...]) -> Iterator[list[Exchange]]:
    """Yield the sets to try, size by size, and last the exchange of everything."""
    for size in range(1, min(len(keys), MOST_SIZE) + 1):
        if comb(len(keys), size) > MOST_SETS:
            break
        yield list(combinations(keys, size))
    if len(keys) > MOST_SIZE or comb(len(keys), min(len(keys), MOST_SIZE)) > MOST_SETS:
        yield [keys]
