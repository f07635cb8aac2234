"""Relief as plain data: the answer with its own names as keys, measures as exact, text and SI."""

from __future__ import annotations

from typing import Any

from deckclause.answers.data import layers_data, plain_data
from deckclause.answers.relief.answer import CalculationFound, Receipt, ReliefAnswer
from deckclause.engineering.ledger_joint.joint import CalculationSheet, Step
from deckclause.report.cautions import IN_WORDS

RELIEF_FORMAT = 2


def relief_data(answer: ReliefAnswer) -> dict[str, Any]:
    """Return an answer on relief as plain data."""
    found = plain_data(answer, {Receipt: _receipt, CalculationFound: _calculation})
    return {"relief": RELIEF_FORMAT, **found, "cautions": list(IN_WORDS)}


def _receipt(receipt: Receipt) -> dict[str, Any]:
    return {
        "engine": receipt.engine,
        "vocabulary": receipt.vocabulary,
        "relief_rules": receipt.relief_rules,
        "design": receipt.design,
        "rule_sets": [layers_data(receipt.rule_set, receipt.digest, receipt.layers)],
    }


def _calculation(found: CalculationFound) -> dict[str, Any]:
    if found.sheet is None:
        return {"worked_out": False, "why_none": list(found.why_none)}
    return {"worked_out": True, **_sheet(found.sheet)}


def _sheet(sheet: CalculationSheet) -> dict[str, Any]:
    """Return a calculation sheet as plain data; pounds as numbers, context only."""
    return {
        "steps": [_step(step) for step in sheet.steps],
        "assumptions": list(sheet.assumptions),
        "left_out": list(sheet.left_out),
        "to_judge": list(sheet.to_judge),
        "cautions": list(sheet.cautions),
    }


def _step(step: Step) -> dict[str, Any]:
    return {
        "key": step.key,
        "title": step.title,
        "section": step.section,
        "formula": step.formula,
        "standing": step.standing.value,
        "basis": step.basis,
        "inputs": [{"symbol": i.symbol, "value": i.value, "from": i.origin} for i in step.inputs],
        "factors": [factor.line() for factor in step.factors],
        "results": [
            {
                "arrangement": r.arrangement,
                "text": r.text,
                "demand_lb": r.demand_lb,
                "capacity_lb": r.capacity_lb,
                "ratio": r.ratio,
                "no_value": r.no_value or None,
            }
            for r in step.results
        ],
        "limits": step.limits or None,
    }
