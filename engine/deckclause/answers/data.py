"""Figures and rule sets as plain data, as every result in JSON has them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from types import MappingProxyType
from typing import Any

from msgspec import Struct

from deckclause.answers.figure import Figure, figure
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.ruleset import Layer, RuleSet


def figure_data(value: Figure | None) -> Any:
    """Return a figure as data: a measure as exact, text and SI; a choice or yes/no as itself."""
    if value is None:
        return None
    if isinstance(value.value, str | bool):
        return value.value
    return {"exact": str(value.value), "text": value.text(), "si": value.text(si=True)}


AsData = Mapping[type, Callable[[Any], Any]]
"""How objects of some classes are written as data, where not by their attributes."""


def plain_data(value: Any, otherwise: AsData = MappingProxyType({})) -> Any:
    """Return any frozen answer as data: objects by their attributes, figures as figures, dates as text.

    `otherwise` writes the objects of some classes another way.
    """
    if type(value) in otherwise:
        return otherwise[type(value)](value)
    if isinstance(value, Figure):
        return figure_data(value)
    if isinstance(value, tuple):
        return [plain_data(one, otherwise) for one in value]
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Struct):
        return {
            name: plain_data(getattr(value, name), otherwise) for name in value.__struct_fields__
        }
    return value


def measure(value: Scalar | None, kind: str, unit: str) -> Any:
    """Return a bare value as data, as `figure_data` does."""
    return figure_data(figure(value, kind, unit))


def ruleset_layers(ruleset: RuleSet) -> dict[str, Any]:
    """Return what one rule set was made of: every layer with its digest."""
    return layers_data(ruleset.name, ruleset.digest, ruleset.layers)


def layers_data(name: str, digest: str, layers: tuple[Layer, ...]) -> dict[str, Any]:
    """Return a rule set's name and digest with every layer it was made of."""
    return {
        "name": name,
        "digest": digest,
        "layers": [
            {
                "name": layer.name,
                "kind": layer.kind,
                "digest": layer.digest,
                "place": layer.place,
                "ordinance": layer.ordinance,
                "adopted": layer.adopted,
            }
            for layer in layers
        ],
    }
