"""What a rule set asks of the spacing of fasteners for one field of joists."""

from __future__ import annotations

from deckclause.evaluate.prepare import PreparedDesign
from deckclause.placement.from_rules import PlacementRules, provided_facts
from deckclause.placement.limits import ClauseLimits, clause_limits
from deckclause.rulesets.walk import subjects

SPACING = "fasteners.spacing"


def spacing_limits(
    design: PreparedDesign, rules: PlacementRules, field: str
) -> tuple[ClauseLimits, ...]:
    """Return the limits on fastener spacing for the joist field of a name."""
    provided = provided_facts(rules.evaluator, design, rules.vocabulary)
    facts = {
        **design.facts("joists", field),
        **{s.quantity: s.value for s in rules.ruleset.settings},
        **provided.get("", {}),
        **provided.get(field, {}),
    }
    found = (
        clause_limits(rules.evaluator.rule(index), field, SPACING, facts)
        for index, clause in enumerate(rules.ruleset.clauses)
        if SPACING in subjects(clause)
    )
    return tuple(item for item in found if item is not None)
