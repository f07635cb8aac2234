"""What parts of a deck know from one another: against plans worked by hand, and by statics."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from deckclause.designs.derive.facts import derived_of_part
from deckclause.designs.derive.plan import FRAMING, FRAMING_ORDER, simple_tributary_area
from deckclause.designs.derive.reactions import in_one_piece, parted_over_supports
from deckclause.designs.design import Design, Facts, Part
from deckclause.designs.plan import Plan, complete_parts
from deckclause.designs.whole_deck import facts_from_parts

FOOT = 12
SQUARE_FOOT = 144


def deck(attachment: str = "ledger", **groups: list[tuple[str, Facts]]) -> Design:
    parts = {
        g: tuple(Part(name, facts) for name, facts in entries) for g, entries in groups.items()
    }
    return Design("plan", "", {"deck.attachment": attachment}, parts, "plan", "plan")


def completed(design: Design) -> Plan:
    return complete_parts(design, FRAMING_ORDER, FRAMING, derived_of_part)


def fact(plan: Plan, group: str, name: str, quantity: str):
    part = next(p for p in plan.parts[group] if p.name == name)
    return part.facts.get(f"{group}.{quantity}")


def field(span, cantilever, **more) -> Facts:
    facts: Facts = {
        "joists.span": Fraction(span) * FOOT,
        "joists.cantilever": Fraction(cantilever) * FOOT,
    }
    return {**facts, **{f"joists.{k}": v for k, v in more.items()}}


def post(place, beam: str | None = None) -> Facts:
    facts: Facts = {"posts.from_beam_end": Fraction(place) * FOOT}
    return {**facts, "posts.beam": beam} if beam else facts


def rectangle() -> Design:
    """16 ft along the house, joists 10 ft and 2 ft past a beam on posts at 1, 8 and 15 ft."""
    return deck(
        joists=[("", field(10, 2, size="2x8", field_width=Fraction(16 * FOOT)))],
        beams=[("front", {"beams.size": "2-2x10", "beams.length": Fraction(16 * FOOT)})],
        posts=[("left", post(1)), ("middle", post(8)), ("right", post(15))],
        footings=[
            ("under left", {"footings.post": "left"}),
            ("under middle", {"footings.post": "middle"}),
            ("any", {}),
        ],
    )


def test_a_rectangular_deck_worked_by_hand():
    plan = completed(rectangle())
    beam = {
        "joist_span": 10 * FOOT,
        "joist_cantilever_ratio": Fraction(1, 5),
        "joist_sides": 1,
        "joist_reach": Fraction(36, 5) * FOOT,  # (10 + 2)^2 / 20
        "span": 7 * FOOT,
        "cantilever": 1 * FOOT,
        "plies": 2,
        "depth": Fraction(37, 4),
        "joist_depth": Fraction(29, 4),
    }
    for quantity, value in beam.items():
        assert fact(plan, "beams", "front", quantity) == value, quantity
    # three moments, ends of 1 ft: 28 M = -(343 + 343)/4 + 7, so M = -47/8 over the middle post
    middle = 7 + 2 * (Fraction(47, 8) - Fraction(1, 2)) / 7
    end = Fraction(9, 2)  # half the span and the cantilever; the reaction is less
    for name, feet in (("left", end), ("middle", middle), ("right", end)):
        assert fact(plan, "posts", name, "tributary_area") == feet * Fraction(36, 5) * SQUARE_FOOT
        assert fact(plan, "posts", name, "beam_plies") == 2
    for name, feet in (("under left", end), ("under middle", middle), ("any", middle)):
        area = feet * Fraction(36, 5) * SQUARE_FOOT
        assert fact(plan, "footings", name, "tributary_area") == area
    assert facts_from_parts(rectangle())["deck.area"] == 16 * 12 * SQUARE_FOOT


def test_no_load_is_lighter_than_the_guide_s_own():
    """AWC DCA 6 Table 4 loads a post with 3/4 of joists a quarter of which reaches past the beam.

    Its beam tables, and the code's, load a beam with (1 + 1/4)^2 / 2 = 25/32 of them.
    """
    for joist_span in (10, 14, 18):
        for beam_span in (6, 12, 18):
            plan = completed(
                deck(
                    joists=[("", field(joist_span, Fraction(joist_span, 4)))],
                    beams=[("b", {"beams.span": Fraction(beam_span * FOOT), "beams.cantilever": Fraction(0)})],
                    posts=[("", {})],
                )
            )  # fmt: skip
            assert fact(plan, "beams", "b", "joist_reach") == joist_span * Fraction(25, 32) * FOOT
            area = fact(plan, "posts", "", "tributary_area") / SQUARE_FOOT
            assert area == beam_span * Fraction(5, 4) * Fraction(25, 32) * joist_span
            (post_part,) = plan.parts["posts"]
            simple = simple_tributary_area(plan, post_part) / SQUARE_FOOT
            assert simple == beam_span * Fraction(3, 4) * joist_span


def test_an_l_shaped_deck_is_two_fields_on_two_beams():
    """The wing's joists run from the first beam on to a second one."""
    plan = completed(
        deck(
            joists=[
                ("main", field(10, 0, beam="near", field_width=Fraction(16 * FOOT))),
                ("wing", field(8, 2, beam="far", inner_beam="near", inner_cantilever=Fraction(0), field_width=Fraction(6 * FOOT))),
            ],
            beams=[("near", {"beams.span": Fraction(8 * FOOT), "beams.cantilever": Fraction(0)}),
                   ("far", {"beams.span": Fraction(6 * FOOT), "beams.cantilever": Fraction(0)})],
            posts=[("n", {"posts.beam": "near"}), ("f", {"posts.beam": "far"})],
        )
    )  # fmt: skip
    assert fact(plan, "joists", "main", "inner_support") == "ledger"
    assert fact(plan, "joists", "wing", "inner_support") == "beam"
    assert fact(plan, "beams", "near", "joist_sides") == 2
    assert fact(plan, "beams", "near", "joist_span") == 10 * FOOT
    assert fact(plan, "beams", "near", "joist_reach") == 9 * FOOT  # 10/2 + 8/2
    assert fact(plan, "beams", "far", "joist_sides") == 1
    assert fact(plan, "beams", "far", "joist_reach") == Fraction(25, 4) * FOOT  # (8 + 2)^2 / 16
    # how many posts is not said: an inner one of a beam in one piece carries 5/4 of a span
    assert fact(plan, "posts", "n", "tributary_area") == 90 * SQUARE_FOOT
    assert fact(plan, "posts", "f", "tributary_area") == Fraction(375, 8) * SQUARE_FOOT


def test_a_freestanding_deck_of_one_field_loads_both_beams():
    both = {"beams.span": Fraction(72), "beams.cantilever": Fraction(0)}
    plan = completed(
        deck("freestanding", joists=[("", field(8, 1))], beams=[("a", both), ("b", both)])
    )
    for name in ("a", "b"):
        assert fact(plan, "beams", name, "joist_reach") == Fraction(81, 16) * FOOT  # 9^2 / 16
        assert fact(plan, "beams", name, "joist_sides") == 1


def test_two_fields_and_two_beams_must_say_which():
    plain = {"beams.span": Fraction(72), "beams.cantilever": Fraction(0)}
    plan = completed(
        deck(
            joists=[("one", field(8, 0, beam="a")), ("two", field(8, 0))],
            beams=[("a", plain), ("b", plain)],
        )
    )
    for name in ("a", "b"):
        for quantity in ("joist_span", "joist_reach", "joist_sides", "joist_cantilever_ratio"):
            assert fact(plan, "beams", name, quantity) is None


@pytest.mark.parametrize("named", ["joists.beam", "joists.inner_beam"])
def test_a_beam_that_is_not_there_leaves_the_loads_unknown(named):
    wrong = {**field(8, 0, beam="a"), named: "porch"}
    plan = completed(
        deck(
            joists=[("one", field(8, 0, beam="a")), ("two", wrong)],
            beams=[("a", {}), ("b", {})],
        )
    )
    assert fact(plan, "beams", "a", "joist_reach") is None
    assert fact(plan, "beams", "b", "joist_reach") is None


def test_posts_without_places_take_the_most_any_post_can_carry():
    def area(**beam):
        facts = {"beams.span": Fraction(8 * FOOT), "beams.cantilever": Fraction(1 * FOOT)}
        facts |= {f"beams.{k}": v if isinstance(v, bool) else Fraction(v) for k, v in beam.items()}
        plan = completed(deck(joists=[("", field(10, 0))], beams=[("b", facts)], posts=[("", {})]))
        found = fact(plan, "posts", "", "tributary_area")
        return found and found / SQUARE_FOOT

    assert area() == 50  # an inner post of a beam in one piece: 8 x 5/4 x 5
    assert area(post_count=3) == 50
    parted = {"spliced": True, "splices_over_posts": True}
    assert area(**parted) == 40  # parted over it: 8 x 5
    assert area(spliced=True, splices_over_posts=False) == 50
    assert area(post_count=2) == Fraction(405, 16)  # 9^2 / 16 x 5
    assert area(post_count=1) is None
    assert area(cantilever=4 * FOOT) == 50  # at the end 12^2 / 16 x 5 = 45
    assert area(cantilever=5 * FOOT) is None  # over half a span the places must be known
    assert area(cantilever=5 * FOOT, post_count=2) == Fraction(845, 16)  # 13^2 / 16 x 5


def test_a_post_entry_that_names_no_beam_stands_for_the_worst():
    short = {
        "beams.span": Fraction(5 * FOOT),
        "beams.cantilever": Fraction(0),
        "beams.size": "2-2x8",
    }
    long = {
        "beams.span": Fraction(9 * FOOT),
        "beams.cantilever": Fraction(0),
        "beams.size": "3-2x8",
    }
    plan = completed(
        deck(
            "freestanding",
            joists=[("", field(8, 0))],
            beams=[("a", short), ("b", long)],
            posts=[("all", {}), ("a's", {"posts.beam": "a"}), ("lost", {"posts.beam": "porch"})],
        )
    )
    assert fact(plan, "posts", "all", "tributary_area") == 45 * SQUARE_FOOT  # 9 x 5/4 x 4
    assert fact(plan, "posts", "all", "beam_plies") == 3
    assert fact(plan, "posts", "a's", "tributary_area") == 25 * SQUARE_FOOT
    assert fact(plan, "posts", "lost", "tributary_area") is None


def test_what_is_stated_is_never_replaced():
    design = rectangle()
    stated = {"beams.joist_span": Fraction(1), "beams.span": Fraction(2)}
    parts = {
        **design.parts,
        "beams": (Part("front", {**design.parts["beams"][0].facts, **stated}),),
    }
    plan = completed(Design("plan", "", design.facts, parts, "plan", "plan"))
    assert fact(plan, "beams", "front", "joist_span") == 1
    assert fact(plan, "beams", "front", "span") == 2


# --- statics ------------------------------------------------------------------------------------

feet = st.fractions(Fraction(1, 4), 20, max_denominator=16)
places = st.lists(st.fractions(0, 40, max_denominator=8), min_size=1, max_size=6, unique=True)


@given(places, st.fractions(0, 5, max_denominator=8), feet, feet)
def test_posts_share_the_whole_beam_and_no_less(at, past, span, cantilever):
    """By the simple measure posts share out a beam's length; none is ever loaded with less."""
    whole = max(at) + past
    plan = completed(
        deck(
            joists=[("", field(span, cantilever))],
            beams=[("b", {"beams.length": whole * FOOT})],
            posts=[(str(i), post(place)) for i, place in enumerate(at)],
        )
    )
    areas = [fact(plan, "posts", str(i), "tributary_area") for i in range(len(at))]
    simple = [simple_tributary_area(plan, part) for part in plan.parts["posts"]]
    assert sum(simple) == whole * (span / 2 + cantilever) * SQUARE_FOOT
    assert all(area >= least for area, least in zip(areas, simple, strict=True))


@given(places, st.fractions(0, 5, max_denominator=8), st.booleans())
def test_reactions_balance_the_load(at, past, parted):
    """Upward force and moment about the left end equal the load's, whatever the supports."""
    at = sorted(at)
    whole = max(at) + past
    found = (parted_over_supports if parted else in_one_piece)(at, whole)
    assert sum(found) == whole
    assert sum(r * place for r, place in zip(found, at, strict=True)) in (
        whole**2 / 2,
        *([whole * at[0]] if len(at) == 1 else []),  # one support holds no moment
    )


spans = st.lists(st.fractions(3, 12, max_denominator=8), min_size=1, max_size=5)


short = st.fractions(0, Fraction(3, 2), max_denominator=8)


@given(spans, short, short, feet)
def test_not_knowing_the_places_never_lightens_a_post(apart, before, past, span):
    """Spans from a quarter of the longest on and short ends, as the measure without places takes them."""
    at = [before, *(before + sum(apart[: i + 1]) for i in range(len(apart)))]
    whole = max(at) + past
    joists = [("", field(span, 0))]
    known = completed(
        deck(
            joists=joists,
            beams=[("b", {"beams.length": whole * FOOT})],
            posts=[(str(i), post(place)) for i, place in enumerate(at)],
        )
    )
    beam = {q: fact(known, "beams", "b", q) for q in ("span", "cantilever")}
    stated = {f"beams.{q}": value for q, value in beam.items()}
    stated["beams.post_count"] = Fraction(len(at))
    unknown = completed(deck(joists=joists, beams=[("b", stated)], posts=[("", {})]))
    most = fact(unknown, "posts", "", "tributary_area")
    assert all(fact(known, "posts", str(i), "tributary_area") <= most for i in range(len(at)))


@given(feet, feet, feet, feet)
def test_ledger_and_beams_share_the_whole_run_of_joists(one, two, inner_reach, outer_reach):
    """Half the first span is the ledger's; beams carry the rest, to the last cantilever and its lever."""
    plan = completed(
        deck(
            joists=[
                ("first", field(one, 0, beam="a")),
                ("second", field(two, outer_reach, beam="b", inner_beam="a", inner_cantilever=Fraction(0))),
            ],
            beams=[("a", {}), ("b", {})],
        )
    )  # fmt: skip
    beams = [fact(plan, "beams", name, "joist_reach") for name in ("a", "b")]
    lever = outer_reach**2 / (2 * two)
    assert one * FOOT / 2 + sum(beams) == (one + two + outer_reach + lever) * FOOT


@given(st.sampled_from(["joists.span", "joists.cantilever", "beams.length", "posts.from_beam_end"]))
def test_a_fact_left_out_leaves_the_loads_unknown(missing):
    design = rectangle()
    group = missing.split(".")[0]
    parts = {
        g: tuple(
            Part(p.name, {k: v for k, v in p.facts.items() if not (g == group and k == missing)})
            for p in some
        )
        for g, some in design.parts.items()
    }
    plan = completed(Design("plan", "", design.facts, parts, "plan", "plan"))
    assert fact(plan, "footings", "any", "tributary_area") is None
