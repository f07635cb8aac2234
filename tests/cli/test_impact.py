"""The impact command and the archive it is tried on, as a person runs them."""

from __future__ import annotations

import csv
import json
import re
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest

from deckclause.cli.main import run

ONE, TWO = "irc-2012", "irc-2018"


@pytest.fixture(scope="module")
def archive(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("archive") / "permits.csv"
    assert run(["new", "archive", str(path), "--designs", "80", "--seed", "3"]) == 0
    return path


def impact(archive: Path, out: Path, *more: str) -> int:
    return run(["impact", str(archive), "--from", ONE, "--to", TWO, "--out", str(out), *more])


def test_results_say_who_newly_fails_and_why(
    archive: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert impact(archive, tmp_path / "out", "--chart") == 1
    printed = capsys.readouterr().out
    assert "80 designs of permits.csv: from IRC 2012 to IRC 2018" in printed
    assert "not an engineered design" in printed
    summary = json.loads((tmp_path / "out" / "impact.json").read_text(encoding="utf-8"))
    assert (summary["designs_read"], summary["designs_evaluated"], summary["set_aside"]) == (
        80,
        80,
        0,
    )
    assert [len(summary[side]["digest"]) for side in ("from", "to")] == [64, 64]
    for topic in summary["topics"]:
        assert sum(t["designs"] for t in topic["transitions"]) == 80
        flips = sum(t["designs"] for t in topic["transitions"] if t["from"] != t["to"])
        assert topic["flips"] == flips == sum(d["designs"] for d in topic["drivers"])
    with open(tmp_path / "out" / "flips.csv", encoding="utf-8", newline="") as stream:
        flips = list(csv.DictReader(stream))
    kinds = ("newly_failing", "no_longer_failing", "no_longer_decided")
    listed = sum(t[kind] for t in summary["topics"] for kind in kinds)
    assert len(flips) == listed > 0
    assert all(flip["design"].startswith("INV-") and flip["drivers"] for flip in flips)
    assert not (tmp_path / "out" / "parts").exists()
    _every_bar_says_something_and_every_word_is_inside(tmp_path / "out" / "chart.svg")


def _every_bar_says_something_and_every_word_is_inside(path: Path) -> None:
    """Widths by hand: letters of this family are 0.6 of their size wide, on average, at most."""
    svg = ElementTree.parse(path).getroot()
    width = float(svg.attrib["viewBox"].split()[2])
    texts = list(svg.iter("{http://www.w3.org/2000/svg}text"))
    assert {"Joist span", "permits"} <= {element.text for element in texts}
    assert len(texts) > 10
    for element in texts:
        style, words = element.attrib["style"], element.text or ""
        size = re.search(r"font-size: ([\d.]+)px", style)
        moved = re.search(r"translate\(([\d.]+)", element.attrib["transform"])
        place = element.attrib.get("x") or (moved[1] if moved else None)
        assert size is not None
        assert place is not None
        long = 0.6 * float(size[1]) * len(words)
        left = float(place) - long * (0.5 if "middle" in style else 1.0 if "end" in style else 0)
        assert left >= -2
        assert left + long <= width


def test_cells_not_understood_are_listed_and_counted(
    archive: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = archive.read_text(encoding="utf-8").splitlines()
    place = lines[0].split(",").index("joists.size")
    cells = lines[5].split(",")
    cells[place] = "2x9"
    lines[5] = ",".join(cells)
    faulty = tmp_path / "faulty.csv"
    faulty.write_text("\n".join(lines) + "\n", encoding="utf-8")
    impact(faulty, tmp_path / "out", "--topic", "joist_span")
    out = capsys.readouterr().out
    assert "80 designs" in out
    assert "1 cell not understood" in out
    assert (tmp_path / "out" / "bad_rows.csv").read_text("utf-8") == "row,design,reason\n"
    with open(tmp_path / "out" / "not_understood.csv", encoding="utf-8", newline="") as stream:
        (lost,) = csv.DictReader(stream)
    assert (lost["row"], lost["design"], lost["cell"]) == ("5", "INV-0000005", "2x9")
    assert "joists.size: '2x9' is not a choice" in lost["reason"]


def test_parquet_lists_hold_what_csv_lists_hold(archive: Path, tmp_path: Path) -> None:
    parquet = pytest.importorskip("pyarrow.parquet")
    impact(archive, tmp_path / "csv", "--topic", "ledger_fastener_spacing")
    impact(
        archive, tmp_path / "parquet", "--topic", "ledger_fastener_spacing", "--format", "parquet"
    )
    with open(tmp_path / "csv" / "flips.csv", encoding="utf-8", newline="") as stream:
        flips = [{**flip, "row": int(flip["row"])} for flip in csv.DictReader(stream)]
    assert parquet.read_table(tmp_path / "parquet" / "flips.parquet").to_pylist() == flips
    for name in ("topics.csv", "drivers.csv", "impact.json"):
        assert (tmp_path / "csv" / name).read_bytes() == (tmp_path / "parquet" / name).read_bytes()


@pytest.mark.parametrize(
    ("given", "says"),
    [
        (["nothing.csv"], "is not there"),
        (["permits.csv", "--topic", "ledger_spacing"], "is not a topic"),
        (["permits.csv", "--from", "irc-2013"], "irc-2013"),
        (["permits.csv", "--resume"], "no run to go on with"),
    ],
)
def test_bad_input_says_what_would_be_right(
    archive: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    given: list[str],
    says: str,
) -> None:
    path, *more = given
    assert impact(archive.parent / path, tmp_path / "out", *more) == 2
    assert says in capsys.readouterr().err


def test_an_archive_is_the_same_for_the_same_seed_and_never_overwritten(
    archive: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    again = tmp_path / "again.csv"
    assert run(["new", "archive", str(again), "--designs", "80", "--seed", "3"]) == 0
    assert again.read_bytes() == archive.read_bytes()
    longer = tmp_path / "longer.csv"
    run(["new", "archive", str(longer), "--designs", "90", "--seed", "3"])
    assert longer.read_text(encoding="utf-8").startswith(archive.read_text(encoding="utf-8"))
    capsys.readouterr()
    assert run(["new", "archive", str(again), "--designs", "5"]) == 2
    assert "is already there and is left as it is" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("option", "package", "extra"),
    [("--chart", "matplotlib", "charts"), ("--dask=tcp://nowhere:1", "distributed", "cluster")],
)
def test_an_extra_that_is_lacking_is_named_before_anything_is_done(
    archive: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    option: str,
    package: str,
    extra: str,
) -> None:
    monkeypatch.setitem(sys.modules, package, None)
    assert impact(archive, tmp_path / "out", option) == 2
    said = capsys.readouterr().err
    assert package in said
    assert f"pip install 'deckclause[{extra}]'" in said
    assert not (tmp_path / "out").exists()


def test_permits_come_first_and_what_was_not_looked_at_is_said(
    archive: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    impact(archive, tmp_path / "out")
    out = " ".join(capsys.readouterr().out.split())
    assert out.index("PERMITS, each held to") < out.index("come to another status")
    assert "Greatest drop of the ledger and Greatest step down from the floor" in out
    assert "--topic ledger_greatest_drop" in out
    assert "not decided now, which is no relief" in out
    assert "Not counted above: designs that had and have nothing to answer for" in out
    assert "not regulated -> complies" not in out
    assert "R507.9.1.3(1) *" in out or "R507.2 *" in out or " *" in out.split("Each driver")[0]


def test_topics_worked_out_are_solved_where_they_are_asked_for(
    archive: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    topic = "ledger_greatest_drop"
    few = tmp_path / "few.csv"
    few.write_text("\n".join(archive.read_text(encoding="utf-8").splitlines()[:25]) + "\n")
    impact(few, tmp_path / "out", "--topic", topic)
    out = capsys.readouterr().out
    assert "Not looked at, as not asked for: Deck live load" in " ".join(out.split())
    (found,) = json.loads((tmp_path / "out" / "impact.json").read_text())["topics"]
    assert found["topic"] == topic
    assert sum(t["designs"] for t in found["transitions"]) == 24
    assert found["flips"] > 0
    assert {t["from"] for t in found["transitions"]} != {"not regulated"}


def test_the_archive_writes_lengths_as_a_carpenter_does(archive: Path) -> None:
    text = archive.read_text(encoding="utf-8")
    parts = re.findall(r"(\d+)/(\d+) in", text)
    assert parts
    assert all(int(a) < int(b) for a, b in parts)
    assert "guards.top_is_handrail" in text.splitlines()[0]


def test_permits_that_comply_by_the_rules_alone_are_told_apart_from_those_that_stand(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "many.csv"
    assert run(["new", "archive", str(path), "--designs", "300", "--seed", "2"]) == 0
    capsys.readouterr()
    out = tmp_path / "out"
    assert (
        run(["impact", str(path), "--from", "irc-2018", "--to", "irc-2021", "--out", str(out)]) == 1
    )
    said = " ".join(capsys.readouterr().out.split())
    counted = re.search(
        r"of (\d+) that complied on every topic looked at, (\d+) would not comply", said
    )
    assert counted is not None
    assert int(counted[1]) >= int(counted[2]) > 0
    assert "What those that complied by the rule sets alone fail on:" in said
    data = json.loads((out / "impact.json").read_text())
    permits, held = data["permits"], data["holds_together"]
    for name in ("moves", "moves_by_the_rule_sets_alone"):
        assert sum(move["permits"] for move in permits[name]) == 300
    # a row of a table states no beam's length, so that none of these is known to hold together
    assert (held["could_be_asked_of"], held["hold_together"]) == (300, 0)
    assert held["do_not"] + held["not_known"] == 300
    complied = [m["permits"] for m in permits["moves"] if m["from"].startswith("complies")]
    assert sum(complied) == 0
    assert f"{held['do_not']} do not" in said
    assert "set aside" not in said
