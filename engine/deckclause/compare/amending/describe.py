"""Write an amendment from a plain description: which clause, by key or section, and what it says now."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from deckclause.evaluate.words import ClauseWords
from deckclause.rulesets.fingerprint import fingerprint
from deckclause.rulesets.problems import InputError, suggestion
from deckclause.rulesets.ruleset import LoadedRuleSet
from deckclause.rulesets.schema import VERSION
from deckclause.rulesets.schema_check import HINT
from deckclause.rulesets.vocabulary import Vocabulary

BOUNDS = ("at_least", "at_most", "exactly")


@dataclass(frozen=True, slots=True)
class Description:
    """What a place does, as a person would say it."""

    name: str
    place: str
    edition: str
    ordinance: str
    adopted: str
    says: str = ""
    clause: str = ""
    section: str = ""
    ordinance_section: str = ""
    strike: bool = False
    bounds: dict[str, str] = field(default_factory=dict)
    settings: dict[str, str] = field(default_factory=dict)
    source: str = "memory"
    standing: str = "memory"


def find_clause(loaded: LoadedRuleSet, key: str, section: str) -> str:
    """Return the key of the clause meant. Raises InputError naming what could be meant."""
    ruleset = loaded.ruleset
    if key:
        if ruleset.clause(key) is None:
            near = suggestion(key, [c.key for c in ruleset.clauses])
            raise InputError.single("--clause", f"{ruleset.name} has no clause '{key}'.{near}")
        return key
    wanted = _plain(section)
    exact = [c for c in ruleset.clauses if wanted in [_plain(p) for p in c.cites.split(",")]]
    found = exact or [c for c in ruleset.clauses if wanted in _plain(c.cites)]
    if len(found) == 1:
        return found[0].key
    if not found:
        known = [p.strip() for c in ruleset.clauses for p in c.cites.split(",")]
        raise InputError.single(
            "--section",
            f"no clause of {ruleset.name} cites '{section}'.{suggestion(section, known)}",
        )
    choices = "; ".join(f"{c.key} ({c.says})" for c in found[:12])
    raise InputError.single(
        "--section", f"{section} has {len(found)} clauses; say which with --clause: {choices}"
    )


def _plain(text: str) -> str:
    return re.sub(r"\s+", " ", text).strip().casefold()


def amendment_text(description: Description, loaded: LoadedRuleSet, vocabulary: Vocabulary) -> str:
    """Write the amendment, commented. Raises InputError where the description says too little."""
    changes = list(_changes(description, loaded, vocabulary))
    if not changes:
        raise InputError.single(
            "amend new", "says no change: give a bound (--at-least ...), --strike or --set"
        )
    title = f"{description.place} amendments to {loaded.ruleset.title}"
    head = [
        f"{HINT}../schema/{VERSION}/amendment.json",
        "# What one place changes in one edition. Each change names the clause and records its",
        "# fingerprint: when the clause changes, the amendment is refused until it is re-affirmed.",
        f"amendment: {description.name}",
        "kind: amendment",
        f"title: {_text(title)}",
        f"place: {_text(description.place)}",
        f"edition: {description.edition}",
        f"ordinance: {_text(description.ordinance)}",
        f"adopted: {description.adopted}",
        "# How well these figures are known: confirmed only with the published source in hand.",
        f"standing: {description.standing}",
        f"sources: [{description.source}]",
        "changes:",
    ]
    return "\n".join([*head, *changes]) + "\n"


def _changes(
    description: Description, loaded: LoadedRuleSet, vocabulary: Vocabulary
) -> Iterator[str]:
    changes_clause = description.strike or bool(description.bounds)
    if description.settings:
        yield from _opening(description, "" if changes_clause else description.says)
        values = ", ".join(f"{n}: {_text(v)}" for n, v in description.settings.items())
        yield f"    set: {{{values}}}"
    if not changes_clause:
        return
    key = find_clause(loaded, description.clause, description.section)
    clause = loaded.ruleset.clause(key)
    assert clause is not None
    words = ClauseWords(vocabulary).requirement(clause.requirement)
    yield f"  # {clause.cites} said: {clause.says}"
    yield f"  # ({words}; {clause.standing})"
    yield from _opening(description, description.says)
    yield f"    {'strike' if description.strike else 'replace'}: {key}"
    yield f'    fingerprint: "{fingerprint(loaded.raw_clauses[key], loaded.raw_tables)}"'
    if not description.strike:
        yield "    to:"
        if description.says:
            yield f"      says: {_text(description.says)}"
        for word, figure in description.bounds.items():
            yield f"      {word}: {_text(figure)}"
        yield f"      standing: {description.standing}"
        yield f"      sources: [{description.source}]"


def _opening(description: Description, says: str) -> Iterator[str]:
    says = _text(says or "As the ordinance has it.")
    if description.ordinance_section:
        yield f"  - section: {_text(description.ordinance_section)}"
        yield f"    says: {says}"
    else:
        yield f"  - says: {says}"


def _text(value: str) -> str:
    """Quote what YAML would read as more than text."""
    if re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9 ./()'-]*", value) and not re.search(r": |'", value):
        return value
    return json.dumps(value, ensure_ascii=False)
