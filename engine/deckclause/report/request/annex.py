"""Annexes of a request: the design in plain words, calculation sheets, sources, digests, cautions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from functools import cached_property

from deckclause.answers.place_values import act_text
from deckclause.engineering.ledger_joint.joint import Result
from deckclause.evaluate.words import fact_text
from deckclause.placement.conflicts import all_conflicts
from deckclause.placement.from_design import ROWS, section_facts, stated_distances
from deckclause.placement.from_findings import clause_limits
from deckclause.placement.sums import conflict_text
from deckclause.report.cautions import IN_WORDS
from deckclause.report.document import Block, Bullets, Cell, Grid, Heading, Paragraph
from deckclause.report.request.computed import RequestBlocks, act_words
from deckclause.report.request.summary import label
from deckclause.report.rule_sets.sources_block import source_rows
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.variance.calculation import Calculation
from deckclause.variance.context import Context, find_context
from deckclause.variance.request.build import Request

Row = tuple[Cell, ...]


class RequestAnnexes:
    """Works out the annexes of one request."""

    def __init__(self, blocks: RequestBlocks) -> None:
        self.blocks = blocks
        self.request = blocks.request
        self.case = blocks.case
        self.vocabulary = blocks.vocabulary
        self.explainer = blocks.explainer

    def design(self) -> Iterator[Block]:
        """Yield everything the design states, in plain words."""
        yield design_grid(self.request, self.vocabulary)

    @cached_property
    def context(self) -> tuple[Context, ...]:
        """The engineering beside each item."""
        return tuple(find_context(self.case, f) for _, f in self.blocks.findings)

    def calculations(self) -> Iterator[Block]:
        """Yield, for each item, the steps of the finding, the sums of the section, the context."""
        for (item, finding), context in zip(self.blocks.findings, self.context, strict=True):
            yield Heading(2, self.blocks.item_title(item))
            yield Paragraph("How the engine came to it:")
            yield Bullets(self.explainer.steps(finding))
            yield Paragraph(f"Engineering beside it, for context only (basis: {context.basis}):")
            yield Bullets(context.lines)
        yield from sheet_blocks(self.blocks.calculation)
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

    def sources(self) -> Grid:
        """Return the sources of everything the request rests on."""
        used = [
            (source, self.explainer.standing(finding))
            for _, finding in self.blocks.findings
            for source in self.explainer.sources(finding)
        ]
        used += [
            (source, precedent.standing)
            for found in self.blocks.found_precedents
            for precedent in found.permit
            for source in precedent.sources
        ]
        request = self.request
        used += [(s, request.kind.standing) for s in request.kind.sources]
        used += [(s, request.form.standing) for s in request.form.sources]
        if request.local is not None:
            used += [(s, request.local.standing) for s in request.local.sources]
        return source_rows(used, self.vocabulary.sources)

    def receipt(self) -> Iterator[Block]:
        """Yield the digests of everything the request rests on."""
        import deckclause

        ruleset = self.case.evaluator.ruleset
        rows = [
            ("Engine", deckclause.__version__, ""),
            ("Design", self.case.design.design.name, self.request.as_designed.design.design.digest),
            ("Vocabulary", "", self.vocabulary.digest),
            ("Rules of relief", "", self.request.rules.digest),
        ]
        for layer in ruleset.layers:
            act = act_words(layer.place, layer.ordinance, layer.adopted) if layer.ordinance else ""
            rows.append((f"{layer.kind.capitalize()} {layer.name}", act, layer.digest))
        grid = tuple(tuple(Cell(text) for text in row) for row in rows)
        caption = f"What this request and {ruleset.name} were made of"
        yield Grid(caption, ("What", "Which", "sha256"), grid, shares=(25, 29, 46))
        form = self.request.form
        yield Paragraph(f"Form: {form.title}, {form.published_as}.", "note")

    def cautions(self) -> tuple[str, ...]:
        """Return the cautions of the request and of its engineering context."""
        engineering = (text for context in self.context for text in context.cautions)
        return tuple(dict.fromkeys([*IN_WORDS, *engineering]))


def sheet_blocks(found: Calculation | None) -> Iterator[Block]:
    """Yield a calculation sheet: what is assumed, each step with its figures, what is left to judge."""
    if found is None:
        return
    yield Heading(2, "Calculation sheet of the ledger, for context")
    if found.sheet is None:
        yield Paragraph("Not worked out: " + "; ".join(found.why_none) + ".")
        return
    sheet = found.sheet
    yield Paragraph(
        "Worked out in floating point as context for an engineer. No ratio here makes the deck comply or "
        "fail under any rule.", "note"
    )  # fmt: skip
    names = tuple(a.name for a in sheet.arrangements)
    rows: list[Row] = []
    for number, step in enumerate(sheet.steps, 1):
        inputs = "; ".join(f"{i.symbol} = {i.value} ({i.origin})" for i in step.inputs)
        factors = "; ".join(f.line() for f in step.factors)
        told = [f"{step.section}. {step.formula}.", inputs, factors, step.limits]
        rows.append(
            (
                Cell(str(number)),
                Cell(step.title),
                Cell("\n".join(t for t in told if t)),
                *(Cell(_result(step.result(name))) for name in names),
                Cell(step.standing.value),
            )
        )
    headers = (
        "No.",
        "Step",
        "Section, formula, inputs",
        *(n.capitalize() for n in names),
        "Standing",
    )
    yield Grid("Steps", headers, tuple(rows), shares=(4, 14, 34, 19, 19, 10))
    yield Paragraph("Assumed:")
    yield Bullets(tuple(f"{a[0].upper()}{a[1:].rstrip('.')}." for a in sheet.assumptions))
    yield Paragraph("Left out:")
    yield Bullets(tuple(f"{a[0].upper()}{a[1:]}." for a in sheet.left_out))
    yield Paragraph("What an engineer must still judge:")
    yield Bullets(tuple(f"{a[0].upper()}{a[1:]}." for a in sheet.to_judge))


def _result(result: Result) -> str:
    if result.no_value:
        return f"{result.no_value}. {result.text}"
    if result.ratio is None:
        return result.text
    return (
        f"{result.text}. Load {result.demand_lb:.0f} lb over {result.capacity_lb:.0f} lb: ratio "
        f"{result.ratio:.2f}"
    )


def design_grid(request: Request, vocabulary: Vocabulary) -> Grid:
    """Return everything the design states, as the vocabulary says it, grouped by part of the deck.

    Values a request sets differently from the design file are marked so.
    """
    rows: list[Row] = []
    heads: list[tuple[int, str]] = []
    for title, facts in _groups(request, vocabulary):
        heads.append((len(rows), title))
        rows += _rows(facts, request, vocabulary)
    return Grid(
        "The design as stated", ("What is stated", "Value"), tuple(rows), groups=tuple(heads),
        shares=(66, 34),
    )  # fmt: skip


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
) -> Iterator[Row]:
    moved = request.tree.data.get("with_changes") or {}
    settings = {s.quantity: s for s in request.case.evaluator.ruleset.settings}
    for name, value in facts.items():
        text = fact_text(value, vocabulary.quantities[name])
        set_here = settings.get(name)
        if set_here is not None and set_here.value != value:
            own = text
            text = fact_text(set_here.value, vocabulary.quantities[name])
            text += f" (set by {set_here.origin.place}, {act_text(set_here)}; the design file's {own} is not used)"
        if name in moved:
            text += " (set differently for this request)"
        yield Cell(label(name, vocabulary)), Cell(text)
