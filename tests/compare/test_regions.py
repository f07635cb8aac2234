"""Regions are complete and right: random designs, fine grids, and what the engine itself says."""

from __future__ import annotations

import itertools
import json
import random
import re
from fractions import Fraction
from pathlib import Path

import pytest

from deckclause.cli.main import run
from deckclause.compare.given import read_given
from deckclause.compare.regions import DriverFinder, Region, Regions, find_regions, pairs_parting
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import evaluate
from deckclause.evaluate.regions.asked import Asked
from deckclause.evaluate.regions.sample import design_at
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    INFORMATION_MISSING,
)
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.problems import InputError

CATALOGUE = Catalogue.open()
VOCABULARY = CATALOGUE.vocabulary
QUANTITIES = VOCABULARY.quantities
CASES = [
    ("ledger_fastener_spacing", ("irc-2018", "irc-2021"), 350),
    ("ledger_lower_row_below_ledger_top", ("irc-2009", "irc-2018", "irc-2021"), 350),
    ("band_joist_bottom_edge_distance", ("irc-2012", "irc-2015"), 300),
    ("ledger_assembly", ("irc-2012", "irc-2021"), 350),
    ("joist_span", ("irc-2018", "irc-2021"), 250),
    ("joist_cantilever", ("irc-2018", "irc-2021"), 250),
    ("footing_size", ("irc-2018", "irc-2021"), 250),
    ("snow_basis", ("irc-2021", "Tarn Hollow@2025-02-01"), 200),
    ("guard_height", ("irc-2006", "irc-2009", "irc-2024"), 300),
]


def _thresholds(regions: Regions, name: str) -> list[Fraction]:
    edges = {Fraction(0)}
    for region in regions.regions:
        limits = region.space.ranges.get(name)
        if limits is not None:
            edges |= {e for e in (limits.low, limits.high) if e is not None}
    return sorted(edges)


def _random_facts(regions: Regions, rng: random.Random) -> dict[str, Scalar]:
    """Choose every input at random: on a threshold, beside one, or between two."""
    facts: dict[str, Scalar] = {}
    for name in regions.reads:
        definition = QUANTITIES[name]
        if definition.kind == "yes_no":
            facts[name] = rng.random() < 0.5
        elif definition.choices:
            facts[name] = rng.choice(definition.choices)
        elif definition.dimension is not None:
            edge = rng.choice(_thresholds(regions, name))
            step = Fraction(1) if definition.kind == "count" else Fraction(1, 16)
            value = edge + step * rng.choice((-1, 0, 0, 0, 1, 3))
            facts[name] = value if definition.signed else max(value, Fraction(0))
    return facts


def _expected(asked: Asked, facts: dict[str, Scalar]) -> int:
    """Return the status the engine must give where this is asked of these facts."""
    numbers = {n: v for n, v in facts.items() if isinstance(v, Fraction)}
    statuses = [asked.status]
    for bound in asked.bounds:
        if bound.decided:
            continue
        value = facts.get(bound.subject)
        if value is None:
            statuses.append(INFORMATION_MISSING)
            continue
        met = bound.one_of is None or value in bound.one_of
        if bound.least is not None:
            met = met and value >= bound.least.at(numbers)  # type: ignore[operator]
        if bound.most is not None:
            met = met and value <= bound.most.at(numbers)  # type: ignore[operator]
        statuses.append(COMPLIES if met else DOES_NOT_COMPLY)
    return max(statuses)


@pytest.mark.parametrize(("topic", "names", "count"), CASES, ids=str)
def test_random_designs_fall_in_the_right_region(
    topic: str, names: tuple[str, ...], count: int
) -> None:
    regions = find_regions(CATALOGUE, topic, names)
    rng = random.Random(20240501)
    evaluators = [CATALOGUE.evaluator(name) for name in names]
    for _ in range(count):
        facts = _random_facts(regions, rng)
        holding = [r for r in regions.regions if r.space.holds(facts)]
        assert len(holding) == 1, facts
        design = CATALOGUE.prepare(design_at(facts, QUANTITIES))
        for evaluator, asked in zip(evaluators, holding[0].answer.asked, strict=True):
            outcome = evaluate(design, evaluator, VOCABULARY).outcome(topic)
            assert outcome.status == _expected(asked, facts), (evaluator.ruleset.name, facts)


def test_against_brute_force_on_a_fine_grid() -> None:
    """Every 6 in of span, every 10 psf of snow, two fasteners: the engine's own limits."""
    given = read_given(
        ["fasteners.kind=lag_screw,through_bolt", "wall.sheathing_kind=none"], VOCABULARY
    )
    names = ("irc-2015", "irc-2021")
    regions = find_regions(CATALOGUE, "ledger_fastener_spacing", names, given)
    base: dict[str, Scalar] = {
        "deck.attachment": "ledger",
        "wall.structure": "wood_frame",
        "wall.sheathing_kind": "none",
        "wall.sheathing_thickness": Fraction(0),
        "wall.drainage_washer_stack": Fraction(0),
        "wall.gap_to_sheathing": Fraction(0),
        "band_joist.kind": "sawn_lumber",
        "band_joist.species": "spruce_pine_fir",
        "band_joist.thickness": Fraction(3, 2),
        "band_joist.depth": Fraction(37, 4),
        "fasteners.diameter": Fraction(1, 2),
        "fasteners.spacing": Fraction(1),
        "joists.inner_support": "ledger",
        "unusual.heavier_than_tables": False,
    }
    evaluators = [CATALOGUE.evaluator(name) for name in names]
    parted = 0
    for kind, span, snow in itertools.product(
        ("lag_screw", "through_bolt"), range(60, 240, 6), range(0, 80, 10)
    ):
        facts = {
            **base,
            "fasteners.kind": kind,
            "joists.span": Fraction(span),
            "site.ground_snow_load": Fraction(snow, 144),
        }
        design = CATALOGUE.prepare(design_at(facts, QUANTITIES))
        outcomes = [
            evaluate(design, e, VOCABULARY).outcome("ledger_fastener_spacing") for e in evaluators
        ]
        limits = [(o.status, o.governing.most if o.governing else None) for o in outcomes]
        region = regions.at(facts)
        assert region is not None
        assert region.answer.agree == (limits[0] == limits[1])
        for asked, (_, most) in zip(region.answer.asked, limits, strict=True):
            found = asked.bounds[0].most.at({}) if asked.bounds and asked.bounds[0].most else None
            assert found == most
        parted += limits[0] != limits[1]
    assert parted > 25


@pytest.mark.parametrize(("topic", "names", "count"), CASES[:4], ids=str)
def test_every_difference_has_a_driver(topic: str, names: tuple[str, ...], count: int) -> None:
    regions = find_regions(CATALOGUE, topic, names)
    finder = DriverFinder(CATALOGUE, regions)
    for region in regions.parting[:40]:
        for first, second in pairs_parting(region):
            assert finder.drivers(region, first, second), region


def _empty(region: Region) -> bool:
    return region.space.empty


def test_no_region_is_empty() -> None:
    regions = find_regions(CATALOGUE, "joist_cantilever", ("irc-2018", "irc-2021"))
    for region in regions.regions:
        assert not _empty(region)
        assert region.space.holds(region.space.point(QUANTITIES))


def test_a_rule_set_agrees_with_itself_everywhere() -> None:
    regions = find_regions(CATALOGUE, "joist_cantilever", ("irc-2021", "irc-2021"))
    assert not regions.parting


def test_the_40_psf_rows_agree_and_the_snow_rows_part() -> None:
    """2018 covers ground snow to 40 psf; 2021 added rows to 70 psf."""
    regions = find_regions(CATALOGUE, "ledger_fastener_spacing", ("irc-2018", "irc-2021"))
    for region in regions.parting:
        limits = region.space.ranges["site.ground_snow_load"]
        assert limits.low is not None
        assert limits.low * 144 >= 40


# -- the command -----------------------------------------------------------------------------------

NARROW = [
    "--given", "fasteners.kind=lag_screw", "--given", "band_joist.kind=sawn_lumber",
    "--given", "wall.sheathing_kind=none", "--given", "wall.sheathing_thickness=0 in",
    "--given", "wall.drainage_washer_stack=0 in",
]  # fmt: skip
UNDER = ["--under", "irc-2018", "--under", "irc-2021"]


def test_the_command_says_where_in_words(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["where", "ledger_fastener_spacing", *UNDER, *NARROW]) == 1
    out = " ".join(capsys.readouterr().out.split())
    assert "joist span over 12 ft to 14 ft" in out
    assert "Driven by ledger_fastener_spacing with snow_basis.table_rows" in out
    assert "IRC 2021: at most 12 in" in out


def test_json_lists_every_region(capsys: pytest.CaptureFixture[str]) -> None:
    run(["where", "ledger_fastener_spacing", *UNDER, *NARROW, "--format", "json"])
    data = json.loads(capsys.readouterr().out)
    assert {f["agree"] for f in data["found"]} == {True, False}
    assert all((f["driven_by"] is None) == f["agree"] for f in data["found"])


def test_agreement_exits_0(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["where", "ledger_stagger", "--under", "irc-2012", "--under", "irc-2015"]) == 0
    assert "Nowhere" in capsys.readouterr().out


def test_a_chart_is_drawn_and_never_overwrites(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "chart.svg"
    arguments = ["where", "ledger_fastener_spacing", *UNDER, *NARROW, "--chart", str(file)]
    axes = ["--axes", "joists.span", "site.ground_snow_load"]
    assert run([*arguments, *axes]) == 1
    drawn = file.read_text(encoding="utf-8")
    keys = set(re.findall(r'fill="url\(#part-(\d+)\)"', drawn))
    listed = re.findall(r">(IRC 20\d\d: [^<]+; IRC 20\d\d: [^<]+)<", drawn)
    assert len(keys) == len(listed) == len(set(listed)) > 1  # one number, one pattern, one meaning
    assert run([*arguments, *axes]) == 2
    assert "is already there" in capsys.readouterr().err
    assert run([*arguments]) == 2
    assert run([*arguments, "--axes", "fasteners.kind", "joists.span"]) == 2


def test_given_that_cannot_be_read_is_refused() -> None:
    with pytest.raises(InputError, match="Did you mean"):
        read_given(["fasteners.kid=lag_screw"], VOCABULARY)
    with pytest.raises(InputError):
        read_given(["fasteners.kind=glue"], VOCABULARY)
    with pytest.raises(InputError):
        read_given(["joists.span=12"], VOCABULARY)
