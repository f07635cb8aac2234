"""The impact command and the archive it is tried on, as a person runs them."""

from __future__ import annotations

import csv
import json
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
    assert f"80 designs of permits.csv: from {ONE} to {TWO}" in printed
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
    listed = sum(t["newly_failing"] + t["no_longer_failing"] for t in summary["topics"])
    assert len(flips) == listed > 0
    assert all(flip["design"].startswith("INV-") and flip["drivers"] for flip in flips)
    assert not (tmp_path / "out" / "parts").exists()
    svg = ElementTree.parse(tmp_path / "out" / "chart.svg").getroot()
    assert svg.tag.endswith("svg")


def test_rows_set_aside_are_named_and_counted(
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
    assert "1 of 80 rows set aside" in capsys.readouterr().out
    with open(tmp_path / "out" / "bad_rows.csv", encoding="utf-8", newline="") as stream:
        (bad,) = csv.DictReader(stream)
    assert (bad["row"], bad["design"]) == ("5", "INV-0000005")
    assert "joists.size: '2x9' is not a choice" in bad["reason"]


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
    assert "nothing is overwritten" in capsys.readouterr().err
