"""The number of the relief data's format, and the shape that number promises to those who read it.

A reader written for one number must find every key of it. Where a key is taken out, renamed or
means something else, the number goes up by one, and the shape here with it; a key that is only
added stands here too.
"""

from __future__ import annotations

from typing import Any

from deckclause.answers.relief.build import relief_answer
from deckclause.report.relief.data import RELIEF_FORMAT, relief_data
from variance.papers import DECKS, report_of

FORMAT = 2
MEASURE = {"exact", "text", "si"}
SHAPE = {
    "": (
        "cautions changes design engineering failing holds_together open_questions "
        "receipt relaxations relief rule_set set_by_place steps to_find_out"
    ),
    "changes": "complete found most_changes options tried",
    "changes.options[]": (
        "brings changes keeps_step later opens remarks settled status steps unsettled_topics"
    ),
    "changes.options[].changes[]": "after before quantity says",
    "changes.options[].steps[]": "door step_down told",
    "design": "file name says",
    "engineering[]": (
        "cites clause never_relax note ordinance part required says shortfall sources "
        "standing steps title topic value"
    ),
    "failing[]": (
        "cites clause context never_relax note ordinance part precedents required says "
        "shortfall sources standing steps title topic value"
    ),
    "failing[].context": "basis cautions clause fits lines",
    "failing[].precedents": "inherit looked_at on_other_loads permit refuse silent undecided under_the_model_edition",
    "failing[].precedents.permit[]": (
        "cites clause later limit published rule_set same_clause says sources standing title"
    ),
    "failing[].precedents.refuse[]": (
        "cites clause later limit published rule_set same_clause says sources standing title"
    ),
    "holds_together": "lacks says status",
    "open_questions[]": "quantity question",
    "receipt": "design engine relief_rules rule_sets vocabulary",
    "receipt.rule_sets[]": "digest layers name",
    "receipt.rule_sets[].layers[]": "adopted digest kind name ordinance place",
    "relaxations": (
        "as_drawn choices greatest_drop not_offered others refused rows_alone stands_as_drawn sums"
    ),
    "relaxations.as_drawn[]": (
        "amount asked cites clause gain never_relax note ordinance part required says "
        "shortfall sources standing steps title topic value value_asked"
    ),
    "relaxations.choices[]": (
        "asks calculation engineering exactly_as_drawn items moves not_advisable number "
        "precedent published tension"
    ),
    "relaxations.choices[].calculation": "assumptions cautions left_out steps to_judge worked_out",
    "relaxations.choices[].calculation.steps[]": "basis factors formula inputs key limits results section standing title",
    "relaxations.choices[].calculation.steps[].inputs[]": "from symbol value",
    "relaxations.choices[].calculation.steps[].results[]": "arrangement capacity_lb demand_lb no_value ratio text",
    "relaxations.choices[].items[]": (
        "amount asked cites clause context gain never_relax note ordinance part "
        "precedents required says shortfall sources standing steps title topic value "
        "value_asked"
    ),
    "relaxations.choices[].items[].context": "basis cautions clause fits lines",
    "relaxations.choices[].items[].gain": "greatest_drop_now greatest_drop_without_it",
    "relaxations.choices[].items[].precedents": "inherit looked_at on_other_loads permit refuse silent undecided under_the_model_edition",
    "relaxations.choices[].items[].precedents.permit[]": (
        "cites clause later limit published rule_set same_clause says sources standing title"
    ),
    "relaxations.choices[].items[].precedents.refuse[]": (
        "cites clause later limit published rule_set same_clause says sources standing title"
    ),
    "relaxations.choices[].published": (
        "also changes clauses complies_wholly later open published rule_set standing title"
    ),
    "relaxations.choices[].published.clauses[]": "cites clause instead_of says sources standing",
    "relaxations.not_offered[]": "asks reason",
    "rule_set": "edition name status title",
    "steps[]": "door step_down told",
    "to_find_out": "not_described questions",
}
"""The keys of each object, by where it stands; `[]` is each entry of a list."""


def test_format_2_is_the_shape_told_here() -> None:
    assert RELIEF_FORMAT == FORMAT
    found: dict[str, set[str]] = {}
    for deck in range(len(DECKS)):
        data = relief_data(relief_answer(report_of(deck)))
        assert data["relief"] == FORMAT
        _gather(data, "", found)
    assert {path: " ".join(sorted(keys)) for path, keys in found.items()} == SHAPE


def _gather(value: Any, path: str, found: dict[str, set[str]]) -> None:
    """Add the keys of every object in a value; a measure is a leaf of its own."""
    if isinstance(value, dict):
        if set(value) != MEASURE:
            found.setdefault(path, set()).update(value)
            for key, inner in value.items():
                _gather(inner, f"{path}.{key}".lstrip("."), found)
    elif isinstance(value, list):
        for inner in value:
            _gather(inner, f"{path}[]", found)
