"""Members against the HUD design guide's examples, an eigenvalue solution and a frame solver."""

from __future__ import annotations

import pytest

from published.engineering_checks import frame_solver, worked_examples


@pytest.mark.parametrize(
    ("group", "total"),
    [
        (worked_examples.hud_joist, 6),
        (worked_examples.hud_column, 3),
        (worked_examples.euler, 10),
    ],
)
def test_worked_examples(group, total):
    found = group()
    assert found.total == total
    assert found.misses == ()


def test_ten_beams_against_a_frame_solver():
    pytest.importorskip("Pynite", reason="the frame solver PyNiteFEA is a test extra")
    found = frame_solver.beams()
    assert found.total == 10
    assert found.misses == ()
