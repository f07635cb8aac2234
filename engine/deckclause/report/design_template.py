"""A starting design: every quantity a person may state, with its question and its choices.

Nothing has to be uncommented: a key left blank is not stated, and a part all of whose keys are
blank is no part of the design.
"""

from __future__ import annotations

import json

from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary

LEDGER_GROUPS = (
    "site", "deck", "wall", "floor", "band_joist", "ledger", "fasteners", "lateral", "joists",
    "decking", "doors",
)  # fmt: skip
"""The groups a ledger comparison reads."""

STARTERS: dict[str, str] = {
    "deck.attachment": "ledger",
    "wall.structure": "wood_frame",
    "band_joist.kind": "sawn_lumber",
    "band_joist.size": "2x10",
    "ledger.size": "2x10",
    "ledger.below_band_joist": "0 in",
    "fasteners.kind": "through_bolt",
    "fasteners.diameter": "1/2 in",
    "fasteners.spacing": "16 in",
    "joists.size": "2x10",
    "joists.span": "12 ft",
}
"""Eleven values of an ordinary deck to begin with; everything else stays an open question."""

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


def design_template(vocabulary: Vocabulary, name: str, *, full: bool = False) -> str:
    """Return the text of a starting design; open questions are commented out."""
    lines = [
        "# A design for deckclause. Fill in what you know; leave the rest blank.",
        "# What is not stated is unknown and never counts as complying.",
        "# Lengths take units: 6-1/2 in, 11 ft 10 in, 140 mm. Loads: 40 psf, 1.9 kPa.",
        "# The values given are an ordinary deck's, to begin with: make them yours.",
        "# Two of a kind (two doors, two guards) are a list, each with a name of its own:",
        "#   doors: [{name: kitchen door, role: other}, {name: front door, role: required_egress}]",
        *(
            ()
            if full
            else ("# Footings, posts, beams, guards, stairs: deckclause new design --full",)
        ),
        "design: 1",
        f"name: {json.dumps(name, ensure_ascii=False)}",
        'says: ""',
    ]
    for group in vocabulary.groups.values():
        if group.name == "design" or not (full or group.name in LEDGER_GROUPS):
            continue
        definitions = [
            d
            for d in vocabulary.quantities.values()
            if d.name.startswith(f"{group.name}.") and not (d.provided or d.derived)
        ]
        if not definitions:
            continue
        lines += ["", f"# --- {group.title}", f"{group.name}:"]
        for definition in definitions:
            lines += _entry(definition)
    return "\n".join(lines) + "\n"


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
