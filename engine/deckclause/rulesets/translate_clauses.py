"""Turn the clauses of a rule file into the domain's, noting every problem."""

from __future__ import annotations

from typing import Any

from deckclause.rulesets.clauses import (
    ALWAYS,
    Clause,
    ClauseException,
    Distance,
    Informs,
    Limit,
    MustBe,
    NeedsEngineering,
    NotPermitted,
    Origin,
    Provides,
    Reading,
    Requirement,
    Scalar,
    Subject,
    Unmodelled,
    Value,
    Waived,
)
from deckclause.rulesets.fingerprint import fingerprint
from deckclause.rulesets.problems import suggestion
from deckclause.rulesets.translate_values import Path, ValueTranslator
from deckclause.rulesets.vocabulary import QuantityDefinition
from deckclause.rulesets.walk import clause_reads

UNSTATED = "memory"
"""The standing of an exception that states none: that its clause was seen does not show that the
exception was."""

LENGTH_DEFINITION = QuantityDefinition("the distance", "length", "", "", signed=True)


class ClauseTranslator:
    """Translates the clauses of one file."""

    def __init__(self, values: ValueTranslator) -> None:
        self.values = values
        self.vocabulary = values.vocabulary

    def clause(self, data: dict[str, Any], path: Path, origin: Origin) -> Clause:
        """Read one clause; problems are noted in the value translator."""
        topic = data["topic"]
        if topic not in self.vocabulary.topics:
            near = suggestion(topic, self.vocabulary.topics)
            self.values.fault((*path, "topic"), f"'{topic}' is not a known topic.{near}")
        self._check_sources(data["sources"], (*path, "sources"))
        clause = Clause(
            key=data["key"],
            topic=topic,
            cites=data["cites"],
            says=data["says"],
            requirement=self.requirement(data, path),
            standing=data["standing"],
            sources=tuple(data["sources"]),
            origin=origin,
            applies=self.values.condition(data.get("applies"), (*path, "applies")),
            scope=self.values.condition(data.get("scope"), (*path, "scope")),
            scope_says=data.get("scope_says") or "",
            exceptions=self._exceptions(data, path),
            readings=self._readings(data, path),
            note=data.get("note") or "",
            never_relax=data.get("never_relax") or "",
            assumes=self._assumes(data.get("assumes") or {}, path),
            fingerprint=fingerprint(data, self.values.tree.data.get("tables", {})),
        )
        self._check_one_part(clause, path)
        return clause

    def requirement(self, data: dict[str, Any], path: Path) -> Requirement:
        """Read what a clause, an exception or another reading asks."""
        if data.get("limit") is not None or data.get("distance") is not None:
            return self._limit(data, path)
        if data.get("must_be") is not None:
            return MustBe(self.values.condition(data["must_be"], (*path, "must_be")))
        if data.get("not_permitted") is not None:
            condition = self.values.condition(data["not_permitted"], (*path, "not_permitted"))
            return NotPermitted(condition)
        if data.get("provides") is not None:
            definition = self.values.quantity(data["provides"], (*path, "provides"))
            if not (definition.provided or definition.fixed_by_place):
                self.values.fault(
                    (*path, "provides"),
                    f"{definition.name} is not marked `provided` in the vocabulary",
                )
            return Provides(
                definition.name, self.values.value(data["value"], definition, (*path, "value"))
            )
        if data.get("engineering") is not None:
            return NeedsEngineering(data["engineering"])
        if data.get("unmodelled") is not None:
            return Unmodelled(data["unmodelled"])
        if data.get("informs") is not None:
            return Informs(data["informs"])
        if str(data.get("waived", "")) == "true":
            return Waived(data.get("says", ""))
        if data.get("scope") is not None:
            return MustBe(ALWAYS)  # inside its scope, a clause with nothing more to ask is met
        self.values.fault(path, "says nothing: a limit, must_be, not_permitted, ... is needed")
        return Unmodelled("nothing stated")

    def _limit(self, data: dict[str, Any], path: Path) -> Limit:
        subject: Subject
        if data.get("distance") is not None:
            subject = self._distance(data["distance"], (*path, "distance"))
            definition = LENGTH_DEFINITION
        else:
            definition = self.values.quantity(data["limit"], (*path, "limit"))
            subject = definition.name
        bounds: dict[str, Value] = {
            word: self.values.value(data[word], definition, (*path, word))
            for word in ("at_least", "at_most", "exactly")
            if data.get(word) is not None
        }
        options = data.get("one_of")
        if options is not None:
            for i, option in enumerate(options):
                self.values.scalar(option, definition, (*path, "one_of", i))
        elif definition.dimension is None and definition.name != "?":
            self.values.fault(path, f"{definition.name} is not measured; use one_of or must_be")
        return Limit(
            subject,
            bounds.get("at_least"),
            bounds.get("at_most"),
            bounds.get("exactly"),
            tuple(options) if options is not None else None,
        )

    def _distance(self, data: dict[str, Any], path: Path) -> Distance:
        for end in ("from", "to"):
            if data[end] not in self.vocabulary.datums:
                near = suggestion(data[end], self.vocabulary.datums)
                self.values.fault((*path, end), f"'{data[end]}' is not a known edge or line.{near}")
        return Distance(data["from"], data["to"])

    def _exceptions(self, data: dict[str, Any], path: Path) -> tuple[ClauseException, ...]:
        exceptions = []
        for i, entry in enumerate(data.get("unless") or []):
            here = (*path, "unless", i)
            self._check_sources(entry.get("sources", []), (*here, "sources"))
            exceptions.append(
                ClauseException(
                    when=self.values.condition(entry["when"], (*here, "when")),
                    requirement=self.requirement(_inherit_subject(data, entry), here),
                    says=entry.get("says", ""),
                    cites=entry.get("cites") or data["cites"],
                    standing=entry.get("standing") or UNSTATED,
                    sources=tuple(entry.get("sources") or data["sources"]),
                    line=self.values.tree.line(here),
                )
            )
        return tuple(exceptions)

    def _readings(self, data: dict[str, Any], path: Path) -> tuple[Reading, ...]:
        readings = []
        for i, entry in enumerate(data.get("readings") or []):
            here = (*path, "readings", i)
            self._check_sources(entry.get("sources", []), (*here, "sources"))
            readings.append(
                Reading(
                    self.requirement(_inherit_subject(data, entry), here),
                    entry["says"],
                    entry.get("standing") or UNSTATED,  # a carried line without is refused
                    tuple(entry.get("sources") or data["sources"]),
                )
            )
        return tuple(readings)

    def _assumes(self, data: dict[str, str], path: Path) -> tuple[tuple[str, Scalar], ...]:
        assumed = []
        for name, text in data.items():
            here = (*path, "assumes", name)
            definition = self.values.quantity(name, here)
            assumed.append((name, self.values.scalar(text, definition, here)))
        return tuple(assumed)

    def _check_sources(self, names: list[str], path: Path) -> None:
        for i, name in enumerate(names):
            if name not in self.vocabulary.sources:
                near = suggestion(name, self.vocabulary.sources)
                self.values.fault((*path, i), f"there is no source '{name}' in sources.yaml.{near}")

    def _check_one_part(self, clause: Clause, path: Path) -> None:
        """A clause is evaluated once for each of one repeated part; two cannot be crossed."""
        quantities = self.vocabulary.quantities
        parts = {quantities[n].of for n in clause_reads(clause) if n in quantities} - {""}
        if len(parts) > 1:
            self.values.fault(
                path, f"reads several repeated parts ({', '.join(sorted(parts))}); one only"
            )


def _inherit_subject(clause: dict[str, Any], entry: dict[str, Any]) -> dict[str, Any]:
    """An exception that states only a bound keeps the clause's own subject."""
    bounds = ("at_least", "at_most", "exactly", "one_of")
    if any(entry.get(bound) is not None for bound in bounds) and not (
        entry.get("limit") or entry.get("distance")
    ):
        subject = {k: clause[k] for k in ("limit", "distance") if clause.get(k) is not None}
        return {**entry, **subject}
    return entry
