"""The engine against a second, plain implementation of the ledger clauses, on random designs.

The oracle was written from published sources without the engine or its rule files.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest

from deckclause.designs.design import Design, Part
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import Finding, evaluate
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import STATUS_WORDS
from oracle.ledger_oracle import MADE_FOR_A_BAND_JOIST
from oracle.ledger_oracle import evaluate as oracle_evaluate
from oracle.random_designs import random_facts
from support.sizes import cases

DESIGNS = cases(5_000, by_name=20_000)
EDITIONS = ("irc-2009", "irc-2012", "irc-2018")

KNOWN_DEPARTURES = {
    # 2009 and 2012: the oracle follows the editions' silence on snow; the rule set fails closed above
    # 40 psf, since the published basis of the table is 50 psf in all.
    ("irc-2009", "snow_basis"),
    ("irc-2012", "snow_basis"),
    # 2018: the deck fastener table (contents from memory) asks a finish of bolts too.
    ("irc-2018", "fastener_corrosion"),
}


def prepared(catalogue: Catalogue, facts: dict[str, object]) -> PreparedDesign:
    quantities = catalogue.vocabulary.quantities
    values = {
        k: v
        if isinstance(v, str | bool)
        else Fraction(v) / (144 if quantities[k].kind == "load" else 1)
        for k, v in facts.items()
    }
    joists = {k: v for k, v in values.items() if k.startswith("joists.")}
    others = {k: v for k, v in values.items() if not k.startswith("joists.")}
    design = Design("random", "", others, {"joists": (Part("", joists),)}, "random", "random")
    return catalogue.prepare(design)


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


@pytest.mark.parametrize("edition_number", range(len(EDITIONS)))
def test_agreement_on_random_designs(catalogue: Catalogue, edition_number: int) -> None:
    edition = EDITIONS[edition_number]
    evaluator = catalogue.evaluator(edition)
    vocabulary = catalogue.vocabulary
    statuses: Counter[tuple[str, str]] = Counter()
    disagreements: list[str] = []
    tolerated: Counter[str] = Counter()
    for seed in range(edition_number, DESIGNS, len(EDITIONS)):
        facts = random_facts(seed)
        if facts.get("wall.sheathing_kind") == "none":
            facts["wall.sheathing_thickness"] = Fraction(0)  # the engine derives as much
        evaluation = evaluate(prepared(catalogue, facts), evaluator, vocabulary)
        for topic, (status, limit) in oracle_evaluate(edition, facts).items():
            if (edition, topic) in KNOWN_DEPARTURES:
                continue
            outcome = evaluation.outcome(topic)
            ours = STATUS_WORDS[outcome.status]
            statuses[topic, ours] += 1
            if ours != status and (why := _both_refuse(topic, ours, status, facts)):
                tolerated[why] += 1
            elif ours != status:
                disagreements.append(
                    f"{edition} {topic} seed {seed}: engine {ours}, oracle {status}"
                )
            elif ours in ("complies", "does not comply") and limit is not None:
                figures = _limit(outcome.governing)
                if figures is not None and figures != limit:
                    disagreements.append(
                        f"{edition} {topic} seed {seed}: engine {figures}, oracle {limit}"
                    )
    assert not disagreements, f"{len(disagreements)}: " + "\n".join(
        disagreements[:: max(1, len(disagreements) // 12)]
    )
    # Each kind of difference has a bound of its own, so that neither hides behind the other. An
    # unknown or another wall is asked for in another order by the two: some 70 to 115 times an edition.
    assert tolerated[WALL_FIRST] <= DESIGNS // 125
    assert tolerated[SEES_FURTHER] <= DESIGNS // 1000
    assert len({s for _, s in statuses}) >= 5, "the random designs reach too few statuses"


def _limit(finding: Finding) -> object:
    psf = 144 if finding.kind == "load" else 1
    least = None if finding.least is None else finding.least * psf
    most = None if finding.most is None else finding.most * psf
    if least is not None and most is not None and least != most:
        return (least, most)
    return least if least is not None else most


WALL_FIRST, SEES_FURTHER = "asked in another order", "sees further through an unknown"


def _both_refuse(topic: str, ours: str, theirs: str, facts: dict[str, object]) -> str:
    """Tell why the two may differ where neither lets the design pass; empty where they may not."""
    if facts.get("wall.structure") != "wood_frame" and topic in MADE_FOR_A_BAND_JOIST:
        # the oracle sees the wall first, the engine asks first what decides whether the clause applies
        both = {ours, theirs} == {"information missing", "engineering required"}
        return WALL_FIRST if both else ""
    if topic == "ledger_fastener_spacing" and "band_joist.kind" not in facts:
        # too thin for any kind: the oracle sees it, the engine asks for the kind first
        further = (ours, theirs) == ("information missing", "engineering required")
        return SEES_FURTHER if further else ""
    if topic == "ledger_lower_row_below_ledger_top":
        # sheathing too thick for the exception: the engine sees it, the oracle asks for the washers
        further = (ours, theirs) == ("does not comply", "information missing")
        return SEES_FURTHER if further else ""
    return ""
