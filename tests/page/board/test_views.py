"""Every drawing of the board stands where the design puts things; what nobody stated is dashed."""

from __future__ import annotations

import json
import re
from fractions import Fraction
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from deckclause.answers.outlines.elevation import elevation_outline
from deckclause.answers.outlines.limits import Limits
from deckclause.answers.outlines.model import Outline, Shape
from deckclause.answers.outlines.plan import plan_outline
from deckclause.answers.outlines.stairs import stairs_outline
from deckclause.answers.outlines.views import VIEWS
from deckclause.cli.main import run
from deckclause.compare.comparison import Comparison, compare
from deckclause.designs.design import Design
from deckclause.evaluate.catalogue import Catalogue
from deckclause.page.board.views import board_data
from support.designs import EXAMPLES

CATALOGUE = Catalogue.open()
UNDER = ["irc-2018", "irc-2021", "Tarn Hollow@2025-03-01"]
WHOLE = "whole-deck-12x16.yaml"
NAMES = sorted(path.name for path in EXAMPLES.glob("*.yaml"))


@cache
def _compared(name: str) -> Comparison:
    return compare(CATALOGUE, CATALOGUE.design(EXAMPLES / name), UNDER, pairs=())


def _plan(name: str) -> Outline:
    found = _compared(name)
    return plan_outline(found.design, Limits(found.evaluations))


def _of(outline: Outline, member: str) -> list[Shape]:
    return [shape for shape in outline.shapes if shape.member == member]


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("name", NAMES)
def test_every_example_is_drawn_with_what_is_unknown_shown_as_such(name: str, view: str) -> None:
    board = board_data(_compared(name), CATALOGUE.vocabulary, view)
    assert board["svg"].startswith("<svg")
    asks = "as nobody stated it" in board["words"]
    assert asks == bool(re.search(r"(>| )\?", board["svg"].partition("</desc>")[2]))
    assert asks == bool(re.search(r'stroke-dasharray="(7 4|3 2)"', board["svg"]))
    for size in re.findall(r'font-size="([\d.]+)"', board["svg"]):
        assert float(size) >= 13.5


@pytest.mark.parametrize("outline", [plan_outline, elevation_outline, stairs_outline])
def test_of_a_deck_of_which_nothing_is_stated_no_member_is_solid(outline: Any) -> None:
    bare = Design("", "", {"deck.attachment": "ledger"}, {}, "", "")
    drawn = outline(CATALOGUE.prepare(bare), Limits(()))
    assert [shape.label for shape in drawn.shapes if shape.stated] in ([], ["house"])
    assert drawn.dimensions == ()
    assert [grip.value for grip in drawn.grips if grip.value is not None] == []


def test_beam_posts_and_footings_stand_where_the_plan_states_them() -> None:
    """By hand from the design: beam 10 ft out, posts 1, 8 and 15 ft along it, footings 24 in."""
    plan = _plan(WHOLE)
    (beam,) = _of(plan, "beams[0]")
    assert (beam.y + beam.height / 2, beam.width, beam.stated) == (120, 192, True)
    posts = [_of(plan, f"posts[{i}]")[0] for i in range(3)]
    assert [post.x + post.width / 2 for post in posts] == [12, 96, 180]
    assert {post.width for post in posts} == {Fraction(11, 2)}  # a 6x6 dressed
    footings = [_of(plan, f"footings[{i}]")[0] for i in range(3)]
    assert [(f.x + f.width / 2, f.width) for f in footings] == [(12, 24), (96, 24), (180, 24)]


def test_fasteners_stand_at_the_stated_spacing_between_the_stated_first_ones() -> None:
    found = _compared(WHOLE)
    drawn = elevation_outline(found.design, Limits(found.evaluations))
    assert drawn is not None
    places = [shape.x + shape.width / 2 for shape in _of(drawn, "fasteners")]
    assert places[:3] == [3, 19, 35]
    assert places[-1] == 192 - 3
    assert all(b - a <= 16 for a, b in pairwise(places))


def test_treads_rise_as_stated() -> None:
    found = _compared(WHOLE)
    drawn = stairs_outline(found.design, Limits(found.evaluations))
    assert drawn is not None
    tops = [s.y for s in drawn.shapes if s.form == "board"]
    assert {b - a for a, b in pairwise(tops)} == {Fraction(107, 14)}  # 53.5 / 7
    (ground,) = [s for s in drawn.shapes if s.form == "ground"]
    assert (ground.y, ground.x) == (Fraction(107, 2), 6 * Fraction(41, 4))


def test_bars_of_the_plan_are_the_limits_of_the_comparison(
    capsys: pytest.CaptureFixture[str],
) -> None:
    more = [word for name in UNDER for word in ("--under", name)]
    topics = ["--topic", "joist_span", "--topic", "beam_span"]
    run(["compare", str(EXAMPLES / WHOLE), *more, *topics, "--format", "json"])
    told = {t["topic"]: t["outcomes"] for t in json.loads(capsys.readouterr().out)["topics"]}
    grips = {grip.keys[0]: grip for grip in _plan(WHOLE).grips}
    for reach, outcome in zip(grips["joists[0].span"].reaches, told["joist_span"], strict=True):
        assert reach.most is not None
        assert reach.most.value == Fraction(outcome["most"]["exact"])
    # the middle post may stand a beam span from the left one, 12 in along the beam, and no farther
    pairs = zip(grips["posts[1].from_beam_end"].reaches, told["beam_span"], strict=True)
    limited = [(reach.most, outcome["most"]) for reach, outcome in pairs if outcome["most"]]
    assert [end and end.value for end, _ in limited] == [
        12 + Fraction(m["exact"]) for _, m in limited
    ]
    assert len(limited) == 2  # the town's loads stand outside its table


@pytest.mark.parametrize("sheet", ["plan", "ledger", "stairs"])
def test_the_command_draws_the_deck_as_stated(sheet: str, tmp_path: Path) -> None:
    path = tmp_path / "drawn.svg"
    assert run(["place", "draw", str(EXAMPLES / NAMES[-1]), "--sheet", sheet, "-o", str(path)]) == 0
    drawn = path.read_text(encoding="utf-8")
    assert "Not an engineered design" in drawn
    view = {"ledger": "elevation"}.get(sheet, sheet)
    page = board_data(_compared(NAMES[-1]), CATALOGUE.vocabulary, view)
    rects = re.compile(r"<rect[^>]*>")
    assert set(rects.findall(page["svg"])) <= set(rects.findall(drawn))  # one drawing, not two


def test_a_field_on_another_fields_beam_stands_beyond_it() -> None:
    """The wing's joists begin at the near beam, 10 ft out, and reach 7 ft to the far one."""
    plan = _plan("l-shaped-two-fields.yaml")
    near, far = (_of(plan, f"beams[{i}]")[0] for i in range(2))
    assert [beam.y + beam.height / 2 for beam in (near, far)] == [120, 204]
    assert (near.stated, far.stated) == (
        True,
        False,
    )  # where along the wall the wing stands is open
    wing = next(shape for shape in _of(plan, "joists[1]") if shape.form == "edge")
    assert (wing.y, wing.height, wing.stated) == (120, 96, False)


def _without(group: str, index: int, key: str) -> Comparison:
    """Compare the whole deck as if one thing had not been stated of one of its parts."""
    design = _compared(WHOLE).design.design
    parts = list(design.parts[group])
    facts = {name: value for name, value in parts[index].facts.items() if name != key}
    assert len(facts) == len(parts[index].facts) - 1
    parts[index] = replace(parts[index], facts=facts)
    changed = replace(design, parts={**design.parts, group: tuple(parts)})
    return compare(CATALOGUE, CATALOGUE.prepare(changed), UNDER, pairs=())


def test_no_limit_is_counted_from_what_nobody_stated() -> None:
    """The rise a riser's limit leaves needs their number; a beam's span, where the next post is."""
    found = _without("stairs", 0, "stairs.riser_count")
    stairs = stairs_outline(found.design, Limits(found.evaluations))
    assert stairs is not None
    rise = next(grip for grip in stairs.grips if grip.label.startswith("Total rise"))
    found = _without("posts", 0, "posts.from_beam_end")
    plan = plan_outline(found.design, Limits(found.evaluations))
    next_post = next(grip for grip in plan.grips if grip.member == "posts[1]")
    for reach in (*rise.reaches, *next_post.reaches):
        assert (reach.least, reach.most) == (None, None)
        assert reach.words.startswith("not known: ")
    assert len(rise.reaches) == len(next_post.reaches) == len(UNDER)


def test_a_limit_found_for_one_joist_field_alone_is_not_told_as_all_of_it() -> None:
    design = _compared(WHOLE).design.design
    (field,) = design.parts["joists"]
    facts = {name: value for name, value in field.facts.items() if name != "joists.span"}
    two = (replace(field, name="main"), replace(field, name="wing", facts=facts))
    changed = replace(design, parts={**design.parts, "joists": two})
    found = compare(CATALOGUE, CATALOGUE.prepare(changed), UNDER, pairs=())
    for reach in Limits(found.evaluations).reaches("ledger_fastener_spacing"):
        assert reach.most is not None
        assert reach.words == "of another part: not known"


@pytest.mark.parametrize("staggered", [True, False])
def test_fasteners_are_solid_only_where_row_and_spacing_are_stated(staggered: bool) -> None:
    """Fasteners that are not staggered may stand in either row, or in both at once."""
    design = _compared(WHOLE).design.design
    facts = {**design.facts, "fasteners.staggered": staggered}
    drawn = elevation_outline(CATALOGUE.prepare(replace(design, facts=facts)), Limits(()))
    assert drawn is not None
    assert {shape.stated for shape in _of(drawn, "fasteners")} == {staggered}
    del facts["fasteners.spacing"]
    drawn = elevation_outline(CATALOGUE.prepare(replace(design, facts=facts)), Limits(()))
    assert drawn is not None
    assert drawn.notes == ()  # nothing is said of a stated spacing
    assert {shape.stated for shape in _of(drawn, "fasteners")} == {False}
