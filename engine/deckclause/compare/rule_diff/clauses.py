"""What one rule set changes of another, clause by clause: added, gone, moved, changed."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from deckclause.compare.difference import substance
from deckclause.compare.rule_diff.tables import TableDiff, table_diffs
from deckclause.evaluate.words import ClauseWords, called, fact_text
from deckclause.rulesets.clauses import (
    AllOf,
    Clause,
    ClauseException,
    Condition,
    Limit,
    Origin,
    Provides,
    Requirement,
    Unmodelled,
)
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.ruleset import RuleSet, Setting
from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary
from deckclause.rulesets.walk import clause_reads

ADDED, GONE, MOVED, CHANGED = "added", "gone", "moved", "changed"
KINDS = (CHANGED, ADDED, GONE, MOVED)
TABLE_IN_CONDITION = "a table its conditions read"
"""The aspect of a clause that says the same and reads other figures to see whether it holds."""
_LENGTH = QuantityDefinition("", "length", "", "")


class Aspect(Struct, frozen=True):
    """One thing of a clause that changed, before and after, in words."""

    name: str
    """figure, condition, scope, exception, reading, requirement, assumption or standing."""
    before: str
    after: str


class ClauseChange(Struct, frozen=True):
    """What became of one clause."""

    kind: str
    key: str
    topic: str
    before: Clause | None
    after: Clause | None
    aspects: tuple[Aspect, ...] = ()
    tables: tuple[TableDiff, ...] = ()
    struck: Origin | None = None
    beside: Clause | None = None
    """Of a clause that only one rule set has: the one of the other that it is set beside, where
    the topic is laid out otherwise there (one clause split in two), or is not modelled there."""
    lacking: tuple[bool, bool] = (False, False)
    """Whether the rule set before, and after, has a clause on the topic that is not modelled."""

    @property
    def only_standing(self) -> bool:
        """Whether it asks what it asked, and only is better or less well known."""
        return not self.tables and [a.name for a in self.aspects] == ["standing"]

    @property
    def origin(self) -> Origin | None:
        """Where the change was made, if a place made it."""
        if self.struck is not None:
            return self.struck
        clause = self.after or self.before
        return clause.origin if clause is not None and clause.origin.ordinance else None


class SettingChange(Struct, frozen=True):
    """A value a place fixes, before and after."""

    quantity: str
    before: str
    after: str
    origin: Origin
    memory: tuple[bool, bool] = (False, False)
    """Whether the value before, and after, is from memory."""


class RuleDiff(Struct, frozen=True):
    """Everything that differs between two rule sets, in the order of topics."""

    one: RuleSet
    two: RuleSet
    changes: tuple[ClauseChange, ...]
    settings: tuple[SettingChange, ...]
    unchanged: int

    @property
    def left_out(self) -> tuple[str, ...]:
        """What larger places have in force that either rule set does not take on, each said once."""
        return tuple(dict.fromkeys((*self.one.left_out, *self.two.left_out)))

    def topics(self) -> list[str]:
        """Return the topics with changes, each once, in order."""
        return list(dict.fromkeys(change.topic for change in self.changes))

    def on(self, topic: str) -> list[ClauseChange]:
        """Return the changes on one topic."""
        return [change for change in self.changes if change.topic == topic]

    def count(self, kind: str) -> int:
        """Count the changes of a kind."""
        return sum(change.kind == kind for change in self.changes)


def rule_diff(
    one: RuleSet,
    two: RuleSet,
    vocabulary: Vocabulary,
    *,
    topics: tuple[str, ...] = (),
    si: bool = False,
) -> RuleDiff:
    """Compare two rule sets clause by clause; `topics` narrows it."""
    writer = _Writer(one, two, vocabulary, si=si)
    first = {c.key: c for c in one.clauses}
    second = {c.key: c for c in two.clauses}
    changes: list[ClauseChange] = []
    unchanged = 0
    for key in dict.fromkeys([*first, *second]):
        change = writer.change(key, first.get(key), second.get(key))
        if topics and (first.get(key) or second[key]).topic not in topics:
            continue
        if change is None:
            unchanged += 1
        else:
            changes.append(change)
    changes = [_set_beside(one, two, changes, change) for change in changes]
    order = {topic: i for i, topic in enumerate(vocabulary.topics)}
    parts = {part: i for i, part in enumerate(vocabulary.parts)}
    changes.sort(
        key=lambda c: (parts[vocabulary.topics[c.topic].part], order[c.topic], KINDS.index(c.kind))
    )
    settings = () if topics else tuple(writer.settings())
    return RuleDiff(one, two, tuple(changes), settings, unchanged)


def _set_beside(
    one: RuleSet, two: RuleSet, changes: list[ClauseChange], change: ClauseChange
) -> ClauseChange:
    """Find what a clause of one rule set alone is to be set beside in the other.

    What a place adds or strikes by its own act stands for itself. So does a further rule on a
    topic. But where the one clause came and the other went, or where it only gives a value that
    the other rule set has no use for, the topic is laid out otherwise: nothing is new or gone.
    """
    lacking = _lacking(one, change.topic), _lacking(two, change.topic)
    change = replace(change, lacking=lacking)
    if change.kind not in (ADDED, GONE) or change.origin is not None:
        return change
    clause = change.after or change.before
    assert clause is not None
    other = one if change.kind == ADDED else two
    here = other.topic_clauses(change.topic)
    kind = GONE if change.kind == ADDED else ADDED
    turned = [c for c in changes if (c.kind, c.topic, c.origin) == (kind, change.topic, None)]
    found = next((c for c in here if isinstance(c.requirement, Unmodelled)), None)
    if found is None and turned:
        found = turned[0].before or turned[0].after
    if found is None and here and _of_no_use(clause, other):
        found = here[0]
    return replace(change, beside=found)


def _lacking(ruleset: RuleSet, topic: str) -> bool:
    return any(isinstance(c.requirement, Unmodelled) for c in ruleset.topic_clauses(topic))


def _of_no_use(clause: Clause, other: RuleSet) -> bool:
    """Tell whether a clause gives a value that no clause of the other rule set gives or reads."""
    asked = clause.requirement
    if not isinstance(asked, Provides):
        return False
    return not any(
        asked.quantity in clause_reads(c)
        or (isinstance(c.requirement, Provides) and c.requirement.quantity == asked.quantity)
        for c in other.clauses
    )


class _Writer:
    def __init__(self, one: RuleSet, two: RuleSet, vocabulary: Vocabulary, *, si: bool) -> None:
        self.one = one
        self.two = two
        self.vocabulary = vocabulary
        self.si = si
        self.words = ClauseWords(vocabulary, si=si)

    def settings(self) -> Iterator[SettingChange]:
        first = {s.quantity: s for s in self.one.settings}
        second = {s.quantity: s for s in self.two.settings}
        for name in dict.fromkeys([*first, *second]):
            a, b = first.get(name), second.get(name)
            if (a.value if a else None) == (b.value if b else None):
                continue
            definition = self.vocabulary.quantities[name]
            texts = [
                fact_text(s.value, definition, si=self.si) if s else self._own(ruleset, name)
                for s, ruleset in ((a, self.one), (b, self.two))
            ]
            origin = b.origin if b is not None else a.origin if a is not None else None
            assert origin is not None
            memory = (self._remembered(a, self.one, name), self._remembered(b, self.two, name))
            yield SettingChange(name, texts[0], texts[1], origin, memory)

    def _own(self, ruleset: RuleSet, name: str) -> str:
        """Write what a rule set's own clauses give for a quantity no place fixes in it."""
        definition = self.vocabulary.quantities[name]
        found = [
            f"{self.words.value(c.requirement.value, definition)} ({c.cites})"
            for c in ruleset.clauses
            if isinstance(c.requirement, Provides) and c.requirement.quantity == name
        ]
        return "; ".join(found) or "not fixed"

    def _remembered(self, setting: Setting | None, ruleset: RuleSet, name: str) -> bool:
        if setting is not None:
            return setting.standing == "memory"
        return any(
            c.standing == "memory"
            for c in ruleset.clauses
            if isinstance(c.requirement, Provides) and c.requirement.quantity == name
        )

    def change(self, key: str, before: Clause | None, after: Clause | None) -> ClauseChange | None:
        if before is after:
            return None
        if before is None:
            assert after is not None
            return ClauseChange(ADDED, key, after.topic, None, after)
        if after is None:
            struck = next((s.origin for s in self.two.struck if s.key == key), None)
            return ClauseChange(GONE, key, before.topic, before, None, struck=struck)
        aspects = tuple(self._aspects(before, after))
        tables = table_diffs(before, after, self.vocabulary, si=self.si)
        if aspects or tables:
            return ClauseChange(CHANGED, key, after.topic, before, after, aspects, tables)
        if substance(before) != substance(after):
            sides = (
                f"as {rule_set_title(self.one.name)} has it",
                f"as {rule_set_title(self.two.name)} has it",
            )
            aspect = Aspect(TABLE_IN_CONDITION, *sides)
            return ClauseChange(CHANGED, key, after.topic, before, after, (aspect,))
        if _number(before.cites) != _number(after.cites):
            return ClauseChange(MOVED, key, after.topic, before, after)
        return None

    def _aspects(self, before: Clause, after: Clause) -> Iterator[Aspect]:
        words = self.words
        yield from self._conditions("condition", before.applies, after.applies)
        yield from self._conditions("scope", before.scope, after.scope)
        yield from self._requirements("", before.requirement, after.requirement)
        yield from self._exceptions(before, after)
        readings = [
            "; ".join(words.requirement(r.requirement) for r in c.readings) or "none"
            for c in (before, after)
        ]
        yield from _differing("reading", *readings)
        assumed = [
            "; ".join(
                f"{called(n, self.vocabulary)} {fact_text(v, self.vocabulary.quantities[n], si=self.si)}"
                for n, v in c.assumes
            )
            or "none stated"
            for c in (before, after)
        ]
        yield from _differing("assumption", *assumed)
        yield from _differing("standing", before.standing, after.standing)

    def _conditions(self, name: str, one: Condition, two: Condition) -> Iterator[Aspect]:
        """Write only the parts of two conditions that are not in both."""
        parts = [c.parts if isinstance(c, AllOf) else (c,) for c in (one, two)]
        texts = [[self.words.condition(p) for p in side] for side in parts]
        only = [
            [t for t in mine if t not in others]
            for mine, others in ((texts[0], texts[1]), (texts[1], texts[0]))
        ]
        yield from _differing(name, *(" and ".join(side) or "nothing more" for side in only))

    def _requirements(self, label: str, one: Requirement, two: Requirement) -> Iterator[Aspect]:
        if type(one) is type(two) and isinstance(one, Limit | Provides):
            yield from _differing(f"figure{label}", self._figure(one), self._figure(two))
            subjects = [str(r.subject if isinstance(r, Limit) else r.quantity) for r in (one, two)]  # type: ignore[union-attr]
            yield from _differing(
                f"what is limited{label}", *(called(s, self.vocabulary) for s in subjects)
            )
        else:
            yield from _differing(
                f"requirement{label}", self.words.requirement(one), self.words.requirement(two)
            )

    def _figure(self, requirement: Requirement) -> str:
        """Write the figures alone; a table reads as `by the table`, its cells are compared apart."""
        quantities = self.vocabulary.quantities
        if isinstance(requirement, Provides):
            definition = quantities[requirement.quantity]
            return self._without_table_numbers(self.words.value(requirement.value, definition))
        assert isinstance(requirement, Limit)
        definition = quantities.get(str(requirement.subject), _LENGTH)
        parts = []
        if requirement.one_of is not None:
            parts.append("one of " + ", ".join(o.replace("_", " ") for o in requirement.one_of))
        for word, value in (
            ("exactly", requirement.exactly),
            ("at least", requirement.least),
            ("at most", requirement.most),
        ):
            if value is not None:
                parts.append(f"{word} {self.words.value(value, definition)}")
        return self._without_table_numbers(" and ".join(parts))

    def _without_table_numbers(self, text: str) -> str:
        names = {t.cites or t.title for r in (self.one, self.two) for t in r.tables}
        for name in sorted(names, key=len, reverse=True):  # a longer number holds a shorter one
            text = text.replace(f"by {name}", "by the table")
        return text

    def _exceptions(self, before: Clause, after: Clause) -> Iterator[Aspect]:
        one = [self._exception(e) for e in before.exceptions]
        two = [self._exception(e) for e in after.exceptions]
        gone = [text for text in one if text not in two]
        new = [text for text in two if text not in one]
        for i in range(max(len(gone), len(new))):
            was = gone[i] if i < len(gone) else "none"
            now = new[i] if i < len(new) else "none"
            yield Aspect("exception", was, now)

    def _exception(self, exception: ClauseException) -> str:
        when = self._without_table_numbers(self.words.condition(exception.when))
        asks = self._without_table_numbers(self.words.requirement(exception.requirement))
        return f"where {when}: {asks}"


def _differing(name: str, before: str, after: str) -> Iterator[Aspect]:
    if before != after:
        yield Aspect(name, before, after)


def _number(cites: str) -> str:
    return " ".join(cites.split())
