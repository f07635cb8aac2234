"""The table of sizes under a rule set: every ledger, band joist and joist, impossible ones included.

The sizes replace the design's own; the drop and the rows are free. Everything else of the design
counts, and what it leaves unknown is taken on the stricter side and named.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any, Literal

from msgspec import Struct
from msgspec.structs import replace

from deckclause.designs.design import Design, Part
from deckclause.designs.dressed_sizes import dressed_size
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import DOES_NOT_COMPLY, INFORMATION_MISSING
from deckclause.placement.constraints import Distance
from deckclause.placement.from_design import ROWS, DesignBoards, boards_of
from deckclause.placement.from_rules import PlacementRules, RuleLimit
from deckclause.placement.steps import Excluded, StepRow, step_row
from deckclause.reading.exact import ExactReader
from deckclause.reading.fold import every
from deckclause.reading.forms import OWN, Fact, Holds, Limits, Member, Rule, Span
from deckclause.rulesets.vocabulary import QuantityDefinition

Stand = Literal["top", "bottom"] | Fraction
"""How the joists meet the ledger: tops level, bottoms level, or so far below its top (inches)."""
SIZES = ("2x6", "2x8", "2x10", "2x12")
MEMBERS = ("ledger", "band_joist", "joists")
SIZE_FACTS = frozenset(f"{m}.{measure}" for m in MEMBERS for measure in ("size", "depth"))
LEFT_OPEN = ("ledger.below_band_joist", "deck.surface_below_ledger_top", *ROWS)
OF_THE_BAND_JOIST = ("band_joist.depth", "band_joist.thickness")


class StepTable(Struct, frozen=True):
    """The rows of one rule set, the names it asked for, and whether any clause bounds the drop."""

    rules: PlacementRules
    rows: tuple[StepRow, ...]
    missing: tuple[str, ...]
    limits: tuple[RuleLimit, ...]


class SizeTables:
    """Step tables of one design under any number of rule sets; the boards are worked out once."""

    def __init__(
        self,
        design: PreparedDesign,
        quantities: dict[str, QuantityDefinition],
        stand: Stand = "bottom",
        sizes: Sequence[str] = SIZES,
    ) -> None:
        self.quantities = quantities
        self.stand = stand
        self.sizes = tuple(sizes)
        self.base = _opened(design.design)
        self.depths = {size: _depth(size) for size in self.sizes}
        self._boards: dict[tuple[str, str, str], list[Distance]] = {}
        self._designs: dict[tuple[str, str, str], PreparedDesign] = {}
        self.plain = boards_of(PreparedDesign(self.base, quantities))

    def table(self, rules: PlacementRules) -> StepTable:
        """Return the table of one rule set."""
        limits_of = _Limits(self, rules)
        rows: list[StepRow] = []
        for ledger in self.sizes:
            for band in self.sizes:
                for joist in self.sizes:
                    rows.append(self._row(limits_of, (ledger, band, joist)))
        return StepTable(rules, tuple(rows), limits_of.missing(), limits_of.sample())

    def _row(self, limits_of: _Limits, sizes: tuple[str, str, str]) -> StepRow:
        limits = limits_of(sizes)
        if isinstance(limits, Excluded):
            return step_row(*sizes, limits)
        boards = self.boards(sizes)
        fasteners = [d for i in limits if not i.is_at_door for d in i.strict]
        doors = [d for i in limits if i.is_at_door for d in i.strict]
        row = step_row(*sizes, [*boards, *dict.fromkeys(fasteners)])
        if not doors or not row.is_feasible or row.step_down is None:
            return row
        whole = step_row(*sizes, [*boards, *dict.fromkeys([*fasteners, *doors])])
        return replace(row, step_down=whole.step_down, conflicts=whole.conflicts)

    def boards(self, sizes: tuple[str, str, str]) -> list[Distance]:
        """Return the boards of a combination, drop and rows free."""
        if sizes not in self._boards:
            facts: dict[str, Any] = dict(self.plain.facts)
            for member, size in zip(MEMBERS, sizes, strict=True):
                facts[f"{member}.size"], facts[f"{member}.depth"] = size, self.depths[size]
            facts["joists.below_ledger_top"] = self._below(sizes[0], sizes[2])
            boards = DesignBoards(facts, self.plain.doors, ())
            self._boards[sizes] = boards.distances(open_drop=True, open_rows=True)
        return self._boards[sizes]

    def _below(self, ledger: str, joist: str) -> Fraction:
        if isinstance(self.stand, Fraction):
            return self.stand
        level = self.depths[ledger] - self.depths[joist]
        return level if self.stand == "bottom" else Fraction(0)

    def design(self, sizes: tuple[str, str, str]) -> PreparedDesign:
        """Return the design with a combination of sizes."""
        if sizes not in self._designs:
            ledger, band, joist = sizes
            facts = {
                **self.base.facts,
                "ledger.size": ledger,
                "band_joist.size": band,
                "band_joist.kind": "sawn_lumber",
            }
            joists = tuple(
                Part(p.name, {**p.facts, "joists.size": joist}) for p in self.base.values("joists")
            )
            varied = replace(self.base, facts=facts, parts={**self.base.parts, "joists": joists})
            self._designs[sizes] = PreparedDesign(varied, self.quantities)
        return self._designs[sizes]


def _opened(design: Design) -> Design:
    """Return a design without its drop, its rows, its boards' own depths."""
    facts = {
        name: value
        for name, value in design.facts.items()
        if name not in (*LEFT_OPEN, *OF_THE_BAND_JOIST)
    }
    joists = tuple(
        Part(p.name, {n: v for n, v in p.facts.items() if n != "joists.below_ledger_top"})
        for p in design.values("joists")
    )
    return replace(design, facts=facts, parts={**design.parts, "joists": joists})


def _depth(size: str) -> Fraction:
    dressed = dressed_size(size)
    assert dressed is not None
    return dressed[1]


class _Limits:
    """The limits of one rule set on each combination, each worked out once."""

    def __init__(self, tables: SizeTables, rules: PlacementRules) -> None:
        self.tables, self.rules = tables, rules
        lowered = (rules.evaluator.rule(i) for i in range(len(rules.ruleset.clauses)))
        self.on_sizes = tuple(rule for rule in lowered if _is_on_sizes(rule))
        self.reads_joists = bool({"joists.size", "joists.depth"} & rules.reads)
        self._known: dict[tuple[str, str, str], tuple[RuleLimit, ...]] = {}

    def __call__(self, sizes: tuple[str, str, str]) -> tuple[RuleLimit, ...] | Excluded:
        design = self.tables.design(sizes)
        found = _size_not_allowed(self.on_sizes, design)
        if found is not None:
            return found
        key = sizes if self.reads_joists else (*sizes[:2], "")
        if key not in self._known:
            self._known[key] = self.rules.limits(design)
        limits = self._known[key]
        shut = max(
            (i for i in limits if i.limits.is_incomplete and not i.is_at_door),
            key=lambda i: i.limits.status,
            default=None,
        )
        if shut is None:
            return limits
        unknown = "not known: " if shut.limits.status == INFORMATION_MISSING else ""
        return Excluded(f"{unknown}{shut.limits.reason}", shut.clause.cites)

    def missing(self) -> tuple[str, ...]:
        """Return the names that any combination would have asked for."""
        names = (n for limits in self._known.values() for i in limits for n in i.limits.missing)
        return tuple(dict.fromkeys(names))

    def sample(self) -> tuple[RuleLimit, ...]:
        """Return the limits of the combination that has most of them."""
        return max(self._known.values(), key=len, default=())


def _is_on_sizes(rule: Rule) -> bool:
    """Whether a clause asks only about the sizes of ledger, band joist and joists."""
    if rule.exceptions or not isinstance(rule.own, Limits | Member | Holds):
        return False
    facts = {fact.name for fact in every(Fact, rule.own)}
    return bool(facts) and facts <= SIZE_FACTS and not any(every(Span, rule.own))


def _size_not_allowed(rules: Iterable[Rule], design: PreparedDesign) -> Excluded | None:
    """Return the clause that excludes the sizes; an unknown never does."""
    for rule in rules:
        group = "joists" if any(f.name.startswith("joists.") for f in every(Fact, rule.own)) else ""
        parts = design.design.values(group) if group else ()
        reader = ExactReader(design.facts(group, parts[0].name) if parts else design.facts())
        applies, _, _ = reader.decided(rule.applies)
        fails = reader.branch(OWN, rule.own).outcome.status is DOES_NOT_COMPLY
        if applies is not False and fails:
            return Excluded(rule.clause.says.rstrip("."), rule.clause.cites)
    return None
