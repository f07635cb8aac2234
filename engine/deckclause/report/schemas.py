"""Every published schema: of rule files, of designs, of requests and of results."""

from __future__ import annotations

from pathlib import Path

from deckclause.report.comparison.result_model import ComparisonResult
from deckclause.rulesets.schema import VERSION, file_schemas, model_schema, schema_text
from deckclause.rulesets.schema_vocabulary import DRAFT, Schema
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.variance.request.model import RequestFile


def published_schemas(vocabulary: Vocabulary) -> dict[str, Schema]:
    """Return every schema, by file name without `.json`."""
    result = ComparisonResult.model_json_schema(by_alias=True)
    return {
        **file_schemas(vocabulary),
        "request": model_schema(RequestFile),
        "result": {"$schema": DRAFT, **result},
    }


def stale_schemas(root: Path, vocabulary: Vocabulary) -> dict[Path, str]:
    """Return, by path, the right text of every published schema that is missing or out of date."""
    folder = root / "schema" / VERSION
    stale: dict[Path, str] = {}
    for name, schema in published_schemas(vocabulary).items():
        path = folder / f"{name}.json"
        text = schema_text(schema)
        if not path.is_file() or path.read_bytes() != text.encode():
            stale[path] = text
    return stale
