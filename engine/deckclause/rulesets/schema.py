"""The published JSON Schemas of rule files, generated from the models that read them.

Editors complete and explain rule files from these. Names (quantities, topics, sources, edges)
and conditions are completed from the vocabulary, in one file the others point to.
"""

from __future__ import annotations

import json
from typing import Any

from pydantic import BaseModel

from deckclause.rulesets import file_models, ruleset_models, vocabulary_models
from deckclause.rulesets.boundary_model import BoundaryFile
from deckclause.rulesets.register_models import RegisterFile
from deckclause.rulesets.relief_models import ReliefFile
from deckclause.rulesets.schema_vocabulary import (
    DRAFT,
    VOCABULARY_FILE,
    Schema,
    design_schema,
    vocabulary_schema,
)
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.witness_models import WitnessFile

VERSION = "1"
"""The folder under rules/schema; a released version is never changed."""

MODELS: dict[str, type[BaseModel]] = {
    "ruleset": ruleset_models.RuleSetFile,
    "ruleset-part": ruleset_models.RuleSetPart,
    "amendment": file_models.AmendmentFile,
    "register": RegisterFile,
    "quantities": vocabulary_models.QuantitiesFile,
    "topics": vocabulary_models.TopicsFile,
    "sources": vocabulary_models.SourcesFile,
    "relief": ReliefFile,
    "boundary": BoundaryFile,
    "witness": WitnessFile,
}
"""The schema of each kind of file, by the schema's name."""

_QUANTITY = (
    "ChangeMove.quantity",
    "ByField.by",
    "ShareField.share_of",
    "ReadsField.reads",
    "*.limit",
    "*.provides",
)
_NAMES: dict[str, str] = {
    **dict.fromkeys(_QUANTITY, "quantity"),
    "*.topic": "topic",
    "TopicField.part": "part",
    "DistanceField.from": "datum",
    "DistanceField.to": "datum",
}
_LISTS: dict[str, str] = {
    "*.sources": "source",
    "TableDefinition.by": "quantity",
    "*.differ": "quantity",
    "*.place_sets": "quantity",
}
_MAPS: dict[str, str] = {
    "*.assumes": "settings",
    "*.always": "settings",
    "*.gives": "settings",
    "*.set": "settings",
    "TableField.fixed": "fixed",
}
_NUMBERS = ("CellField.at", "CellField.also", "CellChange.at", "CellChange.figure", "ShareField.share",
            "TableDefinition.columns", "ChangeField.section", "ReadingLine.at", "ReadingLine.figure",
            "ReadingLine.exception", "*.one_of", "*.step")  # fmt: skip
"""Fields whose text may look like a number to a reader that guesses types."""


def file_schemas(vocabulary: Vocabulary) -> dict[str, Schema]:
    """Return every schema of the rules folder and of designs, by file name without `.json`."""
    schemas = {name: model_schema(model) for name, model in MODELS.items()}
    schemas["vocabulary"] = vocabulary_schema(vocabulary)
    schemas["design"] = design_schema(vocabulary)
    return schemas


def schema_text(schema: Schema) -> str:
    """Write a schema as it is published."""
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"


def model_schema(model: type[BaseModel]) -> Schema:
    """Return the schema of one kind of file, completed for people who type.

    >>> model_schema(RegisterFile)["title"]
    'Which place uses which edition with which amendments over which dates.'
    """
    raw = model.model_json_schema(by_alias=True)
    definitions = raw.pop("$defs", {})
    top = _object(raw, model.__name__)
    named = {name: _object(schema, name) for name, schema in definitions.items()}
    if "ByField" in named:
        named["Figure"] = _figure()
    top["title"] = (model.__doc__ or "").strip()
    top.pop("description", None)
    return {"$schema": DRAFT, **top, "$defs": named}


def _figure() -> Schema:
    forms = ("ByField", "TableField", "CasesField", "ShareField", "ReadsField", "ArithmeticField")
    text = {
        "type": ["string", "number", "boolean"],
        "description": "A figure with its unit, or a choice.",
    }
    return {
        "description": "A figure: written out, by a choice, from a table, or computed.",
        "anyOf": [text, *({"$ref": f"#/$defs/{form}"} for form in forms)],
    }


def _object(schema: Schema, model: str) -> Schema:
    properties = {
        field: _field(entry, model, field) for field, entry in schema.get("properties", {}).items()
    }
    return {**schema, "properties": properties, **_RULES.get(model, {})}


def _field(entry: Schema, model: str, field: str) -> Schema:
    description = entry.get("description") or _inherited(model, field)
    plain: Schema = _plain(entry)
    keys = (f"{model}.{field}", f"*.{field}")
    for key in keys:
        if key in _NAMES:
            plain = {"$ref": f"{VOCABULARY_FILE}#/$defs/{_NAMES[key]}"}
        elif key in _LISTS and model != "SourcesFile":
            named = {"$ref": f"{VOCABULARY_FILE}#/$defs/{_LISTS[key]}"}
            plain = {**plain, "type": "array", "items": named}
        elif key in _MAPS:
            plain = _map(_MAPS[key])
        elif key in _NUMBERS:
            plain = _numbers(plain)
    if field == "cells" and model == "TableDefinition":
        plain = _cells()
    if description:
        plain["description"] = description
    return plain


def _plain(schema: Any) -> Any:
    """Drop nulls, defaults and titles; point at shared definitions."""
    if isinstance(schema, list):
        return [_plain(entry) for entry in schema]
    if not isinstance(schema, dict):
        return schema
    if schema.get("x-deckclause") == "condition":
        return {"$ref": f"{VOCABULARY_FILE}#/$defs/condition"}
    if "oneOf" in schema and {"$ref": "#/$defs/ByField"} in schema["oneOf"]:
        return {"$ref": "#/$defs/Figure"}
    if "anyOf" in schema:
        kept = [_plain(e) for e in schema["anyOf"] if e != {"type": "null"}]
        rest = {k: v for k, v in schema.items() if k not in ("anyOf", "default", "title")}
        return {**kept[0], **rest} if len(kept) == 1 else {"anyOf": kept, **rest}
    plain = {k: _plain(v) for k, v in schema.items() if k not in ("title", "default")}
    if plain.get("const") == "1":
        plain = {"enum": [1, "1"], "description": plain.get("description", "")}
    if {"yes", "no"} <= {e for e in plain.get("enum", ()) if isinstance(e, str)}:
        plain = {**plain, "enum": [*plain["enum"], True, False]}
        plain.pop("type", None)
    if plain.get("pattern") in (r"^\d+$", r"^-?\d+$"):
        plain["type"] = ["string", "integer"]
    return plain


def _numbers(schema: Schema) -> Schema:
    if schema.get("type") == "array":
        return {**schema, "items": {"type": ["string", "number"]}}
    return {**schema, "type": ["string", "number"]}


def _map(kind: str) -> Schema:
    if kind == "settings":
        return {"$ref": f"{VOCABULARY_FILE}#/$defs/settings"}
    return {
        "type": "object",
        "propertyNames": {"$ref": f"{VOCABULARY_FILE}#/$defs/quantity"},
        "additionalProperties": {"type": ["string", "number"]},
    }


def _cells() -> Schema:
    figure = {"type": ["string", "number"]}
    row = {"type": "array", "minItems": 1, "items": figure}
    nested: Schema = {"anyOf": [row, {"type": "object", "minProperties": 1}]}
    return nested


def _inherited(model: str, field: str) -> str:
    """Return the description a field has in the model it was first declared in."""
    found = getattr(file_models, model, None) or getattr(ruleset_models, model, None)
    for parent in found.__mro__ if found is not None else ():
        info = getattr(parent, "model_fields", {}).get(field)
        if info is not None and info.description:
            return str(info.description)
    return _WORDS.get(f"{model}.{field}", "")


def _exactly_one(*names: str) -> Schema:
    return {"oneOf": [{"required": [name]} for name in names]}


_RULES: dict[str, Schema] = {
    "ArithmeticField": {"minProperties": 1, "maxProperties": 1},
    "ChangeField": {
        **_exactly_one(*file_models.OPERATIONS),
        "dependentRequired": {"replace": ["to"], "cells": ["figures"]},
    },
    **{
        model: {"dependentRequired": {"provides": ["value"]}}
        for model in ("ClauseField", "ClauseBody", "ExceptionField", "ReadingField")
    },
}
"""What the models check in code, said in the schema too."""

_WORDS: dict[str, str] = {
    "QuantitiesFile.groups": "The parts of a deck that quantities belong to.",
    "QuantitiesFile.quantities": "Every fact a clause may read or provide, by name.",
    "QuantitiesFile.datums": "Every edge and line a distance is measured between.",
    "GroupField.title": "What the part is called.",
    "GroupField.many": "Whether a deck may have several.",
    "DatumField.axis": "Up and down on the section, or along the ledger.",
    "DatumField.says": "What it is.",
    "TopicsFile.parts": "The parts of the deck that reports group rows by.",
    "TopicsFile.topics": "The topics, by their stable names.",
    "TopicField.title": "What a report calls it.",
    "TopicField.part": "The part of the deck it belongs to.",
    "TopicField.question": "What a plan reviewer would ask.",
    "TopicField.answered_by": "Quantities whose value, where a clause gives it, answers the question; other given values are helpers.",
    "TopicField.unit": "The unit its figures are printed in.",
    "SourcesFile.sources": "Every published source, by a short id.",
    "SourceField.title": "Its title.",
    "SourceField.publisher": "Who published it.",
    "SourceField.year": "The year it was published.",
    "SourceField.address": "Where it can be read.",
    "SourceField.kind": "What sort of publication it is.",
    "SourceField.seen": "What it was seen to show, in our own words.",
    "SourceField.reach": "direct: states the edition's own figure. mirror: reprints it for "
    "another document, or without naming the edition. draft: a proposal, or a rule put to a "
    "hearing, not the text adopted. secondary: an article, forum or trade page.",
    "AmendmentFile.kind": "This file is an amendment.",
    "AmendmentFile.adopted": "The day it was adopted, as 2024-05-01; draft until then.",
    "ArithmeticField.sum": "The parts added up.",
    "ArithmeticField.product": "The parts multiplied.",
    "ArithmeticField.minus": "The first part, less the others.",
    "ArithmeticField.least": "The least of the parts.",
    "ArithmeticField.greatest": "The greatest of the parts.",
    "CaseField.value": "The figure of this case.",
}
"""Descriptions of fields whose models carry none."""
