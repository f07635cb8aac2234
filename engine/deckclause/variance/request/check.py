"""What a request lacks, and what stands against it as it is written."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from msgspec import Struct

from deckclause.placement.from_design import section_facts, stated_distances
from deckclause.placement.solve import solve
from deckclause.rulesets.problems import Problem, suggestion
from deckclause.rulesets.relief import Form, LegalTest, LocalSettings, ReliefKind
from deckclause.variance.request.build import Request, RequestItem
from deckclause.variance.request.fields import ITEMS, fields
from deckclause.variance.request.model import ATTACHMENT_KINDS
from deckclause.variance.request.own_words import disagreements
from deckclause.variance.request.papers import not_bound

NO_ANSWER = re.compile(
    r"^\W*(tbd|t\.b\.d\.|tba|to be (determined|confirmed|done|announced)|n/?a|n\.a\.|not applicable|none|"
    r"todo|to do|xxx+|see (above|below)|pending|unknown|\?+|-+|\.+)?\W*$",
    re.IGNORECASE,
)
"""What stands in a field for want of an answer."""
HARDSHIP = "items.hardship"
WAIVING = re.compile(r"\bwaiv(e|er|ed|ing)\b", re.IGNORECASE)
ITEM_GROUND = "items.ground"


class Lack(Struct, frozen=True):
    """One empty field that is needed: its name, the item's number (0 for none), and why."""

    field: str
    item: int
    asks: str
    wanted_by: str

    @property
    def where(self) -> str:
        """Name the place in the file."""
        if not self.item:
            return self.field
        return f"items[{self.item}].{self.field.removeprefix(ITEMS)}"


class Checked(Struct, frozen=True):
    """What is missing, what stands against the request, and what to bear in mind.

    `comments` are those after a field that may be an answer cut short, with file and line;
    `unsaid` counts the changes that would avoid relief without a word on why they are not made.
    """

    missing: tuple[Lack, ...]
    against: tuple[str, ...]
    notes: tuple[str, ...]
    comments: tuple[Problem, ...] = ()
    unsaid: int = 0
    differs: tuple[str, ...] = ()
    """Figures in the applicant's words that agree with nothing, and answers not looked at again."""

    @property
    def is_complete(self) -> bool:
        """Whether nothing is missing, cut short, at odds with the figures or against it."""
        return not (self.missing or self.against or self.comments or self.differs)


def check_request(request: Request) -> Checked:
    """Check a request against its kind's legal tests, its form and the local settings."""
    missing = tuple(_missing(request))
    differs = tuple(_differs(request))
    against = [*_against(request)]
    if missing and request.written("state") == "filed":
        against.append(f"its state is filed, and {len(missing)} fields are empty")
    if differs and request.written("state") == "filed":
        against.append("its state is filed, and its own words differ from its figures")
    return Checked(
        missing,
        tuple(dict.fromkeys(against)),
        tuple(_notes(request)),
        request.strays,
        sum(not said for said in (request.tree.data.get("why_not") or {}).values()),
        differs,
    )


def _differs(request: Request) -> Iterator[str]:
    """Yield what the applicant's words say otherwise than the figures, and what is to be read again."""
    yield from (d.words for d in disagreements(request, written_texts(request)))
    for name in request.tree.data.get("look_again") or ():
        yield (
            f"{name} was not looked at since the design or the rules changed; read it, then take it out "
            "of look_again"
        )


def wanted_fields(kind: ReliefKind, form: Form, local: LocalSettings | None) -> dict[str, str]:
    """Return every field the form and the kind need, each with who wants it."""
    wanted: dict[str, str] = {}
    for part in form.parts:
        for name in part.holds:
            wanted.setdefault(name, f"{form.title}: {part.title}")
    for name in kind.also_needs:
        wanted.setdefault(name, kind.title)
    if kind.needs_every_test:
        for test in kind.tests:
            wanted.setdefault(test.field, f"{kind.title}: {test.key.replace('_', ' ')}")
    else:
        wanted.setdefault(ITEM_GROUND, f"{kind.title}: one ground of its list")
        for test in kind.tests:
            wanted.setdefault(test.field, f"{kind.title}: the argument on that ground")
    if local is not None and local.hardship_accepted is False:
        wanted.pop(HARDSHIP, None)
    return wanted


def ground_of(request: Request, item: RequestItem) -> LegalTest | None:
    """Return the ground an item relies on, where its kind needs one and it names one."""
    named = request.written(ITEM_GROUND, item)
    return next((t for t in request.kind.tests if t.key == named), None)


def _missing(request: Request) -> Iterator[Lack]:
    known = fields()
    for name, wanted_by in wanted_fields(request.kind, request.form, request.local).items():
        field = known[name]
        if field.in_item:
            for item in request.items:
                if not is_answer(request.written(name, item)):
                    yield Lack(name, item.number, field.asks, wanted_by)
        elif not _is_given(request, name):
            yield Lack(name, 0, field.asks, wanted_by)


def _is_given(request: Request, name: str) -> bool:
    value = request.written(name)
    if name.startswith("declarations."):
        return str(value).lower() in ("yes", "true")
    return is_answer(value)


def is_answer(value: object) -> bool:
    """Tell whether something written is an answer: `TBD`, `n/a` and a dash are none.

    >>> is_answer("TBD"), is_answer("n/a"), is_answer("Not applicable: no beam bears on it.")
    (False, False, True)
    """
    if isinstance(value, str):
        return not NO_ANSWER.match(value.strip())
    return bool(value)


def _against(request: Request) -> Iterator[str]:
    yield from _stale(request)
    yield from _kind_does_not_fit(request)
    yield from _items(request)
    yield from _wording(request)
    yield from _grounds(request)
    yield from _evidence(request)
    facts = section_facts(request.case.design)
    if facts.get("deck.attachment") == "ledger" and not solve(stated_distances(facts)).is_feasible:
        yield (
            "the rows as they stand do not pass through both boards; no relief makes that stand. "
            "Move the rows (with_changes) or change the design"
        )


_STALE = (
    "has changed since this was written; deckclause request refresh says what that touches and "
    "takes it up. By hand: check every word, then set"
)


def _stale(request: Request) -> Iterator[str]:
    design = request.as_designed.design.design.digest
    if request.written("design_digest") != design:
        yield f"the design {_STALE} design_digest to {design}"
    rule_set = request.case.evaluator.ruleset.digest
    if request.written("rule_set_digest") != rule_set:
        yield f"the rule set {_STALE} rule_set_digest to {rule_set}"


def _kind_does_not_fit(request: Request) -> Iterator[str]:
    kind, ruleset = request.kind, request.case.evaluator.ruleset
    if kind.name not in request.form.kinds:
        yield f"the form '{request.form.name}' does not serve for: {kind.title}"
    if request.local is not None and kind.name not in request.local.kinds:
        taken = ", ".join(request.rules.kinds[k].title for k in request.local.kinds)
        yield f"{request.local.place} does not take: {kind.title}. It takes: {taken}"
    if kind.topic and not ruleset.topic_clauses(kind.topic):
        struck = any(s.topic == kind.topic for s in ruleset.struck)
        why = "the place struck that clause" if struck else "it has no such clause"
        yield f"{ruleset.name} gives no power for: {kind.title} ({why})"


def _items(request: Request) -> Iterator[str]:
    case = request.case
    listed = {(i.clause, i.words.get("part") or "") for i in request.items}
    for item in request.items:
        if item.finding is None:
            yield f"item {item.number}: {item.clause} does not fail; take the item out"
            continue
        reason = case.never_relax(item.finding.clause)
        if reason:
            yield f"item {item.number}: no relief is asked from {item.clause}: {reason}"
    for finding in case.failing:
        if (finding.key, finding.part) not in listed:
            reason = case.never_relax(finding.clause)
            what = f"change the design: {reason}" if reason else "add an item, or change the design"
            yield f"{finding.key} ({finding.cites}) fails too and no item names it; {what}"


def _wording(request: Request) -> Iterator[str]:
    for name, number, text in written_texts(request):
        where = Lack(name, number, "", "").where
        if request.kind.cannot_waive and WAIVING.search(text):
            yield f"{where} speaks of waiving; {request.kind.decided_by} cannot waive a requirement"
        for other in request.rules.other_processes.values():
            if any(re.search(rf"\b{re.escape(w)}s?\b", text, re.IGNORECASE) for w in other.words):
                yield f"{where}: {other.title}: {other.says}"


def _grounds(request: Request) -> Iterator[str]:
    local = request.local
    known = ", ".join(t.key for t in request.kind.tests)
    for item in request.items:
        ground = ground_of(request, item)
        if request.written(ITEM_GROUND, item) and ground is None:
            yield f"item {item.number}: that ground is none of {known}"
        pleads = request.written(HARDSHIP, item) or (ground is not None and ground.hardship)
        if pleads and local is not None and local.hardship_accepted is False:
            yield (
                f"item {item.number} pleads hardship; {local.place} does not accept it as a reason"
            )


def _evidence(request: Request) -> Iterator[str]:
    for paper in request.tree.data.get("attachments") or ():
        kind = (paper.get("kind") or "").strip()
        if kind and kind.casefold() not in ATTACHMENT_KINDS:
            near = suggestion(kind.casefold(), ATTACHMENT_KINDS)
            yield f"attachment {paper['id']}: '{kind}' is no kind of attachment.{near}"
        fault = not_bound(Path(request.file).parent, paper)
        if fault:
            yield f"attachment {paper['id']}: {fault}"
    ids = {a["id"] for a in request.tree.data.get("attachments") or ()}
    for item in request.items:
        for name in request.written("items.evidence", item) or ():
            if name not in ids:
                yield f"item {item.number}: there is no attachment '{name}'"


def written_texts(request: Request) -> Iterator[tuple[str, int, str]]:
    """Yield (field, item number or 0, text) of everything the applicant wrote in words."""
    for said in (request.tree.data.get("why_not") or {}).values():
        if said:
            yield "why_not", 0, said
    for field in fields().values():
        if field.in_item:
            for item in request.items:
                value = request.written(field.name, item)
                if isinstance(value, str):
                    yield field.name, item.number, value
        else:
            value = request.written(field.name)
            if isinstance(value, str):
                yield field.name, 0, value


def _notes(request: Request) -> Iterator[str]:
    if request.local is None:
        yield "no local settings are named: ask the office for its form, fees and time limits"
    elif request.local.hardship_accepted is None:
        yield f"whether {request.local.place} accepts hardship as a reason is not stated here: ask"
    if request.kind.standing == "memory":
        note = request.kind.note or "read the adopted clause"
        yield f"the legal tests of this kind are from memory: {note}"
    if request.kind.cannot_waive:
        yield f"{request.kind.decided_by} decides what the code asks; it cannot waive a requirement"
