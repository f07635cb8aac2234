"""Check remembered figures against the calculation that the confirmed figures of their kind follow."""

from __future__ import annotations

from deckclause.evaluate.derived_checks import DerivedCheck, derived_check, rule_records
from deckclause.evaluate.tables.basis import table_basis
from deckclause.evaluate.words import scalar_text
from deckclause.rulesets.clauses import Scalar
from deckclause.upkeep.lint.context import LintContext
from deckclause.upkeep.lint.finding import Found
from deckclause.upkeep.lint.tables import key_words

MOST_NAMED = 4
"""Cells named in one message; the command it ends with lists them all."""


def against_calculation(context: LintContext) -> Found:
    """Find tables with figures from memory that part from their family's established calculation."""
    records = rule_records(read.ruleset for read in context.books)
    for read in context.books:
        for table in read.ruleset.tables:
            checks = [derived_check(c, records) for c in table_basis(read.ruleset, table).cells]
            made = [check for check in checks if check is not None]
            flagged = [check for check in made if check.flagged]
            if not flagged:
                continue
            named = "; ".join(_words(context, check) for check in flagged[:MOST_NAMED])
            more = f"; and {len(flagged) - MOST_NAMED} more" if len(flagged) > MOST_NAMED else ""
            message = (
                f"table {table.name}: {len(flagged)} of {len(made)} figures from memory differ from "
                f"their calculation: {named}{more}. The table stands; look the figures up in the "
                f"book. `deckclause basis {read.ruleset.name} {table.name} --all` lists them"
            )
            yield context.place_of(table, read.ruleset), table.name, message


def _words(context: LintContext, check: DerivedCheck) -> str:
    cell = check.cell

    def figure(value: Scalar | None) -> str:
        return scalar_text(value, cell.table.kind, "ft" if cell.table.in_feet else "in")

    keys = key_words(context, cell.table, cell.place)
    return f"{keys}: {figure(cell.printed)}, calculated {figure(cell.calculated)}"
