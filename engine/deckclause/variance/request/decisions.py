"""The log of an office's decisions: written by review, cited by later requests of the same office.

One YAML file, one entry a decision, with no name in it: which clause of which code, what was
required and what allowed, how it was decided and on which conditions. An entry is cited only where
its parties agreed to that.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from msgspec import Struct

from deckclause.rulesets.problems import InputError, suggestion
from deckclause.rulesets.read_file import read_bytes
from deckclause.rulesets.yaml_tree import parse_tree

OUTCOMES = ("approved", "approved with conditions", "more information", "denied", "withdrawn")
KEYS = ("decided", "under", "clause", "cites", "required", "allowed", "outcome", "reasons",
        "conditions", "may_be_cited")  # fmt: skip


class Decision(Struct, frozen=True):
    """One decision of an office on one clause."""

    decided: str
    under: str
    clause: str
    cites: str
    required: str
    allowed: str
    outcome: str
    reasons: str
    conditions: tuple[str, ...]
    may_be_cited: bool

    @property
    def is_precedent(self) -> bool:
        """Whether it granted something and may be cited."""
        return self.may_be_cited and self.outcome in OUTCOMES[:2]


def read_decisions(path: Path) -> tuple[Decision, ...]:
    """Read a log of decisions. Raises InputError with file and line for what is none."""
    return parse_decisions(read_bytes(path), path)


def parse_decisions(text: bytes, path: Path) -> tuple[Decision, ...]:
    """Read the text of a log, named `path` in errors. Raises InputError as `read_decisions` does."""
    tree = parse_tree(text, str(path))
    entries = (tree.data or {}).get("decisions") if isinstance(tree.data, dict) else None
    if not isinstance(entries, list):
        raise InputError.single(
            str(path), "is no log of decisions; `decisions:` with a list is needed", 1
        )
    found = []
    for index, entry in enumerate(entries):
        line = tree.line(("decisions", index))
        if not isinstance(entry, dict):
            raise InputError.single(str(path), "an entry is `name: value` lines", line)
        for key in entry:
            if key not in KEYS:
                raise InputError.single(
                    str(path), f"'{key}' is not a known key.{suggestion(key, KEYS)}", line
                )
        lacks = [key for key in KEYS[:7] if not entry.get(key)]
        if lacks:
            raise InputError.single(str(path), f"the entry lacks {', '.join(lacks)}", line)
        if entry["outcome"] not in OUTCOMES:
            near = suggestion(str(entry["outcome"]), OUTCOMES)
            raise InputError.single(str(path), f"'{entry['outcome']}' is no outcome.{near}", line)
        found.append(_decision(entry))
    return tuple(found)


def _decision(entry: dict[str, Any]) -> Decision:
    words = {key: str(entry.get(key) or "") for key in KEYS[:8]}
    may = str(entry.get("may_be_cited")).lower() in ("yes", "true")
    return Decision(**words, conditions=tuple(entry.get("conditions") or ()), may_be_cited=may)


def entry_text(decision: Decision) -> str:
    """Write one entry as YAML, to stand below `decisions:`."""
    import json

    lines: list[str] = []
    for key in KEYS[:8]:
        value = json.dumps(getattr(decision, key), ensure_ascii=False)
        lines.append(f"{'  - ' if not lines else '    '}{key}: {value}")
    conditions = ", ".join(json.dumps(c, ensure_ascii=False) for c in decision.conditions)
    lines.append(f"    conditions: [{conditions}]")
    lines.append(f"    may_be_cited: {'yes' if decision.may_be_cited else 'no'}")
    return "\n".join(lines) + "\n"
