"""What solving where fasteners may go, and how far a deck may step down, comes to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from functools import cached_property
from typing import Any

from deckclause.answers.placing import place_answers
from deckclause.api.frame import Library, frame_of, html_table
from deckclause.evaluate.status import STATUS_WORDS
from deckclause.placement.answers import Extreme
from deckclause.placement.constraints import exact_length_text
from deckclause.placement.place import Placement
from deckclause.placement.steps import Range
from deckclause.placement.sums import extreme_text
from deckclause.report.cautions import IN_WORDS
from deckclause.rulesets.vocabulary import Vocabulary

DROP = "drop of the ledger's top below the band joist's top"
WIDTH = 100


@dataclass(frozen=True, slots=True)
class Measure:
    """One range under one rule set: how far the ledger may drop, or the deck step down.

    `status` is that of the design as stated. `least` and `greatest` are lengths as a carpenter
    reads them, empty where nothing known ends the range; `proof` is the sum that gives the
    greatest. `missing` names what the design would have to state where there is no range.
    """

    rule_set: str
    status: str
    measure: str
    least: str
    greatest: str
    proof: str
    missing: str


@dataclass(frozen=True)
class Placed:
    """The placement of one design. `str()` is the report of the command line."""

    name: str
    exit_status: int
    _digest: str
    _placements: tuple[Placement, ...]
    _vocabulary: Vocabulary

    @property
    def rule_sets(self) -> tuple[str, ...]:
        """The rule sets, in the order they were asked for."""
        return tuple(p.ruleset.name for p in self._placements)

    @property
    def cautions(self) -> tuple[str, ...]:
        """What must be said wherever this is shown."""
        return IN_WORDS

    @cached_property
    def measures(self) -> tuple[Measure, ...]:
        """The greatest and least drop, and each step down, under each rule set."""
        return tuple(measure for p in self._placements for measure in _measures(p))

    def to_dict(self) -> dict[str, Any]:
        """Return all of it as the command line's JSON has it, proofs and cautions included."""
        from deckclause.report.placing.place_data import placements_data

        return placements_data(self.name, self._digest, place_answers(self._placements))

    def to_frame(self, library: Library | None = None) -> Any:
        """Return `measures` as a DataFrame of polars, or of pandas where polars is not installed.

        Raises ModuleNotFoundError where neither is.
        """
        return frame_of(Measure, self.measures, library)

    def __str__(self) -> str:
        from deckclause.report.placing.place_text import PlacementText

        answers = place_answers(self._placements)
        return "\n".join(PlacementText(self._vocabulary, WIDTH).lines(self.name, answers))

    def __repr__(self) -> str:
        return f"<Placed {self.name!r} under {', '.join(self.rule_sets)}>"

    def _repr_html_(self) -> str:
        """Return the measures as a notebook shows them."""
        head = [field.name.replace("_", " ") for field in fields(Measure)]
        body = [[getattr(m, field.name) for field in fields(Measure)] for m in self.measures]
        return html_table(self.name, head, body, self.cautions)


def _measures(placement: Placement) -> Iterator[Measure]:
    yield _measure(placement, DROP, placement.drop, ())
    for step in placement.step_downs:
        yield _measure(placement, step.name, step.range, step.missing)


def _measure(
    placement: Placement, name: str, found: Range | None, missing: tuple[str, ...]
) -> Measure:
    return Measure(
        rule_set=placement.ruleset.name,
        status=STATUS_WORDS[placement.status],
        measure=name,
        least=_length(found.least) if found else "",
        greatest=_length(found.greatest) if found else "",
        proof=extreme_text(found.greatest) if found and found.greatest.value is not None else "",
        missing=", ".join(missing),
    )


def _length(extreme: Extreme) -> str:
    return "" if extreme.value is None else exact_length_text(extreme.value)
