"""Every word on how to install more names an extra that pyproject.toml has."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
NAMED = re.compile(r"deckclause\\?\[([a-z, ]+)\]")
NEEDED = re.compile(r"""(?:needing_extra|require_extra)\(\s*"(\w+)\"""")


def test_every_extra_named_is_one_there_is() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = set(project["optional-dependencies"])
    pages = [*(ROOT / "docs").rglob("*.md"), ROOT / "README.md", ROOT / "DEVELOPERS.md"]
    found: dict[str, str] = {}
    for path in [*(ROOT / "engine").rglob("*.py"), *pages]:
        text = path.read_text(encoding="utf-8")
        for names in (*NAMED.findall(text), *NEEDED.findall(text)):
            found.update({name.strip(): str(path) for name in names.split(",")})
    assert {"archive", "charts", "cluster", "documents", "page"} <= set(found)
    assert not {name: path for name, path in found.items() if name not in extras}
