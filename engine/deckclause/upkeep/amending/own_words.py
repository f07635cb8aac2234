"""Words for an amended limit, made from its new figures, and YAML text for what is written."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from typing import Any

from msgspec.structs import replace

from deckclause.evaluate.words import ClauseWords, scalar_text
from deckclause.quantities import QuantityError, parse_quantity
from deckclause.rulesets.clauses import Distance, Fixed, Limit, Requirement, Value
from deckclause.rulesets.round_trip import dump_round_trip
from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary

BOUNDS = {"at_least": "least", "at_most": "most", "exactly": "exactly"}
"""By the word of an amendment: the side of a limit it sets."""
_LENGTH = QuantityDefinition("", "length", "", "")


def amended_limit(limit: Limit, bounds: Mapping[str, str], vocabulary: Vocabulary) -> Limit:
    """Return a limit with new bounds, as layering would; a figure that cannot be read stays out.

    A fault of a figure is named when the amendment is layered, with its line.
    """
    definition = _definition(limit, vocabulary)
    fresh: dict[str, Value] = {}
    for word, figure in bounds.items():
        value = _figure(figure, definition)
        if value is not None:
            fresh[BOUNDS[word]] = value
    if "exactly" in fresh:
        return Limit(limit.subject, exactly=fresh["exactly"])
    return replace(limit, exactly=None, **fresh) if fresh else limit


def own_words(limit: Limit, bounds: Mapping[str, str], vocabulary: Vocabulary) -> str:
    """Say what a limit asks with its new bounds, in a sentence of our own."""
    amended = amended_limit(limit, bounds, vocabulary)
    definition = _definition(limit, vocabulary)
    words = ClauseWords(vocabulary)
    if isinstance(limit.subject, Distance):
        subject = f"{words.called(limit.subject.start)} to {words.called(limit.subject.end)}"
    else:
        subject = definition.called
    parts = []
    for word, side in BOUNDS.items():
        value = getattr(amended, side)
        if value is not None:
            parts.append(f"{word.replace('_', ' ')} {words.value(value, definition)}")
        elif word in bounds:
            parts.append(f"{word.replace('_', ' ')} {bounds[word]}")
    return f"{subject[:1].upper()}{subject[1:]}: {' and '.join(parts)}."


def figure_text(text: str, requirement: Requirement, vocabulary: Vocabulary) -> str:
    """Write a figure as the rest of the tool prints it; as typed where it cannot be read."""
    if not isinstance(requirement, Limit):
        return text
    definition = _definition(requirement, vocabulary)
    value = _figure(text, definition)
    if value is None or definition.dimension is None:
        return text
    return scalar_text(value.value, definition.kind, definition.unit)


def _definition(limit: Limit, vocabulary: Vocabulary) -> QuantityDefinition:
    return vocabulary.quantities.get(str(limit.subject), _LENGTH)


def _figure(text: str, definition: QuantityDefinition) -> Fixed | None:
    if definition.dimension is None:
        return Fixed(text)
    try:
        return Fixed(parse_quantity(text, definition.dimension).value)
    except QuantityError:
        return None


def quoted(value: str) -> str:
    """Quote what YAML would read as more than text.

    >>> print(quoted("2-1/2 in"), quoted("7: a"))
    2-1/2 in "7: a"
    """
    if re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9 ./()'-]*", value) and not re.search(r": |'", value):
        return value
    return json.dumps(value, ensure_ascii=False)


def as_yaml(data: Any, indent: int) -> Iterator[str]:
    """Yield plain data as lines of YAML, indented."""
    for line in dump_round_trip(data).splitlines():
        yield f"{' ' * indent}{line}"
