"""A carried line is the clause of the rule set before with only its citation and witness changed."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace

from deckclause.cli.main import run
from deckclause.evaluate.cache import Cache
from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.clauses import Carried, Clause
from deckclause.rulesets.files import find_files
from deckclause.rulesets.fingerprint import fingerprint, table_fingerprint
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.substance import substance
from deckclause.upkeep.lint.context import LintContext
from deckclause.upkeep.lint.run import CHECKS, run_checks
from rulesets.small_rules import EDITION, open_rules

HEAD = """ruleset: {name}
kind: edition
title: A small code
in_force: {{published: {year}}}
"""
LINES = """tables:
  spacing:
    carried: code-2018
    cites: Table 2
    standing: memory
    sources: [invented]
    fingerprint: "{spacing_table}"  # as in 2018
clauses:
  # --- bolts ---
  - {{key: bolt_spacing, carried: code-2018, cites: "6.1", standing: memory, sources: [invented], fingerprint: "{bolt_spacing}"}}
  - key: bolt_kind
    carried: code-2018
    cites: "6.2"
    standing: confirmed
    sources: [invented]
    fingerprint: "{bolt_kind}"
  - {{key: frost, carried: code-2018, cites: "6.3", standing: memory, sources: [invented], fingerprint: "{frost}", note: Mine.}}
"""


def prints(library: RuleLibrary, name: str = "code-2018") -> dict[str, str]:
    """Return the fingerprint of each clause of a rule set, and of its table."""
    loaded = library.load(name)
    found = {k: fingerprint(r, loaded.raw_tables) for k, r in loaded.raw_clauses.items()}
    return found | {"spacing_table": table_fingerprint(loaded.raw_tables["spacing"])}


def carrying(root: Path, text: str = LINES, base: str = EDITION) -> RuleLibrary:
    """Write the small rules, their 2021 edition carrying from 2018."""
    open_rules(root)
    (root / "editions" / "code-2018.yaml").write_text(base)
    return with_2021(root, text.format(**prints(RuleLibrary.open(root))))


def with_2021(root: Path, text: str) -> RuleLibrary:
    head = HEAD.format(name="code-2021", year=2021)
    (root / "editions" / "code-2021.yaml").write_text(head + text)
    return RuleLibrary.open(root)


def faults(library: RuleLibrary, name: str = "code-2021") -> str:
    with pytest.raises(InputError) as fault:
        library.ruleset(name)
    return str(fault.value)


def witnessed(clause: Clause, like: Clause) -> Clause:
    """Return a clause with the citation, witness, note and place of another."""
    exceptions = tuple(
        replace(e, cites=o.cites, standing=o.standing, sources=o.sources, line=o.line)
        for e, o in zip(clause.exceptions, like.exceptions, strict=True)
    )
    readings = tuple(
        replace(r, standing=o.standing, sources=o.sources)
        for r, o in zip(clause.readings, like.readings, strict=True)
    )
    return replace(
        clause,
        cites=like.cites,
        says=like.says,
        standing=like.standing,
        sources=like.sources,
        note=like.note,
        origin=like.origin,
        exceptions=exceptions,
        readings=readings,
    )


def test_a_carried_line_is_the_clause_before_cited_and_witnessed_anew(tmp_path: Path) -> None:
    library = carrying(tmp_path)
    old, new = library.ruleset("code-2018"), library.ruleset("code-2021")
    assert [c.key for c in new.clauses] == ["bolt_spacing", "bolt_kind", "frost"]
    for clause in new.clauses:
        before = old.clause(clause.key)
        assert before is not None
        assert substance(clause) == substance(before)
        assert clause.origin.carried == Carried("code-2018", "code-2018")
        assert clause.origin.file.endswith("code-2021.yaml")
    spacing, kind, frost = new.clauses
    assert (spacing.cites, spacing.standing, spacing.note) == ("6.1", "memory", "")
    assert spacing.says == "Bolts stand no farther apart than the table gives."
    assert spacing.only_carried
    assert not kind.only_carried  # somebody has read that it is the same
    assert (frost.note, frost.exceptions[0].standing) == ("Mine.", "memory")
    (table,) = new.tables
    assert (table.cites, table.standing, table.carried) == (
        "Table 2",
        "memory",
        Carried("code-2018", "code-2018"),
    )


def test_every_shipped_carried_line_is_the_clause_before() -> None:
    """Over all editions and guides: nothing but citation, witness, note and words is its own."""
    library = RuleLibrary.open()
    for name in library.files.rulesets:
        ruleset = library.ruleset(name)
        for clause in ruleset.clauses:
            carried = clause.origin.carried
            if carried is not None:
                before = library.ruleset(carried.ruleset).clause(clause.key)
                assert before is not None
                assert substance(clause) == substance(before)
                assert _without_tables(witnessed(before, clause)) == _without_tables(clause)
        for table in ruleset.tables:
            if table.carried is not None:
                tables = {t.name: t for t in library.ruleset(table.carried.ruleset).tables}
                before_table = tables[table.name]
                assert (table.axes, table.cells) == (before_table.axes, before_table.cells)


def _without_tables(clause: Clause) -> tuple[object, ...]:
    """Return all of a clause, its tables by axes and cells alone (they are witnessed apart)."""
    return (
        substance(clause),
        clause.key,
        clause.topic,
        clause.says,
        clause.scope_says,
        clause.never_relax,
        clause.assumes,
        [e.says for e in clause.exceptions],
        [r.says for r in clause.readings],
    )


def test_a_line_carried_twice_says_where_the_words_stand(tmp_path: Path) -> None:
    carrying(tmp_path)
    own = prints(RuleLibrary.open(tmp_path), "code-2021")
    text = LINES.replace("code-2018", "code-2021").format(**own)
    (tmp_path / "editions" / "code-2024.yaml").write_text(
        HEAD.format(name="code-2024", year=2024) + text
    )
    clause = RuleLibrary.open(tmp_path).ruleset("code-2024").clause("bolt_kind")
    assert clause is not None
    assert clause.origin.carried == Carried("code-2021", "code-2018")


def test_a_change_of_what_is_carried_is_refused_until_affirmed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    carrying(tmp_path)
    file = tmp_path / "editions" / "code-2021.yaml"
    before = file.read_text()
    base = tmp_path / "editions" / "code-2018.yaml"
    base.write_text(base.read_text().replace("at_most: 40 in", "at_most: 42 in"))
    said = faults(RuleLibrary.open(tmp_path))
    assert "code-2021.yaml, line 21: clauses[2].fingerprint: frost of code-2018 has moved" in said
    assert "it now reads: 5.3: The frost line" in said
    assert "`deckclause rules affirm code-2021 --write`" in said
    assert "bolt_kind" not in said
    command = ["rules", "affirm", "code-2021", "--rules", str(tmp_path)]
    assert run(command) == 1
    assert file.read_text() == before
    assert run([*command, "--write"]) == 0
    after = file.read_text()
    changed = [
        (a, b) for a, b in zip(before.splitlines(), after.splitlines(), strict=True) if a != b
    ]
    assert len(changed) == 1
    assert "key: frost" in changed[0][1]
    clause = RuleLibrary.open(tmp_path).ruleset("code-2021").clause("frost")
    assert clause is not None
    assert run(command) == 0
    capsys.readouterr()


def test_a_changed_cell_makes_the_table_and_what_reads_it_stale(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    carrying(tmp_path)
    base = tmp_path / "editions" / "code-2018.yaml"
    base.write_text(base.read_text().replace("lag: [30 in", "lag: [28 in"))
    said = faults(RuleLibrary.open(tmp_path))
    assert "tables.spacing.fingerprint: spacing of code-2018 has moved" in said
    assert "bolt_spacing of code-2018 has moved" in said
    assert run(["rules", "affirm", "code-2021", "--rules", str(tmp_path), "--write"]) == 0
    text = (tmp_path / "editions" / "code-2021.yaml").read_text()
    assert "# as in 2018" in text
    assert RuleLibrary.open(tmp_path).ruleset("code-2021").tables[0].cells[0] == 28
    capsys.readouterr()


@pytest.mark.parametrize("drop", [', fingerprint: "{frost}"', '    fingerprint: "{bolt_kind}"\n'])
def test_a_missing_fingerprint_is_told_and_put_in_beside_the_key(
    tmp_path: Path, drop: str, capsys: pytest.CaptureFixture[str]
) -> None:
    carrying(tmp_path, LINES.replace(drop, ""))
    assert "is missing; as it stands in code-2018 now it is" in faults(RuleLibrary.open(tmp_path))
    assert run(["rules", "affirm", "code-2021", "--rules", str(tmp_path), "--write"]) == 0
    assert len(RuleLibrary.open(tmp_path).ruleset("code-2021").clauses) == 3
    capsys.readouterr()


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "carried: code-2018\n    cites: \"6.2\"",
            "carried: code-2019\n    cites: \"6.2\"",
            "line 16: carried: there is no edition or guide 'code-2019'. Did you mean",
        ),
        (
            "carried: code-2018\n    cites: \"6.2\"",
            "carried: code-2021\n    cites: \"6.2\"",
            "carried: code-2021 is no earlier edition; name the one before this",
        ),
        ("key: frost", "key: frst", "code-2018 has no clause 'frst' to carry. Did you mean frost?"),
        ("carried: code-2018", "carried:\n      code-2018", "write `carried: code-2018` on one line"),
        ("    standing: confirmed\n", "", "clauses[1].standing: this is needed and is missing"),
        ("    sources: [invented]\n    fingerprint: \"{b", "    fingerprint: \"{b", "sources: this is needed"),
        (
            "cites: \"6.2\"",
            "cites: \"6.2\"\n    at_most: 3 in",
            "'at_most' is not a known key",
        ),
        ("spacing:\n    carried", "spacings:\n    carried", "code-2018 has no table 'spacings'"),
    ],
)  # fmt: skip
def test_a_line_that_cannot_be_carried_is_told_with_its_cure(
    tmp_path: Path, old: str, new: str, said: str
) -> None:
    assert old in LINES
    assert said in faults(carrying(tmp_path, LINES.replace(old, new)))


def test_a_clause_is_not_carried_without_the_table_it_reads(tmp_path: Path) -> None:
    other = EDITION[EDITION.index("tables:") : EDITION.index("clauses:")]
    other = other.replace("36 in, 29 in", "36 in, 28 in").replace("{", "{{").replace("}", "}}")
    text = other + LINES[LINES.index("clauses:") :]
    said = faults(carrying(tmp_path, text))
    assert "bolt_spacing reads the table spacing, which is not the one code-2018 has" in said


CITED = EDITION.replace(
    "says: Lags go deeper., ", "says: Lags go deeper., cites: 5.3 note a, standing: derived, "
)


def test_exceptions_are_cited_and_witnessed_anew(tmp_path: Path) -> None:
    said = faults(carrying(tmp_path, base=CITED))
    assert "`unless` needs 1 entries, one for each of the exceptions in code-2018" in said
    bare = LINES.replace("note: Mine.", "unless: [{{cites: 6.3 note b}}]")
    clause = carrying(tmp_path, bare, CITED).ruleset("code-2021").clause("frost")
    assert clause is not None
    assert clause.exceptions[0].standing == "memory"  # where nobody says that it was seen
    whole = bare.replace("note b}}", "note b, standing: confirmed}}")
    clause = carrying(tmp_path, whole, CITED).ruleset("code-2021").clause("frost")
    assert clause is not None
    (exception,) = clause.exceptions
    assert (exception.cites, exception.standing, exception.says) == (
        "6.3 note b",
        "confirmed",
        "Lags go deeper.",
    )


def found_by_lint(root: Path, check: str) -> list[str]:
    context = LintContext(RuleLibrary.open(root))
    found = run_checks(context, [c for c in CHECKS if c.name == check])
    return [f"line {f.place.line}: {f.subject}: {f.message}" for f in found]


def test_a_confirmed_line_needs_a_published_source(tmp_path: Path) -> None:
    carrying(tmp_path)
    sources = (
        "sources:\n  invented: {title: Invented, kind: other}\n"
        "  memory: {title: Memory, kind: other}\n"
    )
    (tmp_path / "sources.yaml").write_text(sources)
    confirmed = "standing: confirmed\n    sources: [invented]"
    text = LINES.replace(confirmed, confirmed.replace("invented", "memory"))
    with_2021(tmp_path, text.format(**prints(RuleLibrary.open(tmp_path))))
    assert found_by_lint(tmp_path, "standing-unfounded") == [
        "line 15: bolt_kind: is called confirmed, but names no published source"
    ]


def test_lint_counts_what_nobody_has_read_to_be_the_same(tmp_path: Path) -> None:
    carrying(tmp_path)
    (found,) = found_by_lint(tmp_path, "carried-unread")
    assert "2 of 3 carried clauses (of 3) stand on no reading of this text" in found


def test_lint_finds_stale_lines_and_says_how_to_affirm_them(tmp_path: Path) -> None:
    carrying(tmp_path)
    base = tmp_path / "editions" / "code-2018.yaml"
    base.write_text(base.read_text().replace("one_of: [lag, bolt]", "one_of: [lag]"))
    (stale,) = found_by_lint(tmp_path, "stale-carried")
    assert stale.startswith("line 20: bolt_kind: bolt_kind: recorded ")
    assert stale.endswith("`deckclause rules affirm code-2021`")
    assert any("has moved" in found for found in found_by_lint(tmp_path, "unreadable"))


def test_lint_finds_a_line_carried_past_an_edition(tmp_path: Path) -> None:
    carrying(tmp_path)
    own = prints(RuleLibrary.open(tmp_path))
    (tmp_path / "editions" / "code-2024.yaml").write_text(
        HEAD.format(name="code-2024", year=2024) + LINES.format(**own)
    )
    found = found_by_lint(tmp_path, "carried-past")
    assert len(found) == 3
    assert "bolt_kind: is carried from code-2018, past code-2021" in found[1]


def test_what_is_kept_notices_a_change_in_the_edition_carried_from(tmp_path: Path) -> None:
    kept = tmp_path / "kept"
    kept.mkdir()
    root = tmp_path / "rules"
    root.mkdir()
    carrying(root)

    def read() -> str:
        clause = Catalogue(find_files(root), Cache(kept)).ruleset("code-2021").clause("bolt_kind")
        assert clause is not None
        return clause.says

    assert read() == "Lags or bolts."
    base = root / "editions" / "code-2018.yaml"
    base.write_text(base.read_text().replace("Lags or bolts.", "Bolts or lags."))
    assert read() == "Bolts or lags."


def test_an_amendment_changes_a_carried_clause_as_any_other(tmp_path: Path) -> None:
    library = carrying(tmp_path)
    loaded = library.load("code-2021")
    mark = fingerprint(loaded.raw_clauses["frost"], loaded.raw_tables)
    head = "amendment: deeper\nkind: amendment\ntitle: T\nplace: P\nedition: code-2021\nordinance: O\nadopted: draft\nsources: [invented]\n"  # fmt: skip
    change = f'changes:\n  - {{replace: frost, fingerprint: "{mark}", to: {{at_most: 44 in}}}}\n'
    (tmp_path / "amendments" / "deeper.yaml").write_text(head + change)
    clause = RuleLibrary.open(tmp_path).ruleset("deeper").clause("frost")
    assert clause is not None
    assert clause.origin.carried is None
    assert clause.exceptions[0].says == "Lags go deeper."


def test_several_rule_sets_are_affirmed_in_turn_the_earliest_first(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What is carried on is looked at once the edition it is carried from has been affirmed."""
    carrying(tmp_path)
    own = prints(RuleLibrary.open(tmp_path), "code-2021")
    text = LINES.replace("code-2018", "code-2021").format(**own)
    (tmp_path / "editions" / "code-2024.yaml").write_text(
        HEAD.format(name="code-2024", year=2024) + text
    )
    base = tmp_path / "editions" / "code-2018.yaml"
    base.write_text(base.read_text().replace("at_most: 40 in", "at_most: 42 in"))
    command = ["rules", "affirm", "code-2021", "code-2024", "--rules", str(tmp_path)]
    assert run(command) == 1
    assert "Not looked at yet, as they may carry it on: code-2024." in capsys.readouterr().out
    assert run([*command, "--write"]) == 0
    assert RuleLibrary.open(tmp_path).ruleset("code-2024").clause("frost") is not None
    assert run(command) == 0
