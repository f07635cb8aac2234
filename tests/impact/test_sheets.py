"""Tables as offices keep them: any separator and encoding, workbooks, and a map of their columns."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest

from deckclause.cli.impact.map import ask_through
from deckclause.cli.main import run
from deckclause.evaluate.catalogue import Catalogue
from deckclause.impact.cells import CellError, CellReader, Column
from deckclause.impact.column_map import map_beside, read_map
from deckclause.impact.propose import Answers, propose_map
from deckclause.impact.read import Archive
from deckclause.impact.rows import Read
from deckclause.impact.write_map import map_text
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.vocabulary import Vocabulary
from impact.untidy import write_workbook

SHEETS = Path(__file__).parent / "sheets"


@pytest.fixture(scope="module")
def vocabulary() -> Vocabulary:
    return Catalogue.open().vocabulary


def mapped(path: Path, vocabulary: Vocabulary, answers: Answers | None = None) -> Read:
    """Map a sheet as proposed and read it."""
    given = answers or Answers()
    beside = map_beside(path)
    beside.write_text(map_text(propose_map(Archive(path, vocabulary), given), given, vocabulary))
    archive = Archive(path, vocabulary, map=read_map(beside, vocabulary))
    (read,) = (chunk for chunk in archive.chunks() if isinstance(chunk, Read))
    return read


def facts(read: Read) -> list[dict[str, object]]:
    return [read.chunk.facts(row) for row in range(read.chunk.count)]


def inches(feet: int, more: str = "0") -> Fraction:
    return feet * 12 + Fraction(more)


def test_a_permit_office_s_sheet_is_read_as_its_clerk_would_read_it(
    vocabulary: Vocabulary, tmp_path: Path
) -> None:
    """Every value typed again by hand from the sheet."""
    path = Path(shutil.copy(SHEETS / "town.csv", tmp_path))
    read = mapped(path, vocabulary)
    assert read.names == (
        "2019-0113\t14 Mill Ln",
        "2019-0141\t2 Oak St",
        "2019-0188\t88 Elm",
    )
    half, snow = Fraction(1, 2), Fraction(25, 144)
    assert facts(read) == [
        {
            "ledger.size": "2x10",
            "fasteners.kind": "lag_screw",
            "fasteners.diameter": half,
            "fasteners.spacing": 16,
            "joists.size": "2x10",
            "joists.span": inches(11, "6"),
            "joists.spacing": 16,
            "guards.height": 36,
            "site.ground_snow_load": snow,
            "footings.depth": 42,
        },
        {
            "ledger.size": "2x8",
            "fasteners.kind": "through_bolt",
            "fasteners.diameter": half,
            "fasteners.spacing": 24,
            "joists.size": "2x8",
            "joists.span": inches(13, "9/2"),
            "joists.spacing": 16,
            "guards.height": 36,
            "site.ground_snow_load": snow,
            "footings.depth": inches(3, "6"),
        },
        {
            "ledger.size": "2x10",
            "fasteners.kind": "lag_screw",
            "fasteners.diameter": half,
            "fasteners.spacing": 16,
            "joists.size": "2x8",
            "joists.span": inches(9, "6"),
            "joists.spacing": 24,
            "footings.depth": 48,
        },
    ]
    assert not read.bad
    assert not read.lost


def test_headings_that_name_quantities_read_office_words_too(vocabulary: Vocabulary) -> None:
    (read,) = (c for c in Archive(SHEETS / "town2.csv", vocabulary).chunks() if isinstance(c, Read))
    found = facts(read)
    assert len(found) == 7
    assert [f.get("fasteners.kind") for f in found] == [
        *("lag_screw", "through_bolt", "lag_screw", "lag_screw", "lag_screw", "lag_screw"),
        "lag_screw",
    ]
    assert {f["joists.species"] for f in found} == {"southern_pine"}
    assert found[3]["joists.span"] == inches(11, "13/2")
    assert found[6]["joists.span"] == inches(11, "6")
    assert [(f.row, f.cell) for f in read.lost] == [(3, "9.5"), (4, "1/2"), (5, "138")]
    assert all("has no unit" in f.reason for f in read.lost)
    assert not read.bad


def test_an_untidy_workbook_is_read_and_what_is_not_understood_is_listed(
    vocabulary: Vocabulary, tmp_path: Path
) -> None:
    path = write_workbook(tmp_path / "decks.xlsx")
    proposed = propose_map(Archive(path, vocabulary))
    assert (proposed.form.sheet, proposed.form.header_row) == ("Decks 2021", 3)
    assert proposed.labels == ("Record #", "Site Address")
    read = mapped(path, vocabulary)
    assert [name.split("\t")[0] for name in read.names] == ["D-1", "D-2", "D-3", "D-4", "D-5"]
    assert [(bad.name.split("\t")[0], bad.reason[:14]) for bad in read.bad] == [
        ("Total", "states nothing")
    ]
    found = facts(read)
    assert [f.get("joists.size") for f in found] == ["2x8", "2x10", "2x8", "2x10", None]
    assert [f.get("joists.span") for f in found] == [
        *(inches(11, "6"), inches(13, "2"), inches(12), None, None)
    ]
    assert [f.get("joists.spacing") for f in found] == [16, 16, 16, 24, 16]
    assert [f.get("fasteners.kind") for f in found] == [
        *("lag_screw", "through_bolt", "lag_screw", "nail", "lag_screw")
    ]
    assert [f.get("fasteners.spacing") for f in found] == [16, 30, 20, None, None]
    lost = {(fact.heading, fact.cell): fact.reason for fact in read.lost}
    assert set(lost) == {
        ("Joists", "2x9"),
        ("Joist span (ft)", "138"),
        ("Bolt spacing (in)", "2021-06-16"),
    }
    assert "the unit may be another" in lost["Joist span (ft)", "138"]
    assert "is a date" in lost["Bolt spacing (in)", "2021-06-16"]


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_any_separator_and_encoding_gives_the_same_facts(
    vocabulary: Vocabulary, tmp_path: Path, separator: str, encoding: str
) -> None:
    lines = ["permit", "fasteners.diameter", "joists.span [ft]"], ["Süd-1", "½ in", "9½"]
    path = tmp_path / "permits.csv"
    text = "\r\n".join(separator.join(cells) for cells in lines)
    path.write_bytes(text.encode(encoding))
    (read,) = (c for c in Archive(path, vocabulary).chunks() if isinstance(c, Read))
    assert read.names == ("Süd-1",)
    assert facts(read) == [{"fasteners.diameter": Fraction(1, 2), "joists.span": inches(9, "6")}]


def test_a_workbook_parquet_and_csv_of_one_sheet_agree(
    vocabulary: Vocabulary, tmp_path: Path
) -> None:
    import openpyxl
    import pyarrow as pa
    import pyarrow.parquet as pq

    rows = [
        ["Permit", "Joist", "Span (ft)"],
        ["A", "2x8", "9.5"],
        ["", "", ""],
        ["B", "2 x 10", "-"],
    ]
    (tmp_path / "a.csv").write_text("\n".join(",".join(row) for row in rows))
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append([cell or None for cell in row])
    book.save(tmp_path / "a.xlsx")
    columns = zip(*rows[1:], strict=True)
    table = pa.table({name: list(column) for name, column in zip(rows[0], columns, strict=True)})
    pq.write_table(table, tmp_path / "a.parquet")
    answers = Answers(facts={"Span (ft)": "joists.span"})
    reads = [
        mapped(tmp_path / f"a.{kind}", vocabulary, answers) for kind in ("csv", "xlsx", "parquet")
    ]
    for read in reads:
        assert read.names == ("A", "B")
        assert facts(read) == [
            {"joists.size": "2x8", "joists.span": inches(9, "6")},
            {"joists.size": "2x10"},
        ]
        assert (read.bad, read.lost) == ((), ())


@pytest.mark.parametrize(
    ("name", "unit", "cell", "value"),
    [
        ("joists.span", "ft", "11 1/2", inches(11, "6")),
        ("joists.span", "", "11ft6", inches(11, "6")),
        ("joists.span", "", "11' 6 1/2", inches(11, "13/2")),
        ("joists.span", "ft", "N/A", None),
        ("joists.spacing", "in", "24 o.c.", 24),
        ("fasteners.diameter", "in", "½", Fraction(1, 2)),
        ("fasteners.kind", "", "5/8 in. dia. thru bolt", "through_bolt"),
        ("joists.size", "", "2 x 10 PT", "2x10"),
    ],
)
def test_cells_as_offices_write_them(
    vocabulary: Vocabulary, name: str, unit: str, cell: str, value: object
) -> None:
    assert CellReader(Column(vocabulary.quantities[name], unit)).read(cell) == value


@pytest.mark.parametrize(
    ("name", "cell"),
    [
        ("joists.span", "9.5"),
        ("joists.size", "2x10 doubled"),
        ("ledger.size", "(2) 2x10"),
        ("fasteners.kind", "lag or bolt"),
        ("fasteners.diameter", "1/2 or 5/8"),
        ("guards.height", "none"),
    ],
)
def test_a_cell_with_more_than_one_reading_is_never_guessed(
    vocabulary: Vocabulary, name: str, cell: str
) -> None:
    assert isinstance(CellReader(Column(vocabulary.quantities[name])).read(cell), CellError)


def test_questions_are_asked_one_by_one_and_answers_kept(
    vocabulary: Vocabulary, tmp_path: Path
) -> None:
    path = Path(shutil.copy(SHEETS / "town.csv", tmp_path))
    answers, asked = Answers(), []
    given = iter(["1", "-", "ledger", "nonsense", "deck"])

    def ask(prompt: str) -> str | None:
        asked.append(prompt)
        return next(given, None)

    ask_through(Archive(path, vocabulary), answers, vocabulary, ask)
    assert "Deck Length: which fact" in asked[0]
    assert "Deck Width: which fact" in asked[1]
    assert asked[3] == asked[4], "an answer that will not do is asked again"
    read = mapped(path, vocabulary, answers)
    assert [f["ledger.length"] for f in facts(read)] == [192, 240, 144]
    assert {(f["deck.attachment"], f["deck.use"]) for f in facts(read)} == {("ledger", "deck")}


def asking(*given: str) -> tuple[list[str], Callable[[str], str | None]]:
    """Return the questions put so far, and what answers them one by one; then the input ends."""
    asked: list[str] = []
    answers = iter(given)

    def ask(prompt: str) -> str | None:
        asked.append(prompt)
        return next(answers, None)

    return asked, ask


def test_a_sheet_is_read_once_however_much_is_asked(
    vocabulary: Vocabulary, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = Path(shutil.copy(SHEETS / "town.csv", tmp_path))
    read: list[int] = []
    first_rows = Archive.first_rows

    def counted(archive: Archive, most: int) -> tuple[list[str], list[list[str]]]:
        read.append(most)
        return first_rows(archive, most)

    monkeypatch.setattr(Archive, "first_rows", counted)
    asked, ask = asking("", "", "")
    ask_through(Archive(path, vocabulary), Answers(), vocabulary, ask)
    assert len(asked) == 4
    assert len(read) == 1


def test_the_units_offered_are_those_of_the_fact(vocabulary: Vocabulary, tmp_path: Path) -> None:
    path = tmp_path / "snow.csv"
    path.write_text("Permit No.,Ground snow load\n1,2\n2,3\n")
    asked, ask = asking()
    ask_through(Archive(path, vocabulary), Answers(), vocabulary, ask)
    assert asked[0].endswith("in what unit?\n   1: psf\n> ")


@pytest.mark.parametrize(
    "wrong",
    [
        "file: {encoding: [utf-8]}",
        "file: {separator: [comma]}",
        "file: {sheet: {a: b}}",
        "every_permit: {joists.size: [2x8]}",
        "columns: {A: {fact: joists.span, unit: [ft]}}",
        "columns: {A: {fact: ledger.size, words: {big: [2x10]}}}",
    ],
)
def test_a_list_where_a_map_needs_one_word_is_told(
    vocabulary: Vocabulary, tmp_path: Path, wrong: str
) -> None:
    path = tmp_path / "m.yaml"
    columns = "" if wrong.startswith("columns") else "columns: {A: {fact: ledger.size}}\n"
    path.write_text(f'format: "1"\n{columns}{wrong}\n')
    with pytest.raises(InputError) as told:
        read_map(path, vocabulary)
    assert [p.message for p in told.value.problems] == [
        "one word or value is needed here, not a list or mapping"
    ]


def test_a_map_of_a_sheet_that_a_workbook_no_longer_has_says_so(
    vocabulary: Vocabulary, tmp_path: Path
) -> None:
    book, path = write_workbook(tmp_path / "decks.xlsx"), tmp_path / "m.yaml"
    path.write_text(
        'format: "1"\nfile: {sheet: Decks 2019, header_row: 3}\n'
        "columns: {Ledger: {fact: ledger.size}}\n"
    )
    archive = Archive(book, vocabulary, map=read_map(path, vocabulary))
    with pytest.raises(InputError, match=r"no sheet 'Decks 2019'\. One of: Sheet1, Decks 2021"):
        list(archive.chunks())


def test_no_fact_is_taken_that_the_map_would_be_refused_for(
    vocabulary: Vocabulary, tmp_path: Path
) -> None:
    """A name of a part, such as the beam of a field, is of one deck: a column cannot say it."""
    path = Path(shutil.copy(SHEETS / "town.csv", tmp_path))
    answers = Answers()
    asked, ask = asking("joists.beam")
    ask_through(Archive(path, vocabulary), answers, vocabulary, ask)
    assert asked[0] == asked[1], "asked again"
    assert answers.facts == {}


def test_a_map_that_cannot_be_read_says_all_that_is_wrong_by_line(
    vocabulary: Vocabulary, tmp_path: Path
) -> None:
    path = tmp_path / "m.yaml"
    path.write_text(
        'format: "1"\nfile: {separator: comm}\ncolums: {}\ncolumns:\n'
        "  A: {fact: joists.sapn}\n  B: {fact: joists.span, unit: psf}\n"
        "  C: {fact: ledger.depth}\n  D: {fact: ledger.size, words: {big: 2x14}}\n"
    )
    with pytest.raises(InputError) as told:
        read_map(path, vocabulary)
    said = "\n".join(map(str, told.value.problems))
    for words in (
        "line 2: 'comm' is no separator known here. Did you mean comma?",
        "line 3: 'colums' is not a known key. Did you mean columns?",
        "line 5: 'joists.sapn' is no fact a design states. Did you mean joists.span?",
        "line 6: '1 psf'",
        "line 7: 'ledger.depth' is no fact",
        "line 8: ledger.size: '2x14' is not a choice",
    ):
        assert words in said


def test_a_map_of_other_headings_says_which_are_not_there(
    vocabulary: Vocabulary, tmp_path: Path
) -> None:
    path = tmp_path / "a.csv"
    path.write_text("Permit,Joists\n1,2x8\n")
    beside = map_beside(path)
    beside.write_text('format: "1"\nrows_named_by: Permit\ncolumns: {Joist: joists.size}\n')
    with pytest.raises(InputError, match=r"'Joist' is no heading of a.csv. Did you mean Joists"):
        list(Archive(path, vocabulary, map=read_map(beside, vocabulary)).chunks())


def test_a_map_is_written_once_found_beside_its_sheet_and_never_overwritten(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    shutil.copy(SHEETS / "town.csv", tmp_path)
    assert run(["impact", "map", "town.csv"]) == 3
    said = " ".join(capsys.readouterr().out.split())
    assert (
        "Joist Span -> joists.span [ft], 3 cells; bare numbers, such as 9.5, are read as ft" in said
    )
    assert "? Deck Length: which fact?" in said
    assert run(["impact", "map", "town.csv"]) == 2
    assert "already there" in capsys.readouterr().err
    asked = ["impact", "town.csv", "--from", "irc-2015", "--to", "irc-2021", "--out", "o"]
    run([*asked, "--list", "all", "--quiet", "--topic", "joist_span"])
    assert "Not read, as the map leaves them open: Deck Length, Deck Width." in " ".join(
        capsys.readouterr().out.split()
    )
    assert (tmp_path / "o" / "flips.csv").read_text().startswith("row,Permit No.,Address,topic,")


# -- to the council's page, with numbers counted by hand -------------------------------------------

OF_ALL = {
    "deck.attachment": "ledger",
    "deck.use": "deck",
    "wall.structure": "wood_frame",
    "wall.sheathing_kind": "wood_structural_panel",
    "wall.sheathing_thickness": "15/32 in",
    "wall.gap_to_sheathing": "0 in",
    "wall.drainage_washer_stack": "0 in",
    "band_joist.kind": "sawn_lumber",
    "band_joist.size": "2x10",
    "band_joist.species": "spruce_pine_fir",
    "joists.cantilever": "0 in",
    "joists.grade": "no_2",
}
PINE = {**OF_ALL, "joists.species": "southern_pine"}


def council_page(path: Path, answers: Answers, vocabulary: Vocabulary) -> str:
    """Map a sheet, run it from IRC 2012 to IRC 2018, and return the council's page."""
    beside = map_beside(path)
    beside.write_text(
        map_text(propose_map(Archive(path, vocabulary), answers), answers, vocabulary)
    )
    page = path.with_suffix(".html")
    out = str(path.with_suffix(""))
    asked = ["impact", str(path), "--from", "irc-2012", "--to", "irc-2018", "--quiet"]
    assert run([*asked, "--out", out, "-o", str(page)]) == 1
    return page.read_text(encoding="utf-8")


def counts(page: str, topic: str) -> list[int]:
    """Return the page's figures for a topic: decided, newly fail, no longer fail, engineering."""
    row = re.search(rf"<tr>\s*<th[^>]*>{topic}</th>(.*?)</tr>", page, re.DOTALL)
    assert row is not None
    return [int(n) for n in re.findall(r"<td[^>]*>(\d+)</td>", row[1])]


def test_town_s_sheet_ends_in_a_council_page_counted_by_hand(
    vocabulary: Vocabulary, tmp_path: Path
) -> None:
    """Southern pine no. 2 at 40 psf, IRC 2018 Table R507.6: 2x10 at 16 in spans 14-0, 2x8 at 16 in
    11-10; the permits say 11-6 and 13-4-1/2. The third states no snow load, so its table is open.
    IRC 2012 has no such table. Tables R507.2 (2012) and R507.9.1.3(1) alike: 1/2 in lags at a 12 ft
    joist span stand at 15 in (16 in drawn), bolts at 14 ft at 24 in (24 in); these too wait for the
    third's snow.
    """
    path = Path(shutil.copy(SHEETS / "town.csv", tmp_path))
    page = council_page(path, Answers(every_permit=PINE), vocabulary)
    assert "3 permits read; 0 set aside, 3 counted." in page
    assert counts(page, "Joist span") == [2, 1, 0, 0]
    assert counts(page, "Fastener spacing") == [2, 0, 0, 0]
    assert listed(page) == [["2", "2019-0141", "2 Oak St", "Joist span", "engineering required"]]


def test_town2_s_sheet_ends_in_a_council_page_counted_by_hand(
    vocabulary: Vocabulary, tmp_path: Path
) -> None:
    """The same table: 2x10 at 16 in spans 14-0 (11-6, 11-6-1/2 and 11-6 drawn), 2x8 at 16 in 11-10
    (13-4-1/2). The spans 9.5 and 138 are feet and inches, so neither unit is proposed and both are
    open; of the sixth the snow is unknown. That leaves the first, second, fourth and seventh.
    Fasteners: lags at 12 ft stand at 15 in, so those at 16 in of the first and fourth fail under
    both; the bolts at 24 in comply; the seventh states no spacing.
    """
    path = Path(shutil.copy(SHEETS / "town2.csv", tmp_path))
    answers = Answers(every_permit={n: v for n, v in OF_ALL.items() if n != "joists.grade"})
    page = council_page(path, answers, vocabulary)
    assert "7 permits read; 0 set aside, 7 counted." in page
    assert "2 cells not understood, so the fact is not known there: joists.span (2)" in page
    assert "Of 2 that did not comply on something decided: 2 as before" in page
    assert counts(page, "Joist span") == [4, 1, 0, 0]
    assert counts(page, "Fastener spacing") == [3, 0, 0, 0]
    assert listed(page) == [["2", "2019-0141", "Joist span", "engineering required"]]


def test_an_untidy_workbook_ends_in_a_council_page_counted_by_hand(
    vocabulary: Vocabulary, tmp_path: Path
) -> None:
    """Spruce-pine-fir no. 2: 2x8 at 16 in spans 11-1 (11-6 and 12-0 drawn), 2x10 13-7 (13-2)."""
    path = write_workbook(tmp_path / "decks.xlsx")
    answers = Answers(
        facts={"Lumber": "joists.species"},
        words={
            ("Lumber", "SPF #2"): "spruce_pine_fir",
            ("Lumber", "syp no 2"): "southern_pine",
        },
        every_permit={**OF_ALL, "site.ground_snow_load": "20 psf"},
    )
    page = council_page(path, answers, vocabulary)
    assert "6 permits read; 1 set aside, 5 counted." in page
    assert counts(page, "Joist span") == [3, 2, 0, 0]
    assert listed(page) == [
        ["1", "D-1", "3 Weir St", "Joist span", "engineering required"],
        ["3", "D-3", "8 Weir St", "Joist span", "engineering required"],
    ]


def listed(page: str) -> list[list[str]]:
    """Return the page's permits that newly fail: row, what names them, topic, status before."""
    table = page[page.index("and did not fail before") :]
    rows = re.findall(r"<tr>(.*?)</tr>", table[: table.index("</table>")], re.DOTALL)[1:]
    return [re.findall(r"<t[dh][^>]*>([^<]*)<", row)[:-1] for row in rows]
