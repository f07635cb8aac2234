"""Write what was answered in the form into a request file; its comments and settings stay."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from msgspec import Struct

from deckclause.page.typed import Answers, TypedItem
from deckclause.rulesets.problems import InputError, suggestion
from deckclause.rulesets.round_trip import dump_round_trip, load_round_trip
from deckclause.rulesets.yaml_tree import parse_tree
from deckclause.variance.request.fields import ITEMS, fields

ATTACHMENTS, EVIDENCE, DECLARED = "attachments", "items.evidence", "declarations."
WHY_NOT = "why_not."
"""Before the change of the design that an answer says is not made."""
IN_LISTS = (ATTACHMENTS, EVIDENCE)
"""Fields that hold no words of their own: the papers, and which of them bear an item out."""


class Answered(Struct, frozen=True):
    """The text of a request with answers in it; `left_out` are the answers no item of it takes."""

    text: str
    left_out: tuple[TypedItem, ...]


def answered(text: str, answers: Answers, design: str) -> Answered:
    """Return a request file with answers written into it, for a design of this name.

    An empty answer empties its field. Raises InputError for what is no request, an answer to
    nothing that is asked, or words that would not be read back as they were typed.
    """
    name = "the request"
    if not isinstance(parse_tree(text.encode(), name).data, dict):
        raise InputError.single(name, "is not a request file")
    try:
        data = load_round_trip(text.removeprefix("\ufeff"))
        _refuse_unknown(answers)
        gone = _gone(answers, data)
        data["design"] = _quoted(design)
        for field, words in answers.words.items():
            if field not in gone:
                _put(data, field, words)
        left_out = (*_put_items(data, answers), *(item for item in gone.values() if item))
        data[ATTACHMENTS] = [_paper(p.id, p.title, p.kind) for p in answers.attachments]
        written = dump_round_trip(data)
    except (ValueError, TypeError, AttributeError, KeyError) as fault:
        raise InputError.single(name, f"cannot take the answers ({fault})") from None
    _read_back(written, answers, left_out, set(gone))
    return Answered(written, left_out)


def _gone(answers: Answers, data: Any) -> dict[str, TypedItem | None]:
    """Return the reasons given for changes this request does not name, each as what is left out."""
    changes = {f"{WHY_NOT}{change}" for change in data.get(WHY_NOT.removesuffix(".")) or ()}
    return {
        name: TypedItem(clause=name.removeprefix(WHY_NOT), words={"why_not": words})
        if words
        else None
        for name, words in answers.words.items()
        if name.startswith(WHY_NOT) and name not in changes
    }


def _refuse_unknown(answers: Answers) -> None:
    known = fields()
    asked = [name for name in answers.words if not name.startswith(WHY_NOT)]
    asked += [f"{ITEMS}{field}" for item in answers.items for field in item.words]
    whole = set(answers.words)
    for name in asked:
        fits = name in known and name not in IN_LISTS and (name in whole) is not known[name].in_item
        if not fits:
            raise InputError.single(name, f"is nothing a request asks.{suggestion(name, known)}")


def _put_items(data: Any, answers: Answers) -> Iterator[TypedItem]:
    """Answer each item of the file; yield the answers to a clause that is no item of it."""
    entries = {_place(entry): entry for entry in data["items"]}
    for item in answers.items:
        entry = entries.get((item.clause, item.part))
        if entry is None:
            yield item
            continue
        for field, words in item.words.items():
            _put(entry, field, words)
        entry[EVIDENCE.removeprefix(ITEMS)] = [_quoted(e) for e in item.evidence]


def _place(entry: Any) -> tuple[str, str]:
    return str(entry["clause"]), str(entry.get("part") or "")


def _put(entry: Any, field: str, words: str) -> None:
    *path, leaf = _steps(field)
    for step in path:
        if entry.get(step) is None:
            entry[step] = {}
        entry = entry[step]
    if field.startswith(DECLARED):
        entry[leaf] = _quoted("yes" if words == "yes" else "no")
    else:
        entry[leaf] = _quoted(words) if words else None


def _steps(field: str) -> list[str]:
    """Return the keys that lead to a field; a change's own words may hold a point."""
    if field.startswith(WHY_NOT):
        return [WHY_NOT.removesuffix("."), field.removeprefix(WHY_NOT)]
    return field.split(".")


def _paper(name: str, title: str, kind: str) -> dict[str, Any]:
    return {"id": _quoted(name), "title": _quoted(title), "kind": _quoted(kind) if kind else None}


def _quoted(text: str) -> Any:
    """Write words in quotes, so that no word of an applicant is read as anything but words."""
    from ruamel.yaml.scalarstring import DoubleQuotedScalarString

    return DoubleQuotedScalarString(text)


def _read_back(
    text: str, answers: Answers, left_out: tuple[TypedItem, ...], gone: set[str]
) -> None:
    """Hold the file written against the answers: not a word may be lost or turned."""
    data = parse_tree(text.encode(), "the request").data
    entries = {_place(entry): entry for entry in data["items"]}
    asked = [(data, name, words) for name, words in answers.words.items() if name not in gone]
    for item in answers.items:
        if item not in left_out:
            entry = entries[(item.clause, item.part)]
            asked += [(entry, name, words) for name, words in item.words.items()]
    for entry, name, words in asked:
        stands = entry
        for step in _steps(name):
            stands = stands.get(step)
        if (stands or "") != words and not name.startswith(DECLARED):
            raise InputError.single(name, "cannot be written as it was typed; put it otherwise")
