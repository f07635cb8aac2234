"""Whether a relief leaves wood around every fastener: one that does not is never offered.

No published rule and no standard puts a bolt or lag screw nearer than 1.5 diameters to any edge
(NDS 2018 Table 12.5.1C, unloaded edge, from memory; the editions' least is 3/4 in for 1/2 in). A
relief that would do so, or that leaves a row off a board, is no relief: the joint has nothing to
hold it.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from deckclause.evaluate.findings import Evaluation
from deckclause.placement.from_design import section_facts
from deckclause.quantities import length_text
from deckclause.variance.relax import LEAST_WOOD, Relaxation

EDGES = (
    "ledger_top_edge_distance",
    "ledger_bottom_edge_distance",
    "band_joist_top_edge_distance",
    "band_joist_bottom_edge_distance",
)
"""Topics that ask for wood between a row and an edge."""
UPPER, LOWER = "fasteners.upper_row_below_ledger_top", "fasteners.lower_row_below_ledger_top"


def least_wood(evaluation: Evaluation) -> Fraction | None:
    """Return the least distance from any edge, inches; None where the diameter is not known."""
    diameter = section_facts(evaluation.design).get("fasteners.diameter")
    return LEAST_WOOD * diameter if isinstance(diameter, Fraction) else None


def too_little_wood(evaluation: Evaluation, relaxations: Iterable[Relaxation]) -> str:
    """Say where a relief leaves too little wood round a row; nothing where it leaves enough.

    Looks at every edge of both boards once the relief is on an edge of one; what is not known is
    left to the clauses.
    """
    least = least_wood(evaluation)
    asked = [r for r in relaxations if r.finding.topic in EDGES]
    for relaxation in asked:
        if least is not None and relaxation.value < least:
            title = relaxation.finding.clause.topic.replace("_", " ")
            return _says(title, relaxation.value, least)
    for where, wood in _edges(evaluation) if asked else ():
        if wood <= 0 or (least is not None and wood < least):
            return _says(where, wood, least or Fraction(0))
    return ""


def _says(where: str, wood: Fraction, least: Fraction) -> str:
    if wood <= 0:
        return f"{where}: the row would stand off the board"
    return (
        f"{where}: {length_text(wood)} would be left, and no published rule or standard puts a "
        f"fastener nearer than 1.5 diameters ({length_text(least)}) to any edge"
    )


def _edges(evaluation: Evaluation) -> list[tuple[str, Fraction]]:
    facts = section_facts(evaluation.design)
    known = {n: v for n, v in facts.items() if isinstance(v, Fraction)}
    found: list[tuple[str, Fraction]] = []
    lower, upper = known.get(LOWER), known.get(UPPER)
    ledger, band, drop = (
        known.get(n) for n in ("ledger.depth", "band_joist.depth", "ledger.below_band_joist")
    )
    if upper is not None:
        found.append(("ledger's top edge to the upper row", upper))
    if lower is not None and ledger is not None:
        found.append(("ledger's bottom edge to the lower row", ledger - lower))
    if upper is not None and drop is not None:
        found.append(("band joist's top edge to the upper row", drop + upper))
    if lower is not None and drop is not None and band is not None:
        found.append(("band joist's bottom edge to the lower row", band - drop - lower))
    return found
