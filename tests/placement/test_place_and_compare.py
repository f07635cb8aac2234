"""`place` and `compare` read a distance clause alike: on every example and on random designs.

What placement says a clause asks of a distance is held against the finding of the same clause on
the same design, whose distances are stated.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest

from deckclause.designs.geometry import known_distances
from deckclause.designs.read_design import design_of
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import Evaluation, Finding, evaluate
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
)
from deckclause.placement.from_rules import PlacementRules, RuleLimit
from deckclause.placement.limits import FREE, Bounds
from deckclause.placement.place import place
from deckclause.rulesets.problems import InputError
from evaluate.vocabulary_designs import Drawer
from support.designs import EXAMPLES

RANDOM = 40
PAST_THE_TABLE = """\
design: 1
name: Joists past the spacing table
deck: {attachment: ledger}
wall: {structure: wood_frame, veneer: none, sheathing_kind: wood_structural_panel,
       sheathing_thickness: 7/16 in, gap_to_sheathing: 0 in, drainage_washer_stack: 0 in}
band_joist: {kind: sawn_lumber, species: spruce_pine_fir, size: 2x8, directly_supported_by: mudsill}
ledger: {size: 2x8, below_band_joist: 0 in, species: southern_pine, grade: no_2}
fasteners: {kind: through_bolt, diameter: 1/2 in, spacing: 12 in, staggered: yes,
            upper_row_below_ledger_top: 2 in, lower_row_below_ledger_top: 5 in}
joists: {size: 2x8, species: southern_pine, spacing: 16 in, span: 20 ft}
site: {ground_snow_load: 30 psf}
"""


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


def within(length: Fraction, bounds: Bounds) -> bool:
    least, most = bounds
    return (least is None or length >= least) and (most is None or length <= most)


def finding_beside(limit: RuleLimit, evaluation: Evaluation) -> Finding | None:
    """The finding of the limit's clause on its part; clauses read once where there is no such part."""
    found = [f for f in evaluation.findings if f.clause is limit.clause]
    return next((f for f in found if f.part == limit.limits.part), None)


def held_together(
    design: PreparedDesign, rules: PlacementRules, evaluation: Evaluation, seen: Counter[str]
) -> None:
    for limit in rules.limits(design):
        finding = finding_beside(limit, evaluation)
        limits = limit.limits
        if finding is None:
            continue
        label = (rules.ruleset.name, limit.clause.key, limits.missing)
        group = next((g for g, c, _ in rules.clauses if c is limit.clause), "")
        length = known_distances(design.facts(group, limits.part)).get(limit.datums)
        assert finding.status is not NOT_APPLICABLE or limits.strict == (), label
        seen[finding.status_words] += 1
        if limits.status in (ENGINEERING_REQUIRED, DOES_NOT_COMPLY):
            assert finding.status in (limits.status, INFORMATION_MISSING), label
        if limits.status is not COMPLIES or length is None:
            assert finding.status not in (COMPLIES,), label
            continue
        if not within(length, limits.loose):
            assert finding.status is DOES_NOT_COMPLY or limits.missing, label
            assert finding.status is not COMPLIES, label
        elif not all(within(length, b.bounds or FREE) for b in limits.strict):
            assert finding.status is not COMPLIES, label
        elif not limits.missing:
            assert finding.status in (COMPLIES, NOT_APPLICABLE), label


def test_every_example(catalogue: Catalogue) -> None:
    seen: Counter[str] = Counter()
    for name in catalogue.files.rulesets:
        evaluator = catalogue.evaluator(name)
        rules = PlacementRules(evaluator, catalogue.vocabulary)
        for path in sorted(EXAMPLES.glob("*.yaml")):
            design = catalogue.design(path)
            held_together(design, rules, evaluate(design, evaluator, catalogue.vocabulary), seen)
    assert seen["complies"] > 150
    assert seen["does not comply"] > 10


def test_random_designs(catalogue: Catalogue) -> None:
    names = ("irc-2012", "irc-2015", "irc-2021", "awc-dca6-2012")
    evaluators = [catalogue.evaluator(name) for name in names]
    drawer = Drawer.of(catalogue.vocabulary, [e.ruleset for e in evaluators])
    seen = random_agreement(catalogue, names, drawer, range(RANDOM))
    assert seen["does not comply"] > 5
    assert seen["information missing"] > 100


def random_agreement(
    catalogue: Catalogue, names: tuple[str, ...], drawer: Drawer, seeds: range
) -> Counter[str]:
    seen: Counter[str] = Counter()
    for name in names:
        evaluator = catalogue.evaluator(name)
        rules = PlacementRules(evaluator, catalogue.vocabulary)
        for seed in seeds:
            design = catalogue.prepare(drawer.design(seed))
            try:
                evaluation = evaluate(design, evaluator, catalogue.vocabulary)
                held_together(design, rules, evaluation, seen)
            except InputError:
                continue
    return seen


def test_a_figure_past_the_table_is_no_unknown_one(catalogue: Catalogue) -> None:
    """The exception asks for the table's spacing; past the table nothing is within it, in both."""
    design = catalogue.prepare(
        design_of(PAST_THE_TABLE.encode(), "past.yaml", catalogue.vocabulary)
    )
    evaluator = catalogue.evaluator("irc-2015")
    evaluation = evaluate(design, evaluator, catalogue.vocabulary)
    outcome = evaluation.outcome("ledger_lower_row_below_ledger_top")
    placed = place(design, PlacementRules(evaluator, catalogue.vocabulary))
    assert outcome.status is placed.asked.status is DOES_NOT_COMPLY
