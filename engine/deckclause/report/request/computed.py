"""What the engine puts into the parts of a request: tables, tests, alternatives, drawings."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cached_property
from pathlib import Path
from typing import Any

from deckclause.answers.place_values import place_values
from deckclause.answers.sections import sections_answer
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.words import asked_limit, fact_text, scalar_text
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
from deckclause.report.drawing.design_drawings import section_drawings
from deckclause.report.drawing.elevation_drawings import elevation_blocks
from deckclause.report.requirement_words import requirement_sentence
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.variance.calculation import Calculation, relief_calculation
from deckclause.variance.later import judged
from deckclause.variance.options import MOST_SHOWN, Option, option_keys
from deckclause.variance.precedents import Precedents, find_precedents
from deckclause.variance.relax import missed
from deckclause.variance.request.build import Request, RequestItem
from deckclause.variance.request.check import ITEM_GROUND, ground_of
from deckclause.variance.request.decisions import Decision, read_decisions
from deckclause.variance.search import find_changes

IN_LETTER = ("items.why_impractical", "items.special_condition", "items.intent", "items.mitigation",
             "items.equivalence.strength", "items.equivalence.safety", "items.ground_argument")  # fmt: skip
"""Answers the letter prints; a later part points to it, so that nothing is said twice."""
AS_IN_LETTER = "As in the letter at the head of this request."
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


class RequestBlocks:
    """Works out the blocks of one request, each once."""

    def __init__(self, catalogue: Catalogue, request: Request) -> None:
        self.catalogue = catalogue
        self.request = request
        self.case = request.case
        self.vocabulary = catalogue.vocabulary
        self.explainer = Explainer(self.case.evaluation, self.vocabulary)
        self._said: list[str] = []

    def blocks(self, name: str) -> Iterator[Block]:
        """Yield the blocks of one computed part; KeyError for a name that is none."""
        builders: dict[str, Callable[[], Iterator[Block]]] = {
            "kind": self.kind,
            "design": self.design,
            "rule_set": self.rule_set,
            "item_table": self.item_table,
            "legal_tests": self.legal_tests,
            "alternatives": self.alternatives_with_reasons,
            "precedents": self.precedents,
            "drawings": self.drawings,
            "calculations": self.calculations_pointer,
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
        """Yield, once, the kind of relief, who decides, and where the power stands."""
        if "kind" in self._said:
            return
        self._said.append("kind")
        kind = self.request.kind
        clauses = self.case.evaluator.ruleset.topic_clauses(kind.topic) if kind.topic else ()
        power = (
            "; ".join(f"{c.cites} ({c.standing})" for c in clauses)
            or "stands in no rule looked at here; name it from the adopted law"
        )
        yield from self.standings_said()
        yield Facts((("Kind", kind.title), ("Decided by", kind.decided_by), ("Power", power)))

    def standings_said(self) -> Iterator[Block]:
        """Yield, where a standing first stands, what the words mean."""
        if STANDINGS not in self._said:
            self._said.append(STANDINGS)
            yield Paragraph(STANDINGS, "note")

    def design(self) -> Iterator[Block]:
        """Yield the design in short; all it states stands in an annex."""
        design = self.case.design.design
        yield Facts((("Design", design.name), ("In short", design.says or "")))
        yield Paragraph(f"All the design states, in plain words: {ANNEX_DESIGN}.", "note")

    def rule_set(self) -> Iterator[Block]:
        """Yield the rule set: edition, amendments and dates, and the values places set."""
        ruleset = self.case.evaluator.ruleset
        acts = [act_words(x.place, x.ordinance, x.adopted) for x in ruleset.layers if x.ordinance]
        yield from self.standings_said()
        yield Facts(
            (
                ("Code as adopted", ruleset.title),
                ("Edition", self.catalogue.evaluator(ruleset.edition).ruleset.title),
                ("Amendments", "\n".join(acts) or "none"),
            )
        )
        values = place_values(self.case.evaluation, self.vocabulary)
        if values:
            yield Paragraph("Values set by ordinance that the clauses read in place of any other:")
            yield Bullets(tuple(f"{v.says} ({v.act}; {v.standing})." for v in values))
        yield from self.kind()

    def item_table(self) -> Iterator[Block]:
        """Yield the table of items."""
        yield from self.standings_said()
        yield self.item_grid()

    def item_grid(self) -> Grid:
        """Return section as adopted, requirement, value asked for, shortfall computed."""
        rows = []
        for item, finding in self.findings:
            required = asked_limit(finding)
            asked = self.explainer.words.requirement(finding.requirement)
            value = scalar_text(finding.value, finding.kind, finding.unit)
            rows.append(
                (
                    Cell(str(item.number)),
                    Cell(f"{finding.cites}{_act(finding)}"),
                    Cell(requirement_sentence(finding)),
                    Cell(required or asked),
                    Cell(value if finding.value is not None else "as designed"),
                    Cell(self.shortfall(finding)),
                    Cell(self.explainer.standing(finding)),
                )
            )
        headers = ("Item", "Section as adopted", "Requirement, in our own words", "Required",
                   "Value of the design", "Short by", "Standing")  # fmt: skip
        caption = "Items, worked out by the engine"
        return Grid(caption, headers, tuple(rows), shares=(7, 18, 31, 12, 11, 9, 12))

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
        if written and field in IN_LETTER:
            return Paragraph(AS_IN_LETTER, "note")
        if written:
            return Paragraph(written, "applicant")
        return Paragraph(Unwritten("the applicant's answer"))

    @cached_property
    def _options(self) -> tuple[Option, ...]:
        case = self.request.as_designed
        return judged(case, find_changes(case)).options[:MOST_SHOWN]

    def alternatives(self) -> Iterator[Block]:
        """Yield the changes of the design that avoid relief, each evaluated."""
        headers = ("No.", "Change", "Evaluated", "Height of the deck")
        yield from self._alternatives(headers, (6, 58, 20, 16))

    def alternatives_with_reasons(self) -> Iterator[Block]:
        """Yield the same with the applicant's own word on each, or its empty place."""
        headers = ("No.", "Change", "Evaluated", "Height of the deck", "Why it is not chosen")
        yield from self._alternatives(headers, (6, 39, 13, 12, 30))

    def _alternatives(self, headers: tuple[str, ...], shares: tuple[int, ...]) -> Iterator[Block]:
        quantities = self.vocabulary.quantities
        reasons = self.request.tree.data.get("why_not") or {}
        rows: list[tuple[Cell, ...]] = []
        keys = option_keys(self._options, quantities)
        for number, (option, key) in enumerate(zip(self._options, keys, strict=True), 1):
            words = "; ".join(
                f"{c.move.says.rstrip('.')}: {fact_text(c.before, quantities[c.quantity])} to "
                f"{fact_text(c.after, quantities[c.quantity])}"
                for c in option.changes
            )
            if option.brings:
                words += f". It brings: {'; '.join(option.brings)}"
            state = _evaluated(option, self.vocabulary)
            step = "as designed" if option.keeps_step else "another"
            why = reasons.get(key) or Unwritten("why not")
            row = (Cell(str(number)), Cell(words), Cell(state), Cell(step), Cell(why))
            rows.append(row[: len(headers)])
        if not rows:
            yield Paragraph("The engine found no change within its bounds that avoids relief.")
            return
        caption = "Changes of the design that would avoid relief, least work first"
        yield Grid(caption, headers, tuple(rows), shares=shares)

    @cached_property
    def office_decisions(self) -> tuple[Decision, ...]:
        """Earlier decisions of the office on the clauses asked, where the request names its log.

        Raises InputError for a log that cannot be read.
        """
        named = self.request.written("office_log")
        if not named:
            return ()
        clauses = {f.key for _, f in self.findings}
        found = read_decisions(Path(self.request.file).parent / named)
        return tuple(d for d in found if d.is_precedent and d.clause in clauses)

    @cached_property
    def calculation(self) -> Calculation | None:
        """The calculation sheet of the ledger as asked for; None where nothing asked is on it."""
        relaxations = [r for _, f in self.findings if (r := missed(f)) is not None]
        return relief_calculation(self.case.evaluation, self.vocabulary, relaxations)

    @cached_property
    def found_precedents(self) -> tuple[Precedents, ...]:
        """Who permits each item."""
        findings = [f for _, f in self.findings]
        return find_precedents(self.case, findings)

    def precedents(self) -> Iterator[Block]:
        """Yield who already permits each item, and who is silent."""
        for (item, _), found in zip(self.findings, self.found_precedents, strict=True):
            yield Heading(2, self.item_title(item))
            rows = tuple(
                (
                    Cell(p.title),
                    Cell(f"{p.published}{', later than this request' if p.later else ''}"),
                    Cell(p.cites),
                    Cell(asked_limit(p) or "permitted"),
                    Cell(p.standing),
                    Cell(", ".join(p.sources)),
                )
                for p in found.permit
            )
            if rows:
                headers = (
                    "Published rule",
                    "Of",
                    "Section",
                    "Limit",
                    "Standing",
                    "Source (Annex C)",
                )
                caption = "Published rules that permit the value of the design"
                yield Grid(caption, headers, rows, shares=(28, 10, 20, 14, 12, 16))
            else:
                yield Paragraph(_none_permits(found))
            if found.silent:
                names = ", ".join(self.catalogue.evaluator(n).ruleset.title for n in found.silent)
                yield Paragraph(f"Silent on it, which is no precedent: {names}.", "note")

    def drawings(self) -> Iterator[Block]:
        """Yield the section drawings and the ledger in elevation, or why there is none."""
        proposed = {(f.key, f.part) for _, f in self.findings}
        drawn = section_drawings(
            sections_answer(self.case.design, (self.case.evaluator,), self.vocabulary, proposed)
        )
        yield from drawn.drawings
        if drawn.missing:
            yield Paragraph(drawn.missing, "note")
        # where no elevation can be drawn the words why are for the drafter, not for the reader
        for block in elevation_blocks(self.catalogue, (self.case.evaluation,)):
            if not (isinstance(block, Paragraph) and block.tone == "note"):
                yield block

    def calculations_pointer(self) -> Iterator[Block]:
        """Say where the calculation sheets stand."""
        yield Paragraph(f"Calculation sheets: {ANNEX_CALCULATIONS}.", "note")

    def clocks(self) -> Iterator[Block]:
        """Yield the local time limits and fees."""
        local = self.request.local
        if local is None:
            yield Paragraph("No local settings are named: ask the office.", "note")
            return
        pairs = [(c.event, f"{c.days} {c.counted_in}") for c in local.clocks]
        pairs.append(("Fees", local.fees or "not stated here"))
        pairs.append(("How well this is known", local.standing))
        yield Facts(tuple((name[0].upper() + name[1:], text) for name, text in pairs))

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


LINES = ("Name", "Signature", "Date")


STANDINGS = (
    "Standing says how well a figure is known. Confirmed: seen in a named published source. Derived: "
    "computed by a named rule. Memory: not checked against any source. Common practice: a habit of "
    "the trade."
)
ANNEX_DESIGN = "Annex A"
ANNEX_CALCULATIONS = "Annex B"


def act_words(place: str, ordinance: str, adopted: str = "") -> str:
    """Name a legal act: whose, which, when adopted."""
    named = f"{place}: {ordinance}" if place else ordinance
    return f"{named}, adopted {adopted}" if adopted else named


def _act(finding: Finding) -> str:
    origin = finding.setting.origin if finding.setting else finding.clause.origin
    return f"; {act_words(origin.place, origin.ordinance)}" if origin.ordinance else ""


def _evaluated(option: Option, vocabulary: Vocabulary) -> str:
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


def _none_permits(found: Precedents) -> str:
    """Say that no rule set looked at permits it, and what each kind of them says instead."""
    told = [
        f"{len(names)} {words}"
        for names, words in (
            (found.refuse, "do not"), (found.silent, "say nothing on it"),
            (found.undecided, "cannot be decided on what is known"),
        )
        if names
    ]  # fmt: skip
    return (
        f"None of the {found.looked_at} other published rules looked at permits it: {', '.join(told)}. "
        "Others were not looked at."
    )
