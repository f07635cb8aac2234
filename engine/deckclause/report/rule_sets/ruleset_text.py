"""A rule set as text: clauses in our own words, tables laid out as the book prints them."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from deckclause.evaluate.words import ClauseWords, called, fact_text
from deckclause.report.rule_sets.ruleset_tables import MARK_LEGEND, MARKS, table_lines
from deckclause.rulesets.clauses import ALWAYS, Carried, Clause, Table
from deckclause.rulesets.names import rule_set_heading, rule_set_title
from deckclause.rulesets.ruleset import RuleSet
from deckclause.rulesets.vocabulary import READ_IN_BOOK, Vocabulary
from deckclause.rulesets.walk import clause_tables


def ruleset_lines(
    ruleset: RuleSet, vocabulary: Vocabulary, wanted: str, width: int, *, si: bool = False
) -> Iterator[str]:
    """Yield a rule set, or the topic, part or table `wanted`, line by line."""
    head = f"{rule_set_heading(ruleset.name, ruleset.title)} ({ruleset.published})"
    yield from wrap(head, width, subsequent_indent="  ")
    if not wanted:
        for told in filter(None, (ruleset.says, ruleset.warns)):
            yield from wrap(told, width)
    for told in ruleset.errata:
        yield from wrap(f"READ OTHERWISE IN THE BOOK: {told}", width, subsequent_indent="  ")
    words = ClauseWords(vocabulary, si=si)
    tables: dict[str, Table] = {t.name: t for t in ruleset.tables if t.name == wanted}
    part = ""
    for topic in vocabulary.topics.values():
        clauses = ruleset.topic_clauses(topic.name)
        if not clauses or (wanted and wanted not in (topic.name, topic.part)):
            continue
        if topic.part != part:
            part = topic.part
            yield ""
            yield vocabulary.parts[part].upper()
        yield topic.title
        for clause in clauses:
            yield from _clause(clause, words, width)
            tables.update({t.name: t for t in clause_tables(clause)})
    if not wanted:
        yield from _settings(ruleset, vocabulary, si=si)
    for table in tables.values():
        yield ""
        yield from table_lines(table, vocabulary, width, si=si)
        if table.carried is not None:
            yield from wrap(_carried_words(table.carried, table.standing), width)
    if tables:
        yield ""
        yield from wrap(MARK_LEGEND, width)


def _clause(clause: Clause, words: ClauseWords, width: int) -> Iterator[str]:
    mark = MARKS[clause.standing]
    head = f"{clause.cites}{f' {mark}' if mark else ''}: {clause.says} [{clause.key}]"
    yield from wrap(head, width, initial_indent="  ", subsequent_indent="    ")
    lines = [words.requirement(clause.requirement)]
    if clause.applies != ALWAYS:
        lines.append(f"applies where {words.condition(clause.applies)}")
    if clause.scope != ALWAYS:
        lines.append(f"covers {clause.scope_says or words.condition(clause.scope)}")
    for exception in clause.exceptions:
        lines.append(
            f"unless {words.condition(exception.when)}: {words.requirement(exception.requirement)} "
            f"({exception.cites})"
        )
    lines += [f"also read as: {reading.says}" for reading in clause.readings]
    if clause.origin.ordinance:
        origin = clause.origin
        lines.append(f"from {origin.place}, {origin.ordinance} {origin.section} ({origin.adopted})")
    if clause.origin.carried is not None:
        lines.append(_carried_words(clause.origin.carried, clause.standing))
    lines.append(_founded(clause, words.vocabulary))
    if clause.note:
        lines.append(f"note: {clause.note}")
    for line in lines:
        yield from wrap(line, width, initial_indent="      ", subsequent_indent="        ")


def _founded(clause: Clause, vocabulary: Vocabulary) -> str:
    """Say how well a clause is known, by whom it was read in the book, and from what else."""
    known = {name: vocabulary.sources.get(name) for name in clause.sources}
    read = [s.title for s in known.values() if s is not None and s.kind == READ_IN_BOOK]
    others = [n for n, s in known.items() if s is None or s.kind != READ_IN_BOOK]
    words = clause.standing + (f" ({'; '.join(read)})" if read else "")
    return f"{words}; sources: {', '.join(others)}" if others else words


def _carried_words(carried: Carried, standing: str) -> str:
    """Say whose words a carried clause or table repeats, and whether anybody has read it here."""
    words = (
        ""
        if carried.written_in == carried.ruleset
        else f", whose words are {rule_set_title(carried.written_in)}'s"
    )
    known = (
        "and confirmed for this rule set"
        if standing == "confirmed"
        else "the same as far as known: nobody has read it here"
    )
    return f"carried from {rule_set_title(carried.ruleset)}{words}; {known}"


def _settings(ruleset: RuleSet, vocabulary: Vocabulary, *, si: bool) -> Iterator[str]:
    if ruleset.settings:
        yield ""
        yield "VALUES THE PLACE SETS"
    for setting in ruleset.settings:
        value = fact_text(setting.value, vocabulary.quantities[setting.quantity], si=si)
        origin = setting.origin
        yield f"  {called(setting.quantity, vocabulary)}: {value} ({origin.ordinance} {origin.section})"
    for struck in ruleset.struck:
        act = " ".join(w for w in (struck.origin.ordinance, struck.origin.section) if w)
        said = f" {struck.says}" if struck.says else ""
        yield f"  struck: {struck.key} ({act}; {struck.standing}).{said}"
