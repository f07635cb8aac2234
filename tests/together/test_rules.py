"""The rules that ask whether a deck holds together, as data."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.together import PART, holds_together
from deckclause.rulesets.clauses import Fixed, Limit, Provides
from deckclause.rulesets.walk import clause_reads, requirements

EXAMPLES = Path(__file__).parents[2] / "rules" / "examples"


def test_nothing_of_it_is_ever_relaxed_nor_given_to_other_rules() -> None:
    catalogue = Catalogue.open(cached=False)
    evaluator = catalogue.coherence()
    assert evaluator is not None
    for clause in evaluator.ruleset.clauses:
        assert clause.never_relax, clause.key
        by_practice = clause.origin.file.endswith("practice.yaml")
        assert clause.standing == "derived" or by_practice, clause.key
        assert clause.standing != "confirmed", clause.key
        assert catalogue.vocabulary.topics[clause.topic].part == PART
        assert not any(isinstance(r, Provides) for r in requirements(clause))


def test_it_reads_nothing_a_place_or_an_edition_gives() -> None:
    """So it is the same under every rule set."""
    catalogue = Catalogue.open(cached=False)
    evaluator = catalogue.coherence()
    assert evaluator is not None
    quantities = catalogue.vocabulary.quantities
    for clause in evaluator.ruleset.clauses:
        for name in clause_reads(clause):
            assert not quantities[name].provided, (clause.key, name)
            assert not quantities[name].fixed_by_place, (clause.key, name)


def test_no_edition_speaks_of_its_topics() -> None:
    catalogue = Catalogue.open()
    for name in catalogue.files.rulesets:
        for clause in catalogue.ruleset(name).clauses:
            assert catalogue.vocabulary.topics[clause.topic].part != PART, (name, clause.key)


def test_a_rules_folder_without_it_asks_nothing_and_says_so(tmp_path: Path) -> None:
    import shutil

    root = tmp_path / "rules"
    shutil.copytree(EXAMPLES.parent, root, ignore=shutil.ignore_patterns("boundary"))
    (root / "coherence.yaml").unlink()
    catalogue = Catalogue.open(root, cached=False)
    design = catalogue.design(EXAMPLES / "whole-deck-12x16.yaml")
    assert holds_together(catalogue, design) is None


def test_a_load_that_stays_leaves_wood_no_more_used_than_the_tables_do() -> None:
    """NDS 2.3.2: wood carries 0.9 of it for a permanent load, 1.0 for a floor's live load.

    The tables are made for 40 psf live and 10 psf dead; the dead load stays as well.
    """
    evaluator = Catalogue.open(cached=False).coherence()
    assert evaluator is not None
    clause = evaluator.ruleset.clause("heavy_area_load")
    assert clause is not None
    assert isinstance(clause.requirement, Limit)
    assert isinstance(clause.requirement.most, Fixed)
    most = clause.requirement.most.value
    assert isinstance(most, Fraction)
    assert (10 + most * 144) / Fraction(9, 10) == 40 + 10
