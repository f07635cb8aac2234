"""What to expect where print was not seen: found by hand, counted again, never a pass.

Figures by hand: NDS 2018 bending, M = wL^2/8, with reference values of the NDS Supplement for southern
pine No.2 2x10 (Fb 800 psi); section properties of dressed lumber, PS 20. Counts are held against the
published tables as typed apart in tests/published/engineering_checks.
"""

from __future__ import annotations

import json
import math
from fractions import Fraction
from pathlib import Path

import pytest
from msgspec.structs import replace

from deckclause.answers.compare.build import compare_answer
from deckclause.answers.compare.expected import NO_RULE
from deckclause.compare.comparison import compare
from deckclause.designs.design import Design
from deckclause.designs.read_design import read_design
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.expectations.expected import Expected, expected
from deckclause.evaluate.expectations.neighbours import (
    FILE,
    Neighbours,
    counts_text,
    kept_counts,
)
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import evaluate
from deckclause.evaluate.status import INFORMATION_MISSING
from deckclause.report.comparison.json import comparison_data
from published.engineering_checks import span_tables
from published.shipped_tables import counts
from support.regenerate import HOW

WHOLE = Path(__file__).parents[2] / "rules" / "examples" / "whole-deck-12x16.yaml"
PSF = Fraction(1, 144)
SNOW_COUNTRY = (45, 50, 55, 60, 70)


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


def deck(catalogue: Catalogue, snow: int, **changed: object) -> Design:
    """Return the whole example deck under a snow load; `beams__size` changes every beam's size."""
    design = read_design(WHOLE, catalogue.vocabulary)
    facts = {**design.facts, "site.ground_snow_load": snow * PSF}
    parts = dict(design.parts)
    for key, value in changed.items():
        group, name = key.split("__")
        parts[group] = tuple(
            replace(part, facts={**part.facts, f"{group}.{name}": value}) for part in parts[group]
        )
    return replace(design, facts=facts, parts=parts)


def told(catalogue: Catalogue, design: Design, name: str = "irc-2021") -> dict[str, list[Expected]]:
    """Return what is expected, by the topic it is of."""
    evaluation = evaluate(
        catalogue.prepare(design), catalogue.evaluator(name), catalogue.vocabulary
    )
    explainer = Explainer(evaluation, catalogue.vocabulary)
    found: dict[str, list[Expected]] = {}
    for finding in evaluation.findings:
        for one in expected(finding, explainer.traces):
            assert finding.status == INFORMATION_MISSING
            found.setdefault(finding.topic, []).append(one)
    return found


# -- by hand ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("snow", SNOW_COUNTRY)
def test_a_beam_under_snow_by_hand(catalogue: Catalogue, snow: int) -> None:
    (beam,) = told(catalogue, deck(catalogue, snow))["beam_span"]
    row = next(row for row in (50, 60, 70) if snow <= row)
    # two 2x10 under 10 ft of joists with a 2 ft cantilever: the 10 ft column of the table
    modulus = 2 * 1.5 * 9.25**2 / 6
    stress = (
        800 * 1.15 * 1.10
    )  # snow; the ply factor fitted to the table; wet service takes nothing
    load = (row + 10) / 144 * (10 * 12 * 25 / 32)
    assert beam.figure == round(math.sqrt(8 * stress * modulus / load))
    assert (beam.part, beam.at_least) == ("front beam", False)


@pytest.mark.parametrize(("snow", "row"), [(45, 50), (60, 60), (70, 70)])
def test_a_footing_under_snow_by_hand(catalogue: Catalogue, snow: int, row: int) -> None:
    design = deck(catalogue, snow)
    found = {one.part: one for one in told(catalogue, design)["footing_size"]}
    prepared = catalogue.prepare(design)
    columns = (5, 20, 40, 60, 80, 100, 120, 140, 160)
    for part, one in found.items():
        area = float(prepared.facts("footings", part)["footings.tributary_area"]) / 144
        column = next(column for column in columns if area <= column)
        plan = column * (row + 10) / 1500  # the example's soil bears 1,500 psf
        assert one.figure == round(12 * math.sqrt(plan * 4 / math.pi)), part
        assert one.at_least
    assert len(found) == 3


def test_no_height_of_a_post_is_expected(catalogue: Catalogue) -> None:
    posts = told(catalogue, deck(catalogue, 60))["post_height"]
    assert len(posts) == 3
    assert all(one.figure is None and not one.barred for one in posts)
    assert all("meets only 0 of 13" in one.reason for one in posts)


def test_a_heavier_row_never_gives_more(catalogue: Catalogue) -> None:
    for topic in ("beam_span", "joist_cantilever"):
        figures = [told(catalogue, deck(catalogue, s))[topic][0].figure for s in (50, 60, 70)]
        assert figures == sorted(figures, reverse=True), topic
    sizes = [told(catalogue, deck(catalogue, s))["footing_size"][1].figure for s in (50, 60, 70)]
    assert sizes == sorted(sizes)


def test_past_the_last_row_and_at_forty_nothing_is_expected(catalogue: Catalogue) -> None:
    assert not told(catalogue, deck(catalogue, 40))
    assert not told(catalogue, deck(catalogue, 71))


@pytest.mark.parametrize("name", ["irc-2021", "irc-2024"])
def test_a_cell_not_seen_has_an_expectation_and_a_seen_one_none(
    catalogue: Catalogue, name: str
) -> None:
    single = deck(catalogue, 25, beams__size="1-2x10", beams__species="hem_fir")
    (one,) = told(catalogue, single, name)["beam_span"]
    # incised No.2 2x10: hem-fir 850 psi bending, spruce-pine-fir 135 psi shear; wet takes 3 % of shear
    load, area, modulus = 50 / 144 * 120 * 25 / 32, 1.5 * 9.25, 1.5 * 9.25**2 / 6
    by_bending = math.sqrt(8 * 850 * 1.1 * 0.8 * modulus / load)
    by_shear = 2 * 135 * 0.97 * 0.8 * area / (1.5 * load)
    assert one.figure == round(min(by_bending, by_shear))
    assert one.neighbours == kept_counts()["beam spans by species group, douglas fir-larch group"]
    double = deck(catalogue, 25, beams__size="2-2x10", beams__species="hem_fir")
    assert not told(catalogue, double, name)


# -- counts ----------------------------------------------------------------------------------------


def test_the_counts_kept_are_the_counts_made() -> None:
    assert FILE.read_text(encoding="utf-8") == counts_text(counts()), f"out of date; {HOW}"


def test_the_counts_are_those_of_the_tables_typed_apart() -> None:
    """The same cells, typed from other copies, counted by the outside checks of the engineering."""
    kept = kept_counts()

    def over(kind: str) -> tuple[int, int]:
        found = [one for name, one in kept.items() if name.split(",")[0] == kind]
        return sum(one.met for one in found), sum(one.total for one in found)

    cantilevers = span_tables.cantilevers_2021()
    assert over("joist cantilevers by back span") == (cantilevers.met, cantilevers.total)
    southern = kept["beam spans, southern pine"]
    # 2015 prints the 2- and 3-ply cells of 2018, seen; of 2018's own single plies two are missed
    print_2015 = span_tables.beam_group("IRC 2015", southern=True)
    all_2018 = span_tables.beam_group("IRC 2018", southern=True)
    assert (southern.printed_met, southern.printed) == (print_2015.met, print_2015.total)
    assert (southern.met, southern.total) == (all_2018.met, all_2018.total)
    overhangs = span_tables.overhangs(span_tables.GUIDE)
    assert over("guide's joist overhangs") == (overhangs.met, overhangs.total)


def test_too_few_or_too_poor_neighbours_tell_nothing() -> None:
    assert not Neighbours(printed=5, printed_met=5).may_tell
    assert not Neighbours(memory=20, memory_met=9).may_tell
    assert Neighbours(memory=20, memory_met=10).may_tell


# -- never a pass ----------------------------------------------------------------------------------


@pytest.mark.parametrize("changed", [{}, {"beams__size": "1-2x10", "beams__species": "hem_fir"}])
def test_no_expectation_changes_an_outcome(
    catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch, changed: dict[str, str]
) -> None:
    snow = 25 if changed else 60
    prepared = catalogue.prepare(deck(catalogue, snow, **changed))
    compared = compare(catalogue, prepared, ("irc-2021", "irc-2024"))

    def outcomes() -> list[object]:
        answer = compare_answer(compared, catalogue.vocabulary, depth=True)
        cells = [cell for row in answer.rows for cell in row.cells]
        told = [line for q in answer.questions for line in q.expected]
        return [bool(told), answer.exit_status, *((c.status, c.least, c.most) for c in cells)]

    with_them = outcomes()
    monkeypatch.setattr("deckclause.answers.compare.questions.expected_answers", lambda *_: ())
    monkeypatch.setattr("deckclause.answers.compare.finding.expected_answers", lambda *_: ())
    without = outcomes()
    assert (with_them[0], without[0]) == (True, False)
    assert with_them[1:] == without[1:]
    assert with_them[1] != 0


def test_what_is_said_of_an_expectation(catalogue: Catalogue) -> None:
    design = deck(catalogue, 60)
    compared = compare(catalogue, catalogue.prepare(design), ("irc-2021",))
    answer = compare_answer(compared, catalogue.vocabulary, depth=True)
    asked = {line for question in answer.questions for line in question.expected}
    (beam,) = [line for line in asked if "beam span" in line]
    assert beam.startswith("calculated, not printed for front beam: beam span at most 7 ft 3 in; ")
    assert "meets 56 of 56 figures of its kind seen in print and 26 of 28 from memory" in beam
    assert "none for snow" in beam
    assert beam.endswith(NO_RULE)
    (post,) = [line for line in asked if "column" in line]
    assert post.startswith("no expectation for left post, middle post, right post: ")
    data = json.loads(json.dumps(comparison_data(answer)))
    (topic,) = [row for row in data["topics"] if row["topic"] == "beam_span"]
    (found,) = [f for f in topic["outcomes"][0]["findings"] if f["expected"]]
    assert found["status"] == "information missing"
    assert (found["most"], found["expected"][0]["figure"]["exact"]) == (None, "87")
