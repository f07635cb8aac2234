"""JSON Schemas built from the vocabulary: what each quantity may be, conditions, the design file."""

from __future__ import annotations

from typing import Any

from deckclause.rulesets.translate_values import BOUNDS
from deckclause.rulesets.vocabulary import READ_IN_BOOK, QuantityDefinition, Vocabulary

Schema = dict[str, Any]
DRAFT = "https://json-schema.org/draft/2020-12/schema"
VOCABULARY_FILE = "vocabulary.json"
FORMAT = "1"

EXAMPLES: dict[str, list[str]] = {
    "length": ["6-1/2 in", "11 ft 10 in", "140 mm"],
    "area": ["4 sqft"],
    "load": ["40 psf", "2.4 kPa"],
    "force": ["1500 lb"],
    "line_load": ["300 plf"],
    "angle": ["45 deg"],
}
_MEASURE_PATTERN = "[A-Za-z\"'″”′’°%]"
"""A measure names its unit; a bare number is not one."""
_BOUND_WORDS = {
    "at_least": "This or more.",
    "more_than": "More than this.",
    "at_most": "This or less.",
    "less_than": "Less than this.",
}


def quantity_schema(definition: QuantityDefinition) -> Schema:
    """Return the schema of one value of a quantity, with its description for a hover.

    >>> quantity_schema(QuantityDefinition("a.b", "choice", "What it is.", "?", choices=("x", "y")))
    {'enum': ['x', 'y'], 'description': 'What it is.'}
    """
    if definition.kind == "choice":
        schema: Schema = {"enum": list(definition.choices)}
    elif definition.kind == "yes_no":
        schema = {"enum": ["yes", "no", True, False]}
    elif definition.kind in ("count", "ratio"):
        schema = {"type": ["number", "string"]}
    elif definition.kind in EXAMPLES:
        schema = {
            "type": "string",
            "pattern": _MEASURE_PATTERN,
            "examples": EXAMPLES[definition.kind],
        }
    else:
        schema = {"type": "string"}
    return {**schema, "description": definition.says}


def vocabulary_schema(vocabulary: Vocabulary) -> Schema:
    """Return the definitions the other schemas share: names, values of quantities, conditions."""
    quantities = vocabulary.quantities
    definitions: Schema = {
        "quantity": _names("A quantity of rules/quantities.yaml.", quantities),
        "topic": _names("A topic of rules/topics.yaml.", vocabulary.topics),
        "source": _names(
            "A source of rules/sources.yaml.",
            {name: s for name, s in vocabulary.sources.items() if s.kind != READ_IN_BOOK},
        ),
        "datum": _names("An edge or line of rules/quantities.yaml.", vocabulary.datums),
        "part": _names("A part of the deck in rules/topics.yaml.", vocabulary.parts),
        "values": {name: quantity_schema(q) for name, q in quantities.items()},
        "settings": {
            "type": "object",
            "description": "A quantity and its value, one a line.",
            "properties": {n: _shared("values", n) for n in quantities},
            "additionalProperties": False,
        },
        "bounds": _bounds(),
        "condition": _condition(vocabulary),
    }
    return {
        "$schema": DRAFT,
        "title": "What rule files and designs may name",
        "$defs": definitions,
    }


def _names(description: str, names: Any) -> Schema:
    return {"enum": list(names), "description": description}


def _shared(*path: str) -> Schema:
    steps = "/".join(step.replace("~", "~0").replace("/", "~1") for step in path)
    return {"$ref": f"#/$defs/{steps}"}


def _condition(vocabulary: Vocabulary) -> Schema:
    parts = {
        "type": "array",
        "minItems": 1,
        "items": {"$ref": "#/$defs/condition"},
    }
    joined: Schema = {
        "all": {**parts, "description": "Every one of these holds."},
        "any": {**parts, "description": "At least one of these holds."},
        "not": {"$ref": "#/$defs/condition", "description": "This does not hold."},
    }
    tests = {name: _test(definition) for name, definition in vocabulary.quantities.items()}
    return {
        "type": "object",
        "description": "Quantities and what each must be: a value, a list of choices, or bounds (or a "
        "list of bounds that must all hold). Every line must hold.",
        "properties": {**joined, **tests},
        "additionalProperties": False,
    }


def _bounds() -> Schema:
    figure = [
        {"type": "string", "pattern": "[0-9]"},
        {"type": "number"},
        {"type": "object", "description": "A figure from a table, by a choice, or computed."},
    ]
    one = {
        "type": "object",
        "minProperties": 1,
        "additionalProperties": False,
        "properties": {
            word: {"anyOf": figure, "description": _BOUND_WORDS[word]} for word in BOUNDS
        },
    }
    every = {"type": "array", "minItems": 2, "items": one, "description": "Every one must hold."}
    return {"anyOf": [one, every]}


def _test(definition: QuantityDefinition) -> Schema:
    value = _shared("values", definition.name)
    if definition.dimension is None:
        several = {"type": "array", "minItems": 1, "items": value}
        return {"anyOf": [value, several], "description": definition.says}
    return {"anyOf": [value, _shared("bounds")], "description": definition.says}


def design_schema(vocabulary: Vocabulary) -> Schema:
    """Return the schema of a design file. What is not known is left out, or stands as `?`."""
    properties: Schema = {
        "design": {"enum": [int(FORMAT), FORMAT], "description": "The format of this file: 1."},
        "name": {"type": "string", "description": "What the deck is called."},
        "says": {"type": "string", "description": "The deck in a line or two."},
        "invented": {
            "enum": ["yes", "no", True, False],
            "description": "Whether the deck is made up.",
        },
    }
    for group in vocabulary.groups.values():
        members = _members(vocabulary, group.name)
        if not members or group.name in properties:
            continue
        properties[group.name] = _group(group.title, members, many=group.many)
    return {
        "$schema": DRAFT,
        "title": "A deck design",
        "description": "One deck as its builder describes it. Leave out what is not known, or "
        "write `?`: it is asked for, never assumed.",
        "type": "object",
        "properties": properties,
        "required": ["design"],
        "additionalProperties": False,
    }


def _members(vocabulary: Vocabulary, group: str) -> Schema:
    members: Schema = {}
    for name, definition in vocabulary.quantities.items():
        head, _, tail = name.partition(".")
        if head == group and not definition.provided and not definition.derived:
            value = {"$ref": f"{VOCABULARY_FILE}#/$defs/values/{name}"}
            unknown = {"enum": ["?", None], "description": "Not known; it will be asked for."}
            members[tail] = {
                "anyOf": [value, unknown],
                "description": f"{definition.says} {definition.ask}",
            }
    return members


def _group(title: str, members: Schema, *, many: bool) -> Schema:
    one: Schema = {"type": "object", "properties": members, "additionalProperties": False}
    if not many:
        return {"anyOf": [one, {"type": "null"}], "description": title}
    name = {"type": "string", "description": "What tells it from the others."}
    one = {**one, "properties": {"name": name, **members}}
    several = {"type": "array", "items": one}
    return {"anyOf": [one, several], "description": f"{title}: one, or a list; [] for none."}
