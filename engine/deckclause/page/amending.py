"""An amendment tried on the deck on screen: one figure of an edition changed, as the command writes it.

What is written is a draft, adopted by nobody and in force nowhere, beside the designs of the folder.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from msgspec import Struct

from deckclause.page.bench import Bench
from deckclause.page.cards import CardsView, cards_view
from deckclause.page.typed import ToAmend, ToListClauses
from deckclause.rulesets.clauses import Limit
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.walk import limit_of
from deckclause.upkeep.amending.describe import (
    AmendmentWriter,
    Change,
    Description,
    Exceptions,
    default_id,
    exception_lines,
    refuse_undecided,
)

NEXT = (
    "It is a draft: nobody has adopted it, and it is in force nowhere. To adopt it, put the file into "
    "the amendments of a rules folder of the town's own (deckclause init) and see "
    "deckclause amend register."
)


class HeldView(Struct, frozen=True):
    """What becomes of a clause's exceptions; `asked` are those to be struck or kept, by number."""

    clause: str
    lines: tuple[str, ...]
    asked: tuple[tuple[int, str], ...]


class AmendView(Struct, frozen=True):
    """An amendment tried: its file, what it changes of the rules and of the deck, `saved` its name.

    `cards` are the deck under the edition and under the edition so amended.
    """

    text: str
    changed: tuple[str, ...]
    odd: tuple[str, ...]
    exceptions: tuple[HeldView, ...]
    view: CardsView
    saved: str = ""


def clause_choices(bench: Bench, asked: ToListClauses) -> dict[str, Any]:
    """Return what a draft may change of an edition: clauses that set a figure, values a place fixes.

    Raises InputError for a rule set that is none.
    """
    from deckclause.evaluate.words import ClauseWords

    catalogue = bench.catalogue
    words = ClauseWords(catalogue.vocabulary)
    topics = catalogue.vocabulary.topics
    clauses = [
        {
            "key": clause.key,
            "title": f"{topics[clause.topic].title}, {clause.cites}",
            "asks": words.requirement(clause.requirement),
            "bound": bound_of(limit),
        }
        for clause in catalogue.ruleset(asked.edition).clauses
        if (limit := limit_of(clause.requirement)) is not None
    ]
    values = [
        {"quantity": q.name, "title": q.called}
        for q in catalogue.vocabulary.quantities.values()
        if q.fixed_by_place
    ]
    return {"clauses": clauses, "values": values}


def bound_of(limit: Limit) -> str:
    """Return the kind of bound a clause sets: the one it has, the greatest where it has both."""
    if limit.exactly is not None:
        return "exactly"
    return "at_most" if limit.most is not None else "at_least"


def amend_view(bench: Bench, asked: ToAmend) -> AmendView:
    """Try an amendment on the deck, and write it where `asked.write`.

    Raises InputError with what the command says: for a change that changes nothing, an exception
    nobody decided on, a file that is there, a design that cannot be read.
    """
    from deckclause.answers.compare.build import compare_answer
    from deckclause.compare.comparison import compare
    from deckclause.evaluate.compile import compile_ruleset
    from deckclause.evaluate.ready import make_ready
    from deckclause.rulesets.names import rule_set_title
    from deckclause.upkeep.amending.effect import odd_changes, refuse_idle, without_effect
    from deckclause.upkeep.amending.trial import try_out

    catalogue = bench.catalogue
    place = asked.place or "Our town"
    name = default_id(place, asked.edition)
    if name in catalogue.files.amendments:
        raise InputError.single(place, f"has an amendment {name} already; name another place")
    described = Description(name, place, asked.edition, "", "")
    if asked.edition not in catalogue.files.rulesets:
        catalogue.library.load(asked.edition)  # says what is wrong with it
    loaded = catalogue.library.beneath_draft(place, asked.edition)
    writer = AmendmentWriter(described, loaded, catalogue.vocabulary)
    text = writer.text([_change(asked)])
    trial = try_out(catalogue, name, text, loaded)
    refuse_idle(without_effect(trial.base, trial.amended, catalogue.vocabulary))
    quantities = catalogue.vocabulary.quantities
    for tried in (trial.base, trial.amended):
        if tried.name not in catalogue.files.rulesets:
            catalogue.hold(make_ready(compile_ruleset(tried, quantities), quantities))
    design = catalogue.prepare(bench.file_design(asked)[1])
    found = compare(catalogue, design, [trial.base.name, trial.amended.name])
    view = cards_view(compare_answer(found, catalogue.vocabulary, si=asked.si))
    saved = _saved(bench, name, text, writer.exceptions) if asked.write else ""
    before, after = (rule_set_title(e.ruleset.name) for e in found.evaluators)
    changed = tuple(_flips(found.rows, before, after))
    odd = tuple(odd_changes(trial.base, trial.amended))
    return AmendView(text, changed, odd, tuple(map(_held, writer.exceptions)), view, saved)


def _flips(rows: Any, before: str, after: str) -> Iterator[str]:
    for row in rows:
        one, two = row.outcomes
        if row.compared[0] != row.compared[1]:
            told = f"{one.status_words} under {before}, {two.status_words} under {after}"
            if one.status == two.status:
                told = f"{one.status_words} under both, but asked otherwise"
            yield f"{row.topic.title}: {told}"


def _change(asked: ToAmend) -> Change:
    if asked.quantity:
        return Change(settings={asked.quantity: asked.figure})
    return Change(
        clause=asked.clause,
        bounds={asked.bound: asked.figure} if asked.figure else {},
        struck_exceptions=tuple(asked.struck),
        keep_exceptions=asked.keep,
    )


def _held(found: Exceptions) -> HeldView:
    asked = tuple((n.number, n.says) for n in found.stay if n.permits_less and not found.decided)
    return HeldView(found.clause, tuple(exception_lines(found)), asked)


def _saved(bench: Bench, name: str, text: str, exceptions: list[Exceptions]) -> str:
    from deckclause.rulesets.write_file import write_new

    refuse_undecided(exceptions)
    file = f"{name}.yaml"
    write_new(bench.folder.path(file), text)
    return file
