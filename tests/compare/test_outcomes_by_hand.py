"""The definition of a difference, once more and plainly: whole rule sets mixed, compiled, evaluated.

This shares with the engine only the evaluation of one whole rule set. What makes two outcomes
differ is written again from its definition, and every subset is tried: of up to five clauses, of
ten by name (SUBSET_CLAUSES=10).
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from fractions import Fraction
from itertools import chain, combinations
from typing import Any

import pytest

from deckclause.compare.difference import keys_that_differ
from deckclause.compare.drivers import find_drivers
from deckclause.compare.hybrid import HybridRunner
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.compile import compile_ruleset
from deckclause.evaluate.findings import Finding, evaluate
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.ready import make_ready
from deckclause.impact.search import mixed_ruleset
from deckclause.rulesets.clauses import AllOf
from deckclause.rulesets.problems import InputError
from support.designs import changed

MOST_CLAUSES = int(os.environ.get("SUBSET_CLAUSES", "5"))
"""Of how many differing clauses every subset is tried: 32 mixed rule sets; 10 by name make 1,024."""
RANKS = (
    "not regulated",
    "not applicable",
    "complies",
    "information missing",
    "engineering required",
    "does not comply",
)


def plain_bound(finding: Finding, facts: dict[str, Any]) -> str:
    """The first test of the clause's range that the facts leave, as the rule file has it."""
    waiting: list[Any] = [finding.clause.scope]
    while waiting:
        test = waiting.pop(0)
        if isinstance(test, AllOf):
            waiting = [*test.parts, *waiting]
            continue
        fact = facts.get(test.quantity)
        if test.options is not None and fact not in test.options:
            return f"{test.quantity} {test.options}"
        low, high = (getattr(bound, "value", None) for bound in (test.low, test.high))
        if (low is not None and fact < low) or (high is not None and fact > high):
            return f"{test.quantity} {low} {high}"
    return "always, or past a table"


def plain_outcome(
    findings: list[Finding], answered_by: tuple[str, ...], facts: dict[str, Any]
) -> Any:
    """The definition, in plain words: worst status by part; there, figures, measure, what lacks."""
    by_part: dict[str, list[Finding]] = {}
    for finding in findings:
        by_part.setdefault(finding.part, []).append(finding)
    told = {}
    for part, found in by_part.items():
        worst = max((f.status_words for f in found), key=RANKS.index)
        if worst in ("not applicable", "not regulated"):
            continue
        told[part] = (worst, *_content(worst, found, answered_by, facts))
    return told or (["not applicable"] if findings else [])


def _content(
    worst: str, found: list[Finding], answered_by: tuple[str, ...], facts: dict[str, Any]
) -> Iterator[Any]:
    here = [f for f in found if f.status_words == worst]
    bounded = [f for f in here if f.least is not None or f.most is not None]
    for value in sorted({str(f.value) for f in bounded}):
        same = [f for f in bounded if str(f.value) == value]
        yield value, max([f.least for f in same if f.least is not None], default=None)
        yield value, min([f.most for f in same if f.most is not None], default=None)
    for finding in here:
        kind = type(finding.requirement).__name__
        if kind == "Provides":
            if finding.value is not None and finding.requirement.quantity in answered_by:  # type: ignore[union-attr]
                yield "answer", str(finding.value)
        elif worst in ("complies", "does not comply") and finding not in bounded:
            yield "asks", repr(finding.requirement), str(finding.value)
        if worst == "engineering required":
            yield "bound", plain_bound(finding, facts)
        if worst == "information missing":
            lacks = sorted(map(str, finding.missing)) or ["not seen"]
            yield (
                "lacks",
                ["not modelled"] if kind == "Unmodelled" else lacks,
                finding.key if (kind == "Unmodelled" or not finding.missing) else "",
            )


def normal(outcome: Any) -> Any:
    """Leave order and repetition out."""
    if isinstance(outcome, list):
        return tuple(outcome)
    lacks = {
        part: frozenset(
            x
            for entry in content
            if entry[0] == "lacks"
            for x in zip(entry[1], [entry[2]] * len(entry[1]), strict=True)
        )
        for part, content in (
            (p, [e for e in c if isinstance(e, tuple)]) for p, c in outcome.items()
        )
    }
    return tuple(
        (part, content[0], frozenset(repr(e) for e in content[1:] if e[0] != "lacks"), lacks[part])
        for part, content in sorted(outcome.items())
    )


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


DESIGNS: tuple[dict[str, Any], ...] = (
    {},
    {"site.ground_snow_load": Fraction(60, 144)},
    {"joists.cantilever": Fraction(24)},
    {"fasteners.kind": "lag_screw"},
    {"ledger.size": "2x8", "band_joist.size": "2x10"},
)
PAIRS = (
    ("irc-2009", "irc-2012"), ("irc-2012", "irc-2015"), ("irc-2015", "irc-2018"),
    ("irc-2018", "irc-2021"), ("irc-2015", "irc-2021"), ("irc-2012", "awc-dca6-2012"),
    ("Skerryvane@2024-05-01", "Dunmarrow@2020-01-01"),
)  # fmt: skip
TOPICS = (
    "joist_span", "joist_cantilever", "beam_span", "footing_size", "framing_table_load",
    "snow_basis", "ledger_fastener_spacing", "band_joist_bottom_edge_distance",
    "ledger_lower_row_below_ledger_top", "deck_live_load", "post_height",
)  # fmt: skip


@pytest.mark.parametrize("pair", PAIRS, ids="-".join)
def test_a_plain_search_over_all_subsets_finds_the_same_drivers(
    catalogue: Catalogue, pair: tuple[str, str]
) -> None:
    vocabulary = catalogue.vocabulary
    one, two = (catalogue.evaluator(name) for name in pair)
    compared = 0
    for stated in DESIGNS:
        design: PreparedDesign = changed(
            catalogue, **{k.replace(".", "__"): v for k, v in stated.items()}
        )
        for topic in TOPICS:
            runner = HybridRunner(one, two, design, vocabulary, topic)
            keys = tuple(k for k in keys_that_differ(one, two) if k in runner.keys)
            if len(keys) > MOST_CLAUSES:
                continue
            plain: dict[frozenset[str], Any] = {}
            for chosen in chain.from_iterable(combinations(keys, n) for n in range(len(keys) + 1)):
                plain[frozenset(chosen)] = _mixed(
                    catalogue, one, two, runner, chosen, design, topic
                )
            first, second = plain[frozenset()], plain[frozenset(keys)]
            works = [
                chosen
                for chosen, outcome in plain.items()
                if outcome == second and plain[frozenset(keys) - chosen] == first
            ]
            smallest = (
                {w for w in works if not any(o < w for o in works)} if first != second else set()
            )
            found = {frozenset(d.keys) for d in find_drivers(runner).drivers}
            assert found == smallest, (topic, stated)
            compared += first != second
    assert compared >= 3  # pairs that part nowhere would prove nothing


def _mixed(
    catalogue: Catalogue, one: Any, two: Any, runner: HybridRunner, chosen: tuple[str, ...],
    design: PreparedDesign, topic: str,
) -> Any:  # fmt: skip
    vocabulary = catalogue.vocabulary
    mixed = mixed_ruleset(one.ruleset, two.ruleset, runner.pair.needed(topic), chosen)
    evaluator = make_ready(compile_ruleset(mixed, vocabulary.quantities), vocabulary.quantities)
    try:
        every = evaluate(design, evaluator, vocabulary).findings
        findings = [f for f in every if f.topic == topic]
    except InputError:
        return "contradicts itself"
    if not findings:
        return "nothing asked"  # silent, or no rule applies
    known = {**design.facts(), **design.facts("joists", "")}
    known |= {
        f.requirement.quantity: f.value
        for f in every
        if type(f.requirement).__name__ == "Provides" and f.value is not None
    }
    outcome = normal(plain_outcome(findings, vocabulary.topics[topic].answered_by, known))
    return "nothing asked" if outcome == ("not applicable",) else outcome
