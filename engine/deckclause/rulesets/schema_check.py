"""Check files against the published schemas, read by something other than the engine's reader.

The file is read by ruamel's plain loader (which guesses numbers, dates and booleans) and checked
by jsonschema; so what the engine's own reader and models accept is checked a second time.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from deckclause.rulesets.check import dotted
from deckclause.rulesets.files import RuleFiles
from deckclause.rulesets.problems import InputError, Problem
from deckclause.rulesets.read_file import read_bytes
from deckclause.rulesets.schema import VERSION

BESIDE_THE_VOCABULARY = {"coherence": "ruleset", "practice": "ruleset-part"}
"""The files of the rule set that stands beside the vocabulary, and the schema of each."""
HINT = "# yaml-language-server: $schema="
MOST_FAULTS = 25
"""Faults reported of one file: more than this is one mistake repeated."""


def kind_of(files: RuleFiles, path: Path) -> str:
    """Return the name of the schema a rule file is written to.

    A file that is no part of a rule set, an amendment or the vocabulary is a design.
    """
    if path.parent == files.root:
        return BESIDE_THE_VOCABULARY.get(path.stem, path.stem)
    folders = path.relative_to(files.root).parts
    if folders[0] == "amendments":
        return "amendment"
    if folders[0] == "witness":
        return "witness"
    if folders[0] in ("editions", "guides", "reports"):
        return "ruleset-part" if len(folders) > 2 and path.name != "ruleset.yaml" else "ruleset"
    return "boundary" if "boundary" in folders[:-1] else "design"


def all_files(files: RuleFiles) -> list[Path]:
    """Return every YAML file of the rules folder, in order."""
    return sorted(files.root.rglob("*.yaml"))


def editor_hint(files: RuleFiles, path: Path, kind: str) -> str:
    """Return the first line that lets an editor find the file's schema."""
    up = "../" * (len(path.relative_to(files.root).parts) - 1)
    return f"{HINT}{up}schema/{VERSION}/{kind}.json"


def load_schemas(root: Path) -> dict[str, Any]:
    """Read the published schemas of a rules folder, by name."""
    folder = root / "schema" / VERSION
    if not folder.is_dir():
        raise InputError.single(
            str(folder), "there is no such folder; run `deckclause rules schema --write`"
        )
    return {path.stem: json.loads(path.read_bytes()) for path in sorted(folder.glob("*.json"))}


class SchemaChecker:
    """Checks files against one folder's schemas."""

    def __init__(self, schemas: Mapping[str, Any]) -> None:
        from referencing import Registry
        from referencing.jsonschema import DRAFT202012

        resources = [
            (f"{name}.json", DRAFT202012.create_resource(schema))
            for name, schema in schemas.items()
        ]
        self.schemas = schemas
        self._registry: Any = Registry().with_resources(resources)

    @cache  # noqa: B019 - a checker lives as long as one run
    def _validator(self, kind: str) -> Any:
        from jsonschema import Draft202012Validator

        return Draft202012Validator(self.schemas[kind], registry=self._registry)

    def faults(self, data: Any, kind: str, file: str) -> Iterator[Problem]:
        """Yield every fault of plain data against the schema `kind`."""
        from jsonschema.exceptions import best_match

        for count, error in enumerate(self._validator(kind).iter_errors(data)):
            if count >= MOST_FAULTS:
                yield Problem(file, 0, "more faults of this kind stand in the file")
                return
            worst = best_match([error]) or error
            yield Problem(file, 0, f"{dotted(worst.absolute_path)}: {_words(worst)}")

    def file_faults(self, path: Path, kind: str, file: str) -> Iterator[Problem]:
        """Yield every fault of a file on disk."""
        yield from self.faults(plain_data(read_bytes(path), file), kind, file)


def _words(error: Any) -> str:
    text = str(error.message)
    if error.validator == "enum" and len(text) > 160:
        return f"{error.instance!r} is not one of the known names"
    return text if len(text) <= 300 else text[:297] + "..."


def plain_data(content: bytes, file: str) -> Any:
    """Read YAML by ruamel's plain loader into what JSON can say. Raises InputError."""
    from ruamel.yaml import YAML
    from ruamel.yaml.error import YAMLError

    yaml = YAML(typ="safe")
    try:
        return _json(yaml.load(content))
    except (YAMLError, ValueError, RecursionError) as fault:
        raise InputError.single(file, f"is not valid YAML: {str(fault).splitlines()[0]}") from None


def _json(value: Any) -> Any:
    if isinstance(value, dict):
        return {str(k): _json(v) for k, v in value.items()}
    if isinstance(value, list):
        return [_json(v) for v in value]
    return value.isoformat() if isinstance(value, date) else value
