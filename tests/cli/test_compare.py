"""`deckclause compare` as a person runs it: output, exit status, bad input."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from pathlib import Path

import pytest

from deckclause.cli.main import run
from support.designs import EXAMPLES

STEP_DOWN = EXAMPLES / "step-down-3in.yaml"


def compare(capsys: pytest.CaptureFixture[str], *arguments: object) -> tuple[int, str, str]:
    status = run(["compare", *map(str, arguments)])
    out, err = capsys.readouterr()
    return status, out, err


def test_the_matrix_names_the_clause_and_its_driver(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = compare(capsys, STEP_DOWN, "--under", "irc-2012", "--under", "irc-2015")
    assert (status, err) == (1, "")
    words = " ".join(out.split())
    assert "FAILS -1/4 in, min 2 in" in words
    assert "FAILS -1/4 in, min 3/4 in" in words
    assert (
        "IRC 2015 has an exception that holds here: 3/4 in where the band joist bears directly"
        in words
    )
    assert "not an engineered design and not an approval" in words


def test_a_rule_set_is_found_by_the_name_outputs_give_it(
    capsys: pytest.CaptureFixture[str],
) -> None:
    read = ("--under", "IRC 2012", "--under", "Tarn Hollow, 2025-03-01", "--topic", "joist_span")
    by_id = ("--under", "irc-2012", "--under", "Tarn Hollow@2025-03-01", "--topic", "joist_span")
    told = compare(capsys, STEP_DOWN, *read)
    assert told == compare(capsys, STEP_DOWN, *by_id)
    assert "IRC 2012" in told[1]
    assert "@" not in told[1]


def test_json_carries_version_receipt_and_traceable_findings(
    capsys: pytest.CaptureFixture[str],
) -> None:
    _, out, _ = compare(capsys, STEP_DOWN, "--under", "all-editions", "--format", "json")
    data = json.loads(out)
    assert data["result"] == 1
    assert [r["name"] for r in data["receipt"]["rule_sets"]] == [
        f"irc-{year}" for year in (2006, 2009, 2012, 2015, 2018, 2021, 2024)
    ]
    assert all(len(r["digest"]) == 64 for r in data["receipt"]["rule_sets"])
    row = next(t for t in data["topics"] if t["topic"] == "band_joist_bottom_edge_distance")
    finding = row["outcomes"][2]["findings"][0]
    assert finding["cites"] == "Table R507.2.1"
    assert finding["margin"] == {"exact": "-9/4", "text": "-2-1/4 in", "si": "-57 mm"}
    assert finding["standing"] == "confirmed"
    assert finding["sources"] == ["fine-homebuilding-2012-ledger"]
    assert finding["values_read"]["ledger.below_band_joist"] == "3 in"
    assert all(c["drivers"] for t in data["topics"] for c in t["changes"])


def test_csv_has_a_line_for_each_topic_and_rule_set(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = compare(
        capsys, STEP_DOWN, "--under", "irc-2009", "--under", "irc-2018", "--format", "csv",
        "--topic", "ledger_fastener_spacing",
    )  # fmt: skip
    rows = list(csv.DictReader(io.StringIO(out)))
    assert [(r["rule_set"], r["status"], r["most"]) for r in rows] == [
        ("IRC 2009", "complies", "29 in"),
        ("IRC 2018", "complies", "29 in"),
    ]


def test_markdown_and_si(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = compare(
        capsys, STEP_DOWN, "--under", "irc-2012", "--format", "markdown", "--si",
        "--topic", "ledger_row_spacing",
    )  # fmt: skip
    assert "| Distance between the rows |" in out
    assert "41 mm to 127 mm" in out


def test_exit_status_tells_what_was_found(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    topic = ("--topic", "ledger_fastener_spacing")
    assert compare(capsys, STEP_DOWN, "--under", "irc-2018", *topic)[0] == 0
    assert compare(capsys, STEP_DOWN, "--under", "irc-2018")[0] == 1
    bare = tmp_path / "bare.yaml"
    bare.write_text("design: 1\ndeck: {attachment: ledger}\n")
    status, out, _ = compare(capsys, bare, "--under", "irc-2018", *topic)
    assert status == 3
    assert "What ties the ledger to the band joist" in out
    # a rule set that says nothing on a topic is undecided, never a pass
    assert compare(capsys, STEP_DOWN, "--under", "irc-2006", *topic)[0] == 3


@pytest.mark.parametrize(
    ("text", "line", "wanted"),
    [
        ("design: 1\nledger:\n  siez: 2x10\n", 3, "Did you mean size?"),
        ("design: 1\nledger:\n  size: 2x9\n", 3, "Did you mean 2x8?"),
        ("design: 1\njoists: {span: 12}\n", 2, "'12' has no unit"),
        ("design: 1\njoists: {span: 40 psf}\n", 2, "a length is needed here"),
        ("design: 1\nladder: {size: 2x10}\n", 2, "Did you mean ledger?"),
        (
            "design: 1\nledger: {size: 2x10}\nledger: {size: 2x8}\n",
            3,
            "stands twice (first on line 2)",
        ),
        ("design: 1\na: &x [*x]\n", 2, "anchors and tags"),
        ("design: 1\nledger: {size: [2x8, 2x10]}\n", 2, "one value is needed"),
        ("design: 1\njoists: {span: -3 ft}\n", 2, "is negative"),
        ("ledger: {size: 2x10}\n", 1, "`design: 1` is needed"),
        ("design: 1\nledger: {flashed: maybe}\n", 2, "neither yes nor no"),
        ("design: 1\nfasteners: {assembly: lag_screw}\n", 2, "worked out by the rules"),
        ("design: 1\nledger: {size: 2x10\n", 3, "is not valid YAML"),
        ("[" * 5000, 1, "nested more than"),
        ("", 0, "is not a design"),
    ],
)
def test_bad_designs_get_one_clear_error(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, text: str, line: int, wanted: str
) -> None:
    path = tmp_path / "d.yaml"
    path.write_text(text)
    status, out, err = compare(capsys, path, "--under", "irc-2018")
    assert status == 2
    assert out == ""
    assert wanted in err
    assert "Traceback" not in err
    if line:
        assert f"line {line}" in err


def test_all_problems_of_a_file_at_once(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = tmp_path / "d.yaml"
    path.write_text("design: 1\nledger: {siez: 2x10, grade: best}\njoists: {span: 12}\n")
    status, _, err = compare(capsys, path)
    assert status == 2
    assert len(err.strip().splitlines()) == 3


def test_binary_huge_and_missing_files(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    junk = tmp_path / "junk.yaml"
    junk.write_bytes(bytes(range(256)) * 10)
    assert "is not text" in compare(capsys, junk)[2]
    huge = tmp_path / "huge.yaml"
    huge.write_bytes(b"a" * 50_000_000)
    assert "50,000,000 bytes" in compare(capsys, huge)[2]
    assert "there is no such file" in compare(capsys, tmp_path / "none.yaml")[2]
    assert "is a folder" in compare(capsys, tmp_path)[2]


@pytest.mark.parametrize(
    ("arguments", "wanted"),
    [
        (["--under", "irc-2011"], "Did you mean irc-20"),
        (["--topic", "ledger_spacing"], "is not a topic"),
        (["--part", "placment"], "Did you mean placement?"),
        (["--under", "Nowhere@2020-01-01"], "is not a place in the register"),
        (["--between", "irc-2018", "irc-2018"], "two different rule sets"),
    ],
)
def test_bad_arguments(
    capsys: pytest.CaptureFixture[str], arguments: list[str], wanted: str
) -> None:
    status, _, err = compare(capsys, STEP_DOWN, *arguments)
    assert status == 2
    assert wanted in err


def test_a_warm_comparison_imports_nothing_heavy() -> None:
    """A second run reads no YAML and imports neither pydantic, jsonschema, numpy nor ruamel."""
    script = (
        "import sys, io, contextlib\n"
        "from deckclause.cli.main import run\n"
        "out = io.StringIO()\n"
        "with contextlib.redirect_stdout(out):\n"
        f"    run(['compare', {str(STEP_DOWN)!r}, '--under', 'all-editions'])\n"
        "heavy = {'pydantic', 'jsonschema', 'numpy', 'ruamel', 'ruamel.yaml'} & set(sys.modules)\n"
        "heavy |= {m for m in sys.modules if m.startswith('deckclause.evaluate.expectations')}\n"
        "print(sorted(heavy))\n"
    )
    for _ in range(2):
        done = subprocess.run(
            [sys.executable, "-c", script], capture_output=True, text=True, check=True
        )
    assert done.stdout.strip() == "[]"


def test_new_design_never_overwrites(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = tmp_path / "mine.yaml"
    assert run(["new", "design", str(path)]) == 0
    before = path.read_text()
    assert run(["new", "design", str(path)]) == 2
    assert path.read_text() == before
    capsys.readouterr()
    assert compare(capsys, path, "--under", "irc-2018")[0] in (1, 3)


def test_every_command_explains_itself(capsys: pytest.CaptureFixture[str]) -> None:
    assert run([]) == 0
    assert "compare" in capsys.readouterr().out
    assert run(["compair"]) == 2
    assert "Did you mean compare?" in capsys.readouterr().err
