"""How the engine is held against the oracles: part of an edition, and where the two differ."""

from __future__ import annotations

from collections.abc import Collection
from fractions import Fraction

from msgspec.structs import replace

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.compile import compile_ruleset
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.findings import TopicOutcome
from deckclause.evaluate.ready import make_ready
from deckclause.evaluate.status import STATUS_WORDS
from oracle.conditions import Finding as OracleFinding

WITH_LIMIT = ("complies", "does not comply")


def only_parts(catalogue: Catalogue, edition: str, parts: Collection[str]) -> Evaluator:
    """Return an edition with the clauses of some parts of the deck alone."""
    ruleset = catalogue.ruleset(edition)
    topics, quantities = catalogue.vocabulary.topics, catalogue.vocabulary.quantities
    kept = tuple(c for c in ruleset.clauses if topics[c.topic].part in parts)
    return make_ready(compile_ruleset(replace(ruleset, clauses=kept), quantities), quantities)


def difference(outcome: TopicOutcome, wanted: OracleFinding) -> str:
    """Say how the engine's outcome differs from the oracle's; nothing where they agree."""
    status, limit = wanted
    ours = STATUS_WORDS[outcome.status]
    if ours != status:
        return f"engine {ours}, oracle {status}"
    if ours not in WITH_LIMIT or limit is None:
        return ""
    figures = [_limit(f.least, f.most) for f in outcome.findings if f.status == outcome.status]
    figures = [figure for figure in figures if figure is not None]
    return "" if not figures or limit in figures else f"engine {figures}, oracle {limit}"


def _limit(least: Fraction | None, most: Fraction | None) -> object:
    if least is not None and most is not None and least != most:
        return (least, most)
    return least if least is not None else most
