"""What a larger place has in force on another edition is said not to be taken on."""

from __future__ import annotations

import shutil
from pathlib import Path

from deckclause.evaluate.cache import Cache
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import evaluate
from deckclause.evaluate.notices import notices
from deckclause.rulesets.files import default_root, find_files
from support.designs import changed

CATALOGUE = Catalogue.open(cached=False)


def said(name: str) -> list[str]:
    evaluation = evaluate(changed(CATALOGUE), CATALOGUE.evaluator(name), CATALOGUE.vocabulary)
    return [n.says for n in notices(evaluation, CATALOGUE.vocabulary)]


def test_a_county_on_another_edition_is_said_not_to_be_taken_on() -> None:
    """From July 2024 the county stands on 2021, the town until 2025 on 2018: its frost depth is lost."""
    said_then = [s for s in said("Tarn Hollow@2024-09-01") if "not taken on" in s]
    assert len(said_then) == 1
    assert said_then[0].startswith("the amendments of Quillmere County (County Ordinance 2024-03)")
    assert "they amend IRC 2021, and Tarn Hollow stands on IRC 2018" in said_then[0]
    for name in ("Tarn Hollow@2024-02-01", "Tarn Hollow@2025-02-01", "irc-2018"):
        assert not any("not taken on" in s for s in said(name))


def test_it_is_said_again_when_only_the_county_moves(tmp_path: Path) -> None:
    """What is kept between runs knows the register: the town's own files stay as they were."""
    root = Path(shutil.copytree(default_root(), tmp_path / "rules"))
    folder = tmp_path / "cache"
    folder.mkdir()
    cache = Cache(folder)
    town = "Tarn Hollow@2024-02-01"
    assert Catalogue(find_files(root), cache).ruleset(town).left_out == ()
    register = root / "register.yaml"
    text = register.read_text()
    for old, new in (
        ("until: 2024-07-01}", "until: 2024-01-01}"),
        ("from: 2024-07-01}", "from: 2024-01-01}"),
    ):
        assert old in text
        text = text.replace(old, new, 1)
    register.write_text(text)
    (words,) = Catalogue(find_files(root), cache).ruleset(town).left_out
    assert "Quillmere County" in words
