"""The reliefs of a case as an answer has them: what each asks, what it moves, and how it stands."""

from __future__ import annotations

from typing import Any

from deckclause.answers.figure import Figure
from deckclause.answers.relief.answer import (
    CalculationFound,
    ChangeMade,
    ChoiceFound,
    GainFound,
    LeftOut,
    LetOut,
    LetOutBeside,
    PublishedClause,
    PublishedFollowed,
    Refused,
    Relaxations,
)
from deckclause.answers.relief.findings import CaseReader, context, precedents_found
from deckclause.evaluate.words import fact_text, name_text
from deckclause.quantities import length_text
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.variance.changing import Change, stated
from deckclause.variance.published import PublishedRule
from deckclause.variance.relax import Relaxation
from deckclause.variance.relief import Choice, ReliefReport


def relaxations(report: ReliefReport) -> Relaxations:
    """Return every relief that would do, in order, and what is not offered."""
    relief, vocabulary = report.relief, report.case.vocabulary
    reader = _ChoiceReader(CaseReader(report.case))
    return Relaxations(
        as_drawn=tuple(map(reader.let_out, relief.as_drawn)),
        others=tuple(map(reader.let_out, relief.others)),
        rows_alone=relief.rows_alone,
        sums=tuple(relief.sums),
        greatest_drop=relief.greatest_drop or None,
        choices=tuple(map(reader.choice, report.choices)),
        not_offered=tuple(
            LeftOut(tuple(reader.let_out(r).told for r in n.relaxations), n.reason)
            for n in report.not_offered
        ),
        stands_as_drawn=relief.stands_as_drawn,
        refused=tuple(
            Refused(
                r.finding.key,
                r.finding.cites,
                vocabulary.topics[r.finding.topic].title,
                r.reason,
                r.life_safety,
            )
            for r in relief.refused
        ),
    )


def choices_found(report: ReliefReport) -> tuple[ChoiceFound, ...]:
    """Return the reliefs that may be asked for, by number."""
    reader = _ChoiceReader(CaseReader(report.case))
    return tuple(map(reader.choice, report.choices))


def change_made(change: Change, vocabulary: Vocabulary) -> ChangeMade:
    """Return a change of the deck in words."""
    definition = vocabulary.quantities[change.quantity]
    return ChangeMade(
        quantity=change.quantity,
        says=change.move.says,
        before=fact_text(change.before, definition),
        after=fact_text(change.after, definition),
    )


def published_followed(rule: PublishedRule, vocabulary: Vocabulary) -> PublishedFollowed:
    """Return the whole published rule a deck follows."""
    return PublishedFollowed(
        rule_set=rule.ruleset,
        title=rule.title,
        published=rule.published,
        later=rule.later,
        standing=rule.standing,
        also=rule.also,
        complies_wholly=rule.is_whole,
        open=tuple(vocabulary.topics[name].title for name in rule.open),
        changes=tuple(change_made(c, vocabulary) for c in rule.changes),
        clauses=tuple(
            PublishedClause(c.key, c.cites, c.says, c.standing, c.sources, c.instead_of)
            for c in rule.clauses
        ),
    )


class _ChoiceReader:
    def __init__(self, reader: CaseReader) -> None:
        self.reader = reader
        self.vocabulary = reader.vocabulary

    def choice(self, choice: Choice) -> ChoiceFound:
        items = tuple(self._item(choice, i) for i in range(len(choice.relaxations)))
        return ChoiceFound(
            number=choice.number,
            asks=tuple(item.told for item in items),
            items=items,
            precedent=choice.precedent,
            published=None
            if choice.published is None
            else published_followed(choice.published, self.vocabulary),
            engineering=choice.engineering,
            tension=choice.tension or None,
            calculation=None
            if choice.calculation is None
            else CalculationFound(choice.calculation.sheet, choice.calculation.why_none),
            moves=self._moves(choice),
            exactly_as_drawn=choice.exactly_as_drawn,
            not_advisable=choice.not_advisable,
        )

    def let_out(self, relaxation: Relaxation) -> LetOut:
        return LetOut(**self._fields(relaxation))

    def _item(self, choice: Choice, index: int) -> LetOutBeside:
        permits = choice.precedents[index] if index < len(choice.precedents) else None
        return LetOutBeside(
            **self._fields(choice.relaxations[index]),
            precedents=None if permits is None else precedents_found(permits),
            context=context(choice.context[index]),
        )

    def _fields(self, relaxation: Relaxation) -> dict[str, Any]:
        finding, gain = relaxation.finding, relaxation.gain
        kind, unit = finding.kind, finding.unit
        return {
            **self.reader.fields(finding),
            "required": relaxation.required,
            "asked": relaxation.asked,
            "value_asked": Figure(relaxation.value, kind, unit),
            "amount": Figure(relaxation.amount, kind, unit),
            "gain": None
            if gain is None
            else GainFound(
                length_text(gain.drop_now),
                None if gain.drop_without is None else length_text(gain.drop_without),
            ),
        }

    def _moves(self, choice: Choice) -> tuple[str, ...]:
        """Write each thing a relief sets differently: from what is drawn to what it must be."""
        quantities, design = self.vocabulary.quantities, self.reader.case.design.design
        return tuple(
            f"{row_words(name)}: {fact_text(stated(design, name, self.vocabulary), quantities[name])} -> "
            f"{fact_text(value, quantities[name])}"
            for name, value in choice.moved
        )


def row_words(quantity: str) -> str:
    """Write a row's measure in plain words.

    >>> row_words("fasteners.upper_row_below_ledger_top")
    'upper row below ledger top'
    """
    return name_text(quantity).removeprefix("fasteners ")
