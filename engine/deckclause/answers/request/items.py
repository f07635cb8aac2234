"""The items of a request: which section is asked to give way, from what to what, and how it follows."""

from __future__ import annotations

from deckclause.answers.request.answer import AskedItem
from deckclause.answers.requirement_words import requirement_sentence
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.words import asked_limit, scalar_text
from deckclause.rulesets.relief import ReliefKind
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.variance.context import find_context
from deckclause.variance.relax import missed
from deckclause.variance.request.build import Request, RequestItem

NO_NAME, NO_ADDRESS = "[name of the applicant]", "[address]"
ASKS = {
    "modification": "be modified from {required} to {asked}",
    "alternative_method": "be met by an alternative, {asked} in place of {required},",
    "appeal": "be read anew by the board: the decision asks for {required}, the deck has {value},",
    "state_variance": "be varied from {required} to {asked}",
}
"""What each kind of relief asks of a section."""
ASKS_IN_WORDS = {
    "modification": "be modified in this one case, as written below,",
    "alternative_method": "be met by an alternative, as written below,",
    "appeal": "be read anew by the board, as written below,",
    "state_variance": "be varied, as written below,",
}
"""The same where the section asks for a condition and no measure."""


def found_items(request: Request) -> tuple[tuple[RequestItem, Finding], ...]:
    """Return every item that stands for a failing finding, with it."""
    return tuple((item, item.finding) for item in request.items if item.finding is not None)


def asked_items(request: Request) -> tuple[AskedItem, ...]:
    """Return the items with all that is worked out of each."""
    explainer = Explainer(request.case.evaluation, request.case.vocabulary)
    return tuple(_item(request, item, found, explainer) for item, found in found_items(request))


def _item(request: Request, item: RequestItem, finding: Finding, explainer: Explainer) -> AskedItem:
    required = asked_limit(finding)
    value = scalar_text(finding.value, finding.kind, finding.unit) if _is_measured(finding) else ""
    context = find_context(request.case, finding)
    return AskedItem(
        number=item.number,
        heading=item_heading(item, request.case.vocabulary),
        section=f"{finding.cites}{_act(finding)}",
        requirement=requirement_sentence(finding),
        required=required or explainer.words.requirement(finding.requirement),
        value=value or "as designed",
        short=shortfall(finding),
        standing=explainer.standing(finding),
        asked=_sentence(request, finding),
        allowed=f"{finding.cites} asks for {required or 'a condition'}; {value or 'the deck as drawn'} "
        "is allowed for this deck.",
        steps=explainer.steps(finding),
        basis=context.basis,
        context=context.lines,
        cautions=context.cautions,
    )


def _is_measured(finding: Finding) -> bool:
    return finding.value is not None


def item_heading(item: RequestItem, vocabulary: Vocabulary) -> str:
    """Name an item by its number, its topic and its section; by its clause where it fails nothing."""
    if item.finding is None:
        return f"Item {item.number}: {item.clause}"
    title = vocabulary.topics[item.finding.topic].title
    return f"Item {item.number}: {title}, {item.finding.cites}"


def shortfall(finding: Finding) -> str:
    """Write how much a finding misses its limit by."""
    short = missed(finding)
    return scalar_text(short.amount, finding.kind, finding.unit) if short else "not a measure"


def _sentence(request: Request, finding: Finding) -> str:
    """Say in one sentence who asks that which section be modified, from what to what, and where."""
    who = (request.written("applicant.name") or NO_NAME).rstrip(".")
    where = (request.written("address") or NO_ADDRESS).rstrip(".")
    title = request.case.vocabulary.topics[finding.topic].title
    return (
        f"{who} asks that {finding.cites} ({title[0].lower()}{title[1:]}) "
        f"{_asked_of(finding, request.kind)} for “{request.case.design.design.name}” at {where}."
    )


def _asked_of(finding: Finding, kind: ReliefKind) -> str:
    required, asked = asked_limit(finding), asked_text(finding)
    if not required or not asked:
        return ASKS_IN_WORDS[kind.name]
    value = scalar_text(finding.value, finding.kind, finding.unit)
    return ASKS[kind.name].format(required=required, asked=asked, value=value)


def asked_text(finding: Finding) -> str:
    """Return the limit asked for: the value of the design in place of the limit it misses."""
    short = missed(finding)
    return short.asked if short else ""


SET_BY_REQUEST = "set differently for this request"
"""What is said of a value the request has otherwise than the design file."""


def label(quantity: str, vocabulary: Vocabulary) -> str:
    """Return a quantity in the vocabulary's own plain words, to the first stop."""
    says = " ".join(vocabulary.quantities[quantity].says.split())
    for stop in (";", ". ", ":", " (negative"):
        says = says.partition(stop)[0]
    return says.rstrip(".")


def act_words(place: str, ordinance: str, adopted: str = "") -> str:
    """Name a legal act: whose, which, when adopted."""
    named = f"{place}: {ordinance}" if place else ordinance
    return f"{named}, adopted {adopted}" if adopted else named


def _act(finding: Finding) -> str:
    origin = finding.setting.origin if finding.setting else finding.clause.origin
    return f"; {act_words(origin.place, origin.ordinance)}" if origin.ordinance else ""
