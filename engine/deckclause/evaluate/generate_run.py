"""Generate one function for all clauses of a part of the deck, for evaluating whole rule sets.

It does what calling the clauses one by one does, with less to do: facts several clauses read are
read once, and results that are always alike are made once.
"""

from __future__ import annotations

import re
from collections import Counter

from deckclause.evaluate.generate import ClauseGenerator
from deckclause.evaluate.plan import Plan
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY, NOT_APPLICABLE
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.walk import clause_reads

_RETURN = re.compile(r"^(\s*(?:(?:el)?if .*: )?)return (.*)$")
_MISSING_LIST = re.compile(r"\bm\b")


class RunGenerator(ClauseGenerator):
    """Writes `run_0` for clauses read once, `run_1` and on for those of each repeated part."""

    _of_part = False
    _given: frozenset[str] = frozenset()
    _set: frozenset[str] = frozenset()

    def runs(self, ruleset: RuleSet, plan: Plan) -> None:
        """Write the functions of a rule set."""
        for index, clause in enumerate(ruleset.clauses):
            self.branches(f"clause_{index}", clause)
        for number, order in enumerate((plan.once, *(order for _, order in plan.groups))):
            self._run(number, order, ruleset, plan)

    def _run(self, number: int, order: tuple[int, ...], ruleset: RuleSet, plan: Plan) -> None:
        self._given = frozenset(quantity for quantity in plan.provides if quantity)
        self._set = frozenset(setting.quantity for setting in ruleset.settings)
        self._of_part = number > 0
        part = "part" if self._of_part else '""'
        with self.out.block(
            f"def run_{number}(get, own, D, part, add, give, settle, facts, known):"
        ):
            self.out.line("pass")
            self.top = self.out.depth
            self.begin()
            shared = self._shared(order, ruleset)
            mark = self.out.mark()
            for index in order:
                self.out.back_to(mark)  # every clause has its names to itself
                self._clause(index, ruleset, plan, part, shared)

    def look_up(self, variable: str, name: str) -> None:
        """Write where a fact is looked up: the whole deck first, then what a part states."""
        super().look_up(variable, name)
        if self._of_part and name not in self._given:
            self.out.line(f"if {variable} is None: {variable} = own({name!r})")

    def _shared(self, order: tuple[int, ...], ruleset: RuleSet) -> dict[str, str]:
        """Write the reading of facts that more than one clause reads and none gives."""
        uses = Counter(q for i in order for q in clause_reads(ruleset.clauses[i]))
        shared = {q for q, count in uses.items() if count > 1 and q not in self._given}
        found: dict[str, str] = {}
        for quantity in sorted(shared):
            found[quantity] = self.out.fresh("q")
            self.look_up(found[quantity], quantity)
        return found

    def _clause(
        self, index: int, ruleset: RuleSet, plan: Plan, part: str, shared: dict[str, str]
    ) -> None:
        clause = ruleset.clauses[index]
        self.begin(shared)
        start = len(self.out.lines)
        with self.out.block("while True:"):
            self.top = self.out.depth
            self.steps(index, clause)
        written = self.out.lines[start:]
        unsettled = not self._given.isdisjoint(clause_reads(clause))
        gives = plan.provides[index]
        lines = [self._added(line, index, part, gives, unsettled) for line in written]
        if any(_MISSING_LIST.search(line) for line in written):
            lines.insert(0, "    m = []")
        self.out.lines[start:] = lines

    def _added(self, line: str, index: int, part: str, gives: str, unsettled: bool) -> str:
        """Turn a return into adding a row and going on to the next clause."""
        found = _RETURN.match(line)
        if found is None:
            assert "return" not in line
            return line.replace("(get, D,", "(either(facts, own), D,") if self._of_part else line
        head, result = found.groups()
        if gives and gives not in self._set and result.startswith(f"({COMPLIES},"):
            return self._first_given(head, result, index, part, gives)
        plain = result.startswith((f"({NOT_APPLICABLE},", f"({DOES_NOT_COMPLY},"))
        if unsettled and not _is_settled(result):
            result = f"settle({result}, known.unknown)"
        if gives and (not plain or gives in self._set):
            result = f"give({index}, {result}, facts, known)"
        return f"{head}add(({index}, {part}, {result})); break"

    def _first_given(self, head: str, result: str, index: int, part: str, gives: str) -> str:
        """Write the giving of a quantity; one given before is held against its value."""
        value = result.split(", ")[1]
        again = f"add(({index}, {part}, give({index}, {result}, facts, known))); break"
        first = (
            f"facts[{gives!r}] = {value}; known.given.add({gives!r}); "
            f"add(({index}, {part}, {result})); break"
        )
        if head.strip():
            return f"{head}{again}"
        return f"{head}if {gives!r} in known.given: {again}\n{head}{first}"


def _is_settled(result: str) -> bool:
    """Tell whether a result is written out and lacks nothing."""
    return result.startswith("(") and result.endswith(", None)")
