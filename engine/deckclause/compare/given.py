"""Read `--given` settings: what is known of a design before its regions are listed."""

from __future__ import annotations

from fractions import Fraction

from deckclause.evaluate.regions.space import Range, Space
from deckclause.rulesets.problems import InputError, suggestion
from deckclause.rulesets.vocabulary import Vocabulary


def read_given(texts: list[str], vocabulary: Vocabulary) -> Space:
    """Read `joists.span=8 ft..12 ft`, `fasteners.kind=lag_screw,through_bolt` into a region.

    Raises InputError with every fault.
    """
    from deckclause.rulesets.translate_values import ValueTranslator
    from deckclause.rulesets.yaml_tree import Tree

    reader = ValueTranslator(vocabulary, Tree("--given", {}, {}))
    space = Space()
    for text in texts:
        name, equals, value = text.partition("=")
        name = name.strip()
        definition = vocabulary.quantities.get(name)
        if not equals or definition is None:
            near = suggestion(name, vocabulary.quantities)
            raise InputError.single(
                "--given", f"'{text}' is not QUANTITY=VALUE for a known quantity.{near}"
            )
        if definition.dimension is not None:
            low, dots, high = value.partition("..")
            ends = [
                reader.measure(part.strip(), definition, ()) if part.strip() else None
                for part in (low, high if dots else low)
            ]
            space = space.with_range(name, _closed(ends[0], ends[1]))
        else:
            chosen = [reader.scalar(part.strip(), definition, ()) for part in value.split(",")]
            space = space.with_options(
                name, frozenset(c for c in chosen if isinstance(c, str | bool))
            )
    if reader.problems:
        raise InputError(reader.problems)
    return space


def _closed(low: Fraction | None, high: Fraction | None) -> Range:
    return Range(low, False, high, False)
