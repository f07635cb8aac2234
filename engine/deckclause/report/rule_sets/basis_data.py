"""Table cells and the calculations beside them as plain data, for JSON.

Shape: `basis` is the format's version; `tables` one per table, each with `counts` by verdict and
standing, and `cells`; `cautions` in full. Measures are objects as in a comparison.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from msgspec.structs import asdict

from deckclause.answers.data import measure
from deckclause.engineering.cautions import ALWAYS, CAUTIONS, Caution
from deckclause.engineering.tables.explanation import Explanation
from deckclause.evaluate.derived_checks import DerivedCheck, RuleRecord, derived_check
from deckclause.evaluate.tables.basis import VERDICTS, CellBasis, TableBasis
from deckclause.rulesets.clauses import Table
from deckclause.rulesets.vocabulary import QuantityDefinition

BASIS_FORMAT = 1


def basis_json(
    found: Sequence[TableBasis],
    records: Mapping[str, RuleRecord],
    quantities: Mapping[str, QuantityDefinition],
) -> str:
    """Write tables and their calculations as JSON text."""
    data = {
        "basis": BASIS_FORMAT,
        "tables": [table_data(basis, records, quantities) for basis in found],
        "cautions": [asdict(caution) for caution in cautions_of(found)],
    }
    return json.dumps(data, indent=1, ensure_ascii=False)


def cautions_of(found: Iterable[TableBasis]) -> tuple[Caution, ...]:
    """Return the cautions that go with any of these cells, each once, in their order.

    That a result stands near a step is said of one cell alone; of many it would say nothing.
    """
    cells = [cell for basis in found for cell in basis.cells]
    keys = {*ALWAYS, *(c.key for cell in cells for c in cell.cautions)}
    if len(cells) > 1:
        keys.discard("near_a_limit")
    return tuple(c for c in CAUTIONS if c.key in keys)


def table_data(
    basis: TableBasis,
    records: Mapping[str, RuleRecord],
    quantities: Mapping[str, QuantityDefinition],
) -> dict[str, Any]:
    """Return one table and its cells as plain data."""
    table = basis.table
    return {
        "rule_set": basis.ruleset,
        "table": table.name,
        "title": table.title,
        "cites": table.cites,
        "counts": {verdict: len(basis.with_verdict(verdict)) for verdict in VERDICTS},
        "met_by_standing": {
            standing: dict(zip(("met", "compared"), basis.met_of(standing), strict=True))
            for standing in dict.fromkeys(cell.standing for cell in basis.cells)
        },
        "cells": [cell_data(cell, records, quantities) for cell in basis.cells],
    }


def cell_data(
    cell: CellBasis,
    records: Mapping[str, RuleRecord],
    quantities: Mapping[str, QuantityDefinition],
) -> dict[str, Any]:
    """Return one cell: keys, the printed figure with its standing, the calculation, the verdict."""
    check = derived_check(cell, records)
    return {
        "keys": {
            name: measure(key, quantities[name].kind, quantities[name].unit)
            for name, key in cell.facts.items()
        },
        "printed": figure(cell.table, cell.printed),
        "standing": cell.standing,
        "sources": list(cell.sources),
        "verdict": cell.verdict,
        "calculated": figure(cell.table, cell.calculated),
        "calculation": explanation_data(cell.explanation) if cell.explanation else None,
        "no_calculation_because": cell.reason or None,
        "derived_check": _check_data(check),
    }


def figure(table: Table, value: Any) -> Any:
    """Return a cell's figure as data: a measure, or words such as `not permitted`."""
    return measure(value, table.kind, "ft" if table.in_feet else "in")


def _check_data(check: DerivedCheck | None) -> dict[str, Any] | None:
    if check is None:
        return None
    return {
        "established": check.record.established,
        "confirmed_cells": check.record.confirmed,
        "confirmed_cells_met": check.record.met,
        "flagged": check.flagged,
        "says": check.words,
    }


def explanation_data(explanation: Explanation) -> dict[str, Any]:
    """Return a calculation: basis, inputs, factors, checks, the unrounded value, the rounding."""
    return {
        "family": explanation.family,
        "keys": dict(explanation.keys),
        "basis": explanation.basis.value,
        "inputs": list(explanation.inputs),
        "factors": [
            {
                "symbol": factor.symbol,
                "value": factor.value,
                "reason": factor.reason,
                "source": factor.source,
                "standing": factor.standing.value,
            }
            for factor in explanation.factors
        ],
        "checks": [asdict(check) for check in explanation.checks],
        "governed_by": explanation.governed_by,
        "unrounded_in": explanation.unrounded_in,
        "rounding": explanation.rounding.value,
        "near_a_rounding_step": explanation.near_tie,
        "fitted_choices": list(explanation.fitted),
        "notes": list(explanation.notes),
        "cautions": [caution.key for caution in explanation.cautions],
    }
