"""Why two rule sets part on a topic, in words."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from deckclause.compare.comparison import Change, Comparison, ComparisonRow
from deckclause.compare.difference import SETTING, settings_by_key
from deckclause.compare.drivers import Driver
from deckclause.compare.outcome import NOT_MODELLED, NOT_SEEN, NOT_STATED, PartOutcome
from deckclause.compare.reasons import ClauseReasons, SideTraces, origin_text
from deckclause.evaluate.findings import Finding, TopicOutcome
from deckclause.evaluate.status import COMPLIES, STATUS_TOLD
from deckclause.evaluate.words import asked_limit, bounds_text, called, fact_text, scalar_text
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.vocabulary import Vocabulary

__all__ = ["ChangeWords", "origin_text", "outcome_text"]


def outcome_text(outcome: TopicOutcome, *, si: bool = False) -> str:
    """Write an outcome: its status, and the limit or value that governs."""
    finding = outcome.governing
    words = STATUS_TOLD[outcome.status]
    if outcome.only_informs:
        return "for information"
    if outcome.only_sets and outcome.status == COMPLIES and finding is not None:
        return f"gives {scalar_text(finding.value, finding.kind, finding.unit, si=si)}"
    if finding is None:
        return words
    limit = asked_limit(finding, si=si)
    if limit:
        return f"{words} ({limit})"
    if (
        outcome.status == COMPLIES
        and finding.value is not None
        and not isinstance(finding.value, bool)
    ):
        return f"{words} ({scalar_text(finding.value, finding.kind, finding.unit, si=si)})"
    return words


class ChangeWords:
    """Writes the changes of one comparison."""

    def __init__(self, comparison: Comparison, vocabulary: Vocabulary, *, si: bool = False) -> None:
        self.comparison = comparison
        self.vocabulary = vocabulary
        self.si = si
        self.reasons = ClauseReasons(vocabulary, si=si)

    @cached_property
    def sides(self) -> tuple[SideTraces, ...]:
        """The traces under each rule set, read when a change needs them."""
        return tuple(SideTraces(e, self.vocabulary) for e in self.comparison.evaluations)

    def names(self, change: Change) -> tuple[str, str]:
        """Return the names of the two rule sets."""
        evaluators = self.comparison.evaluators
        return evaluators[change.first].ruleset.name, evaluators[change.second].ruleset.name

    def head(self, row: ComparisonRow, change: Change) -> str:
        """Write what changes: one outcome, then the other."""
        one, two = map(rule_set_title, self.names(change))
        before, after = self.outcomes(row, change)
        return f"{one}: {before}; {two}: {after}"

    # -- the two outcomes -------------------------------------------------------------------------

    def outcomes(self, row: ComparisonRow, change: Change) -> tuple[str, str]:
        """Write the two outcomes; never the same words for two that differ.

        Where status and limit are alike, what differs is said: the part, what was measured, what is
        missing, what is asked.
        """
        columns = (change.first, change.second)
        one, two = (outcome_text(row.outcomes[i], si=self.si) for i in columns)
        if one != two:
            return one, two
        part = self.part(row, change)
        sides = [row.compared[i].part(part) for i in columns]
        more = [self._more(p, row.outcomes[i], part) for p, i in zip(sides, columns, strict=True)]
        if more[0] == more[1]:
            more = self._asked(row, change, part)
        told = f" [{part}]" if part else ""
        first, second = (f"{one}{told}{f', {m}' if m else ''}" for m in more)
        return first, second

    def part(self, row: ComparisonRow, change: Change) -> str:
        """Return the part of the deck on which the two outcomes differ, the first if several do."""
        one, two = row.compared[change.first], row.compared[change.second]
        names = dict.fromkeys(name for side in (one, two) for name, _ in side.parts)
        return next((n for n in names if one.part(n) != two.part(n)), "")

    def _more(self, part: PartOutcome | None, outcome: TopicOutcome, name: str) -> str:
        if part is None:
            return "not asked of this part"
        finding = next(
            (f for f in outcome.findings if f.part == name and f.status == part.status), None
        )
        words = [] if part.status == outcome.status else [STATUS_TOLD[part.status]]
        if finding is not None:
            for value, least, most in part.figures:
                measured = scalar_text(value, finding.kind, finding.unit, si=self.si)
                bounds = bounds_text(least, most, finding.kind, finding.unit, si=self.si)
                words.append(f"measured {measured}{f' against {bounds}' if bounds else ''}")
        words += self._lacks(part)
        return "; ".join(words)

    def _lacks(self, part: PartOutcome) -> list[str]:
        stated = sorted(called(n, self.vocabulary) for why, n in part.lacks if why == NOT_STATED)
        words = [f"not stated: {', '.join(stated)}"] if stated else []
        kinds = {why for why, _ in part.lacks}
        words += ["a figure not seen in print"] if NOT_SEEN in kinds else []
        words += ["not modelled"] if NOT_MODELLED in kinds else []
        return words

    def _asked(self, row: ComparisonRow, change: Change, part: str) -> list[str]:
        """Write what each side asks that the other does not, by the clauses that decide."""
        columns = (change.first, change.second)
        one, two = (self._deciding(row.outcomes[i], part) for i in columns)
        only = [[s for s in one if s not in two], [s for s in two if s not in one]]
        if any(only):
            return [f"asked: {'; '.join(says)}" if says else "no more is asked" for says in only]
        told = [f"asked: {'; '.join(says)}" for says in (one, two)]
        for key in dict.fromkeys(k for d in change.drivers.drivers for k in d.keys):
            first, second = (self.sides[i].of(key).get(part) for i in columns)
            apart = self.reasons.tests_apart(first, second) if first and second else ("", "")
            told = [
                f"{t}{f', {more}' if more else ''}" for t, more in zip(told, apart, strict=True)
            ]
        return (
            told
            if told[0] != told[1]
            else [f"{told[0]}, as {n} has it" for n in self.titles(change)]
        )

    def titles(self, change: Change) -> tuple[str, str]:
        """Return the titles of the two rule sets."""
        return self.sides[change.first].title, self.sides[change.second].title

    def _deciding(self, outcome: TopicOutcome, part: str) -> list[str]:
        deciding = [f for f in outcome.findings if f.status == outcome.status and f.part == part]
        return list(dict.fromkeys(f.says.rstrip(".") for f in deciding))

    # -- why --------------------------------------------------------------------------------------

    def because(self, change: Change) -> tuple[str, ...]:
        """Write each driver: first line what drives, then a line for each thing it takes."""
        drivers = change.drivers.drivers
        lines: list[str] = []
        for number, driver in enumerate(drivers):
            told = self._driver(change, driver)
            if len(drivers) > 1:
                told[0] = f"{'either' if number == 0 else 'or'} {told[0]}"
            lines += told
        if not change.drivers.complete:
            lines.append(
                f"{len(change.drivers.considered)} clauses differ, too many to try every set of them: "
                "a smaller set may explain it too"
            )
        return tuple(lines)

    def shares(self, row: ComparisonRow, change: Change) -> tuple[str, ...]:
        """Write how much of a numeric difference each clause accounts for."""
        shares = change.drivers.shares
        if len(shares) < 2:
            return ()
        finding: Finding | None = row.outcomes[change.second].governing
        kind, unit = (finding.kind, finding.unit) if finding else ("length", "in")
        return tuple(
            f"{self.key_words(change, share.key)}: {'+' if share.amount > 0 else '-'}"
            f"{scalar_text(abs(share.amount), kind, unit, si=self.si)}"
            for share in shares
        )

    def key_words(self, change: Change, key: str) -> str:
        """Name a clause or a value a place sets as a reader finds it: by its citation."""
        if key.startswith(SETTING):
            return f"the {called(key.removeprefix(SETTING), self.vocabulary)} set"
        for column in (change.second, change.first):
            clause = self.comparison.evaluators[column].ruleset.clause(key)
            if clause is not None:
                return f"{self.vocabulary.topics[clause.topic].title} ({clause.cites})"
        return key

    def _driver(self, change: Change, driver: Driver) -> list[str]:
        keys = sorted(driver.keys, key=lambda k: (not k.startswith(SETTING), k))
        told = [self._key(change, key) for key in keys]
        if len(told) == 1:
            return told
        lines = [f"these {len(told)} together:", *(f"- {line}" for line in told)]
        return [*lines, *self._one_way(change, driver)]

    def _one_way(self, change: Change, driver: Driver) -> list[str]:
        """Say where less than the whole set is enough, going from the one rule set to the other."""
        one, two = (self.sides[i].title for i in (change.first, change.second))
        lines = []
        for enough, (start, end) in ((driver.forward, (one, two)), (driver.backward, (two, one))):
            if enough != (driver.keys,):
                ways = [" with ".join(self.key_words(change, k) for k in keys) for keys in enough]
                lines.append(
                    f"from {start} to {end} it is enough to change {' or '.join(ways)}; the way back "
                    "takes the others too"
                )
        return lines

    def _key(self, change: Change, key: str) -> str:
        one, two = (self.sides[i] for i in (change.first, change.second))
        if key.startswith(SETTING):
            return "; ".join(self._setting(side, key) for side in (two, one))
        before, after = one.ruleset.clause(key), two.ruleset.clause(key)
        if before is None and after is not None:
            return self.reasons.only_one(two, one, after, None)
        if after is None and before is not None:
            return self.reasons.only_one(one, two, before, None)
        return self.reasons.sentence(one, two, key)

    def _setting(self, side: SideTraces, key: str) -> str:
        quantity = key.removeprefix(SETTING)
        definition = self.vocabulary.quantities[quantity]
        setting = settings_by_key(side.ruleset).get(key)
        if setting is not None:
            value = fact_text(setting.value, definition, si=self.si)
            return f"{side.title} sets the {definition.called} to {value} ({origin_text(setting.origin)})"
        for clause, trace in side.gives(quantity):
            value = fact_text(trace.outcome.value, definition, si=self.si)
            return f"{side.title} keeps the {definition.called} at {value} ({clause.cites})"
        stated = self._stated(quantity)
        if stated:
            return (
                f"{side.title} leaves the {definition.called} to the design ({', '.join(stated)})"
            )
        return f"{side.title} sets no {definition.called}, and the design states none"

    def _stated(self, quantity: str) -> Sequence[str]:
        value = self.comparison.design.facts().get(quantity)
        definition = self.vocabulary.quantities[quantity]
        return [] if value is None else [fact_text(value, definition, si=self.si)]
