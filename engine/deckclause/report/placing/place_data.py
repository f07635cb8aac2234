"""Placements as plain data for JSON: lengths as exact text in inches with the words beside them."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

import deckclause
from deckclause.answers.placing import PlaceAnswer
from deckclause.placement.answers import Conflict, Extreme
from deckclause.placement.constraints import Distance, exact_length_text
from deckclause.placement.place import StepDown
from deckclause.placement.steps import Range
from deckclause.placement.sums import conflict_text, extreme_text
from deckclause.placement.verdict import Verdict
from deckclause.placement.zones import BoardZone
from deckclause.report.cautions import CAUTIONS

FORMAT = 1


def placements_data(name: str, digest: str, answers: Iterable[PlaceAnswer]) -> dict[str, Any]:
    """Return the answers for one design under several rule sets."""
    return {
        "placement": FORMAT,
        "engine": deckclause.__version__,
        "design": {"name": name, "digest": digest},
        "rule_sets": [placement_data(answer) for answer in answers],
        "cautions": list(CAUTIONS),
    }


def placement_data(answer: PlaceAnswer) -> dict[str, Any]:
    """Return the answers under one rule set."""
    placement = answer.placement
    return {
        "rule_set": placement.ruleset.name,
        "digest": placement.ruleset.digest,
        "as_stated": verdict_data(placement.asked),
        "at_drop": verdict_data(placement.at_drop),
        "any_drop": verdict_data(placement.any_drop),
        "limits_on_band_joist": placement.speaks_of_band_joist,
        "drop": range_data(placement.drop),
        "joist_drop": range_data(placement.joist_drop),
        "step_downs": [step_data(step) for step in placement.step_downs],
        "rows": [range_data(one) for one in placement.rows],
        "zones": _zones(answer),
        "limits": [
            limit_data(d) for d in dict.fromkeys(d for i in placement.limits for d in i.strict)
        ],
        "missing": list(answer.missing),
    }


def length_data(value: Fraction | None) -> dict[str, str] | None:
    """Return a length as exact text in inches and in words."""
    return None if value is None else {"exact_in": str(value), "text": exact_length_text(value)}


def verdict_data(found: Verdict) -> dict[str, Any]:
    """Return a verdict with its conflicts."""
    return {
        "status": found.words,
        "conflicts": [conflict_data(c) for c in found.conflicts.conflicts],
        "all_conflicts_found": found.conflicts.complete,
        "reasons": list(found.reasons),
        "missing": list(found.missing),
    }


def conflict_data(conflict: Conflict) -> dict[str, Any]:
    """Return a conflict as a sum and as its links."""
    return {
        "sum": conflict_text(conflict),
        "shortfall": length_data(conflict.shortfall),
        "clauses": [limit_data(d) for d in conflict.clauses],
    }


def range_data(one: Range | None) -> dict[str, Any] | None:
    """Return a range with its proofs."""
    if one is None:
        return None
    return {"least": extreme_data(one.least), "greatest": extreme_data(one.greatest)}


def extreme_data(extreme: Extreme) -> dict[str, Any]:
    """Return an extreme with its proof as a sum and as links."""
    return {
        "value": length_data(extreme.value),
        "sum": extreme_text(extreme),
        "links": [
            {"label": k.distance.label, "cites": k.distance.cites, "length_in": str(k.length)}
            for k in extreme.chain
        ],
    }


def step_data(step: StepDown) -> dict[str, Any]:
    """Return one step down."""
    return {
        "name": step.name,
        "range": range_data(step.range),
        "by_bolts": None if step.by_bolts is None else extreme_data(step.by_bolts),
        "stated": length_data(step.asked),
        "missing": list(step.missing),
    }


def limit_data(distance: Distance) -> dict[str, Any]:
    """Return one limit with its clause and standing."""
    return {
        "label": distance.label,
        "from": distance.start,
        "to": distance.end,
        "least": length_data(distance.least),
        "most": length_data(distance.most),
        "cites": distance.cites,
        "standing": distance.standing,
    }


def _zones(answer: PlaceAnswer) -> dict[str, Any] | None:
    zones = answer.zones
    if zones is None:
        return None
    return {
        "at_stated_drop": answer.at_stated_drop,
        "ledger": _zone(zones.ledger),
        "band_joist": _zone(zones.band_joist),
        "both_from_ledger_top": _zone(zones.both_from_ledger),
        "both_from_band_joist_top": _zone(zones.both_from_band_joist),
    }


def _zone(zone: BoardZone) -> dict[str, Any]:
    rows = [range_data(Range(row.least, row.greatest)) for row in zone.rows]
    corners = zone.two_rows.vertices if zone.two_rows is not None else ()
    return {
        "rows": rows,
        "corners_in": [[str(x), str(y)] for x, y in corners],
        "conflict": None if zone.conflict is None else conflict_text(zone.conflict),
    }
