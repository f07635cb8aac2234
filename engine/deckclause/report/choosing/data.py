"""The answer of `choose` as plain data; figures as text in inch-pound units, exact."""

from __future__ import annotations

import json
from typing import Any

from deckclause.answers.chosen import ChooseAnswer, ChosenMember
from deckclause.choosing.choose import Solution
from deckclause.quantities import length_text
from deckclause.report.cautions import CAUTIONS
from deckclause.report.choosing.buying import BUYING, buying_rows
from deckclause.report.choosing.words import money, size_text

SCHEMA = "deckclause/choose/1"


def chosen_json(answer: ChooseAnswer) -> str:
    """Return the data as JSON."""
    return json.dumps(chosen_data(answer), indent=2, ensure_ascii=False)


def chosen_data(answer: ChooseAnswer) -> dict[str, Any]:
    """Return the answer as plain data."""
    before, after = answer.step_down
    return {
        "schema": SCHEMA,
        "design": answer.design,
        "rule_sets": list(answer.rule_sets),
        "solutions": [_solution(answer, n, s) for n, s in enumerate(answer.solutions)],
        "left_as_drawn": [m.quantity for m in answer.left],
        "step_down_from_floor": {
            "as_drawn": None if before is None else length_text(before),
            "chosen": None if after is None else length_text(after),
        },
        "excluded": [one for member in answer.members for one in _excluded(member)],
        "not_barred_either": {
            m.quantity: [size_text(m.quantity, f) for run in m.also for f in run]
            for m in answer.members
        },
        "unsure": sorted(m.quantity for m in answer.members if m.unsure),
        "undecided": [
            {"rule_set": name, "topic": o.topic, "status": o.status, "cites": o.cites}
            for o in answer.open_topics
            for name in o.rule_sets
        ],
        "not_regulated": [
            {"rule_set": name, "topic": t.topic} for t in answer.silent for name in t.rule_sets
        ],
        "missing": [q.quantity for q in answer.questions],
        "still_fails": [
            {"rule_set": name, "topic": t.topic} for t in answer.still_fails for name in t.rule_sets
        ],
        "conflicts": [list(names) for names in answer.conflicts],
        "cautions": list(CAUTIONS),
    }


def _solution(answer: ChooseAnswer, number: int, solution: Solution) -> dict[str, Any]:
    return {
        "choice": {m.quantity: size_text(m.quantity, m.chosen[number]) for m in answer.members},
        "board_feet": str(solution.taken.board_feet),
        "concrete_cubic_feet": f"{float(solution.taken.concrete):.2f}",
        "cost": None if solution.price is None else money(solution.price),
        "buy": [dict(zip(BUYING, row, strict=True)) for row in buying_rows(solution)],
    }


def _excluded(member: ChosenMember) -> list[dict[str, Any]]:
    return [
        {
            "quantity": member.quantity,
            "option": size_text(member.quantity, option),
            "alone": barred.alone,
            "by": [
                {"rule_set": name, "clause": r.clause, "cites": r.cites, "why": r.why}
                for r in barred.reasons
                for name in r.rule_sets
            ],
        }
        for barred in member.barred
        for option in barred.options
    ]
