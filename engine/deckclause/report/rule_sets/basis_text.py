"""Table cells and the calculations beside them, for the terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from textwrap import wrap

from tabulate import tabulate

from deckclause.engineering.basis import Basis
from deckclause.evaluate.derived_checks import RuleRecord, derived_check
from deckclause.evaluate.tables.basis import MISSED, NONE, UNSEEN, CellBasis, TableBasis
from deckclause.evaluate.words import fact_text, name_text, scalar_text
from deckclause.report.rule_sets.basis_data import cautions_of
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.vocabulary import QuantityDefinition

STANDS = (
    "The printed table is the rule: a design within it complies, whatever is calculated here. A "
    "calculated figure is no permission to go past the table, and agreement raises no standing."
)
IMPLIED_STANDS = (
    "These figures were read back from the table itself, which rests on tests that NDS does not "
    "cover. They explain the table; they are a strength of nothing else, and a smaller NDS value is "
    "no failure of a ledger fastened to the table."
)
UNKNOWN_PRINT = (
    "The print of this cell was not seen. What is calculated does not take its place: the rule set "
    "answers `information missing` there."
)


class BasisText:
    """Writes cells and tables beside their calculations, to a width."""

    def __init__(
        self,
        records: Mapping[str, RuleRecord],
        quantities: Mapping[str, QuantityDefinition],
        width: int,
    ) -> None:
        self.records = records
        self.quantities = quantities
        self.width = max(width, 60)

    # -- one cell -------------------------------------------------------------------------------

    def cell(self, basis: TableBasis) -> Iterator[str]:
        """Yield everything about the one cell of `basis`."""
        cell = basis.cells[0]
        yield from self._wrapped(self._title(basis))
        for name, key in cell.facts.items():
            yield f"  {name_text(name)}: {fact_text(key, self.quantities[name])}"
        yield ""
        sources = ", ".join(cell.sources)
        printed = f"PRINTED     {self._figure(cell, cell.printed)}   {cell.standing} ({sources})"
        yield from self._wrapped(printed)
        yield from self._other_figure(cell)
        if cell.explanation is None:
            yield "CALCULATED  no calculation"
            yield from self._wrapped(f"why: {cell.reason}", "  ")
        else:
            yield f"CALCULATED  {self._figure(cell, cell.calculated)}   {self._verdict(cell)}"
            yield ""
            yield from self._working(cell)
        yield ""
        check = derived_check(cell, self.records)
        if check is not None:
            yield from self._wrapped(check.words)
        yield from self._closing([basis])

    def _working(self, cell: CellBasis) -> Iterator[str]:
        """Yield inputs, factors, checks, the unrounded value and its rounding."""
        explanation = cell.explanation
        assert explanation is not None
        yield f"basis: {explanation.basis.value}"
        for heading, lines in (
            ("inputs", explanation.inputs),
            ("factors", [factor.line() for factor in explanation.factors]),
            ("checks", [check.line() for check in explanation.checks]),
        ):
            if lines:
                yield f"{heading}:"
                for line in lines:
                    yield from self._wrapped(line, "  ")
        yield from self._wrapped(f"governed by: {explanation.governed_by}")
        raw = explanation.unrounded_in
        result = self._figure(cell, cell.calculated)
        rounded = f"unrounded: {raw or 0:.2f} in; rounded {explanation.rounding.value}: {result}"
        yield from self._wrapped(f"nothing to round: {result}" if raw is None else rounded)
        if explanation.near_tie:
            yield from self._wrapped(
                "the unrounded value stands so near a step that either is fair"
            )
        for choice in explanation.fitted:
            yield from self._wrapped(f"fitted choice: {choice}")
        for note in explanation.notes:
            yield from self._wrapped(f"note: {note}")

    def _other_figure(self, cell: CellBasis) -> Iterator[str]:
        if cell.note is not None and cell.note.also is not None:
            other = self._figure(cell, cell.note.also)
            yield from self._wrapped(f"also given: {other}. {cell.note.why}", "  ")

    def _verdict(self, cell: CellBasis) -> str:
        check = cell.check
        if check is None or not check.difference_in:
            return cell.verdict
        more = "more" if check.difference_in > 0 else "less"
        return f"{cell.verdict}: {abs(check.difference_in)} in {more} than printed"

    # -- whole tables ---------------------------------------------------------------------------

    def tables(self, found: Sequence[TableBasis]) -> Iterator[str]:
        """Yield the count of each table, its misses, and what could not be compared."""
        for basis in found:
            yield from self._wrapped(self._title(basis))
            yield from self._counts(basis)
            yield from self._listed(basis)
            yield ""
        yield from self._closing(found)

    def _counts(self, basis: TableBasis) -> Iterator[str]:
        met, compared = basis.met_of()
        if compared:
            parts = []
            for standing in dict.fromkeys(c.standing for c in basis.cells if c.check):
                some, of = basis.met_of(standing)
                parts.append(f"{standing} {some} of {of}")
            yield f"  met {met} of {compared} printed cells ({', '.join(parts)})"
            yield f"  basis: {', '.join(bases(basis))}"
        unseen = len(basis.with_verdict(UNSEEN))
        if unseen:
            yield from self._wrapped(f"{unseen} cells calculated whose print was not seen", "  ")
        reasons: dict[str, int] = {}
        for cell in basis.with_verdict(NONE):
            reasons[cell.reason] = reasons.get(cell.reason, 0) + 1
        for reason, count in reasons.items():
            yield from self._wrapped(f"{count} cells without a calculation: {reason}", "  ")

    def _listed(self, basis: TableBasis) -> Iterator[str]:
        misses = basis.with_verdict(MISSED)
        if not misses:
            return
        headers = [name_text(axis.quantity.rpartition(".")[2]) for axis in basis.table.axes]
        headers += ["printed", "standing", "calculated", ""]
        rows = [
            [
                *(fact_text(key, self.quantities[name]) for name, key in cell.facts.items()),
                self._figure(cell, cell.printed),
                cell.standing,
                self._calculated(cell),
                "flagged" if self._flagged(cell) else "",
            ]
            for cell in misses
        ]
        yield "  missed:"
        widths: list[int | None] = [20] * len(basis.table.axes) + [None] * 4
        table = tabulate(rows, headers, disable_numparse=True, maxcolwidths=widths)
        for line in table.splitlines():
            yield f"  {line}".rstrip()

    def _calculated(self, cell: CellBasis) -> str:
        text = self._figure(cell, cell.calculated)
        raw = cell.explanation.unrounded_in if cell.explanation else None
        return text if raw is None else f"{text} ({raw:.2f} in)"

    def _flagged(self, cell: CellBasis) -> bool:
        check = derived_check(cell, self.records)
        return check is not None and check.flagged

    def listing(self, found: Iterable[TableBasis]) -> Iterator[str]:
        """Yield one line a table: its name, the count met, what it is."""
        rows = []
        for basis in found:
            met, compared = basis.met_of()
            count = f"{met} of {compared} met" if compared else NONE
            rows.append([basis.table.name, count, basis.table.cites, basis.table.title])
        widths: list[int | None] = [None, None, None, 60]
        yield tabulate(
            rows, ["table", "calculation", "printed as", "what it gives"], disable_numparse=True,
            maxcolwidths=widths,
        )  # fmt: skip

    # -- shared ---------------------------------------------------------------------------------

    def _title(self, basis: TableBasis) -> str:
        table = basis.table
        return f"{rule_set_title(basis.ruleset)}, {table.cites or table.name} ({table.name}): {table.title}"

    def _figure(self, cell: CellBasis, value: object) -> str:
        unit = "ft" if cell.table.in_feet else "in"
        return scalar_text(value, cell.table.kind, unit)  # type: ignore[arg-type]

    def _closing(self, found: Sequence[TableBasis]) -> Iterator[str]:
        yield from self._wrapped(STANDS)
        if any(Basis.IMPLIED.value in bases(basis) for basis in found):
            yield from self._wrapped(IMPLIED_STANDS)
        if any(basis.with_verdict(UNSEEN) for basis in found):
            yield from self._wrapped(UNKNOWN_PRINT)
        yield "cautions (in full in docs/engineering.md):"
        for caution in cautions_of(found):
            yield from self._wrapped(f"{caution.number}. {caution.short}", "  ")

    def _wrapped(self, text: str, indent: str = "") -> Iterator[str]:
        yield from wrap(
            text, self.width, initial_indent=indent, subsequent_indent=indent + "  ",
            break_on_hyphens=False,
        )  # fmt: skip


def bases(basis: TableBasis) -> tuple[str, ...]:
    """Name what the calculations of a table rest on, each once."""
    found = (cell.explanation.basis.value for cell in basis.cells if cell.explanation)
    return tuple(dict.fromkeys(found))
