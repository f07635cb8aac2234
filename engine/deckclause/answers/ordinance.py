"""An ordinance as its papers print it: acts, days, redline, what falls away, what is still to write."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from msgspec import Struct
from msgspec.structs import replace

from deckclause.answers.redline import RedlineChange, redline_changes
from deckclause.evaluate.words import called, fact_text
from deckclause.rulesets.clauses import Origin
from deckclause.rulesets.drafts import MARK
from deckclause.rulesets.layering import read_amendment_tree
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.register import Adoption, Place
from deckclause.rulesets.ruleset import DRAFT, RuleSet
from deckclause.rulesets.walk import is_unmodelled
from deckclause.upkeep.amending.describe import NO_ORDINANCE
from deckclause.upkeep.amending.fallen import fallen_on
from deckclause.upkeep.local_limits import departures


class Provision(Struct, frozen=True):
    """A provision without a figure of decks, kept as text."""

    section: str
    title: str
    text: str


class Ordinance(Struct, frozen=True):
    """Everything the papers of one amendment print. An empty text is a place still to be written."""

    amendment: str
    title: str
    place: str
    warns: tuple[str, ...]
    """That the place is invented or its law held as far as it was read; that it holds no longer."""
    ordinance: str
    edition: str
    edition_title: str
    adopted: str
    """The day it was adopted; "" for a draft."""
    body: str
    authority: str
    findings: tuple[str, ...]
    findings_asked: str
    """What findings a larger place asks of it; "" where none does, or that is not known."""
    effective: str
    transition: str
    repeals: str
    contact: str
    local: tuple[tuple[str, str], ...]
    """Each larger place, and how far places within it may depart from its code."""
    changes: tuple[RedlineChange, ...]
    provisions: tuple[Provision, ...]
    departs: tuple[str, ...]
    """Where it departs from a larger place that says how far it may, a sentence each."""
    falls: tuple[str, ...]
    """Local rules that hold no longer from its first day, a sentence each."""
    lets_fall: tuple[str, ...]
    values: tuple[tuple[str, str], ...]
    """Every value the place and those it lies within fix, and by which act."""
    rules: tuple[str, ...]
    """Every rule the place and those it lies within have of their own, a sentence each."""
    unread: tuple[str, ...]
    """The sections whose words before are from memory."""
    before: RuleSet
    after: RuleSet

    @property
    def is_draft(self) -> bool:
        """Whether nobody has adopted it."""
        return not self.adopted

    @property
    def called(self) -> str:
        """The ordinance by its name, or that it has none yet."""
        return self.ordinance or "an ordinance not numbered yet"


def ordinance_of(library: RuleLibrary, name: str) -> Ordinance:
    """Return an amendment as its papers print it.

    What it changes is what stood before it on its first day: the edition, with the amendments of
    larger places and the place's own earlier ones. A draft is taken on its edition, with what the
    place and the larger ones have on it. Raises InputError where it cannot be read or layered.
    """
    data = read_amendment_tree(library.files, name).data
    place = library.register.places.get(data["place"])
    adoption = _adoption(place, name)
    edition = data["edition"]
    earlier, ground = _stands_before(library, data["place"], edition, name, adoption)
    before = library.in_force(edition, earlier, ground)
    after = library.in_force(edition, (*earlier, name), ground)
    papers = data.get("papers") or {}
    ordinance = data["ordinance"]
    changes = redline_changes(library, name, before, after)
    outer = tuple(_outer(library, place))
    provisions = data.get("provisions") or ()
    return Ordinance(
        amendment=name,
        title=data["title"],
        place=data["place"],
        warns=tuple(_warnings(place, name)),
        ordinance="" if ordinance == NO_ORDINANCE else ordinance,
        edition=edition,
        edition_title=library.ruleset(edition).title,
        adopted="" if data["adopted"] == DRAFT else data["adopted"],
        body=papers.get("body") or "",
        authority=papers.get("authority") or "",
        findings=tuple(papers.get("findings") or ()),
        findings_asked="; ".join(f"{p.name}: {p.findings}" for p in outer if p.findings),
        effective=papers.get("effective") or _effective(adoption),
        transition=papers.get("transition") or _transition(adoption),
        repeals=papers.get("repeals") or "",
        contact=papers.get("contact") or "",
        local=tuple((p.name, p.local) for p in outer if p.local),
        changes=changes,
        provisions=tuple(
            Provision(p.get("section") or "", p["title"], p["text"]) for p in provisions
        ),
        departs=tuple(_departs(library, data["place"], adoption)),
        falls=tuple(_falls(library, data["place"], adoption)),
        lets_fall=adoption.lets_fall if adoption is not None else (),
        values=tuple(_values(library, after.ruleset)),
        rules=tuple(_rules(after.ruleset)),
        unread=tuple(dict.fromkeys(c.cites for c in changes if c.standing == "memory")),
        before=replace(before.ruleset, name=f"{rule_set_title(edition)}, before it", kind="place"),
        after=replace(after.ruleset, name=_label(data["place"], name, adoption), kind="place"),
    )


def _warnings(place: Place | None, name: str) -> Iterator[str]:
    if place is None:
        return
    if place.invented:
        yield f"{place.name} is invented for demonstration."
    elif place.caution:
        yield place.caution
    last = next((a for a in reversed(place.adoptions) if name in a.amendments), None)
    if last is not None and last.ends is not None:
        yield f"From {last.ends} on this amendment is in force no longer."


def _adoption(place: Place | None, name: str) -> Adoption | None:
    """Return the adoption of the place that first holds the amendment; None for a draft."""
    held = place.adoptions if place is not None else ()
    return next((a for a in held if name in a.amendments), None)


def _stands_before(
    library: RuleLibrary, place: str, edition: str, name: str, adoption: Adoption | None
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the amendments in force beneath this one, outermost first, and those of the ground."""
    if adoption is not None:
        found = library.register.resolve(f"{place}@{adoption.begins}/{adoption.way}")
        return found.amendments[: found.amendments.index(name)], found.ground
    return library.register.beneath_draft(place, edition), ()


def _label(place: str, name: str, adoption: Adoption | None) -> str:
    """Return the name of the rule set with the amendment: its place and first day, or a draft."""
    return f"{name}{MARK}" if adoption is None else f"{place}@{adoption.begins}"


def _outer(library: RuleLibrary, place: Place | None) -> Iterator[Place]:
    while place is not None and place.within:
        place = library.register.places.get(place.within)
        if place is not None:
            yield place


def _effective(adoption: Adoption | None) -> str:
    if adoption is None or not adoption.first_day_known:
        return ""
    words = f"In force from {adoption.begins}."
    if adoption.emergency:
        words += " An emergency ordinance."
    if adoption.sunset and adoption.ends:
        words += f" It ends by its own terms on {adoption.ends}."
    return words


def _transition(adoption: Adoption | None) -> str:
    if adoption is None:
        return ""
    words = [adoption.transition]
    if adoption.either:
        words.append(f"The code before may be used as well: {adoption.either}")
    if adoption.decides:
        words.append(f"The day of the {adoption.decides} decides which code holds")
    return " ".join(f"{w.rstrip('.')}." for w in words if w)


def _departs(library: RuleLibrary, place: str, adoption: Adoption | None) -> Iterator[str]:
    if adoption is not None:
        for found in departures(library, f"{place}@{adoption.begins}/{adoption.way}"):
            yield f"{str(found)[:1].upper()}{str(found)[1:]} ({found.larger} allows: {found.local})."


def _falls(library: RuleLibrary, place: str, adoption: Adoption | None) -> Iterator[str]:
    if adoption is None or not adoption.first_day_known:
        return
    try:
        library.register.resolve(f"{place}@{adoption.begins - timedelta(days=1)}")
    except InputError:
        return  # nothing was in force before: nothing falls away
    yield from map(str, fallen_on(library, place, adoption.begins))


def _rules(ruleset: RuleSet) -> Iterator[str]:
    """Yield the local rules that are no values: clauses changed or added, clauses struck."""
    for clause in ruleset.clauses:
        if clause.origin.ordinance and not is_unmodelled(clause.requirement):
            yield f"{clause.says.rstrip('.')} ({_act(clause.origin)})."
        elif clause.origin.ordinance:
            yield f"{clause.says.rstrip('.')}; ask the office ({_act(clause.origin)})."
    for struck in ruleset.struck:
        if struck.says:
            yield f"{struck.says.rstrip('.')} ({_act(struck.origin)})."


def _act(origin: Origin) -> str:
    return ", ".join(w for w in (origin.place, origin.ordinance, origin.section) if w)


def _values(library: RuleLibrary, ruleset: RuleSet) -> Iterator[tuple[str, str]]:
    for setting in ruleset.settings:
        definition = library.vocabulary.quantities[setting.quantity]
        title = called(setting.quantity, library.vocabulary)
        yield (
            f"{title[:1].upper()}{title[1:]}",
            f"{fact_text(setting.value, definition)} ({_act(setting.origin)})",
        )
