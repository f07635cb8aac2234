"""Show the calculation that meets, or misses, a cell of a table; --all counts a whole table.

RULESET TABLE KEY=VALUE ... explains one cell: inputs, factors, the check that governs, the
unrounded result, its rounding, the printed figure with its standing. RULESET alone lists its
tables. TABLE --all, without a rule set, goes through every edition and guide. The printed table
stays the rule whatever is calculated.
"""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from deckclause.cli.shared import add_rules_options, open_catalogue, terminal_width
from deckclause.rulesets.problems import InputError, suggestion

if TYPE_CHECKING:
    from collections.abc import Sequence

    from deckclause.evaluate.catalogue import Catalogue
    from deckclause.evaluate.derived_checks import RuleRecord
    from deckclause.evaluate.tables.basis import TableBasis
    from deckclause.rulesets.ruleset import RuleSet

EXAMPLE = "deckclause basis irc-2018 ledger_spacing assembly=lag_screw 'span=12 ft'"


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument(
        "words",
        nargs="+",
        metavar="RULESET|TABLE|KEY=VALUE",
        help="a rule set, a table of it, and the keys of a cell: irc-2018 ledger_spacing "
        "assembly=through_bolt 'span=12 ft'",
    )
    parser.add_argument(
        "--all", action="store_true", help="every cell (under the keys given): count and misses"
    )
    parser.add_argument("--format", choices=["text", "json"], default="text", help="how to print")
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command; return 0. A miss is no failure: the table stands."""
    catalogue = open_catalogue(options)
    names, keys = _split(options.words)
    if len(names) == 1 and not options.all and not keys and _is_rule_set(catalogue, names[0]):
        found = _every_table(catalogue.ruleset(names[0]))
        return _print(catalogue, found, options.format, "listing")
    if options.all:
        return _print(catalogue, _tables(catalogue, names, keys), options.format, "tables")
    if len(names) != 2:
        raise InputError.single(
            "basis", f"say RULESET TABLE KEY=VALUE, or TABLE --all; such as {EXAMPLE}"
        )
    return _print(catalogue, [_cell(catalogue, names, keys)], options.format, "cell")


def _split(words: Sequence[str]) -> tuple[list[str], dict[str, str]]:
    names = [word for word in words if "=" not in word]
    keys: dict[str, str] = {}
    for word in words:
        name, equals, value = word.partition("=")
        if equals and name in keys:
            raise InputError.single(word, f"'{name}' is given twice")
        if equals:
            keys[name] = value
    if not names or len(names) > 2:
        stray = f" '{' '.join(names[2:])}' is one word too many; quote a value with a space." if names else ""  # fmt: skip
        raise InputError.single("basis", f"say RULESET TABLE KEY=VALUE, such as {EXAMPLE}.{stray}")
    return names, keys


def _is_rule_set(catalogue: Catalogue, name: str) -> bool:
    return name in catalogue.files.rulesets or "@" in name


def _rule_set(catalogue: Catalogue, name: str) -> RuleSet:
    if not _is_rule_set(catalogue, name):
        near = suggestion(name, catalogue.files.rulesets)
        raise InputError.single("RULESET", f"'{name}' is not a rule set.{near}")
    return catalogue.ruleset(name)


def _every_table(ruleset: RuleSet) -> list[TableBasis]:
    from deckclause.evaluate.tables.basis import table_basis

    if not ruleset.tables:
        raise InputError.single("RULESET", f"{ruleset.name} has no tables")
    return [table_basis(ruleset, table) for table in ruleset.tables]


def _cell(catalogue: Catalogue, names: list[str], keys: dict[str, str]) -> TableBasis:
    from deckclause.evaluate.tables.basis import TableBasis, cell_basis
    from deckclause.evaluate.tables.keys import find_table, place_of, read_keys

    ruleset = _rule_set(catalogue, names[0])
    table = find_table(ruleset, names[1])
    quantities = catalogue.vocabulary.quantities
    place = place_of(table, read_keys(table, keys, quantities), quantities)
    return TableBasis(ruleset.name, table, (cell_basis(ruleset, table, place),))


def _tables(catalogue: Catalogue, names: list[str], keys: dict[str, str]) -> list[TableBasis]:
    """Return the tables asked for with the cells under the keys given."""
    from deckclause.evaluate.tables.basis import table_basis
    from deckclause.evaluate.tables.keys import find_table, matching_tables, read_keys

    quantities = catalogue.vocabulary.quantities
    if len(names) == 2:
        ruleset = _rule_set(catalogue, names[0])
        chosen = [(ruleset, table) for table in matching_tables(ruleset, names[1])]
        chosen = chosen or [(ruleset, find_table(ruleset, names[1]))]
    elif _is_rule_set(catalogue, names[0]):
        ruleset = _rule_set(catalogue, names[0])
        chosen = [(ruleset, table) for table in ruleset.tables]
    else:
        books = [catalogue.ruleset(name) for name in catalogue.files.rulesets]
        chosen = [(book, t) for book in books for t in matching_tables(book, names[0])]
        if not chosen:
            known = dict.fromkeys(t.name for book in books for t in book.tables)
            near = suggestion(names[0], known) or f" The tables: {', '.join(known)}."
            raise InputError.single("TABLE", f"no rule set has a table '{names[0]}'.{near}")
    found = []
    for ruleset, table in chosen:
        facts = read_keys(table, keys, quantities)
        found.append(
            table_basis(ruleset, table, wanted=lambda at, facts=facts: facts.items() <= at.items())  # type: ignore[misc]
        )
    return found


def _records(catalogue: Catalogue, found: list[TableBasis]) -> dict[str, RuleRecord]:
    """Count the confirmed cells of the rules met with, over every edition and guide."""
    from deckclause.evaluate.derived_checks import rule_records

    rules = frozenset(
        cell.calculation.rule for basis in found for cell in basis.cells if cell.calculation
    )
    books = [catalogue.ruleset(name) for name in catalogue.files.rulesets]
    return rule_records(books, rules)


def _print(catalogue: Catalogue, found: list[TableBasis], kind: str, form: str) -> int:
    from deckclause.report.rule_sets.basis_data import basis_json
    from deckclause.report.rule_sets.basis_text import BasisText

    quantities = catalogue.vocabulary.quantities
    records = _records(catalogue, found)
    if kind == "json":
        print(basis_json(found, records, quantities))
        return 0
    text = BasisText(records, quantities, terminal_width())
    lines = {"cell": text.cell, "tables": text.tables, "listing": text.listing}
    given = found[0] if form == "cell" else found
    print("\n".join(lines[form](given)))  # type: ignore[operator]
    return 0
