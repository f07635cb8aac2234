"""Footings and posts of the AWC deck guide (DCA 6) and the IRC."""

from __future__ import annotations

from published.engineering_checks import support_tables as checks


def test_guide_footings_every_cell():
    group = checks.guide_footings()
    assert (group.met, group.total, group.basis) == (63, 63, "fitted")


def test_code_footing_sides_and_diameters():
    group = checks.code_footings()
    plan = [record for record in group.records if "thickness" not in record.item]
    assert len(plan) == 256
    assert sum(not record.met for record in plan) == 3


def test_posts_are_not_claimed():
    """Neither post table comes out; the page must keep saying so."""
    assert checks.post_heights().met < checks.post_heights().total
    assert checks.guide_post_heights().met < checks.guide_post_heights().total
    assert checks.post_heights().note.startswith("NOT reproduced")
    assert checks.guide_post_heights().note.startswith("NOT reproduced")
