"""What is in force, under the name it was asked for."""

from __future__ import annotations

from msgspec.structs import replace

from deckclause.rulesets.drafts import Draft, refuse_draft_in_force
from deckclause.rulesets.register import InForce
from deckclause.rulesets.ruleset import RuleSet


def named(base: RuleSet, meaning: InForce | Draft) -> RuleSet:
    """Return what is in force under the name it was asked for, its day and place told.

    The digest stays that of the rules: the same rules on another day are the same rules. Raises
    InputError where a draft would be in force.
    """
    if isinstance(meaning, Draft):
        title = f"{base.title}, with {meaning.name}: a draft, not in force"
    else:
        refuse_draft_in_force(meaning.label, [(x.name, x.adopted) for x in base.layers])
        title = f"{meaning.place}, {meaning.day}: {base.title}"
    return replace(base, name=meaning.label, title=title, kind="place", left_out=meaning.told)
