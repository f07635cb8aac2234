"""A design with every fact the question "does it hold together?" reads, worked out across its parts."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from msgspec.structs import replace

from deckclause.designs.consistency.stated_otherwise import stated_otherwise
from deckclause.designs.derive.facts import derived_facts, derived_of_part
from deckclause.designs.derive.plan import FRAMING, FRAMING_ORDER
from deckclause.designs.design import Design, Facts, Part
from deckclause.designs.plan import Plan, complete_parts
from deckclause.designs.together import agree, fit, meeting, supports
from deckclause.designs.together.stringers import stringer_run, stringer_run_agrees
from deckclause.designs.together.unusual import plain_facts, unusual_facts
from deckclause.designs.whole_deck import facts_from_parts
from deckclause.rulesets.clauses import Scalar

OfPart = Callable[[Plan, Part], Scalar | None]
OfWhole = Callable[[Plan], Scalar | None]

WHOLE: dict[str, OfWhole] = {
    "deck.joists_stated": supports.joists_stated,
    "deck.edges_listed": fit.edges_listed,
    "deck.least_edge_drop": fit.least_edge_drop,
    "deck.deepest_post_foot": fit.deepest_foot,
    "deck.least_post_foot": fit.least_foot,
    "deck.edges_accounted": fit.edges_accounted,
    "ledger.pieces_held_twice": meeting.pieces_held_twice,
    "ledger.joist_fields_width": fit.fields_on_ledger,
    "band_joist.behind_ledger": supports.band_joist_behind_ledger,
}
AGREE_WHOLE: dict[str, Callable[[Facts], bool]] = {
    "fasteners.ends_agree": agree.ends_agree,
    "fasteners.reach_ledger_ends": agree.ledger_ends_reached,
    "band_joist.board_agrees": agree.band_joist_agrees,
    "decking.board_agrees": agree.decking_agrees,
}
PARTS: dict[str, dict[str, OfPart]] = {
    "joists": {
        "joists.outer_end_carried": supports.outer_end_carried,
        "joists.inner_end_carried": supports.inner_end_carried,
        "joists.outer_beam_position": supports.outer_beam_position,
        "joists.inner_beam_position": supports.inner_beam_position,
        "joists.hanger_load": fit.hanger_load,
        "joists.bottom_below_ledger_bottom": fit.bottom_below_ledger_bottom,
    },
    "beams": {
        "beams.on_two_posts": supports.beam_on_two_posts,
        "beams.posts_within_length": supports.posts_within_beam,
        "beams.posts_apart": supports.posts_apart,
        "beams.posts_agree": supports.posts_agree,
        "beams.splices_carried": supports.splices_carried,
        "beams.ends_balance": supports.beam_ends_balance,
        "beams.joist_fields_width": fit.fields_on_beam,
    },
    "posts": {
        "posts.beam_stated": supports.post_under_a_beam,
        "posts.footing_stated": supports.post_on_a_footing,
        "posts.foot_below_surface": fit.foot_below_surface,
        "posts.as_wide_as_beam": meeting.post_as_wide_as_beam,
        "posts.notch_fits": meeting.notch_fits,
    },
    "footings": {
        "footings.post_stated": supports.footing_under_a_post,
        "footings.as_wide_as_post": supports.footing_as_wide_as_post,
        "footings.load": meeting.footing_load,
        "footings.kind_agrees": meeting.pile_states_no_concrete,
    },
    "stairs": {
        "stairs.stringer_run": stringer_run,
        "stairs.stringer_run_agrees": stringer_run_agrees,
    },
}
AGREE_PARTS: dict[str, dict[str, Callable[[Facts], bool]]] = {
    "joists": {"joists.measures_agree": agree.joists_agree},
    "stairs": {
        "stairs.variations_agree": agree.variations_agree,
        "stairs.sides_agree": agree.sides_agree,
    },
}
FRAMING_PARTS = ("beams", "posts", "footings")
"""The parts that stand under the joists: a design that states none of them is of the ledger alone."""


def states_whole_deck(design: Design) -> bool:
    """Tell whether a design describes more than the connection at the house."""
    return any(group in design.parts for group in FRAMING_PARTS)


def worked_out(design: Design) -> Design:
    """Return a design with what is worked out across its parts; stated facts stay as they are."""
    facts = derived_facts({**design.facts, **facts_from_parts(design), **_ledger_length(design)})
    plan = complete_parts(replace(design, facts=facts), FRAMING_ORDER, FRAMING, derived_of_part)
    odd = {
        (found.quantity.split(".")[0], found.part)
        for found in stated_otherwise(design)
        if agree.contradicts_plan(found)
    }
    whole = {**facts, **{name: test(facts) for name, test in AGREE_WHOLE.items()}}
    whole["deck.agrees_with_plan"] = ("deck", "") not in odd
    whole |= unusual_facts(design)
    whole.update(_known({name: compute(plan) for name, compute in WHOLE.items()}))
    parts = {
        group: tuple(_part(plan, group, part, whole, odd) for part in members)
        for group, members in plan.parts.items()
    }
    return replace(design, facts=whole, parts=parts)


def _part(plan: Plan, group: str, part: Part, whole: Facts, odd: set[tuple[str, str]]) -> Part:
    full = derived_facts({**whole, **part.facts})
    found = {name: compute(plan, part) for name, compute in PARTS.get(group, {}).items()}
    found |= {name: test(full) for name, test in AGREE_PARTS.get(group, {}).items()}
    if group in FRAMING_PARTS:
        found[f"{group}.agree_with_plan"] = (group, part.name) not in odd
    return Part(part.name, {**part.facts, **plain_facts(group, whole, part), **_known(found)})


def _known(found: Mapping[str, Scalar | None]) -> Facts:
    return {name: value for name, value in found.items() if value is not None}


def _ledger_length(design: Design) -> Facts:
    """Give the ledger's length from its pieces where it is not stated."""
    pieces = design.parts.get("ledger_pieces")
    if not pieces or "ledger.length" in design.facts:
        return {}
    lengths = [piece.facts.get("ledger_pieces.length") for piece in pieces]
    known = [found for found in lengths if isinstance(found, Fraction)]
    return {"ledger.length": sum(known, Fraction(0))} if len(known) == len(lengths) else {}
