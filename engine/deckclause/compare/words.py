"""Why two rule sets part on a topic, in words."""

from __future__ import annotations

from deckclause.compare.comparison import Change, Comparison, ComparisonRow
from deckclause.compare.difference import SETTING, settings_by_key
from deckclause.compare.drivers import Driver
from deckclause.evaluate.findings import TopicOutcome
from deckclause.evaluate.status import COMPLIES, STATUS_WORDS
from deckclause.evaluate.words import bounds_text, fact_text, name_text, scalar_text
from deckclause.rulesets.clauses import Clause, Origin
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.ruleset import DRAFT, RuleSet
from deckclause.rulesets.vocabulary import Vocabulary


def outcome_text(outcome: TopicOutcome, *, si: bool = False) -> str:
    """Write an outcome: its status, and the limit or value that governs."""
    finding = outcome.governing
    words = STATUS_WORDS[outcome.status]
    if outcome.only_informs:
        return "for information"
    if outcome.only_sets and outcome.status == COMPLIES and finding is not None:
        return f"gives {scalar_text(finding.value, finding.kind, finding.unit, si=si)}"
    if finding is None:
        return words
    limit = bounds_text(finding.least, finding.most, finding.kind, finding.unit, si=si)
    if limit:
        return f"{words} ({limit})"
    if (
        outcome.status == COMPLIES
        and finding.value is not None
        and not isinstance(finding.value, bool)
    ):
        return f"{words} ({scalar_text(finding.value, finding.kind, finding.unit, si=si)})"
    return words


def origin_text(origin: Origin) -> str:
    """Name the amendment a clause came from: place, ordinance, section, date."""
    if not origin.ordinance:
        return ""
    section = f" {origin.section}" if origin.section else ""
    when = "a draft, not in force" if origin.adopted == DRAFT else f"adopted {origin.adopted}"
    return f"{origin.place}, {origin.ordinance}{section}, {when}"


class ChangeWords:
    """Writes the changes of one comparison."""

    def __init__(self, comparison: Comparison, vocabulary: Vocabulary, *, si: bool = False) -> None:
        self.comparison = comparison
        self.vocabulary = vocabulary
        self.si = si

    def names(self, change: Change) -> tuple[str, str]:
        """Return the names of the two rule sets."""
        evaluators = self.comparison.evaluators
        return evaluators[change.first].ruleset.name, evaluators[change.second].ruleset.name

    def head(self, row: ComparisonRow, change: Change) -> str:
        """Write what changes: one outcome, then the other."""
        one, two = map(rule_set_title, self.names(change))
        before, after = self.outcomes(row, change)
        return f"{one}: {before}; {two}: {after}"

    def outcomes(self, row: ComparisonRow, change: Change) -> tuple[str, str]:
        """Write the two outcomes."""
        one, two = (row.outcomes[i] for i in (change.first, change.second))
        return outcome_text(one, si=self.si), outcome_text(two, si=self.si)

    def because(self, change: Change) -> tuple[str, ...]:
        """Write each driver: the clauses whose exchange makes the one outcome the other."""
        lines = [self._driver(change, driver) for driver in change.drivers.drivers]
        if not lines:
            return ("no exchange of clauses within the bound searched accounts for it",)
        if len(lines) > 1:
            lines = [f"either {lines[0]}", *(f"or {line}" for line in lines[1:])]
        return tuple(lines)

    def shares(self, row: ComparisonRow, change: Change) -> tuple[str, ...]:
        """Write how much of a numeric difference each clause accounts for."""
        shares = change.drivers.shares
        if len(shares) < 2:
            return ()
        finding = row.outcomes[change.second].governing
        kind, unit = (finding.kind, finding.unit) if finding else ("length", "in")
        return tuple(
            f"{share.key}: {'+' if share.amount > 0 else '-'}"
            f"{scalar_text(abs(share.amount), kind, unit, si=self.si)}"
            for share in shares
        )

    def _driver(self, change: Change, driver: Driver) -> str:
        return "; together with ".join(self._key(change, key) for key in driver.keys)

    def _key(self, change: Change, key: str) -> str:
        evaluators = self.comparison.evaluators
        one, two = evaluators[change.first].ruleset, evaluators[change.second].ruleset
        if key.startswith(SETTING):
            return self._setting(one, two, key)
        before, after = one.clause(key), two.clause(key)
        if before is None and after is not None:
            return f"{self._clause(two, after)}; {one.name} has no such clause{_struck(one, key)}"
        if after is None and before is not None:
            return f"{two.name} has no such clause{_struck(two, key)}; {self._clause(one, before)}"
        assert before is not None
        assert after is not None
        if before.says == after.says:
            return self._alike(one, two, before, after)
        return f"{self._clause(two, after)}; {self._clause(one, before)}"

    def _alike(self, one: RuleSet, two: RuleSet, before: Clause, after: Clause) -> str:
        """Say what differs between two clauses that begin the same way."""
        gained = [e for e in after.exceptions if e.says not in {b.says for b in before.exceptions}]
        lost = [e for e in before.exceptions if e.says not in {a.says for a in after.exceptions}]
        words = [
            f"{two.name} has an exception {one.name} lacks: {e.says.rstrip('.')} ({e.cites})"
            for e in gained
        ]
        words += [
            f"{one.name} has an exception {two.name} lacks: {e.says.rstrip('.')} ({e.cites})"
            for e in lost
        ]
        if before.scope != after.scope:
            words.append(f"{two.name} covers {after.scope_says or 'another range'} ({after.cites})")
            words.append(
                f"{one.name} covers {before.scope_says or 'another range'} ({before.cites})"
            )
        if words:
            return "; ".join(words)
        return f"{self._clause(two, after)}; {one.name} says the like with other figures or conditions ({before.cites})"

    def _clause(self, ruleset: RuleSet, clause: Clause) -> str:
        origin = origin_text(clause.origin)
        source = f"{clause.cites}; {origin}" if origin else clause.cites
        return f"{ruleset.name} says: {clause.says.rstrip('.')} ({source})"

    def _setting(self, one: RuleSet, two: RuleSet, key: str) -> str:
        words = []
        for ruleset in (two, one):
            setting = settings_by_key(ruleset).get(key)
            quantity = key.removeprefix(SETTING)
            if setting is None:
                words.append(f"{ruleset.name} sets no {name_text(quantity)}")
                continue
            value = fact_text(setting.value, self.vocabulary.quantities[quantity], si=self.si)
            words.append(
                f"{ruleset.name} sets {name_text(quantity)} to {value} ({origin_text(setting.origin)})"
            )
        return "; ".join(words)


def _struck(ruleset: RuleSet, key: str) -> str:
    for struck in ruleset.struck:
        if struck.key == key:
            return f" (struck: {origin_text(struck.origin)})"
    return ""
