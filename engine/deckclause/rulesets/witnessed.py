"""What witnesses' readings do to a rule set: figures confirmed, doubted figures loud.

A figure somebody read as it is shown becomes `confirmed`, with the reading as its source. Where a
reading differs, nothing is silently taken over: of the figures given for a cell or a plain limit
the stricter governs until the rules are mended; anything else is held to be unknown. Every
difference is told with every answer (`RuleSet.errata`) and is a layer of the rule set.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import product
from typing import Any

from msgspec.structs import replace

from deckclause.quantities import QuantityError
from deckclause.rulesets.clauses import (
    NOT_PERMITTED,
    NOT_SEEN,
    ByChoice,
    Cases,
    Clause,
    Fixed,
    Limit,
    Lookup,
    Requirement,
    Table,
    Value,
)
from deckclause.rulesets.files import RuleFiles, digest
from deckclause.rulesets.fingerprint import fingerprint
from deckclause.rulesets.layering import BOUNDS, REQUIREMENT
from deckclause.rulesets.ruleset import Layer, LoadedRuleSet
from deckclause.rulesets.translate_clauses import ClauseTranslator
from deckclause.rulesets.translate_values import ValueTranslator
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.walk import clause_tables, condition_tests, value_tables
from deckclause.rulesets.witness import (
    AS_SHOWN,
    NOT_FOUND,
    OTHERWISE,
    BookReading,
    Item,
    WitnessRecord,
    cell_text,
    exact_text,
    tree_of,
    typed_figure,
)

SMALLER, LARGER, UNKNOWN = "smaller", "larger", ""
ERRATUM = "erratum"
"""The kind of the layer that holds what was read otherwise."""


def item_fingerprint(loaded: LoadedRuleSet, key: str, part: int) -> str:
    """Return the fingerprint of a clause without its exceptions, or of one of them (from 1)."""
    raw = loaded.raw_clauses[key]
    if part:
        return fingerprint(raw["unless"][part - 1], {})
    return fingerprint({k: v for k, v in raw.items() if k not in ("unless", "readings")}, {})


def cell_items(table: Table, vocabulary: Vocabulary) -> Iterator[tuple[int, Item]]:
    """Yield every cell of a table in printed order: its place and what a witness file calls it."""
    keys = []
    for axis in table.axes:
        kind = vocabulary.quantities[axis.quantity].kind
        keys.append([exact_text(key, kind) for key in axis.keys])
    for place, at in enumerate(product(*keys)):
        yield place, Item(table=table.name, at=at)


def witnessed(
    files: RuleFiles,
    vocabulary: Vocabulary,
    loaded: LoadedRuleSet,
    records: tuple[WitnessRecord, ...],
) -> LoadedRuleSet:
    """Return a rule set as its witnesses' readings leave it.

    Raises InputError where a reading names a clause or a cell that is not there.
    """
    if not any(record.readings for record in records):
        return loaded
    applying = _Applying(vocabulary, loaded, records)
    return applying.result(files.digest_of(*files.witness_paths(loaded.ruleset.name)))


class _Applying:
    def __init__(
        self, vocabulary: Vocabulary, loaded: LoadedRuleSet, records: tuple[WitnessRecord, ...]
    ) -> None:
        self.vocabulary = vocabulary
        self.loaded = loaded
        self.by_item: dict[Item, list[tuple[WitnessRecord, BookReading]]] = {}
        for record in records:
            for reading in record.readings:
                self.by_item.setdefault(reading.item, []).append((record, reading))
        self.values = ValueTranslator(vocabulary, tree_of(f"witness/{loaded.ruleset.name}"))
        self.values.tables = {t.name: t for t in loaded.ruleset.tables}
        self.errata: list[str] = []

    def result(self, content: str) -> LoadedRuleSet:
        base = self.loaded.ruleset
        self._check_items()
        changed = self._tables()
        clauses = tuple(self._clause(clause, changed) for clause in base.clauses)
        if self.values.problems:
            from deckclause.rulesets.problems import InputError

            raise InputError(self.values.problems)
        layers = base.layers
        if self.errata:
            title = "Figures read otherwise in the book, not yet settled"
            layers = (*layers, Layer(f"{base.name}-read-otherwise", ERRATUM, title, content))
        ruleset = replace(
            base,
            layers=layers,
            clauses=clauses,
            tables=tuple(self.values.tables[t.name] for t in base.tables),
            digest=digest(base.digest, content),
            errata=tuple(self.errata),
        )
        return LoadedRuleSet(ruleset, self.loaded.raw_clauses, self.loaded.raw_tables)

    def _check_items(self) -> None:
        known = {item for t in self.loaded.ruleset.tables for _, item in
                 cell_items(t, self.vocabulary)}  # fmt: skip
        for clause in self.loaded.ruleset.clauses:
            known |= {Item(clause.key, part) for part in range(len(clause.exceptions) + 1)}
        for item, told in self.by_item.items():
            if item not in known:
                who = ", ".join(record.witness for record, _ in told)
                self.values.fault(
                    (), f"{who} read {item}, which is not in {self.loaded.ruleset.name} now"
                )

    # -- tables -------------------------------------------------------------------------------

    def _tables(self) -> set[str]:
        """Put what was read into the tables; return the names of those it changed."""
        changed = set()
        for table in self.loaded.ruleset.tables:
            cells = list(table.cells)
            notes = dict(table.notes)
            before = (list(cells), dict(notes))
            raw_notes: list[dict[str, Any]] = []
            for place, item in cell_items(table, self.vocabulary):
                if told := self.by_item.get(item):
                    self._cell(table, place, item, told, cells, raw_notes)
            if not raw_notes and (cells, notes) == before:
                continue
            changed.add(table.name)
            self.values.tables[table.name] = self._with_notes(table, cells, raw_notes)
        return changed

    def _cell(
        self,
        table: Table,
        place: int,
        item: Item,
        told: list[tuple[WitnessRecord, BookReading]],
        cells: list[Fraction | str],
        raw_notes: list[dict[str, Any]],
    ) -> None:
        shown = table.cells[place]
        read: list[tuple[WitnessRecord, BookReading, Fraction | str]] = []
        for record, reading in told:
            if reading.seen == NOT_FOUND:
                continue
            try:
                read.append((record, reading, typed_figure(table, reading.figure)))
            except QuantityError as fault:
                self.values.fault((), f"{record.witness}, {item}: {fault}")
        if not read:
            return
        figures = [figure for *_, figure in read]
        agree = [record.source for record, _, figure in read if figure == shown]
        if all(figure == shown for figure in figures):
            note = table.note(place)
            own = note.sources if note and note.sources else table.sources
            was = note.standing if note and note.standing else table.standing
            kept = own if was == "confirmed" else ()
            why = note.why if note else ""
            also = note.also if note else None
            raw_notes.append({"place": place, "standing": "confirmed", "also": also, "why": why,
                              "sources": tuple(dict.fromkeys([*kept, *agree]))})  # fmt: skip
            return
        words = self._differ_words(table, item, shown, read)
        self.errata.append(words)
        governs = _governing(_direction(table.name, self.loaded.ruleset.clauses), [shown, *figures])
        cells[place] = governs
        others = [f for f in [shown, *figures] if f != governs and isinstance(f, Fraction)]
        sources = tuple(dict.fromkeys(record.source for record, *_ in read))
        raw_notes.append({"place": place, "standing": "memory", "sources": sources, "why": words,
                          "also": others[0] if others and governs != NOT_SEEN else None})  # fmt: skip

    def _differ_words(
        self,
        table: Table,
        item: Item,
        shown: Fraction | str,
        read: list[tuple[WitnessRecord, BookReading, Fraction | str]],
    ) -> str:
        told = "; ".join(
            f"{record.witness} read {cell_text(table, figure)} on {reading.day}"
            + (f" at {reading.where}" if reading.where else "")
            for record, reading, figure in read
        )
        return (
            f"{table.cites}, {', '.join(item.at)}: the rules have {cell_text(table, shown)}; {told}"
        )

    def _with_notes(
        self, table: Table, cells: list[Fraction | str], raw_notes: list[dict[str, Any]]
    ) -> Table:
        from deckclause.rulesets.clauses import CellNote

        notes = dict(table.notes)
        for entry in raw_notes:
            notes[entry["place"]] = CellNote(
                entry["standing"], entry["sources"], entry["also"], entry["why"]
            )
        standing, sources = table.standing, table.sources
        rest = [i for i, cell in enumerate(cells) if cell != NOT_SEEN]
        told = [notes[i].standing for i in rest if i in notes and notes[i].standing]
        if len(told) == len(rest) and set(told) == {"confirmed"}:
            standing = "confirmed"  # each cell says by whom it was read
            read = (s for i in rest for s in notes[i].sources)
            sources = tuple(dict.fromkeys(read))
        return replace(
            table,
            cells=tuple(cells),
            notes=tuple(sorted(notes.items())),
            standing=standing,
            sources=sources,
        )

    # -- clauses ------------------------------------------------------------------------------

    def _clause(self, clause: Clause, changed: set[str]) -> Clause:
        parts = range(len(clause.exceptions) + 1)
        told = {part: self.by_item.get(Item(clause.key, part), []) for part in parts}
        raw = self.loaded.raw_clauses[clause.key]
        if any(r.seen == OTHERWISE for readings in told.values() for _, r in readings):
            raw = self._doubted(clause, raw, told)
        elif changed & {t.name for t in clause_tables(clause)}:
            raw = dict(raw)
        if raw is not self.loaded.raw_clauses[clause.key]:
            fresh = ClauseTranslator(self.values).clause(raw, (), clause.origin)
            clause = replace(fresh, fingerprint=clause.fingerprint)
        return self._confirmed(clause, told)

    def _confirmed(
        self, clause: Clause, told: dict[int, list[tuple[WitnessRecord, BookReading]]]
    ) -> Clause:
        if any(r.seen == OTHERWISE for readings in told.values() for _, r in readings):
            return clause
        if by := self._read_as_shown(clause, 0, told[0]):
            kept = clause.sources if clause.standing == "confirmed" else ()
            sources = tuple(dict.fromkeys([*kept, *by]))
            clause = replace(clause, standing="confirmed", sources=sources)
        exceptions = list(clause.exceptions)
        for part, exception in enumerate(exceptions, 1):
            if by := self._read_as_shown(clause, part, told[part]):
                kept = exception.sources if exception.standing == "confirmed" else ()
                exceptions[part - 1] = replace(
                    exception,
                    standing="confirmed",
                    sources=tuple(dict.fromkeys([*kept, *by])),
                )
        return replace(clause, exceptions=tuple(exceptions))

    def _read_as_shown(
        self, clause: Clause, part: int, told: list[tuple[WitnessRecord, BookReading]]
    ) -> list[str]:
        """Return the sources of readings that found what is shown now; an older text counts not."""
        now = item_fingerprint(self.loaded, clause.key, part)
        return [
            record.source
            for record, reading in told
            if reading.seen == AS_SHOWN and reading.fingerprint == now
        ]

    def _doubted(
        self,
        clause: Clause,
        raw: dict[str, Any],
        told: dict[int, list[tuple[WitnessRecord, BookReading]]],
    ) -> dict[str, Any]:
        """Return a clause some reader saw otherwise: the stricter figure, or nothing to go by."""
        otherwise = [
            (part, record, reading)
            for part, readings in told.items()
            for record, reading in readings
            if reading.seen == OTHERWISE
        ]
        words = "; ".join(
            f"{record.witness} read {'exception ' + str(part) + ' ' if part else ''}otherwise in the "
            f"book on {reading.day}: {reading.instead}"
            for part, record, reading in otherwise
        )
        self.errata.append(f"{clause.cites} [{clause.key}]: {words}")
        bound = self._plain_bound(clause, raw)
        if bound and all(part == 0 and reading.figure for part, _, reading in otherwise):
            found = [
                {bound: reading.figure, "says": words, "standing": "confirmed",
                 "sources": [record.source]}
                for _, record, reading in otherwise
            ]  # fmt: skip
            subject = "limit" if raw.get("limit") is not None else "distance"
            readings = [{subject: raw[subject], **f} for f in found]
            return {**raw, "standing": "memory", "readings": readings}
        kept = {k: v for k, v in raw.items() if k not in (*REQUIREMENT, "unless", "readings")}
        reason = f"{words}. Until that is settled nothing is decided here; read the book"
        return {**kept, "standing": "memory", "unmodelled": reason}

    def _plain_bound(self, clause: Clause, raw: dict[str, Any]) -> str:
        """Return which single plain figure a clause limits by; "" where it is not that simple."""
        limit = clause.requirement
        if clause.exceptions or clause.readings or not isinstance(limit, Limit):
            return ""
        stated = [b for b in BOUNDS if raw.get(b) is not None]
        value = limit.least or limit.most
        plain = len(stated) == 1 and stated[0] in ("at_least", "at_most")
        return stated[0] if plain and isinstance(value, Fixed) else ""


def _governing(direction: str, figures: list[Fraction | str]) -> Fraction | str:
    """Return the stricter of the figures given for a cell; NOT_SEEN where that cannot be told."""
    if NOT_SEEN in figures or direction == UNKNOWN:
        return NOT_SEEN
    if NOT_PERMITTED in figures:
        return NOT_PERMITTED
    numbers = [f for f in figures if isinstance(f, Fraction)]
    return min(numbers) if direction == SMALLER else max(numbers)


def _direction(table: str, clauses: Iterable[Clause]) -> str:
    """Tell whether a smaller or a larger figure of a table asks more, by the clauses that read it."""
    found: set[str] = set()
    for clause in clauses:
        asked = [clause.requirement, *(e.requirement for e in clause.exceptions)]
        asked += [r.requirement for r in clause.readings]
        for requirement in asked:
            found |= _uses(requirement, table)
        tests = [clause.applies, clause.scope, *(e.when for e in clause.exceptions)]
        for condition in tests:
            for test in condition_tests(condition):
                bounds = [b for b in (test.low, test.high) if b is not None]
                if any(t.name == table for b in bounds for t in value_tables(b)):
                    found.add(UNKNOWN)
    return found.pop() if len(found) == 1 else UNKNOWN


def _uses(requirement: Requirement, table: str) -> set[str]:
    from deckclause.rulesets.walk import requirement_values

    found = set()
    for value in requirement_values(requirement):
        if not any(t.name == table for t in value_tables(value)):
            continue
        limit = requirement if isinstance(requirement, Limit) and _direct(value, table) else None
        if limit is not None and value is limit.most:
            found.add(SMALLER)
        elif limit is not None and value is limit.least:
            found.add(LARGER)
        else:
            found.add(UNKNOWN)
    return found


def _direct(value: Value, table: str) -> bool:
    """Tell whether a value reads the table as it is, and computes nothing with its figures."""
    if isinstance(value, Lookup):
        return True
    if not isinstance(value, ByChoice | Cases):
        return False
    cases = [case for _, case in value.cases]
    tests = [w for w, _ in value.cases] if isinstance(value, Cases) else []
    asked = any(
        t.name == table
        for when in tests
        for test in condition_tests(when)
        for bound in (test.low, test.high)
        if bound is not None
        for t in value_tables(bound)
    )
    using = [case for case in cases if any(t.name == table for t in value_tables(case))]
    return not asked and all(_direct(case, table) for case in using)
