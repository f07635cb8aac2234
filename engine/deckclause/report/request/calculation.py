"""Annex A: how each item follows, the calculation sheet step by step, and what is left to judge."""

from __future__ import annotations

from collections.abc import Iterator

from deckclause.answers.request.answer import RequestAnswer
from deckclause.engineering.ledger_joint.joint import CalculationSheet, Result, Step
from deckclause.report.document import Block, Bullets, Cell, Grid, Heading, Paragraph

CONTEXT = (
    "Context for an engineer, worked out in floating point. No ratio here makes the deck comply or fail "
    "under any rule."
)


def calculation_blocks(answer: RequestAnswer) -> Iterator[Block]:
    """Yield the annex."""
    yield Heading(1, "Annex A. Calculation", "calculations")
    several = len(answer.items) > 1
    for item in answer.items:
        yield Heading(2, f"How it follows: {item.heading}" if several else "How it follows")
        yield Bullets(item.steps)
        yield Paragraph(f"Engineering beside it, for context only (basis: {item.basis}):")
        yield Bullets(item.context)
    if answer.sums:
        yield Paragraph("The section as sums, rows free to move, before any relief:")
        yield Bullets(answer.sums)
    if answer.calculation is not None:
        yield from sheet_blocks(answer.calculation)
    elif answer.no_calculation:
        yield Heading(2, "Calculation sheet of the ledger")
        yield Paragraph(f"Not worked out: {answer.no_calculation}.")
    if answer.cautions:
        yield Heading(2, "Cautions of the calculation")
        yield Bullets(answer.cautions)


def sheet_blocks(sheet: CalculationSheet) -> Iterator[Block]:
    """Yield a calculation sheet: what is assumed, each step with its figures, what is left to judge."""
    yield Heading(2, "Calculation sheet of the ledger")
    yield Paragraph(CONTEXT, "note")
    names = tuple(a.name for a in sheet.arrangements)
    groups = tuple(
        (number, f"{number + 1}. {step.title}. {step.section} ({step.standing.value})")
        for number, step in enumerate(sheet.steps)
    )
    headers = ("Formula, inputs and limits", *(n.capitalize() for n in names))
    rows = tuple(_row(step, names) for step in sheet.steps)
    yield Grid(
        "Steps, each with its standing",
        headers,
        rows,
        groups=groups,
        shares=(44, 28, 28),
        named=False,
    )
    for head, lines in (
        ("Assumed", sheet.assumptions),
        ("Left out", sheet.left_out),
        ("What an engineer must still judge", sheet.to_judge),
    ):
        yield Heading(2, head)
        yield Bullets(tuple(f"{a[0].upper()}{a[1:].rstrip('.')}." for a in lines))


def _row(step: Step, names: tuple[str, ...]) -> tuple[Cell, ...]:
    """Return one step: what it rests on, then the result of each arrangement, said once where alike."""
    inputs = "; ".join(f"{i.symbol} = {i.value} ({i.origin})" for i in step.inputs)
    factors = "; ".join(f.line() for f in step.factors)
    about = "\n".join(t for t in (f"{step.formula}.", inputs, factors, step.limits) if t)
    texts = [_result(step.result(name)) for name in names]
    told = [texts[0], *("the same" if t == texts[0] else t for t in texts[1:])]
    return Cell(about), *(Cell(text) for text in told)


def _result(result: Result) -> str:
    if result.no_value:
        return f"{result.no_value}. {result.text}"
    if result.ratio is None:
        return result.text
    return (
        f"{result.text}. Load {result.demand_lb:.0f} lb over {result.capacity_lb:.0f} lb: ratio "
        f"{result.ratio:.2f}"
    )
