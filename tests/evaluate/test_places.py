"""What the invented places make of a deck: values by elevation, guards, permits, information."""

from __future__ import annotations

from fractions import Fraction

import pytest

from deckclause.designs.read_design import design_of
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import Evaluation, TopicOutcome, evaluate
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    NOT_APPLICABLE,
    NOT_REGULATED,
)
from deckclause.rulesets.clauses import Informs
from deckclause.rulesets.problems import InputError

EDGE = "guards: {installed: no, drop_straight_down: 28 in, ground_fall_within_36_in: 6 in}\n"


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open(cached=False)


def under(catalogue: Catalogue, name: str, text: str) -> Evaluation:
    design = design_of(f"design: 1\n{text}".encode(), "deck.yaml", catalogue.vocabulary)
    return evaluate(catalogue.prepare(design), catalogue.evaluator(name), catalogue.vocabulary)


def outcome(catalogue: Catalogue, name: str, topic: str, text: str) -> TopicOutcome:
    return under(catalogue, name, text).outcome(topic)


# --- values by elevation ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("elevation", "snow"), [("5999 ft", 40), ("6000 ft", 40), ("6000.1 ft", 55), ("9000 ft", 70)]
)
def test_the_band_of_the_site_counts_not_what_the_design_states(
    catalogue: Catalogue, elevation: str, snow: int
) -> None:
    site = f"site: {{ground_snow_load: 25 psf, elevation: {elevation}}}\ndeck: {{attachment: ledger}}\n"
    evaluation = under(catalogue, "Thistlecombe@2025-01-01", site)
    fixed = evaluation.outcome("site_ground_snow").governing
    assert fixed is not None
    assert fixed.value == Fraction(snow, 144)
    read = next(f for f in evaluation.findings if f.key == "snow_basis.table_scope")
    assert read.value == Fraction(snow, 144)


def test_without_its_elevation_the_snow_of_the_site_is_unknown(catalogue: Catalogue) -> None:
    site = "site: {ground_snow_load: 25 psf}\ndeck: {attachment: ledger}\n"
    evaluation = under(catalogue, "Thistlecombe@2025-01-01", site)
    read = next(f for f in evaluation.findings if f.key == "snow_basis.table_scope")
    assert (read.status, read.missing) == (INFORMATION_MISSING, ("site.elevation",))


def test_above_the_last_band_the_official_decides(catalogue: Catalogue) -> None:
    site = "site: {ground_snow_load: 25 psf, elevation: 9001 ft}\ndeck: {attachment: ledger}\n"
    evaluation = under(catalogue, "Thistlecombe@2025-01-01", site)
    read = next(f for f in evaluation.findings if f.key == "snow_basis.table_scope")
    assert read.status == ENGINEERING_REQUIRED


# --- how the drop is measured --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "status"),
    [
        ("irc-2006", COMPLIES),  # 28 in straight down
        ("irc-2009", DOES_NOT_COMPLY),  # 34 in within 36 in
        ("irc-2021", DOES_NOT_COMPLY),
        ("Ellavane@2024-01-01", COMPLIES),  # the look-out is left out
        ("Skerryvane@2025-01-01", COMPLIES),  # inherited
    ],
)
def test_a_guard_is_required_by_the_drop_as_it_is_measured(
    catalogue: Catalogue, name: str, status: int
) -> None:
    found = outcome(catalogue, name, "guard_required", EDGE)
    assert found.status == status
    assert found.governing is not None
    assert found.governing.most == 30


def test_a_guard_that_stands_complies_however_high_the_edge(catalogue: Catalogue) -> None:
    edge = EDGE.replace("installed: no", "installed: yes").replace("28 in", "90 in")
    assert outcome(catalogue, "irc-2018", "guard_required", edge).status == COMPLIES


# --- permits and information ---------------------------------------------------------------------

SMALL = """
deck: {attachment: freestanding, area: 199 sq ft, greatest_height_above_grade: 30 in}
doors: {role: other, opens_onto: deck}
"""


def test_the_permit_exemption_and_the_city_that_struck_it(catalogue: Catalogue) -> None:
    exempt = outcome(catalogue, "irc-2021", "permit_exemption", SMALL)
    assert exempt.governing is not None
    assert exempt.governing.value is True
    struck = outcome(catalogue, "Skerryvane@2025-01-01", "permit_exemption", SMALL)
    assert struck.status == NOT_REGULATED
    assert [s.origin.section for s in struck.struck] == ["1412.5"]


@pytest.mark.parametrize(
    "change",
    [
        ("199 sq ft", "201 sq ft"),
        (": 30 in", ": 31 in"),
        ("freestanding", "ledger"),
        ("other", "required_egress"),
    ],
)
def test_each_of_the_four_conditions_alone_ends_the_exemption(
    catalogue: Catalogue, change: tuple[str, str]
) -> None:
    found = outcome(catalogue, "irc-2018", "permit_exemption", SMALL.replace(*change))
    assert found.governing is not None
    assert found.governing.value is False


@pytest.mark.parametrize(
    "topic", ["modification", "alternative_method", "appeal", "permit_required"]
)
def test_information_asks_nothing_of_a_design(catalogue: Catalogue, topic: str) -> None:
    for name in catalogue.files.rulesets:
        ruleset = catalogue.ruleset(name)
        if ruleset.kind != "edition":
            continue
        (clause,) = ruleset.topic_clauses(topic)
        assert isinstance(clause.requirement, Informs)
        assert outcome(catalogue, name, topic, "site: {}\n").status == NOT_APPLICABLE


# --- the step down at the door ---------------------------------------------------------------------

DOOR = """
deck: {{attachment: ledger}}
floor: {{subfloor_thickness: 3/4 in, finish_thickness: 3/4 in}}
ledger: {{size: 2x10, below_band_joist: {drop}}}
joists: {{size: 2x10, below_ledger_top: 0 in}}
decking: {{thickness: 1 in}}
doors: {{role: {role}, opens_onto: deck, swings_over_landing: {swing}, threshold_above_floor: 1/2 in}}
"""


@pytest.mark.parametrize(
    ("role", "swing", "drop", "edition", "status"),
    [
        # threshold 1/2 + floor 1-1/2 + drop - decking 1: the deck lies drop + 1 in below
        ("required_egress", "yes", "1/2 in", "irc-2018", COMPLIES),
        ("required_egress", "yes", "5/8 in", "irc-2018", DOES_NOT_COMPLY),
        ("required_egress", "no", "6-3/4 in", "irc-2018", COMPLIES),
        ("required_egress", "no", "6-7/8 in", "irc-2018", DOES_NOT_COMPLY),
        ("other", "yes", "6-3/4 in", "irc-2018", COMPLIES),
        ("other", "yes", "6-7/8 in", "irc-2018", DOES_NOT_COMPLY),
        ("other", "yes", "5/8 in", "irc-2006", DOES_NOT_COMPLY),
        ("other", "no", "6-3/4 in", "irc-2006", COMPLIES),
    ],
)
def test_the_step_down_adds_up_from_the_parts(
    catalogue: Catalogue, role: str, swing: str, drop: str, edition: str, status: int
) -> None:
    topic = "door_step_down_egress" if role == "required_egress" else "door_step_down_other"
    found = outcome(catalogue, edition, topic, DOOR.format(role=role, swing=swing, drop=drop))
    assert found.status == status


def test_a_measured_step_down_serves_where_there_is_no_ledger(catalogue: Catalogue) -> None:
    text = "deck: {attachment: freestanding}\ndoors: {role: other, opens_onto: deck, step_down: 7 in}\n"
    found = outcome(catalogue, "irc-2018", "door_step_down_other", text)
    assert found.governing is not None
    assert (found.status, found.governing.value) == (COMPLIES, 7)


def test_a_measured_step_down_that_the_parts_contradict_is_refused(catalogue: Catalogue) -> None:
    text = DOOR.format(role="other", swing="no", drop="3 in").replace(
        "opens", "step_down: 3 in, opens"
    )
    with pytest.raises(InputError, match=r"doors\.step_down: 3 in, threshold to deck, is not the"):
        outcome(catalogue, "irc-2018", "door_step_down_other", text)


def test_joist_fields_at_two_levels_leave_the_step_down_open(catalogue: Catalogue) -> None:
    text = DOOR.format(role="other", swing="no", drop="0 in").replace(
        "joists: {size: 2x10, below_ledger_top: 0 in}",
        "joists: [{name: a, below_ledger_top: 0 in}, {name: b, below_ledger_top: 6 in}]",
    )
    assert (
        outcome(catalogue, "irc-2018", "door_step_down_other", text).status == INFORMATION_MISSING
    )
