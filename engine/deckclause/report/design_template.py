"""A starting design: every quantity a person may state, with its question and its choices."""

from __future__ import annotations

import json

from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary

LEDGER_GROUPS = (
    "site", "deck", "wall", "floor", "band_joist", "ledger", "fasteners", "lateral", "joists",
    "decking",
)  # fmt: skip
"""The groups a ledger comparison reads."""

STARTERS: dict[str, str] = {
    "deck.attachment": "ledger",
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
"""Ten values of an ordinary deck to begin with; everything else stays an open question."""


def design_template(vocabulary: Vocabulary, name: str, *, full: bool = False) -> str:
    """Return the text of a starting design; open questions are commented out."""
    lines = [
        "# A design for deckclause. Fill in what you know; leave the rest commented out.",
        "# What is not stated is unknown and never counts as complying.",
        "# Lengths take units: 6-1/2 in, 11 ft 10 in, 140 mm. Loads: 40 psf, 1.9 kPa.",
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
        started = [d for d in definitions if d.name in STARTERS]
        lines += ["", f"# --- {group.title}"]
        lines.append(f"{group.name}:" if started else f"# {group.name}:")
        for definition in definitions:
            lines += _entry(definition)
    return "\n".join(lines) + "\n"


def _entry(definition: QuantityDefinition) -> list[str]:
    key = definition.name.split(".", 1)[1]
    lines = [f"  # {definition.ask}"]
    if definition.kind == "choice":
        lines.append(f"  #   one of: {', '.join(definition.choices)}")
    starter = STARTERS.get(definition.name)
    if starter is not None:
        lines.append(f"  {key}: {starter}")
    else:
        example = {"yes_no": "yes", "choice": definition.choices[0] if definition.choices else ""}
        unit = definition.unit or {"length": "in", "load": "psf", "force": "lb"}.get(
            definition.kind, ""
        )
        value = example.get(definition.kind, f"? {unit}".strip())
        lines.append(f"  # {key}: {value}")
    return lines
