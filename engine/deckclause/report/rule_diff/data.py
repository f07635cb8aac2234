"""A difference of two rule sets as plain data and JSON."""

from __future__ import annotations

import json
from typing import Any

import deckclause
from deckclause.compare.felt_figures import Felt, FeltFigure
from deckclause.compare.knowledge import TopicState, topic_states
from deckclause.compare.rule_diff.clauses import KINDS, ClauseChange, RuleDiff
from deckclause.compare.rule_diff.otherwise import otherwise
from deckclause.compare.rule_diff.weight import true_changes, weight, weights
from deckclause.report.cautions import CAUTIONS
from deckclause.report.rule_diff.summary import states_line, summary, unread_lines, ways_felt
from deckclause.rulesets.clauses import Clause, Origin
from deckclause.rulesets.vocabulary import Vocabulary


def rule_diff_json(
    diff: RuleDiff, vocabulary: Vocabulary, felt: Felt | None = None, example: str = ""
) -> str:
    """Write a difference as JSON text."""
    data = rule_diff_data(diff, vocabulary, felt, example)
    return json.dumps(data, indent=1, ensure_ascii=False)


def rule_diff_data(
    diff: RuleDiff, vocabulary: Vocabulary, felt: Felt | None = None, example: str = ""
) -> dict[str, Any]:
    """Return a difference as plain data, grouped by topic."""
    felt = felt or {}
    ways = ways_felt(felt)
    true = {change.key for change in true_changes(diff)}
    return {
        "rule_difference": 1,
        "from": {"name": diff.one.name, "title": diff.one.title, "digest": diff.one.digest},
        "to": {"name": diff.two.name, "title": diff.two.title, "digest": diff.two.digest},
        "notes": list(diff.left_out),
        "counts": {**{kind: diff.count(kind) for kind in KINDS}, "unchanged": diff.unchanged},
        "summary": {
            "says": summary(diff, felt),
            "true_changes": len(true),
            **{way.replace(" ", "_"): n for way, n in sorted(weights(diff, ways).items())},
        },
        "knowledge": {
            "says": [*unread_lines(diff), states_line(diff, vocabulary)],
            "topics": [_state(entry) for entry in topic_states(diff, tuple(vocabulary.topics))],
        },
        "example": example or None,
        "settings": [
            {
                "quantity": s.quantity,
                "before": s.before,
                "after": s.after,
                **_origin(s.origin),
            }
            for s in diff.settings
        ],
        "topics": [
            {
                "topic": topic,
                "title": vocabulary.topics[topic].title,
                "part": vocabulary.topics[topic].part,
                "changes": [
                    {
                        **_change(change),
                        "way": (
                            weight(change, ways.get(change.key, "")) if change.key in true else None
                        ),
                        "example": _example(felt.get(change.key)),
                    }
                    for change in diff.on(topic)
                ],
            }
            for topic in diff.topics()
        ],
        "engine": deckclause.__version__,
        "cautions": list(CAUTIONS),
    }


def _state(entry: TopicState) -> dict[str, Any]:
    return {
        "topic": entry.topic,
        "state": entry.state.value,
        "unread": list(entry.unread),
        "not_wholly_held": list(entry.untold),
    }


def _change(change: ClauseChange) -> dict[str, Any]:
    return {
        "kind": change.kind,
        "clause": change.key,
        "only_standing": change.only_standing,
        "laid_out_otherwise": change.beside is not None,
        "otherwise": list(otherwise(change)),
        "before": _clause(change.before),
        "after": _clause(change.after),
        "aspects": [
            {"aspect": a.name, "before": a.before, "after": a.after} for a in change.aspects
        ],
        "tables": [
            {
                "before": t.before,
                "after": t.after,
                "led_into_by": list(t.axes),
                "note": t.note or None,
                "smaller": t.smaller,
                "larger": t.larger,
                "unseen": t.unseen,
                "cells": [
                    {
                        "at": list(c.keys),
                        "before": c.before,
                        "after": c.after,
                        "from_memory": list(c.memory),
                    }
                    for c in t.cells
                ],
            }
            for t in change.tables
        ],
        "made_by": _origin(change.origin) if change.origin else None,
    }


def _example(figure: FeltFigure | None) -> dict[str, str] | None:
    return None if figure is None else {"before": figure.before, "after": figure.after}


def _clause(clause: Clause | None) -> dict[str, Any] | None:
    if clause is None:
        return None
    carried = clause.origin.carried
    return {
        "cites": clause.cites,
        "says": clause.says,
        "standing": clause.standing,
        "carried_from": carried.ruleset if carried is not None else None,
    }


def _origin(origin: Origin) -> dict[str, Any]:
    return {
        "place": origin.place,
        "ordinance": origin.ordinance,
        "section": origin.section,
        "adopted": origin.adopted,
    }
