"""What the engine puts into a request: tables, drawings, calculation sheets, sources."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import cached_property
from typing import Any

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.words import bounds_text, fact_text, name_text, scalar_text
from deckclause.placement.conflicts import all_conflicts
from deckclause.placement.from_design import ROWS, section_facts, stated_distances
from deckclause.placement.from_findings import clause_limits
from deckclause.placement.sums import conflict_text
from deckclause.report.cautions import CAUTIONS
from deckclause.report.compare_document import receipt_grid
from deckclause.report.compare_json import ruleset_layers
from deckclause.report.design_drawings import section_drawings
from deckclause.report.document import (
    Block,
    Bullets,
    Cell,
    Facts,
    Grid,
    Heading,
    Paragraph,
    Signature,
    Unwritten,
)
from deckclause.report.elevation_drawings import elevation_blocks
from deckclause.report.sources_block import source_rows
from deckclause.variance.context import Context, find_context
from deckclause.variance.precedents import Precedents, find_precedents
from deckclause.variance.request import Request, RequestItem
from deckclause.variance.request_check import ITEM_GROUND, ground_of
from deckclause.variance.search import find_changes

COMPUTED: dict[str, str] = {
    "kind": "Kind of relief",
    "design": "The design",
    "rule_set": "The code as adopted",
    "item_table": "Items",
    "legal_tests": "The legal tests",
    "alternatives": "Changes that would avoid relief",
    "precedents": "Who already permits it",
    "drawings": "Drawings",
    "calculations": "Calculation sheets",
    "clocks": "Time limits and fees",
    "signatures": "Signatures",
}
"""What the engine can put into a part, each with its heading."""
MOST_OPTIONS = 8


class RequestBlocks:
    """Works out the blocks of one request, each once."""

    def __init__(self, catalogue: Catalogue, request: Request) -> None:
        self.catalogue = catalogue
        self.request = request
        self.case = request.case
        self.vocabulary = catalogue.vocabulary
        self.explainer = Explainer(self.case.evaluation, self.vocabulary)

    def blocks(self, name: str) -> Iterator[Block]:
        """Yield the blocks of one computed part; KeyError for a name that is none."""
        builders: dict[str, Callable[[], Iterator[Block]]] = {
            "kind": self.kind,
            "design": self.design,
            "rule_set": self.rule_set,
            "item_table": self.item_table,
            "legal_tests": self.legal_tests,
            "alternatives": self.alternatives,
            "precedents": self.precedents,
            "drawings": self.drawings,
            "calculations": self.calculations,
            "clocks": self.clocks,
            "signatures": self.signatures,
        }
        yield from builders[name]()

    @property
    def findings(self) -> list[tuple[RequestItem, Finding]]:
        """The items that stand for a failing clause."""
        return [(i, i.finding) for i in self.request.items if i.finding is not None]

    def item_title(self, item: RequestItem) -> str:
        """Name an item."""
        if item.finding is None:
            return f"Item {item.number}: {item.clause}"
        title = self.vocabulary.topics[item.finding.topic].title
        return f"Item {item.number}: {title}, {item.finding.cites}"

    def kind(self) -> Iterator[Block]:
        """Yield the kind of relief, who decides, and where the power stands."""
        kind = self.request.kind
        clauses = self.case.evaluator.ruleset.topic_clauses(kind.topic) if kind.topic else ()
        power = "; ".join(f"{c.cites} ({c.standing})" for c in clauses) or "not in this rule set"
        yield Facts((("kind", kind.title), ("decided by", kind.decided_by), ("power", power)))

    def design(self) -> Iterator[Block]:
        """Yield what the design states, with what the request sets differently."""
        design = self.case.design.design
        quantities = self.vocabulary.quantities
        pairs = [("design", design.name), ("in short", design.says or "")]
        for name, value in design.facts.items():
            pairs.append((name_text(name), fact_text(value, quantities[name])))
        for group, parts in design.parts.items():
            for part in parts:
                where = f" [{part.name}]" if part.name else ""
                for name, value in part.facts.items():
                    text = fact_text(value, quantities[name])
                    pairs.append((f"{name_text(name)}{where}", text))
            if not parts:
                pairs.append((group, "none"))
        yield Facts(tuple(pairs))
        changes = self.request.tree.data.get("with_changes") or {}
        if changes:
            told = tuple(f"{name_text(n)}: {t}" for n, t in changes.items())
            yield Paragraph("Set differently from the design file for this request:")
            yield Bullets(told)

    def rule_set(self) -> Iterator[Block]:
        """Yield the rule set: edition, amendments and dates."""
        ruleset = self.case.evaluator.ruleset
        acts = [
            " ".join(p for p in (x.place, x.ordinance, f"adopted {x.adopted}") if p)
            for x in ruleset.layers
            if x.ordinance
        ]
        yield Facts(
            (
                ("rule set", ruleset.name),
                ("title", ruleset.title),
                ("edition", ruleset.edition),
                ("amendments", "\n".join(acts) or "none"),
            )
        )
        yield from self.kind()

    def item_table(self) -> Iterator[Block]:
        """Yield the table of items."""
        yield self.item_grid()

    def item_grid(self) -> Grid:
        """Return section as adopted, requirement, value asked for, shortfall computed."""
        rows = []
        for item, finding in self.findings:
            required = bounds_text(finding.least, finding.most, finding.kind, finding.unit)
            asked = self.explainer.words.requirement(finding.requirement)
            value = scalar_text(finding.value, finding.kind, finding.unit)
            rows.append(
                (
                    Cell(str(item.number)),
                    Cell(f"{finding.cites}{_act(finding)}"),
                    Cell(finding.says),
                    Cell(required or asked),
                    Cell(value if finding.value is not None else "as designed"),
                    Cell(self.shortfall(finding)),
                    Cell(self.explainer.standing(finding)),
                )
            )
        headers = ("Item", "Section as adopted", "Requirement, in our own words", "Required",
                   "Value of the design", "Shortfall", "Standing")  # fmt: skip
        caption = "Items, worked out by the engine"
        return Grid(caption, headers, tuple(rows), shares=(7, 17, 27, 14, 11, 12, 12))

    @staticmethod
    def shortfall(finding: Finding) -> str:
        """Write how much a finding misses its limit by."""
        margin = finding.margin
        if margin is None or margin >= 0:
            return "not a measure"
        return scalar_text(-margin, finding.kind, finding.unit)

    def legal_tests(self) -> Iterator[Block]:
        """Yield each legal test as a question with the applicant's answer, or its empty place."""
        kind = self.request.kind
        say = "Every test must be met." if kind.needs_every_test else "One ground is relied on."
        yield Paragraph(f"{say} Tests in our own words ({kind.standing}).", "note")
        for item, _ in self.findings:
            yield Heading(2, self.item_title(item))
            if kind.needs_every_test:
                for test in kind.tests:
                    yield Heading(3, test.asks)
                    yield self._answer(test.field, item)
                continue
            ground = ground_of(self.request, item)
            options = ", ".join(t.key.replace("_", " ") for t in kind.tests)
            asks = ground.asks if ground is not None else f"Which ground: {options}?"
            yield Heading(3, asks)
            yield Facts((("ground", self.request.written(ITEM_GROUND, item) or Unwritten(asks)),))
            yield self._answer("items.ground_argument", item)

    def _answer(self, field: str, item: RequestItem) -> Paragraph:
        written = self.request.written(field, item)
        if written:
            return Paragraph(written, "applicant")
        return Paragraph(Unwritten("the applicant's answer"))

    def alternatives(self) -> Iterator[Block]:
        """Yield the changes of the design that avoid relief, each evaluated."""
        search = find_changes(self.request.as_designed)
        quantities = self.vocabulary.quantities
        rows = []
        for number, option in enumerate(search.options[:MOST_OPTIONS], 1):
            words = "; ".join(
                f"{c.move.says.rstrip('.')}: {fact_text(c.before, quantities[c.quantity])} to "
                f"{fact_text(c.after, quantities[c.quantity])}"
                for c in option.changes
            )
            state = "nothing fails" if option.is_settled else "nothing fails as far as known"
            step = "as designed" if option.keeps_step else "another"
            rows.append((Cell(str(number)), Cell(words), Cell(state), Cell(step)))
        if not rows:
            yield Paragraph("The engine found no change within its bounds that avoids relief.")
            return
        headers = ("No.", "Change", "Evaluated", "Height of the deck")
        caption = "Changes of the design that would avoid relief, least first"
        yield Grid(caption, headers, tuple(rows), shares=(6, 58, 20, 16))

    @cached_property
    def _precedents(self) -> tuple[Precedents, ...]:
        findings = [f for _, f in self.findings]
        return find_precedents(self.case, findings)

    def precedents(self) -> Iterator[Block]:
        """Yield who already permits each item, and who is silent."""
        for (item, _), found in zip(self.findings, self._precedents, strict=True):
            yield Heading(2, self.item_title(item))
            rows = tuple(
                (
                    Cell(p.ruleset),
                    Cell(p.cites),
                    Cell(bounds_text(p.least, p.most, p.kind, p.unit) or "permitted"),
                    Cell(p.standing),
                )
                for p in found.permit
            )
            if rows:
                headers = ("Rule set", "Section", "Limit", "Standing")
                yield Grid("Rule sets that permit the value of the design", headers, rows)
            else:
                yield Paragraph("No other rule set here permits it.")
            if found.silent:
                names = ", ".join(found.silent)
                yield Paragraph(f"Silent on it, which is no precedent: {names}.", "note")

    def drawings(self) -> Iterator[Block]:
        """Yield the section drawings and the ledger in elevation, or why there is none."""
        drawn = section_drawings((self.case.evaluation,), self.vocabulary)
        yield from drawn.drawings
        if drawn.missing:
            yield Paragraph(drawn.missing, "note")
        yield from elevation_blocks(self.catalogue, (self.case.evaluation,))

    @cached_property
    def _context(self) -> tuple[Context, ...]:
        return tuple(find_context(self.case, f) for _, f in self.findings)

    def calculations(self) -> Iterator[Block]:
        """Yield, for each item, the steps of the finding, the sums of the section, the context."""
        for (item, finding), context in zip(self.findings, self._context, strict=True):
            yield Heading(2, self.item_title(item))
            yield Paragraph("How the engine came to it:")
            yield Bullets(self.explainer.steps(finding))
            yield Paragraph(f"Engineering beside it, for context only (basis: {context.basis}):")
            yield Bullets(context.lines)
        sums = self._sums()
        if sums:
            yield Paragraph("The section as sums, rows free to move, before any relief:")
            yield Bullets(sums)

    def _sums(self) -> tuple[str, ...]:
        facts = section_facts(self.case.design)
        free = tuple(r for r in ROWS if isinstance(facts.get(r), Fraction))
        limits = clause_limits(self.case.evaluation, self.vocabulary)
        distances = [*stated_distances(facts, free), *(c.distance for c in limits)]
        return tuple(conflict_text(c) for c in all_conflicts(distances).conflicts)

    def clocks(self) -> Iterator[Block]:
        """Yield the local time limits and fees."""
        local = self.request.local
        if local is None:
            yield Paragraph("No local settings are named: ask the office.", "note")
            return
        pairs = [(c.event, f"{c.days} {c.counted_in}") for c in local.clocks]
        pairs += [("fees", local.fees or "not stated here"), ("known by", local.standing)]
        yield Facts(tuple(pairs))

    def attachments(self) -> Iterator[Block]:
        """Yield the list of attachments, each with the items it bears out."""
        listed: list[dict[str, Any]] = self.request.tree.data.get("attachments") or []
        if not listed:
            yield Paragraph(Unwritten("attachments: plans, photos, reports, letters"))
            return
        rows = []
        for entry in listed:
            items = [
                str(i.number)
                for i in self.request.items
                if entry["id"] in (self.request.written("items.evidence", i) or ())
            ]
            rows.append(
                (
                    Cell(entry["id"]),
                    Cell(entry["title"]),
                    Cell(entry.get("kind") or ""),
                    Cell(", ".join(items) or "none named"),
                )
            )
        yield Grid("Attachments", ("Id", "Title", "Kind", "Items"), tuple(rows))

    def signatures(self) -> Iterator[Block]:
        """Yield the signature blocks, left empty."""
        yield Paragraph("Left empty: signed by hand or under the applicant's own seal.", "note")
        yield Signature("Owner")
        yield Signature("Applicant")
        yield Signature(
            "Design professional, where required", (*LINES[:1], "Licence, seal", *LINES[1:])
        )
        yield Signature(
            f"Decision of {self.request.kind.decided_by}",
            (
                "Approved / approved with conditions / more information / denied, with reasons",
                *LINES,
            ),
        )

    def sources(self) -> Grid:
        """Return the sources of everything the request rests on."""
        used = [
            (source, self.explainer.standing(finding))
            for _, finding in self.findings
            for source in self.explainer.sources(finding)
        ]
        request = self.request
        used += [(s, request.kind.standing) for s in request.kind.sources]
        used += [(s, request.form.standing) for s in request.form.sources]
        if request.local is not None:
            used += [(s, request.local.standing) for s in request.local.sources]
        return source_rows(used, self.vocabulary)

    def receipt(self) -> Iterator[Block]:
        """Yield the digests of everything the request rests on."""
        import deckclause

        ruleset = self.case.evaluator.ruleset
        yield Facts(
            (
                ("engine", deckclause.__version__),
                ("design", self.request.as_designed.design.design.digest),
                ("vocabulary", self.vocabulary.digest),
                ("rules of relief", self.request.rules.digest),
            )
        )
        yield receipt_grid({"rule_sets": [ruleset_layers(ruleset)]})

    def cautions(self) -> tuple[str, ...]:
        """Return the cautions of the request and of its engineering context."""
        engineering = (text for context in self._context for text in context.cautions)
        return tuple(dict.fromkeys([*CAUTIONS, *engineering]))


LINES = ("Name", "Signature", "Date")


def _act(finding: Finding) -> str:
    origin = finding.setting.origin if finding.setting else finding.clause.origin
    return f"; {origin.place}, {origin.ordinance}" if origin.ordinance else ""
