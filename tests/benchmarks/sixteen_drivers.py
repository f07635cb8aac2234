"""Two rule sets that differ in sixteen clauses on one topic, where only all sixteen together count."""

from __future__ import annotations

from fractions import Fraction

from msgspec.structs import replace

from benchmarks.sixteen_clauses import HERE, SIXTEEN
from deckclause.compare.hybrid import HybridRunner
from deckclause.designs.design import Design
from deckclause.evaluate.compile import compile_ruleset
from deckclause.evaluate.evaluator import Evaluator
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.ready import make_ready
from deckclause.rulesets.clauses import ALWAYS, Clause, Fixed, Limit
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import Vocabulary

TOPIC = "ledger_fastener_spacing"
QUANTITY = "fasteners.spacing"


def _ruleset(name: str, most: int) -> RuleSet:
    clauses = tuple(
        Clause(
            f"clause_{number:02}",
            TOPIC,
            "",
            "",
            Limit(QUANTITY, most=Fixed(Fraction(most + number, 2))),
            "memory",
            (),
            HERE,
            ALWAYS,
        )
        for number in range(16)
    )
    return replace(SIXTEEN, name=name, clauses=clauses)


def sixteen_apart(vocabulary: Vocabulary) -> HybridRunner:
    """Sixteen limits that fail 24 in under the first rule set, and hold under the second."""
    quantities = vocabulary.quantities
    sides: list[Evaluator] = [
        make_ready(compile_ruleset(_ruleset(name, most), quantities), quantities)
        for name, most in (("first", 20), ("second", 60))
    ]
    design = PreparedDesign(Design("d", "", {QUANTITY: Fraction(24)}, {}, "", ""), quantities)
    return HybridRunner(sides[0], sides[1], design, vocabulary, TOPIC)
