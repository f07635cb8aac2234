"""Invented permits with their whole plan: sound ones are known to hold, spoilt ones never are."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from deckclause.cli.main import run
from deckclause.designs.invented.plans import FLAWS, OMISSIONS, Groups, _sound, plan_text
from deckclause.designs.read_design import design_of
from deckclause.designs.together.whole import worked_out
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import evaluate
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import (
    COMPLIES,
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
)

CATALOGUE = Catalogue.open()


def status(plan: Groups) -> int:
    vocabulary, coherence = CATALOGUE.vocabulary, CATALOGUE.coherence()
    assert coherence is not None
    design = design_of(plan_text("one", plan).encode(), "one.yaml", vocabulary)
    prepared = PreparedDesign(worked_out(design), vocabulary.quantities)
    return evaluate(prepared, coherence, vocabulary).status


@pytest.mark.parametrize("seed", range(8))
def test_a_sound_plan_is_known_to_hold_and_one_spoilt_is_not(seed: int) -> None:
    def plan() -> Groups:
        return _sound(np.random.default_rng([7, seed]))

    tall = (
        plan()["deck"]["greatest_height_above_grade"] == "6 ft"
    )  # its cut stringers reach too far
    assert status(plan()) == (ENGINEERING_REQUIRED if tall else COMPLIES)
    flaw, omission = FLAWS[seed % len(FLAWS)], OMISSIONS[seed % len(OMISSIONS)]
    flawed, unsaid = plan(), plan()
    flaw(flawed)
    omission(unsaid)
    assert status(flawed) == DOES_NOT_COMPLY, flaw.__name__
    assert status(unsaid) in (INFORMATION_MISSING, ENGINEERING_REQUIRED), omission.__name__


def test_a_folder_of_plans_is_written_and_the_same_seed_gives_the_same(tmp_path: Path) -> None:
    for name in ("a", "b"):
        command = ["new", "archive", str(tmp_path / name), "--designs", "5", "--plans", "--quiet"]
        assert run(command) == 0
    one, two = ([p.read_text() for p in sorted((tmp_path / n).iterdir())] for n in ("a", "b"))
    assert one == two
    assert len(set(one)) == 5
    assert run(["new", "archive", str(tmp_path / "c.csv"), "--plans", "--quiet"]) == 2
