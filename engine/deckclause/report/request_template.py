"""Write a new request: what the engine knows as comments, every question of the form left open."""

from __future__ import annotations

import json
from collections.abc import Iterator

from deckclause.evaluate.findings import Finding
from deckclause.evaluate.words import bounds_text, fact_text, scalar_text
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.relief import Form, LocalSettings, ReliefKind
from deckclause.variance.case import ReliefCase
from deckclause.variance.relief import ReliefReport
from deckclause.variance.request_check import wanted_fields
from deckclause.variance.request_fields import ITEMS, Field, fields


def request_template(
    report: ReliefReport,
    kind: ReliefKind,
    form: Form,
    local: LocalSettings | None,
    design_path: str,
) -> str:
    """Return the YAML of a new request. Raises InputError where there is nothing to ask for."""
    return "\n".join(_Template(report, kind, form, local, design_path).lines()) + "\n"


class _Template:
    def __init__(
        self,
        report: ReliefReport,
        kind: ReliefKind,
        form: Form,
        local: LocalSettings | None,
        design_path: str,
    ) -> None:
        self.report = report
        self.kind, self.form, self.local = kind, form, local
        self.design_path = design_path
        self.case = report.case
        self.changes = self._moved_rows()
        self.failing = self._failing()
        self.wanted = wanted_fields(kind, form, local)

    def _moved_rows(self) -> dict[str, str]:
        """Take the rows of the least set: the request asks for no more than that needs."""
        sets = self.report.relief.sets
        if not sets:
            return {}
        facts = self.case.design.facts()
        quantities = self.case.vocabulary.quantities
        return {
            name: fact_text(value, quantities[name])
            for name, value in sets[0].rows
            if facts.get(name) != value
        }

    def _failing(self) -> tuple[Finding, ...]:
        case = self.case
        if not case.failing:
            raise InputError.single(
                self.design_path,
                f"fails nothing under {case.evaluator.ruleset.name}: ask for nothing",
            )
        if self.report.relief.rows_alone and not self.report.relief.others:
            raise InputError.single(
                self.design_path,
                "needs no relief on the section: moving the rows is enough (deckclause relief)",
            )
        sets = self.report.relief.sets
        evaluation = sets[0].evaluation if sets else case.evaluation
        after = ReliefCase(case.catalogue, case.rules, case.evaluator, evaluation)
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
        if self.changes:
            yield "# The rows are moved where that needs no relief, so that the least is asked for:"
            yield "with_changes:"
            yield from (f"  {name}: {text}" for name, text in self.changes.items())
        yield from self.whole()
        yield "items:"
        for finding in self.failing:
            yield from self.item(finding)
        yield "# One line for each paper: - {id: A1, title: ..., kind: ...}"
        yield "attachments: []"
        yield "declarations:"
        yield '  owner_consent: "no"  # yes once the owner has agreed'
        yield '  statement_of_truth: "no"  # yes once you stand by every word'

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
        required = bounds_text(finding.least, finding.most, finding.kind, finding.unit)
        value = scalar_text(finding.value, finding.kind, finding.unit)
        yield f"  # {finding.cites}: {_one_line(finding.says)}"
        yield f"  # required {required or 'as said'}; the design has {value}"
        yield f"  - clause: {finding.key}"
        if finding.part:
            yield f"    part: {_quoted(finding.part)}"
        yield from self._options()
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
            if field.name == "items.evidence":
                yield "    evidence: []"
            else:
                yield f"      {leaf}:{self.ask(field)}" if leaf else f"    {head}:{self.ask(field)}"

    def ask(self, field: Field) -> str:
        """Ask a field's question, marked where the form or the kind of relief needs an answer."""
        mark = "needed: " if field.name in self.wanted else ""
        return f"  # {mark}{_one_line(field.asks)}"

    def _options(self) -> Iterator[str]:
        options = self.report.changes.options[:5]
        if options:
            yield "    # These changes would avoid relief; say under alternatives_considered why not:"
        quantities = self.case.vocabulary.quantities
        for option in options:
            words = "; ".join(
                f"{c.quantity} {fact_text(c.before, quantities[c.quantity])} -> "
                f"{fact_text(c.after, quantities[c.quantity])}"
                for c in option.changes
            )
            yield f"    #   {words}"


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
