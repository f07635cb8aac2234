"""The answer of `place`: what was solved under each rule set, with the zones of both rows."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from deckclause.evaluate.status import NOT_APPLICABLE
from deckclause.placement.from_design import DROP
from deckclause.placement.place import Placement
from deckclause.placement.zones import PermittedZones, RoomyRows, permitted_zones, roomiest_rows


class PlaceAnswer(Struct, frozen=True):
    """One design's placing under one rule set, everything worked out.

    `zones` are None where nothing was solved; `at_stated_drop` tells that they hold at the drop
    the design states, else at any drop. `recommended` keeps farthest from every limit. `missing`
    names every quantity that would have to be known.
    """

    placement: Placement
    zones: PermittedZones | None
    at_stated_drop: bool
    recommended: RoomyRows | None
    missing: tuple[str, ...]

    @property
    def status(self) -> int:
        """The status of the design as stated."""
        return self.placement.status

    @property
    def applies(self) -> bool:
        """Whether there is a ledger to place."""
        return self.placement.at_drop.status != NOT_APPLICABLE


def place_answers(placements: Iterable[Placement]) -> tuple[PlaceAnswer, ...]:
    """Return the answers of solved placements."""
    return tuple(map(place_answer, placements))


def place_answer(placement: Placement) -> PlaceAnswer:
    """Return the answer of one solved placement."""
    system = placement.at_drop if placement.at_drop.is_feasible else placement.any_drop
    zones = permitted_zones(system.distances) if system.solution is not None else None
    both = zones.both_from_ledger.two_rows if zones is not None else None
    return PlaceAnswer(
        placement,
        zones,
        system is placement.at_drop and placement.boards.drop is not None,
        roomiest_rows(both) if both is not None else None,
        _missing(placement),
    )


def _missing(placement: Placement) -> tuple[str, ...]:
    if placement.at_drop.status == NOT_APPLICABLE:
        return ()
    steps = (name for step in placement.step_downs for name in step.missing)
    verdicts = (placement.asked, placement.at_drop, placement.with_doors)
    known = (name for found in verdicts for name in found.missing)
    drop = () if placement.boards.drop is not None else (DROP,)
    return tuple(dict.fromkeys([*known, *drop, *steps]))
