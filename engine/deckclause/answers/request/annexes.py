"""The annexes of a request: alternatives, who permits it, sources, the design as stated, papers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any

from deckclause.answers.place_values import act_text
from deckclause.answers.request.answer import (
    Alternative,
    ItemPermits,
    Paper,
    Permit,
    SourceRow,
)
from deckclause.answers.request.items import SET_BY_REQUEST, act_words, item_heading, label
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.words import asked_limit, fact_text
from deckclause.placement.conflicts import all_conflicts
from deckclause.placement.from_design import ROWS, section_facts, stated_distances
from deckclause.placement.from_findings import clause_limits
from deckclause.placement.sums import conflict_text
from deckclause.quantities import length_text
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary
from deckclause.variance.later import judged
from deckclause.variance.options import MOST_SHOWN, Option, option_keys
from deckclause.variance.precedents import Precedents
from deckclause.variance.request.build import Request, RequestItem
from deckclause.variance.request.papers import bound_in
from deckclause.variance.search import find_changes
from deckclause.variance.steps_down import steps_text

Stated = tuple[str, tuple[tuple[str, str], ...]]


class Sources:
    """Numbers the sources a request rests on, in the order they are first named."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self.used: dict[str, dict[str, None]] = {}

    def number(self, source: str, standing: str) -> str:
        """Return a source's number on the list, and keep how well it bears out what it is used for."""
        self.used.setdefault(source, {})[standing] = None
        return f"S{list(self.used).index(source) + 1}"

    def rows(self) -> Iterator[SourceRow]:
        """Yield the list."""
        for place, (name, standings) in enumerate(self.used.items(), 1):
            source = self.vocabulary.sources.get(name)
            if source is None:
                yield SourceRow(f"S{place}", name, "", "not in the list of sources", "", "")
                continue
            yield SourceRow(
                f"S{place}",
                source.title,
                f"{source.publisher} {source.year or ''}".strip(),
                source.seen,
                source.reach,
                ", ".join(standings),
            )


def alternatives(request: Request) -> Iterator[Alternative]:
    """Yield the changes of the design that would avoid relief, judged, least work first."""
    case = request.as_designed
    quantities = case.vocabulary.quantities
    options = judged(case, find_changes(case)).options[:MOST_SHOWN]
    reasons = request.tree.data.get("why_not") or {}
    keys = option_keys(options, quantities)
    for number, (option, key) in enumerate(zip(options, keys, strict=True), 1):
        words = "; ".join(
            f"{c.move.says.rstrip('.')}: {fact_text(c.before, quantities[c.quantity])} to "
            f"{fact_text(c.after, quantities[c.quantity])}"
            for c in option.changes
        )
        if option.brings:
            words += f". It brings: {'; '.join(option.brings)}"
        step = steps_text(option.evaluation.design) or "not known"
        if option.keeps_step:
            step += " (as designed)"
        yield Alternative(
            number, words, _judged(option, case.vocabulary), step, reasons.get(key) or ""
        )


def _judged(option: Option, vocabulary: Vocabulary) -> str:
    """Say what the change comes to: under this rule set, and under later editions' tables."""
    said = [
        "nothing fails" if option.is_settled else "nothing fails as far as known",
        *option.remarks,
    ]
    later: dict[str, list[str]] = {}
    for verdict in option.later:
        later.setdefault(vocabulary.topics[verdict.topic].title, []).append(verdict.title[-4:])
    said += [f"{title} fails under {', '.join(years)}" for title, years in later.items()]
    return "; ".join(said)


def permits(
    request: Request,
    found: tuple[Precedents, ...],
    items: tuple[RequestItem, ...],
    sources: Sources,
) -> Iterator[ItemPermits]:
    """Yield who permits each item, each rule with the numbers of its sources."""
    catalogue = request.case.catalogue
    for item, who in zip(items, found, strict=True):
        silent = ", ".join(catalogue.evaluator(n).ruleset.title for n in who.silent)
        rows = tuple(
            Permit(
                p.title,
                f"{p.published}{', later than this request' if p.later else ''}",
                p.cites,
                asked_limit(p) or "permitted",
                p.standing,
                tuple(sources.number(s, p.standing) for s in p.sources),
            )
            for p in who.permit
        )
        yield ItemPermits(
            item_heading(item, request.case.vocabulary),
            rows,
            "" if rows else _none_permits(who),
            " ".join(_no_precedent(silent, who, catalogue)),
        )


def _no_precedent(silent: str, who: Precedents, catalogue: Catalogue) -> Iterator[str]:
    """Say which rules are silent on a matter, and which speak of it for other loads."""
    if silent:
        yield f"Silent on it, which is no precedent: {silent}."
    by_loads: dict[str, list[str]] = {}
    for name, loads in who.on_other_loads:
        by_loads.setdefault(loads, []).append(catalogue.evaluator(name).ruleset.title)
    for loads, titles in by_loads.items():
        yield f"On other loads ({loads}), which is no precedent: {', '.join(titles)}."


def _none_permits(found: Precedents) -> str:
    """Say that no rule looked at permits it, and what each kind of them says instead."""
    told = [
        f"{len(names)} {words}"
        for names, words in (
            (found.refuse, "do not"), (found.silent, "say nothing on it"),
            (found.on_other_loads, "speak of other loads than those set here"),
            (found.undecided, "cannot be decided on what is known"),
        )
        if names
    ]  # fmt: skip
    return (
        f"None of the {found.looked_at} other published rules looked at permits it: {', '.join(told)}. "
        "Others were not looked at."
    )


def sums(request: Request) -> tuple[str, ...]:
    """Return the section as sums with the rows free to move: why it cannot stand without relief."""
    case = request.case
    facts = section_facts(case.design)
    free = tuple(r for r in ROWS if isinstance(facts.get(r), Fraction))
    limits = clause_limits(case.evaluation, case.vocabulary)
    distances = [*stated_distances(facts, free), *(c.distance for c in limits)]
    return tuple(conflict_text(c) for c in all_conflicts(distances).conflicts)


def stated(request: Request) -> Iterator[Stated]:
    """Yield all the design states, in plain words, by part of the deck.

    Values a request sets differently from the design file are marked so, and a place's own stand
    in place of the file's.
    """
    vocabulary = request.case.vocabulary
    for title, facts in _groups(request, vocabulary):
        yield title, tuple(_rows(facts, request, vocabulary))


def _groups(
    request: Request, vocabulary: Vocabulary
) -> Iterator[tuple[str, Mapping[str, Scalar | None]]]:
    design = request.case.design.design
    by_group: dict[str, dict[str, Scalar | None]] = {}
    for name, value in design.facts.items():
        by_group.setdefault(name.partition(".")[0], {})[name] = value
    for group, about in vocabulary.groups.items():
        title = about.title
        if group in by_group:
            yield title, by_group[group]
        for part in design.parts.get(group, ()):
            yield f"{title}: {part.name}" if part.name else title, part.facts


def _rows(
    facts: Mapping[str, Scalar | None], request: Request, vocabulary: Vocabulary
) -> Iterator[tuple[str, str]]:
    moved = request.tree.data.get("with_changes") or {}
    settings = {s.quantity: s for s in request.case.evaluator.ruleset.settings}
    for name, value in facts.items():
        text = _stated(value, vocabulary.quantities[name])
        set_here = settings.get(name)
        if set_here is not None and set_here.value != value:
            own = text
            text = _stated(set_here.value, vocabulary.quantities[name])
            text += f" (set by {set_here.origin.place}, {act_text(set_here)}; the design file's {own} is not used)"
        if name in moved:
            text += f" ({SET_BY_REQUEST})"
        yield label(name, vocabulary), text


LONG = Fraction(60)
"""Inches from which a length is written in feet and inches, whatever unit its quantity prints in."""


def _stated(value: Scalar | None, definition: QuantityDefinition) -> str:
    if definition.kind == "length" and isinstance(value, Fraction) and value >= LONG:
        return length_text(value, "ft")
    return fact_text(value, definition)


def papers(request: Request) -> Iterator[Paper]:
    """Yield the attachments, each with the items it bears out and the picture bound in, if any."""
    listed: list[dict[str, Any]] = request.tree.data.get("attachments") or []
    for entry in listed:
        items = [
            str(i.number)
            for i in request.items
            if entry["id"] in (request.written("items.evidence", i) or ())
        ]
        picture = bound_in(Path(request.file).parent, entry)
        yield Paper(
            entry["id"],
            entry["title"],
            entry.get("kind") or "",
            ", ".join(items) or "none named",
            picture.media if picture else "",
            picture.content if picture else b"",
            f"{entry['id']}. {entry.get('caption') or entry['title']}",
            picture.pages if picture else 0,
            str(entry.get("file") or ""),
        )


def receipt(request: Request) -> Iterator[tuple[str, str, str]]:
    """Yield what the request was made of, each with its digest."""
    import deckclause

    case = request.case
    yield "Made with", f"deckclause {deckclause.__version__}", ""
    yield "Design", case.design.design.name, request.as_designed.design.design.digest
    yield "Vocabulary", "", case.vocabulary.digest
    yield "Rules of relief", "", request.rules.digest
    for layer in case.evaluator.ruleset.layers:
        act = act_words(layer.place, layer.ordinance, layer.adopted) if layer.ordinance else ""
        named = act or case.catalogue.evaluator(layer.name).ruleset.title
        yield layer.kind.capitalize(), named, layer.digest
