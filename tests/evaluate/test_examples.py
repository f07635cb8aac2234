"""What the example decks show, edition by edition."""

from __future__ import annotations

from pathlib import Path

import pytest

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import Evaluation, evaluate
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    NOT_APPLICABLE,
)

EXAMPLES = Path(__file__).parents[2] / "rules" / "examples"
EDITIONS = ("irc-2006", "irc-2009", "irc-2012", "irc-2015", "irc-2018", "irc-2021", "irc-2024")
WITHOUT_TABLES = {"joist_span", "beam_span", "post_height", "footing_size", "footing_thickness"}


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


def under(catalogue: Catalogue, example: str, name: str) -> Evaluation:
    design = catalogue.design(EXAMPLES / f"{example}.yaml")
    return evaluate(design, catalogue.evaluator(name), catalogue.vocabulary)


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.yaml")), ids=lambda path: path.stem)
def test_every_example_reads_and_is_invented(catalogue: Catalogue, path: Path) -> None:
    assert "invented: yes" in path.read_text()
    assert catalogue.design(path).design.name


@pytest.mark.parametrize("edition", EDITIONS)
def test_one_deck_complies_wherever_an_edition_has_figures(
    catalogue: Catalogue, edition: str
) -> None:
    evaluation = under(catalogue, "complies-everywhere", edition)
    for finding in evaluation.findings:
        if finding.topic in WITHOUT_TABLES and edition <= "irc-2015":
            assert finding.status in (COMPLIES, NOT_APPLICABLE, ENGINEERING_REQUIRED), finding.key
        else:
            assert finding.status in (COMPLIES, NOT_APPLICABLE), finding.key


def test_common_practice_meets_2009s_lines_and_not_2012s_rows(catalogue: Catalogue) -> None:
    # rows 2 in from both edges of a 2x10 ledger stand 5-1/4 in apart; from 2012 on 5 in is the most
    for edition, status in (("irc-2009", COMPLIES), ("irc-2012", DOES_NOT_COMPLY)):
        evaluation = under(catalogue, "bolts-16-staggered", edition)
        topic = "ledger_bottom_edge_distance" if edition == "irc-2009" else "ledger_row_spacing"
        assert evaluation.outcome(topic).status == status
        assert evaluation.outcome("ledger_fastener_spacing").status == COMPLIES


def test_snow_country_needs_engineering_until_2021(catalogue: Catalogue) -> None:
    topic = "ledger_fastener_spacing"
    # ground snow of 60 psf: past the 40 psf tables of 2015 and 2018, inside the 70 psf of 2021
    for edition in ("irc-2015", "irc-2018"):
        outcome = under(catalogue, "snow-country", edition).outcome(topic)
        assert outcome.status == ENGINEERING_REQUIRED
    assert under(catalogue, "snow-country", "irc-2021").outcome(topic).status == COMPLIES


@pytest.mark.parametrize("edition", ["irc-2012", "irc-2015", "irc-2018", "irc-2021"])
def test_an_engineered_rim_is_its_makers_business(catalogue: Catalogue, edition: str) -> None:
    evaluation = under(catalogue, "engineered-rim", edition)
    for topic in ("ledger_fastener_spacing", "band_joist_bottom_edge_distance"):
        assert evaluation.outcome(topic).status == ENGINEERING_REQUIRED


def test_one_deck_in_three_towns(catalogue: Catalogue) -> None:
    def fails(name: str) -> set[str]:
        findings = under(catalogue, "whole-deck-12x16", name).findings
        return {f.topic for f in findings if f.status == DOES_NOT_COMPLY}

    assert fails("irc-2018") == set()
    assert fails("Quillmere County@2020-01-01") == {"lateral_devices"}
    assert fails("Tarn Hollow@2021-01-01") == {"lateral_devices", "fastener_corrosion"}
    assert fails("Skerryvane@2025-01-01") >= {"footing_frost", "ledger_fastener_spacing"}
