"""What people read in the book does to figures: confirmed, doubted, disagreed on, merged."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from deckclause.answers.witness.tally import tally_of
from deckclause.rulesets.clauses import Fixed, Limit, Unmodelled
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.witnessed import item_fingerprint
from rulesets.small_rules import EDITION, one_place, open_rules

MEMORY = EDITION.replace("standing: confirmed\n    sources: [invented]",
                         "standing: memory\n    sources: [invented]")  # fmt: skip
HEAD = "witness: {name}\nruleset: code-2018\nprinting: first\nreadings:\n"


def rules_read(root: Path, **readings: str) -> RuleLibrary:
    """Open the small rules, all from memory, with the readings of people by name."""
    (root / "editions").mkdir(parents=True)
    (root / "editions" / "code-2018.yaml").write_text(MEMORY)
    (root / "editions" / "code-2021.yaml").write_text(MEMORY.replace("code-2018", "code-2021"))
    library = open_rules(root, one_place())
    folder = root / "witness" / "code-2018"
    folder.mkdir(parents=True)
    for name, lines in readings.items():
        (folder / f"{name}.yaml").write_text(HEAD.format(name=name.title()) + lines)
    return RuleLibrary.open(root) if readings else library


def cell(at: str, figure: str, seen: str = "as shown") -> str:
    return f"  - {{table: spacing, at: [{at}], seen: {seen}, figure: {figure}, on: 2024-05-01}}\n"


ROWS = (("lag, 72 in", "30 in"), ("lag, 144 in", "15 in"),
        ("bolt, 72 in", "36 in"), ("bolt, 144 in", "29 in"))  # fmt: skip


def test_a_cell_read_as_shown_is_confirmed_and_names_its_reader(tmp_path: Path) -> None:
    library = rules_read(tmp_path, ada=cell(*ROWS[0]))
    (table,) = library.ruleset("code-2018").tables
    note = table.note(0)
    assert note is not None
    assert (note.standing, note.sources) == ("confirmed", ("read-by-ada-code-2018",))
    assert table.standing == "memory"  # the other three nobody has read
    source = library.vocabulary.sources["read-by-ada-code-2018"]
    assert source.title == "code-2018 read in the book by Ada, 2024-05-01 (first)"
    assert not library.ruleset("code-2018").errata


def test_a_table_read_whole_is_confirmed_whole_and_no_other_edition_with_it(tmp_path: Path) -> None:
    library = rules_read(tmp_path, ada="".join(cell(*row) for row in ROWS))
    assert library.ruleset("code-2018").tables[0].standing == "confirmed"
    assert library.ruleset("code-2021").tables[0].standing == "memory"


def test_a_smaller_spacing_read_in_the_book_governs_and_is_told(tmp_path: Path) -> None:
    library = rules_read(tmp_path, ada=cell("lag, 72 in", "27 in", "otherwise"))
    ruleset = library.ruleset("code-2018")
    (table,) = ruleset.tables
    assert table.cells[0] == Fraction(27)
    note = table.note(0)
    assert note is not None
    assert note.also == Fraction(30)
    assert note.standing == "memory"
    (told,) = ruleset.errata
    assert "the rules have 30 in; Ada read 27 in on 2024-05-01" in told
    assert ruleset.layers[-1].kind == "erratum"


def test_a_larger_spacing_read_in_the_book_does_not_permit_more(tmp_path: Path) -> None:
    library = rules_read(tmp_path, ada=cell("lag, 72 in", "33 in", "otherwise"))
    assert library.ruleset("code-2018").tables[0].cells[0] == Fraction(30)
    assert library.ruleset("code-2018").errata


def test_readers_who_disagree_are_shown_and_the_stricter_stands(tmp_path: Path) -> None:
    library = rules_read(
        tmp_path, ada=cell("lag, 72 in", "30 in"), ben=cell("lag, 72 in", "28 in", "otherwise")
    )
    assert library.ruleset("code-2018").tables[0].cells[0] == Fraction(28)
    tally = tally_of(library, "code-2018")
    assert tally is not None
    assert len(tally.disagree) == 1
    assert "Ada read it as shown" in tally.disagree[0]
    assert "Ben read 28 in" in tally.disagree[0]


def test_two_who_agree_count_as_read_twice(tmp_path: Path) -> None:
    library = rules_read(tmp_path, ada=cell(*ROWS[0]) + cell(*ROWS[1]), ben=cell(*ROWS[0]))
    tally = tally_of(library, "code-2018")
    # 4 clauses, 1 exception and 4 cells are there to be read
    assert tally is not None
    assert (tally.all, tally.as_shown, tally.twice) == (9, 2, 1)


def test_an_erratum_merged_into_the_rules_confirms_them(tmp_path: Path) -> None:
    rules_read(tmp_path, ada=cell("lag, 72 in", "27 in", "otherwise"))
    edition = tmp_path / "editions" / "code-2018.yaml"
    edition.write_text(edition.read_text().replace("30 in, 15 in", "27 in, 15 in"))
    ruleset = RuleLibrary.open(tmp_path).ruleset("code-2018")
    note = ruleset.tables[0].note(0)
    assert not ruleset.errata
    assert note is not None
    assert note.standing == "confirmed"


def clause_line(library: RuleLibrary, key: str, part: int, seen: str, rest: str = "") -> str:
    print_ = item_fingerprint(library.as_written("code-2018"), key, part)
    exception = f"exception: {part}, " if part else ""
    return (
        f"  - {{clause: {key}, {exception}seen: {seen}, fingerprint: '{print_}', {rest}"
        "on: 2024-05-01}\n"
    )


def test_a_clause_and_its_exception_are_confirmed_apart(tmp_path: Path) -> None:
    library = rules_read(tmp_path / "one")
    line = clause_line(library, "frost", 1, "as shown")
    clause = rules_read(tmp_path / "two", ada=line).ruleset("code-2018").clause("frost")
    assert clause is not None
    assert (clause.standing, clause.exceptions[0].standing) == ("memory", "confirmed")


def test_a_reading_of_words_since_changed_confirms_nothing(tmp_path: Path) -> None:
    line = clause_line(rules_read(tmp_path / "one"), "frost", 0, "as shown")
    library = rules_read(tmp_path / "two", ada=line.replace("fingerprint: '", "fingerprint: 'x"))
    clause = library.ruleset("code-2018").clause("frost")
    tally = tally_of(library, "code-2018")
    assert clause is not None
    assert clause.standing == "memory"
    assert tally is not None
    assert len(tally.moved) == 1
    assert tally.as_shown == 0


def test_a_clause_that_cannot_be_bettered_by_a_figure_is_held_to_be_unknown(tmp_path: Path) -> None:
    line = clause_line(rules_read(tmp_path / "one"), "frost", 0, "otherwise", "figure: 44 in, ")
    ruleset = rules_read(tmp_path / "two", ada=line).ruleset("code-2018")
    clause = ruleset.clause("frost")  # it has an exception, so 44 in alone does not say it all
    assert clause is not None
    assert isinstance(clause.requirement, Unmodelled)
    assert "44 in" in ruleset.errata[0]
    assert clause.standing == "memory"


def test_a_plain_limit_read_otherwise_is_a_second_reading_and_the_stricter_governs(
    tmp_path: Path,
) -> None:
    plain = MEMORY.replace(
        "    unless:\n      - {when: {bolts.kind: lag}, says: Lags go deeper., at_most: 50 in}\n",
        "",
    )
    library = rules_read(tmp_path / "one")
    edition = tmp_path / "one" / "editions" / "code-2018.yaml"
    edition.write_text(plain)
    library = RuleLibrary.open(tmp_path / "one")
    line = clause_line(library, "frost", 0, "otherwise", "figure: 38 in, ")
    (tmp_path / "one" / "witness" / "code-2018" / "ada.yaml").write_text(
        HEAD.format(name="Ada") + line
    )
    clause = RuleLibrary.open(tmp_path / "one").ruleset("code-2018").clause("frost")
    assert clause is not None
    (other,) = clause.readings
    assert isinstance(other.requirement, Limit)
    assert other.requirement.most == Fixed(Fraction(38))


def test_places_on_the_edition_inherit_what_was_read(tmp_path: Path) -> None:
    library = rules_read(tmp_path, ada=cell("lag, 72 in", "27 in", "otherwise"))
    place = library.ruleset("Aldmere@2019-06-01")
    assert place.errata
    assert place.tables[0].cells[0] == Fraction(27)


@pytest.mark.parametrize(
    ("line", "words"),
    [
        (cell("lug, 72 in", "30 in"), "Ada read spacing at lug, 72 in, which is not in code-2018"),
        (cell("lag, 72 in", "thirty"), "Ada, spacing at lag, 72 in"),
        ("  - {table: spacing, at: [lag], seen: as shown, on: 2024-05-01}\n", "`figure` is needed"),
        ("  - {seen: as shown, on: 2024-05-01}\n", "names one clause or one table"),
        ("  - {clause: frost, seen: as sown, on: 2024-05-01}\n", "Did you mean as shown?"),
    ],
)
def test_a_faulty_witness_file_is_refused(tmp_path: Path, line: str, words: str) -> None:
    library = rules_read(tmp_path, ada=line)
    with pytest.raises(InputError) as fault:
        library.ruleset("code-2018")
    assert words in str(fault.value)


def test_a_file_under_another_name_or_edition_is_refused(tmp_path: Path) -> None:
    rules_read(tmp_path, ada=cell(*ROWS[0]))
    path = tmp_path / "witness" / "code-2018" / "ada.yaml"
    path.rename(path.with_name("ben.yaml"))
    with pytest.raises(InputError, match=r"belong in ada\.yaml"):
        RuleLibrary.open(tmp_path).ruleset("code-2018")
