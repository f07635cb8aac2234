"""Ask what rule sets make of a design, in Python: the same answers as the command line's."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from deckclause.answers.compare.build import compare_answer
from deckclause.api.compared import Compared
from deckclause.api.placed import Placed
from deckclause.cli.place.shared import exit_status
from deckclause.cli.shared import ALL_EDITIONS, rule_set_names
from deckclause.cli.topics import wanted_topics
from deckclause.compare.comparison import compare as compared_under
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.placement.from_rules import PlacementRules
from deckclause.placement.place import place as placed_under
from deckclause.rulesets.problems import InputError

Design = str | os.PathLike[str] | Mapping[str, Any]
"""A design file's path, or the same as a mapping: `{"design": 1, "ledger": {"size": "2x10"}}`."""
Names = str | Iterable[str]
"""One name, or several."""
UNNAMED = "design"


class Rules:
    """A rules folder, read once: `compare` and `place` of many designs share what was read.

    `root` is a rules folder of your own, or None for the one that came with the package;
    `cached=False` reads the YAML afresh instead of what an earlier run kept.
    """

    def __init__(self, root: str | os.PathLike[str] | None = None, *, cached: bool = True) -> None:
        self._catalogue = Catalogue.open(None if root is None else Path(root), cached=cached)

    @property
    def editions(self) -> tuple[str, ...]:
        """The editions, oldest first."""
        return tuple(rule_set_names(self._catalogue, [ALL_EDITIONS]))

    @property
    def places(self) -> tuple[str, ...]:
        """The places of the register; ask for one on a day as `"Place@2026-01-31"`."""
        return tuple(self._catalogue.register.places)

    def compare(
        self,
        design: Design,
        under: Names = ALL_EDITIONS,
        *,
        topics: Names = (),
        parts: Names = (),
        si: bool = False,
    ) -> Compared:
        """Compare what rule sets ask of a design. See `deckclause.compare`."""
        catalogue = self._catalogue
        names = rule_set_names(catalogue, _names(under))
        wanted = wanted_topics(catalogue, _names(topics), _names(parts))
        found = compared_under(catalogue, self._design(design), names, topics=wanted)
        return Compared(compare_answer(found, catalogue.vocabulary, si=si, depth=True))

    def place(self, design: Design, under: Names = ALL_EDITIONS) -> Placed:
        """Solve where a design's fasteners may go. See `deckclause.place`."""
        catalogue = self._catalogue
        prepared = self._design(design)
        rules = [
            PlacementRules(catalogue.evaluator(name), catalogue.vocabulary)
            for name in rule_set_names(catalogue, _names(under))
        ]
        placements = tuple(placed_under(prepared, one) for one in rules)
        return Placed(
            prepared.design.name,
            exit_status(p.status for p in placements),
            prepared.design.digest,
            placements,
            catalogue.vocabulary,
        )

    def _design(self, design: Design) -> PreparedDesign:
        if not isinstance(design, Mapping):
            return self._catalogue.design(Path(design))
        from deckclause.designs.read_design import design_of

        text = json.dumps(_written(design), ensure_ascii=False, indent=1)
        try:
            content = text.encode()
        except UnicodeEncodeError:
            raise InputError.single(UNNAMED, "holds half a letter (a lone surrogate)") from None
        return self._catalogue.prepare(design_of(content, UNNAMED, self._catalogue.vocabulary))


def compare(
    design: Design,
    under: Names = ALL_EDITIONS,
    *,
    topics: Names = (),
    parts: Names = (),
    si: bool = False,
    rules: Rules | None = None,
) -> Compared:
    """Compare what several rule sets ask of one design, and say what drives each difference.

    `design` is a design file's path or a mapping of the same shape, measures as text with their
    unit ("9-1/4 in"). `under` names editions or guides by id, places as "Place@2026-01-31",
    "all-editions" or "all-guides". `topics` and `parts` narrow it; `si` writes SI units. `rules`
    is a rules folder opened before (`deckclause.Rules`), else the one that came with the package.

    Raises deckclause.InputError with every fault of what was given. What is unknown is never a
    pass: look at each outcome's `status`.

    >>> deck = {"design": 1, "ledger": {"size": "2x10"}, "fasteners": {"kind": "lag_screw"}}
    >>> found = compare(deck, ["irc-2012", "irc-2018"], topics="ledger_fastener_spacing")
    >>> sorted({outcome.status for outcome in found.outcomes})
    ['information missing']
    >>> found.exit_status
    3
    """
    return (rules or Rules()).compare(design, under, topics=topics, parts=parts, si=si)


def place(design: Design, under: Names = ALL_EDITIONS, *, rules: Rules | None = None) -> Placed:
    """Solve where fasteners may go and how far the deck may step down, each answer with its sum.

    Takes and raises what `compare` does.

    >>> found = place({"design": 1, "ledger": {"size": "2x10"}}, "irc-2012")
    >>> found.rule_sets
    ('irc-2012',)
    """
    return (rules or Rules()).place(design, under)


def _names(given: Names) -> list[str]:
    return [given] if isinstance(given, str) else list(given)


def _written(value: Any) -> Any:
    """Return plain data as a design file would have it: every value text, truths yes and no."""
    if isinstance(value, Mapping):
        return {str(key): _written(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_written(item) for item in value]
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value if value is None or isinstance(value, str) else str(value)
