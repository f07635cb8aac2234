"""The Python page runs as it is written; the folder page's files name what there is."""

from __future__ import annotations

import json
import os
import re
import shlex
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from deckclause.api import Measure, Outcome
from deckclause.cli.completion import whole_parser

ROOT = Path(__file__).resolve().parents[2]
DOCS = ROOT / "docs"
EXAMPLE = ROOT / "rules" / "examples" / "step-down-3in.yaml"


def test_the_python_page_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("polars")
    monkeypatch.chdir(tmp_path)
    shutil.copy(EXAMPLE, "deck.yaml")
    blocks = re.findall(r"```python\n(.*?)```", (DOCS / "python.md").read_text(), re.DOTALL)
    assert len(blocks) >= 3
    space: dict[str, Any] = {}
    for block in blocks:
        exec(compile(block, "docs/python.md", "exec"), space)
    assert len(space["frame"]) == len(space["found"].outcomes)


def test_the_python_page_names_every_field() -> None:
    page = (DOCS / "python.md").read_text()
    for kind in (Outcome, Measure):
        for name in kind.__dataclass_fields__:
            assert f"`{name}`" in page, name


def _workflow() -> dict[str, Any]:
    data: dict[str, Any] = YAML(typ="safe").load(DOCS / "town-folder" / "check.yml")
    return data


def test_every_command_of_the_workflow_is_one_there_is() -> None:
    steps = _workflow()["jobs"]["check"]["steps"]
    lines = "\n".join(step.get("run", "") for step in steps).splitlines()
    commands = [line.strip() for line in lines if line.strip().startswith("deckclause ")]
    assert len(commands) == 4
    parser = whole_parser()
    for command in commands:
        words = shlex.split(re.split(r" > | \|\| ", command)[0])
        parser.parse_args(words[1:])


@pytest.mark.parametrize("spoilt", [False, True])
def test_the_designs_step_tells_what_changed(spoilt: bool, tmp_path: Path) -> None:
    """Run as the host runs it: bash, in a town's folder."""
    shutil.copytree(ROOT / "rules", tmp_path / "rules", ignore=shutil.ignore_patterns("boundary"))
    for name in ("designs", "expected", "bin"):
        (tmp_path / name).mkdir()
    shutil.copy(EXAMPLE, tmp_path / "designs" / "deck.yaml")
    command = tmp_path / "bin" / "deckclause"
    command.write_text(f'#!/bin/sh\nexec {sys.executable} -m deckclause "$@"\n')
    command.chmod(0o755)
    python = tmp_path / "bin" / "python"
    python.symlink_to(sys.executable)
    env = {**os.environ, "PATH": f"{tmp_path / 'bin'}:{os.environ['PATH']}"}
    asked = ["compare", "designs/deck.yaml", "--under", "Tarn Hollow@2026-01-31"]
    expected = tmp_path / "expected" / "deck.json"
    subprocess.run(
        [str(command), *asked, "--rules", "rules", "-o", str(expected)],
        cwd=tmp_path,
        env=env,
        check=False,
    )
    data = json.loads(expected.read_text())
    if spoilt:
        data["topics"][0]["outcomes"][0]["status"] = "engineering required, or so it was"
        expected.write_text(json.dumps(data))
    script = _workflow()["jobs"]["check"]["steps"][-1]["run"]
    done = subprocess.run(
        ["bash", "-e", "-c", script],
        cwd=tmp_path,
        env=env,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == int(spoilt), done.stderr
    assert ("expected engineering required" in done.stdout) is spoilt


def test_the_container_takes_what_there_is() -> None:
    text = (DOCS / "town-folder" / "Containerfile").read_text()
    sources = [
        word
        for line in re.findall(r"^COPY (?!--from)(.*)$", text, re.MULTILINE)
        for word in line.split()[:-1]
    ]
    assert {"pyproject.toml", "engine", "rules"} <= set(sources)
    for source in sources:
        assert (ROOT / source).exists(), source
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    for names in re.findall(r"\[([a-z,]+)\]", text):
        assert set(names.split(",")) <= set(project["optional-dependencies"])
