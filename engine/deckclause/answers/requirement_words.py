"""What a clause asks, as whole sentences: its own rule, and the exception that holds here."""

from __future__ import annotations

from deckclause.evaluate.findings import Finding


def requirement_sentence(finding: Finding) -> str:
    """Return the clause's own rule and, where something else holds here, that beside it.

    A figure an exception gives is no rule by itself: the rule it lets out stands before it.
    """
    own = _sentence(finding.clause.says)
    if finding.says == finding.clause.says:
        return own
    if finding.branch.is_reading:
        return f"{own} Read the other way, which is stricter here: {_sentence(finding.says)}"
    if finding.setting is not None:
        return f"{own} Set by the place: {_sentence(finding.says)}"
    return f"{own} An exception holds here ({finding.cites}): {_sentence(finding.says)}"


def _sentence(text: str) -> str:
    plain = " ".join(text.split())
    return plain if plain.endswith((".", "?", "!")) else f"{plain}."
