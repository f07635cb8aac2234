"""What a request asks: in one sentence an item who asks which section be changed, from what to what."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from deckclause.evaluate.findings import Finding
from deckclause.evaluate.words import asked_limit, scalar_text
from deckclause.report.document import Unwritten
from deckclause.rulesets.relief import ReliefKind
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.variance.request.build import Request

ASKS = {
    "modification": "be modified from {required} to {asked}",
    "alternative_method": "be met by an alternative, {asked} in place of {required},",
    "appeal": "be read anew by the board: the decision asks for {required}, the deck has {value},",
    "state_variance": "be varied from {required} to {asked}",
}
"""What each kind of relief asks of a section."""
IN_WORDS = {
    "modification": "be modified in this one case, as written below,",
    "alternative_method": "be met by an alternative, as written below,",
    "appeal": "be read anew by the board, as written below,",
    "state_variance": "be varied, as written below,",
}
"""The same where the section asks for a condition and no measure."""


def asked_sentences(request: Request, vocabulary: Vocabulary) -> Iterator[str]:
    """Yield one sentence for each item: who asks that which section be modified, from what to what."""
    who = request.written("applicant.name") or Unwritten("name of the applicant").text
    where = request.written("address") or Unwritten("address").text
    who, where = who.rstrip("."), where.rstrip(".")
    name = request.case.design.design.name
    for item in request.items:
        if item.finding is None:
            continue
        finding = item.finding
        title = vocabulary.topics[finding.topic].title
        yield (
            f"{who} asks that {finding.cites} ({title[0].lower()}{title[1:]}) "
            f"{_asked_of(finding, request.kind)} for “{name}” at {where}."
        )


def _asked_of(finding: Finding, kind: ReliefKind) -> str:
    required = asked_limit(finding)
    asked = asked_text(finding)
    if not required or not asked:
        return IN_WORDS[kind.name]
    value = scalar_text(finding.value, finding.kind, finding.unit)
    return ASKS[kind.name].format(required=required, asked=asked, value=value)


def asked_text(finding: Finding) -> str:
    """Return the limit asked for: the value of the design in place of the limit it misses."""
    value, least = finding.value, finding.least
    margin = finding.margin
    if margin is None or margin >= 0 or not isinstance(value, Fraction):
        return ""
    word = "at least" if least is not None and value < least else "at most"
    return f"{word} {scalar_text(value, finding.kind, finding.unit)}"


def label(quantity: str, vocabulary: Vocabulary) -> str:
    """Return a quantity in the vocabulary's own plain words, to the first stop."""
    says = " ".join(vocabulary.quantities[quantity].says.split())
    for stop in (";", ". ", ":"):
        says = says.partition(stop)[0]
    return says.rstrip(".")
