"""A request as the office sees it: what was worked out afresh, what rests on the applicant's word alone.

Everything computed is computed here again from design and rules; nothing is taken from the papers.
What only the applicant says is listed as that. What stands against the request, what is missing and
the place's clocks follow, and a draft decision the official may sign, change or throw away.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.words import asked_limit, scalar_text
from deckclause.rulesets.relief import Clock
from deckclause.variance.calculation import AS_ASKED, AS_PRESCRIBED, relief_calculation
from deckclause.variance.precedents import find_precedents
from deckclause.variance.relax import missed
from deckclause.variance.request.build import Request
from deckclause.variance.request.check import check_request, is_answer
from deckclause.variance.request.decisions import Decision
from deckclause.variance.request.fields import fields


@dataclass(frozen=True, slots=True)
class Due:
    """One clock of the place: the event, its days, and the day it runs to where the start is known."""

    event: str
    days: int
    counted_in: str
    until: date | None


@dataclass(frozen=True, slots=True)
class Review:
    """The office's view of one request.

    `computed` was worked out afresh; `asserted` are (field, words) on the applicant's word alone;
    `against` contradictions and faults; `missing` empty fields; `drafts` a decision for each item.
    """

    title: str
    under: str
    computed: tuple[str, ...]
    asserted: tuple[tuple[str, str], ...]
    against: tuple[str, ...]
    missing: tuple[str, ...]
    clocks: tuple[Due, ...]
    drafts: tuple[Decision, ...]

    @property
    def can_be_decided(self) -> bool:
        """Whether nothing is missing and nothing stands against it."""
        return not self.against and not self.missing


def review_request(request: Request, today: date) -> Review:
    """Work a request out afresh for the office, as of a day."""
    checked = check_request(request)
    case = request.case
    return Review(
        title=f"{request.kind.title}: {case.design.design.name}",
        under=case.evaluator.ruleset.title,
        computed=tuple(_computed(request)),
        asserted=tuple(_asserted(request)),
        against=(*checked.against, *checked.differs),
        missing=tuple(f"{lack.where}: {lack.asks}" for lack in checked.missing),
        clocks=tuple(_due(c, request) for c in request.local.clocks) if request.local else (),
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
            f"{finding.cites}: requires {required}, the design has {value} ({explainer.standing(finding)})"
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
                outside = " (outside NDS scope)" if step.limits.startswith("Outside") else ""
                said.append(
                    f"context, {step.title}, {step.section}{outside}: ratio {before.ratio:.2f} as prescribed, "
                    f"{after.ratio:.2f} as asked"
                )
            said += [f"context, {after.no_value}"] if after.no_value else []
    listed = {(i.clause, i.words.get("part") or "") for i in request.items}
    others = [f for f in case.failing if (f.key, f.part) not in listed]
    said += [f"fails too, and is no item: {f.cites} ({f.key})" for f in others]
    return said


def _asserted(request: Request) -> list[tuple[str, str]]:
    told = []
    for field in fields().values():
        if field.name.startswith("declarations."):
            continue
        if field.in_item:
            for item in request.items:
                value = request.written(field.name, item)
                if isinstance(value, str) and is_answer(value):
                    told.append((f"item {item.number}, {field.title}", value))
        else:
            value = request.written(field.name)
            if isinstance(value, str) and is_answer(value):
                told.append((field.title, value))
    return told


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
    drafts = []
    for item in request.items:
        finding = item.finding
        if finding is None:
            continue
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
                outcome="approved with conditions" if decidable else "more information",
                reasons="",
                conditions=tuple(request.tree.data.get("conditions") or ()),
                may_be_cited=False,
            )
        )
    return drafts
