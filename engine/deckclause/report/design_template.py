"""A starting design: a few lines to begin with, or a form of every quantity a person may state.

A key left blank is not stated, and a part all of whose keys are blank is no part of the design.
"""

from __future__ import annotations

import json
from collections.abc import Iterable

from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary

LEDGER_GROUPS = (
    "site", "deck", "wall", "floor", "band_joist", "ledger", "fasteners", "lateral", "joists",
    "decking", "doors",
)  # fmt: skip
"""The groups a ledger comparison reads."""

STARTERS: dict[str, str] = {
    "deck.attachment": "ledger",
    "ledger.size": "2x10",
    "ledger.below_band_joist": "0 in",
    "fasteners.kind": "through_bolt",
    "fasteners.diameter": "1/2 in",
    "fasteners.spacing": "16 in",
    "joists.size": "2x10",
    "joists.span": "12 ft",
}
"""Eight values of an ordinary deck to begin with, all of what a builder draws. Of the house and the
ground nothing is taken as ordinary: what stands there is looked at."""

FIRST = (
    "deck.attachment", "band_joist.size", "ledger.size", "ledger.below_band_joist", "fasteners.kind",
    "fasteners.diameter", "fasteners.spacing", "joists.span", "joists.field_width", "joists.size",
)  # fmt: skip
"""What a deck of one joist field begins with; what else a rule set needs, it asks for."""
FEW = 4

HINTS: dict[str, str] = {
    "site.ground_snow_load": "Leave it blank where the town you compare under sets it.",
    "site.frost_depth": "Leave it blank where the town you compare under sets it.",
    "ledger.below_band_joist": (
        'Which drop gives a step down: deckclause place steps FILE --under irc-2021 --step-down "2 in"'
    ),
    "deck.surface_below_ledger_top": (
        "Leave it blank where the decking lies on joists level with the ledger: it is worked out."
    ),
    "doors.step_down": "Leave it blank where floor, ledger and decking are stated: it is worked out.",
}
UNITS = {"length": "in or ft", "area": "sq ft", "load": "psf", "force": "lb", "line_load": "plf"}


def starting_file(vocabulary: Vocabulary, name: str, file: str) -> str:
    """Return the few lines a deck of one joist field begins with; all else is asked for later.

    `file` is the name it will stand under, for the words that say how to go on.
    """
    lines = [
        "# A deck of one joist field; the values are to begin with: make them yours, with units. What",
        "# is blank, or not here, is not known and never a pass. What else a town needs is asked by",
        f"#   deckclause ask {file} --under irc-2021     and written in here.",
        "design: 1",
        f"name: {json.dumps(name, ensure_ascii=False)}",
    ]
    begun = ""
    for quantity in FIRST:
        group, _, key = quantity.partition(".")
        if group != begun:
            lines.append(f"{group}:")
            begun = group
        definition = vocabulary.quantities[quantity]
        given = f"  {key}: {STARTERS.get(quantity, '')}".rstrip()
        lines.append(f"{given:<26}# {_in_short(definition)}")
    return "\n".join(lines) + "\n"


def design_form(vocabulary: Vocabulary, name: str, parts: Iterable[str] = ()) -> str:
    """Return every question of a design as a form to fill in; of some parts alone, where named."""
    asked = list(parts)
    lines = [
        "# A design for deckclause. Fill in what you know; leave the rest blank.",
        "# What is not stated is not known and never counts as complying.",
        "# Lengths take units: 6-1/2 in, 11 ft 10 in, 140 mm. Loads: 40 psf, 1.9 kPa.",
        "# The values given are an ordinary deck's, to begin with: make them yours.",
        "# A deck without stairs, guards, beams: in place of the part's lines, `stairs: none`.",
        "# Two of a kind (two doors, two guards) are a list, each with a name of its own:",
        "#   doors: [{name: kitchen door, role: other}, {name: front door, role: required_egress}]",
        "design: 1",
        f"name: {json.dumps(name, ensure_ascii=False)}",
        'says: ""',
    ]
    for group, definitions in questions_by_part(vocabulary).items():
        if asked and group not in asked:
            continue
        lines += ["", f"# --- {vocabulary.groups[group].title}", f"{group}:"]
        for definition in definitions:
            lines += _entry(definition)
    return "\n".join(lines) + "\n"


def questions_by_part(vocabulary: Vocabulary) -> dict[str, list[QuantityDefinition]]:
    """Return what a person may state of each part of a deck; a part nothing is asked of is left out."""
    found: dict[str, list[QuantityDefinition]] = {name: [] for name in vocabulary.groups}
    for definition in vocabulary.quantities.values():
        group = definition.name.partition(".")[0]
        if group in found and not (definition.provided or definition.derived):
            found[group].append(definition)
    return {name: asked for name, asked in found.items() if asked and name != "design"}


def _in_short(definition: QuantityDefinition) -> str:
    """Say what a key is for: the first choices as they are written, else its question."""
    if not definition.choices:
        return definition.ask
    more = ", ..." if len(definition.choices) > FEW else ""
    return f"one of: {', '.join(definition.choices[:FEW])}{more}"


def _entry(definition: QuantityDefinition) -> list[str]:
    key = definition.name.split(".", 1)[1]
    lines = [f"  # {definition.ask}{_form(definition)}"]
    if definition.kind == "choice":
        lines.append(f"  #   one of: {', '.join(definition.choices)}")
    if definition.name in HINTS:
        lines.append(f"  #   {HINTS[definition.name]}")
    lines.append(f"  {key}: {STARTERS.get(definition.name, '')}".rstrip())
    return lines


def _form(definition: QuantityDefinition) -> str:
    """Say what form an answer takes, where the question does not."""
    if definition.kind == "yes_no":
        return " (yes or no)"
    unit = definition.unit or UNITS.get(definition.kind, "")
    if definition.kind == "length" and unit in ("in", "ft"):
        unit = UNITS["length"]
    return f" ({unit})" if unit and f"({unit})" not in definition.ask else ""
