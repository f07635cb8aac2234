"""A table read inside a sum or a least of two is told of like any other: its standing, its sources."""

from __future__ import annotations

from fractions import Fraction

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import evaluate
from deckclause.evaluate.regions.sample import design_at
from deckclause.rulesets.clauses import Scalar


def test_the_cell_of_a_least_of_two_is_named() -> None:
    """DCA 6's overhang is the least of its Table 2 and a quarter of the span: 2x10 at 16 in, 41 in."""
    catalogue = Catalogue.open()
    facts: dict[str, Scalar] = {
        "joists.size": "2x10",
        "joists.spacing": Fraction(16),
        "joists.species_group": "southern_pine",
        "joists.span": Fraction(168),
        "joists.cantilever": Fraction(36),
        "site.ground_snow_load": Fraction(40, 144),
    }
    design = catalogue.prepare(design_at(facts, catalogue.vocabulary.quantities))
    evaluation = evaluate(design, catalogue.evaluator("awc-dca6-2015"), catalogue.vocabulary)
    (finding,) = [f for f in evaluation.findings if f.key == "joist_cantilever"]
    (cell,) = Explainer(evaluation, catalogue.vocabulary).cells(finding)
    assert cell.table.name == "joist_overhangs"
    assert cell.cells[0].figure == finding.most == 41
