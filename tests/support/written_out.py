"""A file of a rule set as it would stand if nothing in it were carried, grouped or named."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.round_trip import dump_round_trip
from deckclause.rulesets.written import lines
from deckclause.rulesets.yaml_tree import parse_tree


@cache
def _library(root: Path) -> RuleLibrary:
    return RuleLibrary.open(root)


def written_out(root: Path, path: Path) -> str:
    """Return the text of a file of the rules folder `root` with every clause and table in full."""
    library = _library(root)
    content = path.read_bytes()
    data = dict(parse_tree(content, str(path)).data)
    loaded = library.load(data.get("part_of") or data["ruleset"])
    if data.get("tables"):
        data["tables"] = {name: loaded.raw_tables[name] for name in data["tables"]}
    if data.get("clauses"):
        keys = [line.data["key"] for line in lines(data)]
        data["clauses"] = [loaded.raw_clauses[key] for key in keys]
    data.pop("exceptions", None)
    hint = content.decode().partition("\n")[0]
    plain = json.loads(json.dumps(data))  # nothing shared: YAML would write it as an alias
    return f"{hint}\n{dump_round_trip(plain)}"


def write_out(root: Path) -> None:
    """Write every edition and guide of a rules folder out in full."""
    texts = {
        path: written_out(root, path)
        for kind in ("editions", "guides", "reports")
        for path in sorted((root / kind).rglob("*.yaml"))
    }
    for path, text in texts.items():
        path.write_text(text)
