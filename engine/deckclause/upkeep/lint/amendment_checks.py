"""Checks of amendments: written for words that have since moved, never adopted, gaps in force."""

from __future__ import annotations

from typing import Any

from deckclause.rulesets.problems import InputError
from deckclause.rulesets.register import alike
from deckclause.rulesets.stale import stale_changes
from deckclause.rulesets.walk import is_unmodelled
from deckclause.upkeep.amending.fallen import days_of_change, fallen_on
from deckclause.upkeep.lint.context import LintContext
from deckclause.upkeep.lint.finding import Found, Place


def stale_amendment(context: LintContext) -> Found:
    """Find amendments whose recorded fingerprints are not those of the clauses as they stand."""
    for name, path in context.files.amendments.items():
        if context.narrowed and path not in context.looked_at:
            continue
        tree = context.trees.get(path)
        if tree is None or context.vocabulary is None:
            continue
        try:
            found = stale_changes(context.library, name)
        except InputError:
            continue  # reported as unreadable
        for change in found:
            then = change.recorded or "none"
            message = f"{change.target}: recorded {then}, now {change.now}; `deckclause rules affirm {name}`"
            yield Place(tree.file, change.line), change.target, message


def never_adopted(context: LintContext) -> Found:
    """Find amendments that the register puts in force nowhere."""
    data = _register(context)
    named = {
        amendment
        for place in data.values()
        for adoption in place.get("adoptions") or []
        for amendment in adoption.get("amendments") or []
    }
    for name, path in context.files.amendments.items():
        if name not in named and context.files.is_own(path):
            yield Place(context.files.name(path)), name, "the register puts it in force nowhere"


def not_dealt_with(context: LintContext) -> Found:
    """Find clauses of sections changed at once that no change of the amendment deals with."""
    seen: set[tuple[str, str]] = set()
    for read in context.sets:
        for clause in read.ruleset.clauses:
            name = clause.origin.ruleset
            if not is_unmodelled(clause.requirement) or (name, clause.key) in seen:
                continue
            path = context.files.amendments.get(name)
            tree = context.trees.get(path) if path is not None else None
            if tree is None or not _at_once(tree.data, clause.key):
                continue
            seen.add((name, clause.key))
            place = Place(tree.file, clause.origin.line)
            yield (
                place,
                name,
                f"{clause.key}: {clause.cites}, {clause.says} No change of this amendment deals with it",
            )


def _at_once(data: Any, key: str) -> bool:
    """Tell whether an amendment changes sections at once, and names this clause nowhere."""
    changes = data.get("changes") or []
    named = {c.get(w) for c in changes for w in ("replace", "strike", "drop")}
    named |= {(c.get("add") or {}).get("key") for c in changes}
    return key not in named and any(c.get("range") or c.get("not_adopted") for c in changes)


def of_another_place(context: LintContext) -> Found:
    """Find amendments in force at a place that is not the one they say they are of."""
    for place, entry in _register(context).items():
        for adoption in entry.get("adoptions") or []:
            for name in adoption.get("amendments") or []:
                path = context.files.amendments.get(name)
                if context.narrowed and path not in context.looked_at:
                    continue
                tree = context.trees.get(path) if path is not None else None
                own = tree.data.get("place") if tree and isinstance(tree.data, dict) else None
                if tree is not None and own is not None and alike(str(own)) != alike(place):
                    message = (
                        f"is of '{own}', and in force in {place}; put the register's name in it"
                    )
                    yield Place(tree.file, tree.line(("place",))), name, message


def adoption_gap(context: LintContext) -> Found:
    """Find stretches between two adoptions of a place in which nothing is in force."""
    tree = context.trees.get(context.files.register_path)
    if tree is None:
        return
    try:
        register = context.library.register
    except InputError:
        return
    for place in register.places.values():
        if ("places", place.name) not in tree.lines:
            continue  # of the shipped rules beneath
        for one, two in zip(place.adoptions, place.adoptions[1:], strict=False):
            if one.ends is not None and one.ends < two.begins:
                message = f"{place.name}: nothing is in force from {one.ends} until {two.begins}"
                yield Place(tree.file, tree.line(("places", place.name))), place.name, message


def not_inherited(context: LintContext) -> Found:
    """Find days from which a place does not take on a larger place's amendments: another edition."""
    tree = context.trees.get(context.files.register_path)
    if tree is None:
        return
    for read in context.sets:
        if not read.is_place or "@" not in read.ruleset.name:
            continue  # a draft is in force nowhere
        meaning = context.library.register.resolve(read.ruleset.name)
        for words in meaning.left_out_words:
            line = tree.line(("places", meaning.place))
            yield Place(tree.file, line), meaning.place, words


def rules_fallen(context: LintContext) -> Found:
    """Find local rules that fall away on a day and that nobody decided to carry or to let fall."""
    tree = context.trees.get(context.files.register_path)
    if tree is None or context.vocabulary is None:
        return
    read = {s.ruleset.name.partition("@")[0] for s in context.sets if "@" in s.ruleset.name}
    for place in context.library.register.places:
        if place not in read:
            continue
        try:
            days = days_of_change(context.library, place)
        except InputError:
            continue  # reported as unreadable
        own = context.library.register.places[place].adoptions
        for day in days:
            try:
                if context.library.register.resolve(f"{place}@{day}").adoption not in own:
                    continue  # the larger place's own code then: it is told of that place
                fallen = fallen_on(context.library, place, day)
            except InputError:
                continue  # nothing is in force from that day, or it is reported as unreadable
            line = tree.line(("places", place))
            for rule in fallen:
                message = (
                    f"{place}: from {day} this holds no longer: {rule}. Carry it in an amendment, "
                    f"or write lets_fall: [{rule.target}] in the adoption then in force"
                )
                yield Place(tree.file, line), place, message


def _register(context: LintContext) -> dict[str, Any]:
    tree = context.trees.get(context.files.register_path)
    if tree is None or not isinstance(tree.data, dict):
        return {}
    places = tree.data.get("places")
    return (
        {k: v for k, v in places.items() if isinstance(v, dict)} if isinstance(places, dict) else {}
    )
