"""Put what stands in the form back into the file it came from, its comments and order kept."""

from __future__ import annotations

from typing import Any

from msgspec import Struct

from deckclause.page.form import stated_quantities
from deckclause.page.opened import open_text
from deckclause.page.typed import TypedDesign, TypedPart
from deckclause.page.typed_text import document_text
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.vocabulary import Vocabulary

HEAD = """\
# A design for deckclause. What is not stated is not known and never counts as complying.
# Lengths take units: 6-1/2 in, 11 ft 10 in, 140 mm. Loads: 40 psf, 1.9 kPa.
"""


class Merged(Struct, frozen=True):
    """The text of a design file; `kept` is whether the comments of the file opened are in it."""

    text: str
    kept: bool


def merged(typed: TypedDesign, base: str, vocabulary: Vocabulary) -> Merged:
    """Return the design file of what stands in the form.

    Only what was changed is written anew. Where the file cannot be carried over so that it reads
    as the form does, a fresh one is written instead and `kept` is false.
    """
    fresh = Merged(HEAD + document_text(typed), kept=not base.strip())
    if not base.strip():
        return fresh
    try:
        before = open_text(base.encode(), "the file opened", vocabulary).typed
        text = base if _same(before, typed) else _carried(typed, before, base, vocabulary)
        after = open_text(text.encode(), "the file written", vocabulary).typed
    except InputError:
        return fresh
    return Merged(text, kept=True) if _same(after, typed) else fresh


def _same(one: TypedDesign, two: TypedDesign) -> bool:
    return bool(_plain(one) == _plain(two))


def _plain(typed: TypedDesign) -> Any:
    def filled(facts: dict[str, str]) -> dict[str, str]:
        return {name: text for name, text in facts.items() if text}

    parts = {g: [(p.name, filled(p.facts)) for p in ps] for g, ps in typed.parts.items()}
    return typed.name, typed.says, filled(typed.facts), parts


def _carried(typed: TypedDesign, before: TypedDesign, base: str, vocabulary: Vocabulary) -> str:
    from ruamel.yaml.error import YAMLError

    from deckclause.rulesets.round_trip import dump_round_trip, load_round_trip

    try:
        data = load_round_trip(base.removeprefix("\ufeff"))
        for key in ("name", "says"):
            _put(data, key, getattr(typed, key), getattr(before, key))
        for group in vocabulary.groups.values():
            known = [n.split(".", 1)[1] for n in stated_quantities(vocabulary, group.name)]
            if group.many:
                _put_parts(data, group.name, typed, before, known)
            else:
                _put_group(data, group.name, typed, before, known)
        return dump_round_trip(data)
    except (YAMLError, ValueError, TypeError, AttributeError) as fault:
        raise InputError.single("the file opened", f"cannot be carried over ({fault})") from None


def _put(entries: Any, key: str, text: str, before: str) -> None:
    """Write one value where it changed; take its line out where nothing stands any more."""
    if text == before:
        return
    if text:
        entries[key] = text
    elif key in entries:
        del entries[key]


def _put_facts(
    entries: Any, facts: dict[str, str], before: dict[str, str], known: list[str]
) -> None:
    for key in known:
        _put(entries, key, facts.get(key, ""), before.get(key, ""))


def _put_group(
    data: Any, group: str, typed: TypedDesign, before: TypedDesign, known: list[str]
) -> None:
    def of_group(design: TypedDesign) -> dict[str, str]:
        found = ((name, design.facts.get(f"{group}.{name}", "")) for name in known)
        return {name: text for name, text in found if text}

    now, then = of_group(typed), of_group(before)
    if now == then:
        return
    if data.get(group) is None:
        data[group] = {}
    _put_facts(data[group], now, then, known)
    if not data[group]:
        del data[group]


def _put_parts(
    data: Any, group: str, typed: TypedDesign, before: TypedDesign, known: list[str]
) -> None:
    parts, then = typed.parts.get(group), before.parts.get(group)
    if parts is None:
        if then is not None:
            del data[group]
        return
    entry = data.get(group)
    stood = entry if isinstance(entry, list) else [] if entry is None else [entry]
    written = [_written(part, stood, then or [], known) for part in parts]
    unmoved = [part.origin for part in parts[: len(stood)]] == list(range(len(stood)))
    if isinstance(entry, list) and stood and unmoved:
        entry.extend(written[len(stood) :])
    elif len(written) == 1 and unmoved and entry is not None:
        data[group] = written[0]
    else:
        data[group] = written


def _written(part: TypedPart, stood: list[Any], then: list[TypedPart], known: list[str]) -> Any:
    if part.origin is None or part.origin >= len(stood) or stood[part.origin] is None:
        named = {"name": part.name} if part.name else {}
        return {**named, **{k: t for k, t in part.facts.items() if t}}
    entries, before = stood[part.origin], then[part.origin]
    _put(entries, "name", part.name, before.name)
    _put_facts(entries, part.facts, before.facts, known)
    return entries
