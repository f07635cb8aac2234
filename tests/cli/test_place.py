"""The placement commands as a person runs them."""

from __future__ import annotations

import csv
import io
import json
from fractions import Fraction as F
from itertools import pairwise
from pathlib import Path

import pytest

from deckclause.cli.main import run
from deckclause.designs.design import Design, Part
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import evaluate
from deckclause.evaluate.status import COMPLIES
from deckclause.report.drawing.rendered import can_render

EXAMPLE = Path(__file__).resolve().parents[2] / "rules" / "examples" / "step-down-3in.yaml"
PIECES = (
    "ledger_pieces: [{name: left, length: 12 ft}, {name: right, length: 8 ft}]\n"
    "band_joist_pieces: [{name: one, length: 10 ft}, {name: two, length: 14 ft}]\n"
)
Out = pytest.CaptureFixture[str]


def design_file(folder: Path, *changes: tuple[str, str]) -> str:
    """Write the example as a 20 ft ledger at a drop of 1/2 in with rows free, then changed."""
    text = EXAMPLE.read_text(encoding="utf-8")
    usual = (
        ("band_joist:\n", f"{PIECES}band_joist:\n  begins_left_of_ledger: 2 ft\n"),
        ("below_band_joist: 3 in", "below_band_joist: 1/2 in"),
        ("  upper_row_below_ledger_top: 2 in\n  lower_row_below_ledger_top: 6-1/2 in\n", ""),
    )
    for old, new in (*usual, *changes):
        assert old in text, old
        text = text.replace(old, new)
    path = folder / "deck.yaml"
    path.write_text(text, encoding="utf-8")
    return str(path)


def test_place_says_how_far_and_why_not_further(capsys: Out) -> None:
    assert run(["place", str(EXAMPLE), "--under", "irc-2012"]) == 1
    out = " ".join(capsys.readouterr().out.split())
    assert "ledger's top below the band joist's top: 0 in to 3/4 in" in out
    assert "= 2-1/4 in too much" in out
    assert "Table R507.2.1" in out
    assert "Not an engineered design" in out or "not an engineered design" in out


def test_place_complies_or_leaves_open(capsys: Out, tmp_path: Path) -> None:
    path = design_file(tmp_path)
    assert run(["place", "solve", path, "--under", "irc-2015"]) == 0
    assert run(["place", path, "--under", "irc-2006"]) == 3
    out = " ".join(capsys.readouterr().out.split())
    assert "not regulated, never a pass" in out


def test_place_json_carries_every_proof(capsys: Out) -> None:
    assert run(["place", str(EXAMPLE), "--under", "irc-2015", "--format", "json"]) == 1
    data = json.loads(capsys.readouterr().out)
    (found,) = data["rule_sets"]
    assert found["drop"]["greatest"]["value"] == {"exact_in": "2", "text": "2 in"}
    links = found["drop"]["greatest"]["links"]
    assert sum(F(link["length_in"]) for link in links) == 2
    assert found["zones"]["band_joist"]["corners_in"]
    assert data["cautions"]


def test_an_unknown_floor_names_what_is_missing(capsys: Out, tmp_path: Path) -> None:
    path = design_file(tmp_path, ("finish_thickness: 3/4 in", 'finish_thickness: "?"'))
    run(["place", path, "--under", "irc-2015"])
    out = " ".join(capsys.readouterr().out.split())
    assert "not known, for want of finish floor thickness" in out
    assert "How thick is the finish floor" in out
    assert "joist tops below the band joist's top" in out


def test_the_step_table_gives_every_combination(capsys: Out) -> None:
    words = ["place", "steps", str(EXAMPLE), "--step-down", "3 in", "--format", "csv"]
    assert run([*words, "--under", "irc-2012", "--under", "irc-2015"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert len(rows) == 2 * 64
    chosen = {(r["rule_set"], r["ledger"], r["band_joist"], r["joists"]): r for r in rows}
    tight = chosen["irc-2012", "2x10", "2x10", "2x8"]
    assert (tight["greatest_drop"], tight["greatest_step_down"]) == ("3/4 in", "3-1/4 in")
    assert tight["allows_wanted"] == "yes"
    never = chosen["irc-2012", "2x12", "2x10", "2x8"]
    assert (never["possible"], never["shortfall"]) == ("no", "1/4 in")
    assert "excluded" in chosen["irc-2015", "2x6", "2x10", "2x8"]["why"]


def test_the_step_table_without_a_design(capsys: Out) -> None:
    assert run(["place", "steps", "--under", "irc-2012", "--step-down", "3 in"]) == 3
    out = capsys.readouterr().out
    assert "not known" in out
    assert "How thick is the subfloor" in out
    given = ["--floor", "1-1/2 in", "--decking", "1 in"]
    run(["place", "steps", "--under", "irc-2012", "--step-down", "3 in", *given])
    out = capsys.readouterr().out
    assert "2-1/2 in to 3-1/4 in +" in " ".join(out.split()) or "3-1/4 in +" in out


def test_a_step_down_says_its_datum_and_takes_the_other(capsys: Out) -> None:
    """The door's threshold stands 1/2 in above the floor: 3-1/2 in from it is 3 in from the floor."""
    words = ["place", "steps", str(EXAMPLE), "--under", "irc-2015", "--step-down"]
    run([*words, "3 in"])
    out = " ".join(capsys.readouterr().out.split())
    assert "3 in, is taken from the floor: that is 3-1/2 in from the threshold" in out
    run([*words, "3 in", "--from", "floor", "--format", "csv"])
    from_floor = capsys.readouterr().out
    run([*words, "3-1/2 in", "--from", "threshold", "--format", "csv"])
    assert capsys.readouterr().out == from_floor
    assert (
        run(["place", "steps", "--under", "irc-2015", "--step-down", "3 in", "--from", "threshold"])
        == 2
    )
    assert "states no threshold" in capsys.readouterr().err


def test_the_step_table_of_every_place(capsys: Out) -> None:
    words = ["place", "steps", str(EXAMPLE), "--places-on", "2025-05-01", "--format", "json"]
    run(words)
    names = [t["rule_set"] for t in json.loads(capsys.readouterr().out)["rule_sets"]]
    assert "irc-2009" in names
    assert any("@2025-05-01" in name for name in names)


def test_a_layout_is_listed_and_complies_by_the_ordinary_evaluator(
    capsys: Out, tmp_path: Path
) -> None:
    """The schedule, measured as a person would, put back into the design and evaluated."""
    path = design_file(tmp_path)
    assert run(["place", "layout", path, "--under", "irc-2015", "--format", "json"]) == 0
    (found,) = json.loads(capsys.readouterr().out)["rule_sets"]
    rows = found["schedule"]
    assert len(rows) == found["count"]
    pieces = {1: (F(0), F(144)), 2: (F(144), F(240))}
    at = [pieces[r["ledger_piece"]][0] + F(r["from_left_end_in"]) for r in rows]
    ledger = [(a, b, [x for x in at if a <= x <= b]) for a, b in pieces.values()]
    band = [(a, b, [x for x in at if a <= x <= b]) for a, b in ((F(-24), F(96)), (F(96), F(264)))]
    catalogue = Catalogue.open(cached=False)
    design = catalogue.design(Path(path)).design
    depths = {r["row"]: F(37, 4) - F(r["height_above_ledger_bottom_in"]) for r in rows}
    facts = {
        **design.facts,
        "fasteners.upper_row_below_ledger_top": depths["upper"],
        "fasteners.lower_row_below_ledger_top": depths["lower"],
        "fasteners.spacing": max(b - a for a, b in pairwise(at)),
        "fasteners.end_distance_on_ledger": min(
            min(x - a, b - x) for a, b, xs in ledger for x in xs
        ),
        "fasteners.first_from_ledger_end": max(max(xs[0] - a, b - xs[-1]) for a, b, xs in ledger),
        "fasteners.end_distance_on_band_joist": min(
            min(x - a, b - x) for a, b, xs in band for x in xs
        ),
        "fasteners.first_from_band_joist_end": max(band[0][1] - band[0][2][-1], band[1][2][0] - 96),
    }
    laid = catalogue.prepare(Design("laid", "", facts, design.parts, path, "d"))
    evaluation = evaluate(laid, catalogue.evaluator("irc-2015"), catalogue.vocabulary)
    placement = [t.name for t in catalogue.vocabulary.topics.values() if t.part == "placement"]
    spoken = {f.topic for f in evaluation.findings}
    for topic in [*(t for t in placement if t in spoken), "ledger_fastener_spacing"]:
        assert evaluation.outcome(topic).status == COMPLIES, topic
    assert isinstance(design.parts["joists"][0], Part)


def test_unknown_band_joist_splices_get_the_trades_advice(capsys: Out, tmp_path: Path) -> None:
    pieces = PIECES.splitlines()[1] + "\n"
    path = design_file(tmp_path, (pieces, ""))
    assert run(["place", "layout", path, "--under", "irc-2015"]) == 3
    out = " ".join(capsys.readouterr().out.split())
    assert "change of grain" in out
    assert run(["place", "layout", path, "--under", "irc-2015", "--splices-unknown"]) == 3
    assert "How far apart are the floor joists inside" in capsys.readouterr().out


def test_every_joist_line_taken_for_an_end(capsys: Out, tmp_path: Path) -> None:
    joists = "finish_thickness: 3/4 in, joist_spacing: 24 in, first_joist_from_ledger_end: 12 in"
    path = design_file(
        tmp_path, (PIECES.splitlines()[1] + "\n", ""), ("finish_thickness: 3/4 in", joists)
    )
    words = ["place", "layout", path, "--under", "irc-2015", "--splices-unknown"]
    assert run([*words, "--format", "csv"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert len(rows) > 14


def test_a_silent_edition_has_no_layout(capsys: Out, tmp_path: Path) -> None:
    assert run(["place", "layout", design_file(tmp_path), "--under", "irc-2006"]) == 3
    assert "not regulated" in capsys.readouterr().out


@pytest.mark.parametrize(
    "words",
    [
        ["--under", "irc-2012"],
        ["--under", "irc-2012", "--under", "irc-2015"],
        ["--under", "irc-2015", "--sheet", "elevation"],
        ["--under", "irc-2015", "--sheet", "steps", "--step-down", "3 in"],
    ],
)
def test_each_sheet_is_drawn_and_nothing_is_overwritten(
    capsys: Out, tmp_path: Path, words: list[str]
) -> None:
    path = design_file(tmp_path)
    sheet = tmp_path / "sheet.svg"
    command = ["place", "draw", path, *words, "--date", "2024-05-01", "-o", str(sheet)]
    assert run(command) == 0
    drawn = sheet.read_text(encoding="utf-8")
    assert drawn.lstrip().startswith("<svg") or "<svg" in drawn[:200]
    assert "2024-05-01" in drawn
    assert run(command) == 2
    assert "left as it is" in capsys.readouterr().err
    assert sheet.read_text(encoding="utf-8") == drawn


def test_an_unknown_board_is_drawn_dashed_and_asked_with_no_limit(
    capsys: Out, tmp_path: Path
) -> None:
    path = design_file(tmp_path, ("ledger:\n  size: 2x10", 'ledger:\n  size: "?"'))
    sheet = tmp_path / "sheet.svg"
    assert run(["place", "draw", path, "--under", "irc-2015", "-o", str(sheet)]) == 0
    assert "No limit of IRC 2015 is drawn: not known" in capsys.readouterr().err
    drawn = sheet.read_text(encoding="utf-8")
    assert "ledger size" in drawn  # what to find out stands on the sheet too
    assert "Dashed with a question mark, as nobody stated it" in drawn
    assert "hatch-closed)" not in drawn  # no place is closed or open by a limit nobody knows
    two = ["--under", "irc-2015", "--under", "irc-2018", "-o", str(tmp_path / "two.svg")]
    assert run(["place", "draw", path, *two]) == 3
    assert not (tmp_path / "two.svg").exists()


@pytest.mark.parametrize("example", sorted(EXAMPLE.parent.glob("*.yaml")), ids=lambda p: p.stem)
def test_every_example_is_drawn_in_every_sheet(capsys: Out, tmp_path: Path, example: Path) -> None:
    for sheet in ("section", "elevation", "plan", "stairs"):
        file = tmp_path / f"{sheet}.{'pdf' if sheet == 'plan' and can_render() else 'svg'}"
        words = ["place", "draw", str(example), "--sheet", sheet, "--under", "irc-2018"]
        assert run([*words, "-o", str(file)]) == 0, capsys.readouterr().err
        content = file.read_bytes()
        assert content.startswith(b"%PDF") or b"approval" in content


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["steps", "--step-down", "3"], "--step-down"),
        (["steps", "--step-down", "3 psf"], "not a length"),
        (["steps", "--decking", "0 in"], "--decking"),
        (["steps", "--joists", "middle"], "--joists"),
        (["steps", "--places-on", "yesterday"], "no date"),
        (["steps", "--under", "irc-2011"], "irc-2011"),
        (["draw", str(EXAMPLE), "--under", "irc-2012", "-o", "x.gif"], "svg"),
        (["draw", str(EXAMPLE), "-o", "x.svg"], "--under"),
        (["draw", str(EXAMPLE), "--under", "irc-2012", "--sheet", "two", "-o", "x.svg"], "two"),
        (["solve", "no-such.yaml"], "no such file"),
    ],
)
def test_bad_words_are_told_what_would_be_right(capsys: Out, words: list[str], says: str) -> None:
    assert run(["place", *words]) == 2
    assert says in capsys.readouterr().err


@pytest.mark.parametrize(
    "change",
    [
        ("below_band_joist: 1/2 in", "below_band_joist: 10 in"),
        ("length: 8 ft}]\nband", "length: 0 ft}]\nband"),
        ("begins_left_of_ledger: 2 ft", "begins_left_of_ledger: 40 ft"),
        ("spacing: 16 in", "spacing: -16 in"),
    ],
)
def test_boards_that_cannot_stand_are_refused_by_every_command(
    capsys: Out, tmp_path: Path, change: tuple[str, str]
) -> None:
    path = design_file(tmp_path, change)
    sheet = tmp_path / "sheet.svg"
    for words in (
        ["place", path],
        ["place", "layout", path],
        ["place", "draw", path, "--under", "irc-2015", "-o", str(sheet)],
    ):
        assert run(words) == 2
    assert "deck.yaml, line" in capsys.readouterr().err
    assert not sheet.exists()


@pytest.mark.parametrize("example", sorted(EXAMPLE.parent.glob("*.yaml")), ids=lambda p: p.stem)
def test_every_example_is_answered_under_every_rule_set(capsys: Out, example: Path) -> None:
    sets = ["--under", "all-editions", "--under", "all-guides", "--under", "Skerryvane@2024-06-01"]
    for command in ("solve", "steps", "layout"):
        assert run(["place", command, str(example), *sets]) in (0, 1, 3)
        captured = capsys.readouterr()
        assert "AWC DCA6 2015" in captured.out
        assert "not an approval" in captured.out
        assert not captured.err


def test_a_deck_without_joists_on_record_still_has_a_table(capsys: Out, tmp_path: Path) -> None:
    path = Path(design_file(tmp_path))
    lines = path.read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if not line.startswith("joists:")]
    path.write_text("\n".join([*kept, "joists: []"]), encoding="utf-8")
    assert run(["place", "steps", str(path), "--under", "irc-2015"]) == 0
    assert "0 in to 2 in" in capsys.readouterr().out


def test_two_joist_spans_along_one_ledger_each_set_their_spacing(
    capsys: Out, tmp_path: Path
) -> None:
    """12 ft of 18 ft joists, then 8 ft of 6 ft joists; a wing on a beam has no say."""
    one = "joists: {size: 2x10, span: 11 ft 6 in, cantilever: 0 in, below_ledger_top: 0 in"
    text = Path(design_file(tmp_path)).read_text(encoding="utf-8")
    start = text.index(one)
    end = text.index("}", start) + 1
    each = "size: 2x10, cantilever: 0 in, below_ledger_top: 0 in"
    fields = (
        f"joists:\n  - {{name: long, {each}, span: 18 ft, field_width: 12 ft}}\n"
        f"  - {{name: short, {each}, span: 6 ft, field_width: 8 ft}}\n"
        f"  - {{name: wing, {each}, span: 8 ft, field_width: 4 ft, inner_beam: near}}"
    )
    path = tmp_path / "fields.yaml"
    text = (text[:start] + fields + text[end:]).replace("  spacing: 16 in\n", "")
    path.write_text(text, encoding="utf-8")
    words = ["place", "layout", str(path), "--under", "irc-2009", "--format", "json"]
    assert run(words) == 0, capsys.readouterr().out
    (found,) = json.loads(capsys.readouterr().out)["rule_sets"]
    rows = found["schedule"]
    left = [F(r["spacing_in"]) for r in rows if r["ledger_piece"] == 1 and r["spacing_in"]]
    right = [F(r["spacing_in"]) for r in rows if r["ledger_piece"] == 2][1:]
    assert max(left) <= 19
    assert 19 < max(right) <= 36
