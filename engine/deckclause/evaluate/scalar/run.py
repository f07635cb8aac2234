"""Print a whole rule set: one function for what is read once, one for each repeated part.

Each function adds a row a clause: (index, part, (status, value, least, most, branch, missing)).
Facts that several clauses read are read once, at the top. A clause stands in a block of its own
(`while True:`) that every delivery leaves.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence

from deckclause.evaluate.plan import Plan
from deckclause.evaluate.scalar.clauses import ClausePrinter
from deckclause.evaluate.scalar.page import Page
from deckclause.evaluate.scalar.values import Result
from deckclause.evaluate.scale import Scale
from deckclause.reading.fold import reads
from deckclause.reading.forms import SET_BY_PLACE, Rule
from deckclause.reading.status import COMPLIES, DOES_NOT_COMPLY, INFORMATION_MISSING, NOT_APPLICABLE

Rules = Sequence[Rule] | Mapping[int, Rule]
"""By the number of the clause: its lowered form."""


def print_runs(rules: Rules, plan: Plan, scale: Scale, settings: Mapping[str, object]) -> Page:
    """Print the clauses of a plan; `settings` are the values a place fixes, in ticks."""
    given = frozenset(
        quantity for quantity in plan.provides if quantity and quantity not in settings
    )
    page = Page()
    for number, order in enumerate((plan.once, *(order for _, order in plan.groups))):
        printer = RunPrinter(page, scale, given, plan, settings)
        printer.run(number, order, rules)
    return page


class RunPrinter(ClausePrinter):
    """Prints the functions of one rule set."""

    def __init__(
        self,
        page: Page,
        scale: Scale,
        given: frozenset[str],
        plan: Plan,
        settings: Mapping[str, object],
    ) -> None:
        super().__init__(page, scale, given)
        self.plan = plan
        self.settings = settings

    def run(self, number: int, order: tuple[int, ...], rules: Rules) -> None:
        """Print one function: of the deck as a whole (0), or of a part of one group."""
        self.of_part = number > 0
        head = f"def run_{number}(get, own, D, part, add, give, settle, facts, known):"
        with self.page.block(head), self.begun({}):
            named = {index: reads(rules[index]) for index in order}
            shared: dict[str, str] = {}
            for name, count in Counter(n for names in named.values() for n in names).items():
                if count > 1 and name not in self.given:
                    shared[name] = self.page.fresh("q")
                    self.look_up(shared[name], name)
            for index in order:
                self._clause(index, rules[index], shared, not self.given.isdisjoint(named[index]))
            self.page.line("return")

    def _clause(self, index: int, rule: Rule, shared: Mapping[str, str], reads_given: bool) -> None:
        page, part = self.page, "part" if self.of_part else "''"
        page.line(f"# {rule.clause.key!r}")
        gives = self.plan.provides[index]
        if gives in self.settings:
            branch, value = page.constant(SET_BY_PLACE), page.literal(self.settings[gives])
            row = f"({int(COMPLIES)}, {value}, None, None, {branch}, None)"
            page.line(f"add(({index}, {part}, {row}))")
            return

        def deliver(result: Result, branch: str) -> None:
            row = (
                f"({int(result.status)}, {result.value}, {result.least}, {result.most}, "
                f"{branch}, {result.missing})"
            )
            if reads_given and result.status is INFORMATION_MISSING:
                row = f"settle({row}, known.unknown)"
            if gives and result.status not in (NOT_APPLICABLE, DOES_NOT_COMPLY):
                row = f"give({index}, {row}, facts, known)"
            page.line(f"add(({index}, {part}, {row})); break")

        with page.block("while True:"), self.begun(shared):
            self.clause(index, rule, deliver)
