"""What a reader must be told of an evaluation besides its findings.

A place's own values stand in for the design's; figures made for one load are read beside another;
what a larger place amends is not always taken on.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from deckclause.designs.consistency.stated_otherwise import stated_otherwise
from deckclause.designs.design import Design
from deckclause.evaluate.findings import Evaluation
from deckclause.evaluate.status import COMPLIES
from deckclause.evaluate.words import called, choice_text, fact_text
from deckclause.rulesets.clauses import Provides, Scalar
from deckclause.rulesets.vocabulary import Vocabulary

THE_DESIGN = "the design"
"""The name what is said of the design itself goes by, beside those of the rule sets."""


class Notice(Struct, frozen=True):
    """One notice: the rule set, what is to be said, and the clauses it touches."""

    ruleset: str
    says: str
    clauses: tuple[str, ...]


def notices(
    evaluation: Evaluation, vocabulary: Vocabulary, *, si: bool = False
) -> tuple[Notice, ...]:
    """Return the notices of one evaluation."""
    return (
        *_local_values(evaluation, vocabulary, si),
        *_changed_assumptions(evaluation, vocabulary, si),
        *(Notice(evaluation.ruleset.name, words, ()) for words in evaluation.ruleset.left_out),
        *(
            Notice(evaluation.ruleset.name, f"read otherwise in the book: {words}", ())
            for words in evaluation.ruleset.errata
        ),
    )


def notices_by_name(
    evaluations: Sequence[Evaluation], vocabulary: Vocabulary, *, si: bool = False
) -> dict[str, tuple[str, ...]]:
    """Return what must be said of the one design evaluated, then of each rule set, by its name.

    What there is nothing to say of is left out.
    """
    design = evaluations[0].design.design
    said = {THE_DESIGN: design_notices(design, vocabulary, si=si)}
    for evaluation in evaluations:
        said[evaluation.ruleset.name] = tuple(
            notice.says for notice in notices(evaluation, vocabulary, si=si)
        )
    return {name: told for name, told in said.items() if told}


def design_notices(design: Design, vocabulary: Vocabulary, *, si: bool = False) -> tuple[str, ...]:
    """Say what was understood of the file's words, and what its own other parts make otherwise."""
    found = [
        f"{called(quantity, vocabulary)} '{written}' is read as {choice_text(meant)}"
        for quantity, written, meant in design.read_as
    ]
    found += _nominal_sheathing(design, vocabulary, si=si)
    for fact in stated_otherwise(design):
        definition = vocabulary.quantities[fact.quantity]
        part = f" of {fact.part}" if fact.part else ""
        stated, otherwise = (
            fact_text(value, definition, si=si) for value in (fact.stated, fact.worked_out)
        )
        found.append(
            f"the {definition.called}{part} is stated as {stated}, but the deck's other parts "
            f"make it {otherwise}; the stated value is used. Leave it out, or mend the other"
        )
    return tuple(found)


HALF_INCH = Fraction(1, 2)


def _nominal_sheathing(design: Design, vocabulary: Vocabulary, *, si: bool) -> list[str]:
    """Ask for the measured thickness where panels are stated at a nominal one.

    Wood structural panels of performance category 1/2 measure 15/32 in or 7/16 in (PS 1, PS 2), and
    some rules end at 15/32 in.
    """
    facts = design.facts
    panel = facts.get("wall.sheathing_kind") == "wood_structural_panel"
    if not panel or facts.get("wall.sheathing_thickness") != HALF_INCH:
        return []
    stated = fact_text(HALF_INCH, vocabulary.quantities["wall.sheathing_thickness"], si=si)
    return [
        f"{stated} panel sheathing is a nominal size; most measures 15/32 in or 7/16 in. State what it "
        "measures: some rules end at 15/32 in"
    ]


def _local_values(evaluation: Evaluation, vocabulary: Vocabulary, si: bool) -> list[Notice]:
    """Say every value the place fixes, and where the design's own is not used."""
    found = []
    stated = evaluation.design.facts()
    for setting in evaluation.ruleset.settings:
        own = stated.get(setting.quantity)
        definition = vocabulary.quantities[setting.quantity]
        origin = setting.origin
        where = " ".join(p for p in (origin.ordinance, origin.section) if p)
        says = (
            f"{origin.place} sets the {definition.called} to "
            f"{fact_text(setting.value, definition, si=si)} ({where})"
        )
        if own is not None and own != setting.value:
            says += f"; the design's {fact_text(own, definition, si=si)} is not used"
        found.append(Notice(evaluation.ruleset.name, says, ()))
    return found


def _changed_assumptions(evaluation: Evaluation, vocabulary: Vocabulary, si: bool) -> list[Notice]:
    """Find clauses whose figures were made for another value than the one in force here."""
    in_force: dict[str, Scalar] = {s.quantity: s.value for s in evaluation.ruleset.settings}
    for finding in evaluation.findings:
        requirement = finding.clause.requirement
        known = finding.status == COMPLIES and finding.value is not None
        if isinstance(requirement, Provides) and known and finding.value is not None:
            in_force.setdefault(requirement.quantity, finding.value)
    touched: dict[tuple[str, Scalar], list[str]] = {}
    for clause in evaluation.ruleset.clauses:
        for quantity, assumed in clause.assumes:
            if quantity in in_force and in_force[quantity] != assumed:
                touched.setdefault((quantity, assumed), []).append(clause.key)
    found = []
    for (quantity, assumed), keys in touched.items():
        definition = vocabulary.quantities[quantity]
        now = fact_text(in_force[quantity], definition, si=si)
        says = (
            f"the {definition.called} is {now} here, but the figures of {len(keys)} clauses were made "
            f"for {fact_text(assumed, definition, si=si)}"
        )
        found.append(Notice(evaluation.ruleset.name, says, tuple(keys)))
    return found
