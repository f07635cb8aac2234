"""Which limit decides the rows of a section, against sums done by hand on dressed sizes (PS 20-20)."""

from __future__ import annotations

from fractions import Fraction as F

from msgspec.structs import replace

from deckclause.answers.section_scene import UPPER, Scene, deciding, scene
from deckclause.answers.sections import section_drawing
from deckclause.evaluate.catalogue import Catalogue
from deckclause.placement.boards import BAND_BOTTOM, LEDGER_TOP, LOWER_ROW, UPPER_ROW
from deckclause.placement.from_rules import PlacementRules
from deckclause.placement.place import place
from support.designs import changed

CATALOGUE = Catalogue.open()


def _shown(**facts: object) -> Scene:
    rules = PlacementRules(CATALOGUE.evaluator("irc-2018"), CATALOGUE.vocabulary)
    design = changed(CATALOGUE, **facts)
    return scene(section_drawing("deck", place(design, rules), CATALOGUE.vocabulary))


def test_every_limit_broken_decides_with_what_it_comes_to() -> None:
    (one,) = deciding(_shown())  # drop 3 in, lower row 6-1/2 in, a 2x10 band joist 9-1/4 in deep
    assert {one.limit.start, one.limit.end} == {LOWER_ROW, BAND_BOTTOM}
    assert one.value == F(37, 4) - 3 - F(13, 2) == F(-1, 4)
    assert not one.kept
    found = deciding(_shown(fasteners__upper_row_below_ledger_top=1))
    assert [one.value for one in found if one.limit.end == UPPER_ROW] == [1]  # under 2 in
    assert not any(one.kept for one in found)


def test_where_all_are_kept_the_one_with_least_to_spare_decides() -> None:
    shown = _shown(ledger__below_band_joist=0, fasteners__upper_row_below_ledger_top=F(17, 8))
    (one,) = deciding(shown)  # the lower row stands just at its 6-1/2 in
    assert (one.limit.start, one.limit.end) == (LEDGER_TOP, LOWER_ROW)
    assert (one.value, one.kept) == (F(13, 2), True)


def test_nothing_decides_what_nobody_stated_or_an_engineer_must_say() -> None:
    shown = _shown()
    for drawing in (
        replace(shown.drawing, guessed=shown.drawing.guessed | {UPPER}),
        replace(shown.drawing, limits_open=True),
        replace(shown.drawing, rows=None),
    ):
        assert deciding(replace(shown, drawing=drawing)) == ()
