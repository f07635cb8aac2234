"""A request as the office sees it: what was worked out afresh, what rests on the applicant's word alone.

Everything computed is computed here again from design and rules; nothing is taken from the papers.
What only the applicant says is listed as that. What stands against the request, what is missing and
the place's clocks follow, and a draft decision the official may sign, change or throw away.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from msgspec import Struct

from deckclause.answers.compare.together import headline, together_answer
from deckclause.answers.request.items import SET_BY_REQUEST, label
from deckclause.answers.request.office import decided_words, earlier_decisions, power
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.words import asked_limit, scalar_text
from deckclause.rulesets.relief import Clock
from deckclause.variance.calculation import (
    AS_ASKED,
    AS_PRESCRIBED,
    OUTSIDE_NDS,
    beyond_resistance,
    relief_calculation,
)
from deckclause.variance.context import find_context
from deckclause.variance.precedents import find_precedents
from deckclause.variance.relax import missed
from deckclause.variance.request.build import Request
from deckclause.variance.request.check import check_request, ground_of, is_answer
from deckclause.variance.request.decisions import Decision
from deckclause.variance.request.fields import fields

APPROVED, MORE = "approved with conditions", "more information"


class Due(Struct, frozen=True):
    """One clock of the place: the event, its days, and the day it runs to where the start is known."""

    event: str
    days: int
    counted_in: str
    until: date | None


class Review(Struct, frozen=True):
    """The office's view of one request.

    `computed` was worked out afresh, from what the design states: `rests_on` are those of its facts
    the figures rest on, to be seen on site. `asserted` are (field, words) on the applicant's word
    alone, `particulars` the names and numbers among them; `papers` what is enclosed. `holds` is
    whether the deck holds together; `open` what needs an engineer or is not known under the code.
    `against` are contradictions and faults; `missing` empty fields; `tests` the findings the law asks
    of the decision; `earlier` the office's own decisions; `drafts` a decision for each item.
    """

    title: str
    under: str
    power: str
    holds: str
    computed: tuple[str, ...]
    rests_on: tuple[tuple[str, str], ...]
    asserted: tuple[tuple[str, str], ...]
    particulars: tuple[tuple[str, str], ...]
    papers: tuple[str, ...]
    open: tuple[str, ...]
    against: tuple[str, ...]
    missing: tuple[str, ...]
    clocks: tuple[Due, ...]
    tests: tuple[str, ...]
    earlier: tuple[str, ...]
    drafts: tuple[Decision, ...]

    @property
    def can_be_decided(self) -> bool:
        """Whether nothing is missing and nothing stands against it."""
        return not self.against and not self.missing


def review_request(request: Request, today: date) -> Review:
    """Work a request out afresh for the office, as of a day."""
    checked = check_request(request)
    case = request.case
    told = _asserted(request)
    held = together_answer(
        case.together or request.as_designed.together, case.vocabulary, binding=True
    )
    return Review(
        title=f"{request.kind.title}: {case.design.design.name}",
        under=case.evaluator.ruleset.title,
        power=power(request),
        holds=headline(held),
        computed=tuple(_computed(request)),
        rests_on=tuple(_rests_on(request)),
        asserted=tuple((title, words) for is_argument, title, words in told if is_argument),
        particulars=tuple((title, words) for is_argument, title, words in told if not is_argument),
        papers=tuple(_papers(request)),
        open=tuple(_open(request)),
        against=(*checked.against, *checked.differs),
        missing=tuple(f"{lack.where}: {lack.asks}" for lack in checked.missing),
        clocks=tuple(_due(c, request) for c in request.local.clocks) if request.local else (),
        tests=tuple(_tests(request)),
        earlier=tuple(decided_words(d) for d in earlier_decisions(request)),
        drafts=tuple(_drafts(request, today, decidable=checked.is_complete)),
    )


def _computed(request: Request) -> list[str]:
    case = request.case
    explainer = Explainer(case.evaluation, case.vocabulary)
    findings = [i.finding for i in request.items if i.finding is not None]
    said = []
    for finding, found in zip(findings, find_precedents(case, findings), strict=True):
        required = asked_limit(finding) or "a condition"
        value = (
            scalar_text(finding.value, finding.kind, finding.unit)
            if finding.value is not None
            else "as designed"
        )
        said.append(
            f"{finding.cites}: requires {required}, the deck as asked for has {value} ({explainer.standing(finding)})"
        )
        said += [f"  {step}" for step in explainer.steps(finding)[-1:]]
        permits = [
            f"{p.title}, {p.cites} ({p.standing}{', later than the request' if p.later else ''})"
            for p in found.permit
        ]
        said.append(
            f"  permitted by: {'; '.join(permits)}"
            if permits
            else "  permitted by no published rule looked at"
        )
    relaxations = [r for f in findings if (r := missed(f)) is not None]
    calculation = relief_calculation(case.evaluation, case.vocabulary, relaxations)
    if calculation is not None and calculation.sheet is None:
        said += [f"calculation sheet not worked out: {why}" for why in calculation.why_none]
    elif calculation is not None and calculation.sheet is not None:
        for step in calculation.sheet.steps:
            before, after = (step.result(n) for n in (AS_PRESCRIBED, AS_ASKED))
            if before.ratio is not None and after.ratio is not None:
                outside = " (outside NDS scope)" if step.limits.startswith(OUTSIDE_NDS) else ""
                said.append(
                    f"context, {step.title}, {step.section}{outside}: ratio {before.ratio:.2f} as prescribed, "
                    f"{after.ratio:.2f} as asked"
                )
            said += [f"context, {after.no_value}"] if after.no_value else []
    listed = {(i.clause, i.words.get("part") or "") for i in request.items}
    others = [f for f in case.failing if (f.key, f.part) not in listed]
    said += [f"fails too, and is no item: {f.cites} ({f.key})" for f in others]
    return said


def _rests_on(request: Request) -> Iterator[tuple[str, str]]:
    """Yield the design's own facts that the figures of the items rest on: seen by nobody here."""
    case = request.case
    explainer = Explainer(case.evaluation, case.vocabulary)
    quantities = case.vocabulary.quantities
    told: dict[str, str] = {}
    for item in request.items:
        for name, words in explainer.values_read(item.finding) if item.finding else ():
            if not (quantities[name].provided or quantities[name].derived):
                told.setdefault(name, words)
    moved = request.tree.data.get("with_changes") or {}
    set_here = {s.quantity for s in case.evaluator.ruleset.settings}
    for name, words in told.items():
        if name not in set_here:
            asked = f" ({SET_BY_REQUEST})" if name in moved else ""
            yield label(name, case.vocabulary), f"{words}{asked}"


def _asserted(request: Request) -> list[tuple[bool, str, str]]:
    """Return what the applicant says: whether it argues, its title, the words."""
    told = []
    for field in fields().values():
        if field.name.startswith("declarations."):
            continue
        argues = field.in_item or field.name in ("summary", "project.building_history")
        for item in request.items if field.in_item else (None,):
            value = request.written(field.name, item)
            if isinstance(value, str) and is_answer(value):
                head = f"item {item.number}, {field.title}" if item else field.title
                told.append((argues, head, value))
    return told


def _papers(request: Request) -> Iterator[str]:
    """Yield each paper named, and whether its file was opened; then what is declared."""
    for entry in request.tree.data.get("attachments") or ():
        named = entry.get("file")
        there = f"bound in from {named}" if named else "named only; ask to see it"
        yield f"{entry['id']} {entry['title']}: {there}"
    for field in fields().values():
        if field.name.startswith("declarations."):
            said = str(request.written(field.name)).lower() in ("yes", "true")
            yield f"{field.title}: {'declared' if said else 'not declared'}"


def _open(request: Request) -> Iterator[str]:
    """Yield what the code leaves to an engineer on this deck, and what cannot be told of it."""
    case = request.case
    titles = case.vocabulary.topics
    for finding in case.engineering:
        yield f"an engineer's matter: {titles[finding.topic].title}, {finding.cites}"
    missing = dict.fromkeys(titles[f.topic].title for f in case.missing)
    if missing:
        yield f"not known, for want of information: {', '.join(missing)}"


def _tests(request: Request) -> Iterator[str]:
    """Yield the findings the law asks for, one line each."""
    tests = request.kind.tests
    if not request.kind.needs_every_test:
        grounds = [ground_of(request, item) for item in request.items]
        tests = tuple(dict.fromkeys(g for g in grounds if g is not None)) or tests
    for test in tests:
        yield test.asks


def _due(clock: Clock, request: Request) -> Due:
    until = None
    try:
        day = date.fromisoformat(str(request.written("date") or ""))
    except ValueError:
        day = None
    if day is not None:
        until = (
            _business(day, clock.days)
            if "business" in clock.counted_in
            else day + timedelta(clock.days)
        )
    return Due(clock.event, clock.days, clock.counted_in, until)


def _business(day: date, count: int) -> date:
    """Return the day so many weekdays later; public holidays are not known here.

    >>> _business(date(2025, 3, 7), 1)
    datetime.date(2025, 3, 10)
    """
    while count:
        day += timedelta(1)
        count -= day.weekday() < 5
    return day


def _drafts(request: Request, today: date, *, decidable: bool) -> list[Decision]:
    """Return a draft for each item: never an approval where engineering gives the joint no value.

    Nor one where it finds more load on the joint as asked than the joint resists.
    """
    drafts = []
    for item in request.items:
        finding = item.finding
        if finding is None:
            continue
        against = _against(request, finding)
        drafts.append(
            Decision(
                decided=today.isoformat(),
                under=request.case.evaluator.ruleset.name,
                clause=finding.key,
                cites=finding.cites,
                required=asked_limit(finding) or finding.says,
                allowed=scalar_text(finding.value, finding.kind, finding.unit)
                if finding.value is not None
                else "as drawn",
                outcome=APPROVED if decidable and not against else MORE,
                reasons=f"{'; '.join(against)}: an engineer's word is needed" if against else "",
                conditions=tuple(request.tree.data.get("conditions") or ()),
                may_be_cited=False,
            )
        )
    return drafts


def _against(request: Request, finding: Finding) -> tuple[str, ...]:
    """Return what engineering has against one item: no value at all, or more load than resistance."""
    case = request.case
    no_value = find_context(case, finding).no_value
    relaxation = missed(finding)
    found = None
    if relaxation is not None:
        found = relief_calculation(case.evaluation, case.vocabulary, [relaxation])
    beyond = () if found is None or found.sheet is None else beyond_resistance(found.sheet)
    return (*([no_value] if no_value else []), *beyond)
