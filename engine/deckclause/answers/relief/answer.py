"""Relief for one design under one rule set, decided: terminal, JSON, page and papers print this.

A name of an attribute is the key of the data format too, so that all four say the same by the same
name. Lengths and limits are text as a carpenter reads them; a `Figure` is an exact measure.
"""

from __future__ import annotations

from msgspec import Struct

from deckclause.answers.figure import Figure
from deckclause.engineering.ledger_joint.joint import CalculationSheet
from deckclause.rulesets.names import rule_set_titles
from deckclause.rulesets.ruleset import Layer


class DesignHead(Struct, frozen=True):
    """Which design: its name, what it is in short, its file."""

    name: str
    says: str
    file: str


class RuleSetHead(Struct, frozen=True):
    """Which rule set, and the status of the design under it, whether it holds together included."""

    name: str
    title: str
    edition: str
    status: str


class Holding(Struct, frozen=True):
    """Whether the deck holds together: in one line, and what does not hold or is not known."""

    status: str
    says: str
    lacks: tuple[str, ...]

    @property
    def is_no_pass(self) -> bool:
        """Whether something does not hold, needs an engineer or is not known."""
        return self.status not in ("complies", "not asked")


class Step(Struct, frozen=True):
    """The step down at a door: from its threshold, and told with every datum."""

    door: str
    step_down: str
    told: str


class SetByPlace(Struct, frozen=True):
    """A value a place sets by ordinance, and the topics it is read for."""

    quantity: str
    says: str
    act: str
    standing: str
    read_for: tuple[str, ...]


class Asking(Struct, frozen=True):
    """A quantity to find out, and the question that asks for it."""

    quantity: str
    question: str


class Found(Struct, frozen=True):
    """One finding: what its clause requires, what the design has, how it follows, how well it is known.

    `never_relax` says why no relief from the clause is ever proposed; None where it may be.
    """

    clause: str
    topic: str
    title: str
    part: str | None
    cites: str
    says: str
    required: str
    value: Figure | None
    shortfall: Figure | None
    steps: tuple[str, ...]
    standing: str
    sources: tuple[str, ...]
    note: str | None
    never_relax: str | None
    ordinance: str | None

    @property
    def named(self) -> str:
        """The topic, with the part of the deck where there are several."""
        return f"{self.title} [{self.part}]" if self.part else self.title


class Precedent(Struct, frozen=True):
    """What one other published rule set makes of the design on the matter; `later` than the day asked."""

    rule_set: str
    title: str
    clause: str
    same_clause: bool
    cites: str
    says: str
    limit: str | None
    standing: str
    published: int
    later: bool
    sources: tuple[str, ...]


class OnOtherLoads(Struct, frozen=True):
    """A rule set that speaks of a matter for other loads than those set here, and how they differ."""

    rule_set: str
    says: str


class PrecedentsFound(Struct, frozen=True):
    """Who permits it, who refuses it, who says nothing or speaks for other loads: neither is a pass.

    `inherit` are places folded into their edition; `under_the_model_edition` what the edition makes
    of it without any amendment.
    """

    permit: tuple[Precedent, ...]
    refuse: tuple[Precedent, ...]
    silent: tuple[str, ...]
    inherit: tuple[str, ...]
    looked_at: int
    undecided: tuple[str, ...]
    on_other_loads: tuple[OnOtherLoads, ...]
    under_the_model_edition: str | None


class Beside(Struct, frozen=True):
    """The engineering beside one clause: context, never a verdict. `fits` tells that any calculation does."""

    clause: str
    basis: str
    fits: bool
    lines: tuple[str, ...]
    cautions: tuple[str, ...]


class Failing(Found, frozen=True):
    """A finding that does not comply, with who permits it and the engineering beside it."""

    precedents: PrecedentsFound
    context: Beside


class ToFindOut(Struct, frozen=True):
    """Open questions counted as a comparison counts them, and the parts of the deck not described."""

    questions: tuple[str, ...]
    not_described: tuple[str, ...]

    @property
    def told(self) -> str:
        """Say how many questions are open, counted as a comparison lists them."""
        count = len(self.questions)
        noun = "1 question is" if count == 1 else f"{count} questions are"
        text = f"{noun} open on what the design describes; deckclause compare lists them."
        if self.not_described:
            parts = ", ".join(self.not_described)
            text += f" Nothing is said of {parts}: what they are asked is not counted."
        return f"{text} What is not known is never counted as complying."


class ChangeMade(Struct, frozen=True):
    """One measure, size or kind changed; before and after as text."""

    quantity: str
    says: str
    before: str
    after: str


class LaterWord(Struct, frozen=True):
    """What a later edition's clause makes of a change: it would not accept it."""

    rule_set: str
    title: str
    cites: str
    says: str


class OptionFound(Struct, frozen=True):
    """A set of changes after which nothing fails; `opens` what it makes a matter of, not known yet."""

    changes: tuple[ChangeMade, ...]
    settled: bool
    keeps_step: bool
    steps: tuple[Step, ...]
    opens: tuple[Asking, ...]
    brings: tuple[str, ...]
    remarks: tuple[str, ...]
    later: tuple[LaterWord, ...]
    unsettled_topics: tuple[str, ...]
    status: str


class ChangesFound(Struct, frozen=True):
    """Changes that avoid relief, least work first, with the bounds of the search."""

    complete: bool
    tried: int
    most_changes: int
    found: int
    options: tuple[OptionFound, ...]


class GainFound(Struct, frozen=True):
    """What letting one clause out brings, each inch an inch of drop, until another limit governs."""

    greatest_drop_now: str
    greatest_drop_without_it: str | None


class LetOut(Found, frozen=True):
    """One clause let out: from its limit to the value asked for, by an amount."""

    asked: str
    value_asked: Figure
    amount: Figure
    gain: GainFound | None

    @property
    def told(self) -> str:
        """The clause in one line: what it is, its section, from which limit to which."""
        return f"{self.named}, {self.cites}: from {self.required} to {self.asked}"


class LetOutBeside(LetOut, frozen=True):
    """A clause let out in a relief that may be asked for, with both scales beside it."""

    precedents: PrecedentsFound | None
    context: Beside


class PublishedClause(Struct, frozen=True):
    """A clause of the published rule followed in place of one the deck misses."""

    clause: str
    cites: str
    says: str
    standing: str
    sources: tuple[str, ...]
    instead_of: str


class PublishedFollowed(Struct, frozen=True):
    """The whole published rule a relief follows, with the changes of the deck that it takes."""

    rule_set: str
    title: str
    published: int
    later: bool
    standing: str
    also: tuple[str, ...]
    complies_wholly: bool
    open: tuple[str, ...]
    changes: tuple[ChangeMade, ...]
    clauses: tuple[PublishedClause, ...]

    @property
    def told(self) -> str:
        """Say which whole rule the deck would follow, how changed, and how well the rule is known."""
        changes = "; ".join(
            f"{c.says[0].lower()}{c.says[1:].rstrip('.')}: {c.before} -> {c.after}"
            for c in self.changes
        )
        how = f"so changed ({changes})" if changes else "just as drawn"
        wholly = (
            "complies wholly with"
            if self.complies_wholly
            else f"as far as known (open: {', '.join(self.open)}) complies with"
        )
        also = f", and with {rule_set_titles(list(self.also))}" if self.also else ""
        later = "; later than the day of the request" if self.later else ""
        return (
            f"This deck, {how}, {wholly} the rule on this matter of {self.title} ({self.published}{later}; "
            f"{self.standing}){also}."
        )


class CalculationFound(Struct, frozen=True):
    """The calculation sheet of a relief on the ledger, or why there is none."""

    sheet: CalculationSheet | None
    why_none: tuple[str, ...]


class ChoiceFound(Struct, frozen=True):
    """One relief that may be asked for, by its number, on two scales: precedent and engineering.

    `asks` are its clauses in one line each; `moves` what the deck asked for has otherwise than the
    design file; `not_advisable` why engineering gives the joint no value; `tension` where the two
    scales disagree.
    """

    number: int
    asks: tuple[str, ...]
    items: tuple[LetOutBeside, ...]
    precedent: str
    published: PublishedFollowed | None
    engineering: tuple[str, ...]
    tension: str | None
    calculation: CalculationFound | None
    moves: tuple[str, ...]
    exactly_as_drawn: bool
    not_advisable: tuple[str, ...]


class LeftOut(Struct, frozen=True):
    """A relief that would mend the figures and is not offered, with the reason."""

    asks: tuple[str, ...]
    reason: str


class Refused(Struct, frozen=True):
    """A clause from which no relief is offered: it guards life, or has no amount to let out."""

    clause: str
    cites: str
    title: str
    reason: str
    life_safety: bool


class Relaxations(Struct, frozen=True):
    """The reliefs that would do, in order, and those not offered.

    `rows_alone` tells that moving the rows of fasteners is enough; `sums` why the section cannot
    stand otherwise; `as_drawn` and `others` the clauses missed as drawn, and those off the section.
    """

    as_drawn: tuple[LetOut, ...]
    others: tuple[LetOut, ...]
    rows_alone: bool
    sums: tuple[str, ...]
    greatest_drop: str | None
    choices: tuple[ChoiceFound, ...]
    not_offered: tuple[LeftOut, ...]
    stands_as_drawn: bool
    refused: tuple[Refused, ...]


class Receipt(Struct, frozen=True):
    """What the answer was made of, by digest; `layers` of the rule set under its own name and digest."""

    engine: str
    vocabulary: str
    relief_rules: str
    design: str
    rule_set: str
    digest: str
    layers: tuple[Layer, ...]


class ReliefAnswer(Struct, frozen=True):
    """All a report on relief says.

    `engineering` are findings outside what the rule set prescribes, `open_questions` every question
    of a finding that lacks something, `to_find_out` those of them a comparison would list.
    """

    design: DesignHead
    rule_set: RuleSetHead
    holds_together: Holding
    steps: tuple[Step, ...]
    set_by_place: tuple[SetByPlace, ...]
    failing: tuple[Failing, ...]
    engineering: tuple[Found, ...]
    open_questions: tuple[Asking, ...]
    to_find_out: ToFindOut
    changes: ChangesFound
    relaxations: Relaxations
    receipt: Receipt
