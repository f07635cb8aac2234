"""Change a YAML file and keep its comments, order and quotes."""

from __future__ import annotations

import io
from collections.abc import Mapping
from typing import Any


def _yaml() -> Any:
    from ruamel.yaml import YAML

    yaml = YAML()
    yaml.preserve_quotes = True
    yaml.width = 4096
    yaml.indent(mapping=2, sequence=4, offset=2)
    return yaml


def load_round_trip(text: str) -> Any:
    """Read YAML so that it can be written again with its comments."""
    return _yaml().load(text)


def dump_round_trip(data: Any) -> str:
    """Write what `load_round_trip` gave, changed or not.

    >>> text = "# why\\nchanges:\\n  - {strike: a}  # this one\\n"
    >>> dump_round_trip(load_round_trip(text)) == text
    True
    """
    stream = io.StringIO()
    _yaml().dump(data, stream)
    return stream.getvalue()


def on_one_line(entry: Mapping[str, str | int]) -> Any:
    """Return a mapping that is written on one line, whatever is added to it later.

    >>> print(dump_round_trip({"ledger": on_one_line({"size": "2x8"})}), end="")
    ledger: {size: 2x8}
    """
    from ruamel.yaml.comments import CommentedMap

    mapping = CommentedMap(entry)
    mapping.fa.set_flow_style()
    return mapping
