"""Write a new request: what the engine knows as comments, every question of the form left open."""

from __future__ import annotations

import json
from collections.abc import Iterator

from deckclause.answers.place_values import place_values
from deckclause.answers.requirement_words import requirement_sentence
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.words import asked_limit, fact_text, scalar_text
from deckclause.report.relief.data import moves_text, relaxation_text
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.relief import Form, LocalSettings, ReliefKind
from deckclause.variance.case import ReliefCase
from deckclause.variance.options import MOST_SHOWN, option_keys
from deckclause.variance.relief import Choice, ReliefReport
from deckclause.variance.request.check import HARDSHIP, wanted_fields
from deckclause.variance.request.fields import ITEMS, Field, fields
from deckclause.variance.request.hints import CONSENT, EVIDENCE, TRUTH, hint
from deckclause.variance.request.model import ATTACHMENT_KINDS

WORKED_OUT = "#="
"""Comments that begin so are worked out by the engine; `request refresh` writes them anew."""
HOW_TO_WRITE = """\
# Write each answer after its colon. An answer with a # or a colon in it stands in quotation marks:
# what follows a bare # is a comment and is not printed. A long answer may take several lines:
#   summary: >-
#     First line of the answer,
#     and the next. Lines are joined; a # in here is printed."""
WITH_CHANGES = """\
# with_changes: the measures in which the deck asked for differs from the design file. The request
# is worked out, drawn and printed with them. Take a line out to keep the design file's own."""
CONDITIONS = """\
# conditions: what you offer beside, one an entry, in quotation marks: for instance inspection of the
# bolts and flashing before decking, photographs of every bolt, an engineer's letter, a placard with
# the load, hold-downs beyond the code. expires: when the relief ends if it is not used. office_log:
# the office's log of decisions, whose entries on the same clause are then cited."""
WHY_NOT = """\
# why_not: changes of the design that would avoid relief, least work first; say of each, after the
# colon, why it is not made. In sum and at length: alternatives_considered, in the items."""
EVIDENCE_HOW = """\
# evidence: ids of attachments, as [A1, A2]. Attachments, one line for each paper:
#   - {{id: A1, title: Section through the ledger, kind: drawing}}
#   - {{id: A2, title: The wall, kind: photo, file: wall.jpg, caption: "The band joist, from inside"}}
# kind is one of: {kinds}. A file (PNG or JPEG) is bound into the papers."""


def request_template(
    report: ReliefReport,
    kind: ReliefKind,
    form: Form,
    local: LocalSettings | None,
    design_path: str,
    choice: Choice,
) -> str:
    """Return the YAML of a new request for one relief. Raises InputError where none is drafted."""
    return "\n".join(_Template(report, kind, form, local, design_path, choice).lines()) + "\n"


def must_choose(report: ReliefReport, design_path: str) -> None:
    """Raise InputError where there is nothing to ask for, or no relief that would do."""
    case = report.case
    if not case.failing:
        raise InputError.single(
            design_path, f"fails nothing under {case.evaluator.ruleset.name}: ask for nothing"
        )
    if report.relief.rows_alone and not report.relief.others:
        raise InputError.single(
            design_path,
            "needs no relief on the section: moving the rows is enough (deckclause relief)",
        )
    if not report.choices:
        guarded = "; ".join(
            f"{f.key}: {kept}" for f in case.failing if (kept := case.never_relax(f.clause))
        )
        if guarded:
            raise InputError.single(design_path, f"no request is drafted: {guarded}")
        why = "; ".join(n.reason for n in report.not_offered)
        told = f" ({why})" if why else ""
        raise InputError.single(
            design_path, f"no relief makes this design stand{told}; change the design"
        )


def choice_lines(choice: Choice, case: ReliefCase) -> list[str]:
    """Say what a relief asks for and moves, and how it stands on both scales, one line each."""
    asks = [relaxation_text(r, case.vocabulary) for r in choice.relaxations]
    rule = choice.published
    head = f"the whole rule of {rule.title} ({rule.published}): " if rule else ""
    lines = [f"relief {choice.number}: {head}{asks[0] if asks else 'the design as drawn'}"]
    lines += [f"  and {text}" for text in asks[1:]]
    moves = moves_text(choice, case)
    lines += [f"  moves {text}" for text in moves] or ["  the design stays as drawn"]
    lines.append(f"  precedent: {choice.precedent}")
    lines += [f"  engineering: {line}" for line in choice.engineering]
    lines += [f"  engineering gives no value: {reason}" for reason in choice.not_advisable]
    if choice.tension:
        lines.append(f"  {choice.tension}")
    return lines


class _Template:
    def __init__(
        self,
        report: ReliefReport,
        kind: ReliefKind,
        form: Form,
        local: LocalSettings | None,
        design_path: str,
        choice: Choice,
    ) -> None:
        self.report = report
        self.kind, self.form, self.local = kind, form, local
        self.design_path = design_path
        self.case = report.case
        self.choice = choice
        self.changes = self._moved_rows()
        self.failing = self._failing()
        self.wanted = wanted_fields(kind, form, local)

    def _moved_rows(self) -> dict[str, str]:
        quantities = self.case.vocabulary.quantities
        return {name: fact_text(value, quantities[name]) for name, value in self.choice.moved}

    def _failing(self) -> tuple[Finding, ...]:
        case = self.case
        after = ReliefCase(case.catalogue, case.rules, case.evaluator, self.choice.evaluation)
        kept = tuple(f for f in after.failing if not case.never_relax(f.clause))
        if not kept:
            reasons = "; ".join(f"{f.key}: {case.never_relax(f.clause)}" for f in after.failing)
            raise InputError.single(self.design_path, f"no request is drafted: {reasons}")
        return kept

    def lines(self) -> Iterator[str]:
        case, local = self.case, self.local
        yield f"# {self.kind.title}, decided by {self.kind.decided_by}."
        yield f"# Form: {self.form.title} ({self.form.published_as})."
        yield "# Fill in your own words. What is left empty stays visibly empty in the request."
        yield "# Figures, sections and precedents are worked out afresh when it is built."
        yield from HOW_TO_WRITE.splitlines()
        yield f"# Lines that begin with {WORKED_OUT} are worked out; request refresh writes them anew."
        yield from self.head()
        yield 'request: "1"'
        yield f"kind: {self.kind.name}"
        yield f"form: {self.form.name}"
        if local is not None:
            yield f"local: {_quoted(local.place)}"
            yield from _local_comments(local)
        yield f"under: {_quoted(case.evaluator.ruleset.name)}"
        yield f"design: {_quoted(self.design_path)}"
        yield f"design_digest: {case.design.design.digest}"
        yield f"rule_set_digest: {case.evaluator.ruleset.digest}"
        yield "state: draft"
        yield from WITH_CHANGES.splitlines()
        if self.changes:
            yield "with_changes:"
            yield from (f"  {name}: {text}" for name, text in self.changes.items())
        else:
            yield "with_changes: {}"
        yield from self.whole()
        yield from self.why_not()
        yield from CONDITIONS.splitlines()
        yield "conditions: []"
        yield "items:"
        for finding in self.failing:
            yield from self.item(finding)
        yield from EVIDENCE_HOW.format(kinds=", ".join(ATTACHMENT_KINDS)).splitlines()
        yield "attachments: []"
        yield "declarations:"
        yield f'  owner_consent: "no"  # {CONSENT}'
        yield f'  statement_of_truth: "no"  # {TRUTH}'

    def head(self) -> Iterator[str]:
        """Say which relief is asked for and which others would do."""
        yield f"{WORKED_OUT} Asked for here is:"
        for line in choice_lines(self.choice, self.case):
            yield f"{WORKED_OUT}   {line}"
        others = [c for c in self.report.choices if c.number != self.choice.number]
        if others:
            yield f"{WORKED_OUT} Others that would do (request new ... --relief N):"
        for other in others:
            for line in choice_lines(other, self.case):
                yield f"{WORKED_OUT}   {line}"
        for value in place_values(self.case.evaluation, self.case.vocabulary):
            yield f"{WORKED_OUT} {value.says} ({value.act}; {value.standing})."

    def whole(self) -> Iterator[str]:
        group = ""
        for field in fields().values():
            if field.in_item or field.name.startswith(("attachments", "declarations")):
                continue
            head, _, leaf = field.name.partition(".")
            if leaf and head != group:
                group = head
                yield f"{head}:"
            yield f"  {leaf}:{self.ask(field)}" if leaf else f"{head}:{self.ask(field)}"

    def item(self, finding: Finding) -> Iterator[str]:
        yield from (f"  {WORKED_OUT} {line}" for line in self.figures(finding))
        yield f"  - clause: {finding.key}"
        if finding.part:
            yield f"    part: {_quoted(finding.part)}"
        if not self.kind.needs_every_test:
            yield "    # ground: one of"
            yield from (f"    #   {t.key}: {t.asks}" for t in self.kind.tests)
        group = ""
        for field in fields().values():
            if not field.in_item:
                continue
            head, _, leaf = field.name.removeprefix(ITEMS).partition(".")
            if leaf and head != group:
                group = head
                yield f"    {head}:"
            if field.name == HARDSHIP and self._refuses_hardship():
                continue
            if field.name == "items.evidence":
                yield f"    evidence: []  # {EVIDENCE}"
            else:
                yield f"      {leaf}:{self.ask(field)}" if leaf else f"    {head}:{self.ask(field)}"

    def ask(self, field: Field) -> str:
        """Ask a field's question, marked where the form or the kind of relief needs an answer."""
        return f"  # {hint(field, wanted=field.name in self.wanted)}"

    def _refuses_hardship(self) -> bool:
        return self.local is not None and self.local.hardship_accepted is False

    def figures(self, finding: Finding) -> Iterator[str]:
        """Say what one item stands for: clause, limit and value."""
        required = asked_limit(finding)
        value = scalar_text(finding.value, finding.kind, finding.unit)
        yield f"{finding.cites}: {requirement_sentence(finding)}"
        yield f"required {required or 'as said'}; the design has {value}"

    def why_not(self) -> Iterator[str]:
        """Ask of each change that would avoid relief why it is not made."""
        options = self.report.changes.options[:MOST_SHOWN]
        if not options:
            return
        quantities = self.case.vocabulary.quantities
        yield from WHY_NOT.splitlines()
        yield "why_not:"
        keys = option_keys(options, quantities)
        for number, (option, key) in enumerate(zip(options, keys, strict=True), 1):
            words = "; ".join(
                f"{c.move.says.rstrip('.')}, {fact_text(c.before, quantities[c.quantity])} -> "
                f"{fact_text(c.after, quantities[c.quantity])}"
                for c in option.changes
            )
            yield f"  {WORKED_OUT} {number}. {words}."
            yield f"  {_quoted(key)}:"


def _local_comments(local: LocalSettings) -> Iterator[str]:
    if local.says:
        yield f"# {local.place}: {_one_line(local.says)}"
    if local.hardship_accepted is False:
        yield f"# {local.place} does not accept hardship as a reason."
    for clock in local.clocks:
        yield f"# clock: {clock.event}: {clock.days} {clock.counted_in}"
    if local.fees:
        yield f"# fees: {_one_line(local.fees)}"


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
