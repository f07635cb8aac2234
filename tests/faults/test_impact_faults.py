"""Archives, stopped runs and clusters that are damaged or not there."""

from __future__ import annotations

import json
import random
import socket
import time
from pathlib import Path

import pytest

from deckclause.cli.main import run
from deckclause.designs.invented.archive import write_archive
from deckclause.evaluate.catalogue import Catalogue
from faults.commands import command

ASK = ("--from", "irc-2012", "--to", "irc-2018", "--topic", "joist_span", "--quiet", "--json")


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


@pytest.fixture(scope="module")
def parquet(catalogue: Catalogue, tmp_path_factory: pytest.TempPathFactory) -> bytes:
    path = tmp_path_factory.mktemp("archive") / "permits.parquet"
    write_archive(path, 400, 5, catalogue.vocabulary)
    return path.read_bytes()


def _asked(path: Path, out: Path, *more: str) -> int:
    return run(["impact", str(path), *ASK, "--out", str(out), *more])


def _damaged(whole: bytes, seed: int) -> bytes:
    """Return the archive cut, or with a stretch of other bytes somewhere."""
    chance = random.Random(seed)
    if seed % 4 == 0:
        return whole[: chance.randrange(len(whole))]
    start = chance.randrange(4, len(whole)) if seed % 2 else len(whole) - chance.randrange(9, 4000)
    length = chance.choice((1, 8, 64))
    return whole[:start] + chance.randbytes(length) + whole[start + length :]


@pytest.mark.parametrize("seed", range(24))
def test_damaged_parquet_is_told_or_is_read(
    seed: int, parquet: bytes, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "permits.parquet"
    path.write_bytes(_damaged(parquet, seed))
    status = _asked(path, tmp_path / "out")
    said = capsys.readouterr()
    if status == 2:
        assert said.err.startswith(f"deckclause: {path}")
        assert not said.out
    else:
        assert json.loads(said.out)["designs_read"] == 400


def test_middle_pages_damaged(parquet: bytes, tmp_path: Path) -> None:
    path = tmp_path / "permits.parquet"
    middle = len(parquet) // 3
    path.write_bytes(parquet[:middle] + b"\xff" * 2000 + parquet[middle + 2000 :])
    done = command("impact", str(path), *ASK, cwd=tmp_path)
    assert done.returncode == 2, done.stderr
    assert "is not readable Parquet, or damaged" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.fixture(scope="module")
def stopped(catalogue: Catalogue, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A run whose three parts are there, and whose results are not put together yet."""
    from deckclause.impact.chunk import ImpactJob
    from deckclause.impact.read import Archive
    from deckclause.impact.run import plan_of, prepare_folder, run_impact

    folder = tmp_path_factory.mktemp("stopped")
    path = folder / "permits.csv"
    write_archive(path, 30, 9, catalogue.vocabulary)
    archive = Archive(path, catalogue.vocabulary)
    coherence = catalogue.coherence()
    job = ImpactJob(
        catalogue.ruleset("irc-2012"),
        catalogue.ruleset("irc-2018"),
        catalogue.vocabulary,
        ("joist_span",),
        coherence=coherence and coherence.ruleset,
        narrowed=True,
    )
    run_impact(archive, job, prepare_folder(folder / "out", plan_of(archive, job), resume=False))
    assert _asked(path, folder / "whole") in (0, 1, 3)
    return folder


@pytest.mark.parametrize(
    "damage",
    [
        lambda content: content[:-5],
        lambda content: b"{}",
        lambda content: b"",
        lambda content: content.replace(b'"read":30', b'"read":31').replace(
            b'"read": 30', b'"read": 31'
        ),
    ],
)
def test_a_damaged_part_is_worked_out_again(damage: object, stopped: Path, tmp_path: Path) -> None:
    import shutil

    out = tmp_path / "out"
    shutil.copytree(stopped / "out", out)
    part = out / "parts" / "000000.json"
    damaged = damage(part.read_bytes())  # type: ignore[operator]
    assert damaged != part.read_bytes()
    part.write_bytes(damaged)
    assert _asked(stopped / "permits.csv", out, "--resume") in (0, 1, 3)
    for name in ("impact.json", "drivers.csv", "flips.csv"):
        assert (out / name).read_bytes() == (stopped / "whole" / name).read_bytes()


@pytest.mark.parametrize("content", ["{", "[]", "", "\x00", "[" * 100_000])
def test_a_damaged_plan_is_told(
    content: str, stopped: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "plan.json").write_text(content, encoding="utf-8")
    assert _asked(stopped / "permits.csv", out, "--resume") == 2
    assert "plan.json: is damaged" in capsys.readouterr().err


@pytest.mark.parametrize(
    "address", ["nonsense", "tcp://", "tcp://127.0.0.1:1", "tcp://h:99999", "odd://x"]
)
def test_a_wrong_cluster_address_is_told_at_once(
    address: str, stopped: Path, tmp_path: Path
) -> None:
    pytest.importorskip("distributed")
    begun = time.monotonic()
    done = command("impact", str(stopped / "permits.csv"), *ASK, "--dask", address, cwd=tmp_path)
    assert done.returncode == 2, done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert done.stderr.startswith("deckclause: --dask: ")
    assert time.monotonic() - begun < 25, "thirty seconds and no end were the fault"


def test_something_else_that_listens_is_no_cluster(stopped: Path, tmp_path: Path) -> None:
    pytest.importorskip("distributed")
    with socket.create_server(("127.0.0.1", 0)) as server:
        address = f"tcp://127.0.0.1:{server.getsockname()[1]}"
        done = command(
            "impact", str(stopped / "permits.csv"), *ASK, "--dask", address, cwd=tmp_path
        )
    assert done.returncode == 2, done.stderr
    assert "no dask scheduler answers there" in done.stderr
    assert "Traceback" not in done.stderr
