"""Two designs under the same rule sets: before and after, or what the last edit changed."""

from __future__ import annotations

from deckclause.answers.compare.two_designs import TwoDesignsAnswer
from deckclause.designs.design import Design
from deckclause.page.bench import Bench
from deckclause.page.typed import ToHoldTwo, TypedDesign
from deckclause.page.typed_text import read_typed
from deckclause.rulesets.problems import InputError


def two_view(bench: Bench, asked: ToHoldTwo) -> TwoDesignsAnswer:
    """Return what the command tells of the same two designs.

    What cannot be read of either is left out, as everywhere on the page. Raises InputError where
    nothing of one can be read.
    """
    from deckclause.answers.compare.two_designs import two_designs_answer
    from deckclause.compare.comparison import compare
    from deckclause.compare.designs import compare_designs

    catalogue = bench.catalogue
    one, two = (_read(bench, typed) for typed in (asked.before, asked.after))
    names = bench.rule_sets(asked.under)
    found = compare_designs(catalogue, one, two, names)
    status = compare(catalogue, catalogue.prepare(two), names, pairs=()).exit_status
    return two_designs_answer(found, catalogue.vocabulary, status, si=asked.si)


def _read(bench: Bench, typed: TypedDesign) -> Design:
    read = read_typed(typed, "the form", bench.catalogue.vocabulary)
    if read.design is None:
        raise InputError.single("the form", "could not be read")
    return read.design
