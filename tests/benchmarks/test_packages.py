"""The wheel and the source distribution pass their own tests, installed, without a checkout.

    pytest tests/benchmarks/test_packages.py -n 0 -s        (some ten minutes; needs no network)

What the tests themselves need is taken from the environment this runs in; the package is not.
"""

from __future__ import annotations

import subprocess
import sys
import sysconfig
import tarfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TESTS = ("tests/rulesets", "tests/cli", "tests/store", "tests/faults", "tests/api", "tests/report")


def test_the_packages_pass_their_own_tests(tmp_path: Path) -> None:
    _run(sys.executable, "-m", "build", "--no-isolation", "--outdir", str(tmp_path), str(ROOT))
    (source,) = tmp_path.glob("*.tar.gz")
    (wheel,) = tmp_path.glob("*.whl")
    with tarfile.open(source) as archive:
        archive.extractall(tmp_path, filter="data")
    unpacked = tmp_path / source.name.removesuffix(".tar.gz")
    _run(sys.executable, "-m", "venv", str(tmp_path / "v"))
    python = str(tmp_path / "v" / "bin" / "python")
    own = subprocess.run(
        [python, "-c", "import sysconfig; print(sysconfig.get_paths()['purelib'])"],
        capture_output=True,
        text=True,
        check=True,
    ).stdout.strip()
    (Path(own) / "tests_need.pth").write_text(sysconfig.get_paths()["purelib"] + "\n")
    _run(python, "-m", "pip", "install", "-q", "--no-deps", "--no-index", str(wheel))
    told = subprocess.run(
        [python, "-c", "import deckclause; print(deckclause.__file__)"],
        capture_output=True,
        text=True,
        check=True,
        cwd=unpacked,
        env=_environment(),
    ).stdout
    assert told.startswith(own), "the tests must run on what was installed"
    done = subprocess.run(
        [python, "-m", "pytest", "-q", "-p", "no:cacheprovider", *TESTS],
        cwd=unpacked,
        env=_environment(),
        check=False,
    )
    assert done.returncode == 0


def _environment() -> dict[str, str]:
    import os

    return {k: v for k, v in os.environ.items() if k not in ("PYTHONPATH", "DECKCLAUSE_RULES")}


def _run(*words: str) -> None:
    subprocess.run(words, check=True, stdout=subprocess.DEVNULL, env=_environment())
