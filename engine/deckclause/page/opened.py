"""Take a design file apart into what the form shows; say what the form cannot hold."""

from __future__ import annotations

from typing import Any

from msgspec import Struct

from deckclause.designs.read_design import design_of
from deckclause.page.form import stated_quantities
from deckclause.page.typed import MAX_PARTS, TypedDesign, TypedPart, one_line, plain_text
from deckclause.page.typed_text import bare, read_typed
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.yaml_tree import parse_tree

MOST_LEFT_OUT = 100
"""Problems of a file told one by one."""


class Opened(Struct, frozen=True):
    """A design file in the form's terms; `left_out` says what of it the form does not show."""

    typed: TypedDesign
    left_out: tuple[str, ...]


def open_text(content: bytes, file: str, vocabulary: Vocabulary) -> Opened:
    """Take a design file apart. Raises InputError where it is no YAML or no design at all."""
    tree = parse_tree(content, file)
    if not isinstance(tree.data, dict) or "design" not in tree.data:
        raise InputError.single(file, "is not a design; it has no line `design: 1`")
    typed = _typed(tree.data, vocabulary)
    return Opened(typed, _left_out(content, file, typed, vocabulary))


def _typed(data: dict[str, Any], vocabulary: Vocabulary) -> TypedDesign:
    facts: dict[str, str] = {}
    parts: dict[str, list[TypedPart]] = {}
    for group in vocabulary.groups.values():
        entry = data.get(group.name)
        if group.name == "design" or entry is None:
            continue
        known = set(stated_quantities(vocabulary, group.name))
        if group.many:
            entries = entry if isinstance(entry, list) else [entry]
            parts[group.name] = [
                _part(group.name, part, index, known)
                for index, part in enumerate(entries[:MAX_PARTS])
            ]
        else:
            facts.update(_facts(group.name, entry, known))
    name, says = (data.get(key) for key in ("name", "says"))
    return TypedDesign(
        name=one_line(name)[:400] if isinstance(name, str) else "",
        says=plain_text(says)[:4000] if isinstance(says, str) else "",
        facts=facts,
        parts=parts,
    )


def _part(group: str, entry: Any, index: int, known: set[str]) -> TypedPart:
    facts = {name.split(".", 1)[1]: text for name, text in _facts(group, entry, known).items()}
    name = entry.get("name") if isinstance(entry, dict) else None
    shown = one_line(name)[:400] if isinstance(name, str) else ""
    return TypedPart(name=shown, origin=index, facts=facts)


def _facts(group: str, entry: Any, known: set[str]) -> dict[str, str]:
    """Return the texts of a group's known quantities; `?` and nothing are the same: not known."""
    if not isinstance(entry, dict):
        return {}
    return {
        f"{group}.{key}": one_line(text)[:400]
        for key, text in entry.items()
        if f"{group}.{key}" in known and isinstance(text, str) and text not in ("", "?")
    }


def _left_out(
    content: bytes, file: str, typed: TypedDesign, vocabulary: Vocabulary
) -> tuple[str, ...]:
    """Return the file's problems that the form will not show beside a field of its own."""
    try:
        design_of(content, file, vocabulary)
    except InputError as error:
        beside = {fault.message for fault in read_typed(typed, file, vocabulary).faults}
        found = [p for p in error.problems if bare(p.message) not in beside]
        told = [f"line {p.line}: {p.message}" for p in found[:MOST_LEFT_OUT]]
        more = len(found) - len(told)
        return (*told, f"and {more} more like these") if more else tuple(told)
    return ()
