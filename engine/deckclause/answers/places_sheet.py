"""What each place asks on one topic on a day: a sheet of a state, those that ask alike together."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.plan import make_plan
from deckclause.evaluate.regions.rule_set import topic_rests_on
from deckclause.evaluate.words import ClauseWords, fact_text, name_text
from deckclause.rulesets.clauses import Clause
from deckclause.rulesets.register import InForce
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.standing import unread
from deckclause.rulesets.vocabulary import Topic

SILENT = "not regulated: no clause on it"


class PlaceAsks(Struct, frozen=True):
    """What one place asks: where it lies, its code, the clauses in words, the values it sets."""

    place: str
    within: str
    invented: bool
    edition: str
    asks: str
    values: str
    """Values of the place that the topic's clauses read, such as its frost depth, or its own rule for one."""
    cites: str
    ordinance: str
    """What changed a clause of the topic here, or set a value it reads; "" where nothing local did."""
    unverified: bool
    """Whether some of what the topic's clauses ask, or a value they read, has not been read in print."""

    @property
    def told(self) -> tuple[str, str, str]:
        """What places that ask alike share."""
        return (self.edition, self.asks, self.values)


class PlacesSheet(Struct, frozen=True):
    """One topic at many places on a day; `without` are places in which nothing is in force."""

    topic: Topic
    day: str
    rows: tuple[PlaceAsks, ...]
    without: tuple[str, ...]

    @property
    def ways(self) -> list[tuple[PlaceAsks, ...]]:
        """The places in groups that ask alike, the smallest group first."""
        groups: dict[tuple[str, str, str], list[PlaceAsks]] = {}
        for row in self.rows:
            groups.setdefault(row.told, []).append(row)
        return [tuple(g) for g in sorted(groups.values(), key=lambda g: (len(g), g[0].place))]


def places_sheet(
    catalogue: Catalogue, topic: str, day: str, names: Sequence[str], without: Sequence[str]
) -> PlacesSheet:
    """Return what places ask on a topic; `names` are `Place@date`. Raises InputError."""
    words = ClauseWords(catalogue.vocabulary)
    rows = [_row(catalogue, topic, name, words) for name in names]
    return PlacesSheet(catalogue.vocabulary.topics[topic], day, tuple(rows), tuple(without))


def _row(catalogue: Catalogue, topic: str, name: str, words: ClauseWords) -> PlaceAsks:
    meaning = catalogue.register.resolve(name)
    place = catalogue.register.place(meaning.place)
    ruleset = catalogue.library.ruleset(name)
    title = place.name + (f", {meaning.asked}" if meaning.asked else "")
    told = (title, place.within, place.invented)
    return _asks(catalogue, topic, ruleset, meaning, words, told)


def _asks(
    catalogue: Catalogue,
    topic: str,
    ruleset: RuleSet,
    meaning: InForce,
    words: ClauseWords,
    told: tuple[str, str, bool],
) -> PlaceAsks:
    quantities = catalogue.vocabulary.quantities
    clauses = ruleset.topic_clauses(topic)
    reads, behind = topic_rests_on(ruleset, make_plan(ruleset, quantities), topic)
    settings = [s for s in ruleset.settings if s.quantity in reads]
    giving = [c for c in behind if c.topic != topic and c.origin.ordinance]
    local = [c.origin.ordinance for c in (*clauses, *giving)]
    local += [s.origin.ordinance for s in settings]
    values = [
        f"{name_text(s.quantity)} {fact_text(s.value, quantities[s.quantity])}" for s in settings
    ]
    values += [clause.says.rstrip(".") for clause in giving]
    return PlaceAsks(
        *told,
        meaning.edition,
        " ".join(_sentence(clause, words) for clause in clauses) or SILENT,
        "; ".join(values),
        "; ".join(dict.fromkeys(c.cites for c in clauses)),
        "; ".join(dict.fromkeys(o for o in local if o)),
        any(map(unread, (*clauses, *giving))) or any(s.standing == "memory" for s in settings),
    )


def _sentence(clause: Clause, words: ClauseWords) -> str:
    said = words.requirement(clause.requirement)
    others = [
        f"; but where {words.condition(e.when)}: {words.requirement(e.requirement)}"
        for e in clause.exceptions
    ]
    return f"{said}{''.join(others)}."
