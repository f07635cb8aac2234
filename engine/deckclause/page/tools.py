"""What else may be asked of the deck on screen: sizes to buy, one deck for all, the fasteners' places."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec import Struct

from deckclause.page.bench import Bench
from deckclause.page.typed import ToUse
from deckclause.rulesets.problems import InputError

if TYPE_CHECKING:
    from deckclause.answers.chosen import ChooseAnswer, ChosenMember
    from deckclause.answers.compare.strictest import StrictestAnswer
    from deckclause.answers.figure import Figure
    from deckclause.placement.layout_answer import LayoutAnswer


class ChosenView(Struct, frozen=True):
    """The answer of `choose` with what each solution would write into the form, by quantity."""

    answer: ChooseAnswer
    uses: tuple[dict[str, str], ...]
    buying: tuple[tuple[str, ...], ...]


def chosen(bench: Bench, asked: ToUse) -> ChooseAnswer:
    """Choose sizes for the deck. Raises InputError where a value cannot be read."""
    from deckclause.answers.chosen import chosen_answer
    from deckclause.choosing.prices import prices_of

    _, design = bench.file_design(asked)
    names = bench.rule_sets(asked.under)
    prices = prices_of(asked.prices, "the price list") if asked.prices.strip() else None
    return chosen_answer(bench.catalogue, design, names, keep=asked.keep, prices=prices)


def chosen_view(bench: Bench, asked: ToUse) -> ChosenView:
    """Return the sizes chosen, as the page shows them."""
    from deckclause.report.choosing.buying import buying_rows

    answer = chosen(bench, asked)
    solutions = answer.solutions
    return ChosenView(
        answer,
        tuple(_written(answer.members, number) for number in range(len(solutions))),
        tuple(map(tuple, buying_rows(solutions[0]))) if solutions else (),
    )


def _written(members: Iterable[ChosenMember], number: int) -> dict[str, str]:
    return {member.quantity: _typed(member.chosen[number]) for member in members}


def _typed(figure: Figure) -> str:
    """Write a figure as it is typed into a field."""
    return figure.text() if isinstance(figure.value, Fraction) else str(figure.value)


def buying_file(bench: Bench, asked: ToUse) -> bytes:
    """Return the cut and buy list as CSV. Raises InputError where nothing fits."""
    from deckclause.report.choosing.buying import buying_csv

    answer = chosen(bench, asked)
    if not answer.solutions:
        raise InputError.single("sizes", "nothing fits, so there is nothing to buy")
    return buying_csv(answer.solutions[0]).encode()


def strictest_view(bench: Bench, asked: ToUse) -> StrictestAnswer:
    """Return what one deck for all the rule sets must satisfy."""
    from deckclause.answers.compare.strictest import strictest_answer

    comparison = bench.compared(asked, asked.under)
    return strictest_answer(comparison, bench.catalogue.vocabulary, si=asked.si)


def layouts(bench: Bench, asked: ToUse) -> list[LayoutAnswer]:
    """Lay the ledger's fasteners out under each rule set.

    Raises InputError where a value cannot be read, or what is stated cannot be.
    """
    from deckclause.placement.boards import SectionError
    from deckclause.placement.from_rules import PlacementRules
    from deckclause.placement.layout_answer import layout_of
    from deckclause.placement.ledger_line import LayoutError

    catalogue = bench.catalogue
    _, design = bench.file_design(asked)
    prepared = catalogue.prepare(design)
    try:
        return [
            layout_of(prepared, PlacementRules(catalogue.evaluator(name), catalogue.vocabulary))
            for name in bench.rule_sets(asked.under)
        ]
    except (LayoutError, SectionError) as fault:
        raise InputError.single("the layout", str(fault)) from None


def layout_texts(bench: Bench, asked: ToUse) -> list[str]:
    """Return each layout as the command prints it, with what it must be read with at the end."""
    from deckclause.report.placing.layout_text import caution_lines, layout_lines

    name, words = asked.design.name, bench.catalogue.vocabulary
    found = ["\n".join(layout_lines(name, one, words, 88)) for one in layouts(bench, asked)]
    return [*found, "\n".join(caution_lines(88))]
