"""An evaluation report as a rule set of its own: the sample shipped, and one a user writes beside it.

Every figure of the sample is invented; what is tested is that a report decides where an edition's ledger
table has no such fastener, for its own product and loads alone.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from msgspec.structs import replace

from deckclause.designs.design import Design, Facts
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import evaluate
from deckclause.evaluate.status import STATUS_WORDS
from deckclause.variance.precedents import rule_set_names

RULES = Path(__file__).parents[2] / "rules"
SAMPLE = "sample-screw-report-2025-01"
TOPIC = "ledger_fastener_spacing"


def screwed(catalogue: Catalogue, **changes: str | Fraction) -> Design:
    """Return the whole deck with the sample's screws, 10 in apart under 10 ft joists."""
    design = catalogue.design(RULES / "examples" / "whole-deck-12x16.yaml").design
    facts: Facts = {
        **design.facts,
        "fasteners.kind": "structural_screw",
        "fasteners.diameter": Fraction(1, 4),
        "fasteners.spacing": Fraction(10),
    }
    facts |= {name.replace("__", "."): value for name, value in changes.items()}
    return replace(design, facts=facts)


def status(catalogue: Catalogue, design: Design, under: str, topic: str = TOPIC) -> str:
    evaluator = catalogue.evaluator(under)
    found = evaluate(catalogue.prepare(design), evaluator, catalogue.vocabulary)
    return STATUS_WORDS[found.outcome(topic).status]


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({}, "complies"),
        ({"fasteners__spacing": Fraction(21, 2)}, "does not comply"),
        ({"site__ground_snow_load": Fraction(50, 144)}, "engineering required"),
        ({"fasteners__kind": "lag_screw"}, "engineering required"),
        ({"wall__structure": "concrete"}, "engineering required"),
        ({"band_joist__kind": "engineered_rim_board"}, "engineering required"),
    ],
)
def test_a_report_decides_for_its_own_product_walls_and_loads(
    changes: dict[str, str | Fraction], expected: str
) -> None:
    catalogue = Catalogue.open()
    assert status(catalogue, screwed(catalogue, **changes), SAMPLE) == expected


def test_an_edition_leaves_the_kind_of_screw_to_the_report() -> None:
    catalogue = Catalogue.open()
    kind = "ledger_fastener_kind"
    design = screwed(catalogue)
    assert status(catalogue, design, "irc-2021", kind) == "engineering required"
    assert status(catalogue, design, SAMPLE, kind) == "complies"


def test_the_sample_says_it_is_invented_and_is_neither_edition_nor_guide() -> None:
    catalogue = Catalogue.open()
    ruleset = catalogue.ruleset(SAMPLE)
    assert ruleset.kind == "report"
    assert "INVENTED" in ruleset.title
    assert "INVENTED" in ruleset.warns
    assert {clause.standing for clause in ruleset.clauses} == {"memory"}
    for folder in ("editions", "guides"):
        assert SAMPLE not in catalogue.files.of_kind(folder)


def test_what_a_report_allows_its_own_screw_is_no_precedent() -> None:
    assert SAMPLE not in rule_set_names(Catalogue.open(), invented=True)


def test_a_report_in_a_folder_of_ones_own_is_read_beside_the_shipped_rules(tmp_path: Path) -> None:
    (tmp_path / "reports").mkdir()
    (tmp_path / "register.yaml").write_text("places: {}\n")
    text = (RULES / "reports" / f"{SAMPLE}.yaml").read_text()
    own = text.replace(SAMPLE, "my-screw-2026-03").replace(
        "17 in, 13 in, 10 in", "17 in, 13 in, 9 in"
    )
    (tmp_path / "reports" / "my-screw-2026-03.yaml").write_text(own)
    catalogue = Catalogue.open(tmp_path, cached=False)
    design = screwed(catalogue)
    assert status(catalogue, design, "my-screw-2026-03") == "does not comply"
    assert status(catalogue, design, SAMPLE) == "complies"
