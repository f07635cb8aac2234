"""Add changes to an amendment's file: its text stays as it is, the new entries follow the last."""

from __future__ import annotations

from deckclause.rulesets.problems import InputError
from deckclause.rulesets.yaml_tree import Tree

INDENT = 2
"""What `AmendmentWriter.lines` indents an entry by."""


def with_changes(text: str, tree: Tree, lines: list[str]) -> str:
    """Return an amendment's text with entries added to its changes, indented as the others are.

    Raises InputError where the changes are not written one below the other.
    """
    written = text.splitlines()
    start = tree.line(("changes",)) - 1
    first = tree.line(("changes", 0)) - 1
    dash = written[first].find("-") if first > start else -1
    if dash < 0 or written[first][:dash].strip():
        raise InputError.single(
            tree.file,
            "its changes are not written as a list, one entry below the other with a dash; "
            "write them so, and add again",
            start + 1,
        )
    end = len(written)
    for place in range(first, len(written)):
        line = written[place]
        if line and not line[0].isspace() and line[0] not in "-#":
            end = place
            break
    while end > first and (not written[end - 1].strip() or written[end - 1].startswith("#")):
        end -= 1
    shift = dash - INDENT
    moved = [(" " * shift + line) if shift >= 0 else line[-shift:] for line in lines]
    return "\n".join([*written[:end], *moved, *written[end:]]) + "\n"
