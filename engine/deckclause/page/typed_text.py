"""Write what stands in the form as a design file, one entry a line, and read it back.

What cannot be read is told field by field; the rest is read without it, so that results stay on
the page while a value is being typed. What is left out is unknown, which never complies.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

from msgspec import Struct

from deckclause.designs.design import Design
from deckclause.designs.read_design import design_of
from deckclause.page.typed import TypedDesign, TypedPart
from deckclause.rulesets.problems import InputError, Problem
from deckclause.rulesets.vocabulary import Vocabulary

_PLAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 ./_%-]*[A-Za-z0-9./_%])?")
_NOT_TEXT = ("null",)
_PREFIX = re.compile(r"^(?:[a-z_]+(?:\[\d+\])?(?:\.[a-z_0-9]+)*: )+")


class Fault(Struct, frozen=True):
    """What is wrong with one field. `field` is `ledger.size`, `joists[0].span`, `joists[0]` or ''."""

    field: str
    message: str


class ReadDesign(Struct, frozen=True):
    """A design as far as it could be read; None where nothing could."""

    design: Design | None
    faults: tuple[Fault, ...]


def scalar(text: str) -> str:
    """Write one value so that YAML reads it as this very text.

    >>> scalar("11 ft 10 in"), scalar('6-1/2"'), scalar("null")
    ('11 ft 10 in', '"6-1/2\\\\""', '"null"')
    """
    if _PLAIN.fullmatch(text) and text.lower() not in _NOT_TEXT:
        return text
    return json.dumps(text, ensure_ascii=False)


def document_lines(typed: TypedDesign) -> Iterator[tuple[str, str]]:
    """Yield each line of the design file with the field it holds, '' for none."""
    yield "design: 1", ""
    yield f"name: {scalar(typed.name)}", "name"
    if typed.says:
        yield f"says: {scalar(typed.says)}", "says"
    groups: dict[str, dict[str, str]] = {}
    for quantity, text in typed.facts.items():
        group, _, key = quantity.partition(".")
        if text:
            groups.setdefault(group, {})[key] = text
    for group, facts in groups.items():
        yield f"{scalar(group)}:", ""
        for key, text in facts.items():
            yield f"  {scalar(key)}: {scalar(text)}", f"{group}.{key}"
    for group, parts in typed.parts.items():
        yield from _part_lines(group, parts)


def _part_lines(group: str, parts: list[TypedPart]) -> Iterator[tuple[str, str]]:
    if not parts:
        yield f"{scalar(group)}: []", group
        return
    yield f"{scalar(group)}:", group
    for index, part in enumerate(parts):
        here = f"{group}[{index}]"
        yield f"  - name: {scalar(part.name)}", here
        for key, text in part.facts.items():
            if text:
                yield f"    {scalar(key)}: {scalar(text)}", f"{here}.{key}"


def document_text(typed: TypedDesign) -> str:
    """Return the design file of what stands in the form."""
    return "".join(f"{line}\n" for line, _ in document_lines(typed))


def read_typed(typed: TypedDesign, file: str, vocabulary: Vocabulary) -> ReadDesign:
    """Read what stands in the form; every fault by field, the design without what is at fault."""
    try:
        return ReadDesign(_read(typed, file, vocabulary), ())
    except InputError as error:
        faults = tuple(_faults(error.problems, typed))
    fields = {fault.field for fault in faults}
    try:
        return ReadDesign(_read(_without(typed, fields), file, vocabulary), faults)
    except InputError:
        return ReadDesign(None, faults)


def _read(typed: TypedDesign, file: str, vocabulary: Vocabulary) -> Design:
    return design_of(document_text(typed).encode(), file, vocabulary)


def _faults(problems: tuple[Problem, ...], typed: TypedDesign) -> Iterator[Fault]:
    fields = dict(enumerate((field for _, field in document_lines(typed)), 1))
    for problem in problems:
        yield Fault(fields.get(problem.line, ""), bare(problem.message))


def bare(message: str) -> str:
    """Return a message without the names of the place it stands beside.

    >>> bare("ledger.size: '2x9' is not a choice of ledger.size. Did you mean 2x8?")
    "'2x9' is not a choice of ledger.size. Did you mean 2x8?"
    """
    return _PREFIX.sub("", message)


def _without(typed: TypedDesign, fields: set[str]) -> TypedDesign:
    """Leave out the fields at fault; parts without a name of their own are told apart by number.

    No part is left out: a part not evaluated could hide a failure.
    """
    facts = {name: text for name, text in typed.facts.items() if name not in fields}
    parts: dict[str, list[TypedPart]] = {}
    for group, given in typed.parts.items():
        names = [part.name for part in given]
        distinct = len(given) == 1 or (all(names) and len(set(names)) == len(names))
        parts[group] = [
            TypedPart(
                name=part.name if distinct else f"{part.name} {index + 1}".strip(),
                origin=part.origin,
                facts={
                    k: t for k, t in part.facts.items() if f"{group}[{index}].{k}" not in fields
                },
            )
            for index, part in enumerate(given)
        ]
    return TypedDesign(name=typed.name, says=typed.says, facts=facts, parts=parts)
