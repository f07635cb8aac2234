"""What is being worked on is kept beside its design: taken up again, never over another's."""

from __future__ import annotations

import errno
import json
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from deckclause.evaluate.catalogue import Catalogue
from deckclause.page.folder import AlreadyThere, Folder
from deckclause.rulesets import write_file
from page.pages import client, example, opened
from page.test_folder import AWAY

CATALOGUE = Catalogue.open()
DROP = "ledger.below_band_joist"


@pytest.fixture
def page(tmp_path: Path) -> TestClient:
    (tmp_path / "deck.yaml").write_text(example(), encoding="utf-8")
    return client(tmp_path, CATALOGUE)


def _begun(page: TestClient, drop: str = "2 in", **more: Any) -> dict[str, Any]:
    given = page.post("/api/open", json={"source": "folder", "name": "deck.yaml"}).json()
    given["design"]["facts"][DROP] = drop
    asked = {"design": given["design"], "base": given["base"], "file": "deck.yaml"}
    asked |= {"digest": given["digest"], "under": ["irc-2015"], "steps": "{}"}
    return {**asked, "replacing": given["draft"], **more}


def test_a_draft_is_taken_up_with_what_it_was_held_against(
    page: TestClient, tmp_path: Path
) -> None:
    assert page.post("/api/keep", json=_begun(page)).status_code == 200
    assert (tmp_path / "deck.yaml").read_text(encoding="utf-8") == example()
    assert page.post("/api/start", json={}).json()["drafts"] == ["deck.yaml"]
    given = page.post("/api/open", json={"source": "folder", "name": "deck.yaml"}).json()
    assert given["design"]["facts"][DROP] == "2 in"
    assert (given["under"], given["steps"]) == (["irc-2015"], "{}")
    assert given["unsaved"]
    assert not given["moved"]
    asked = {"source": "folder", "name": "deck.yaml", "as_saved": True}
    assert page.post("/api/open", json=asked).json()["design"]["facts"][DROP] == "3 in"


def test_a_file_changed_under_its_draft_is_told_and_not_replaced(
    page: TestClient, tmp_path: Path
) -> None:
    page.post("/api/keep", json=_begun(page))
    (tmp_path / "deck.yaml").write_text(example().replace("3 in", "4 in"), encoding="utf-8")
    given = page.post("/api/open", json={"source": "folder", "name": "deck.yaml"}).json()
    assert given["moved"]
    asked = {"design": given["design"], "base": given["base"], "file": "deck.yaml"}
    answer = page.post("/api/save", json={**asked, "replacing": given["digest"]})
    assert answer.status_code == 409
    assert "4 in" in (tmp_path / "deck.yaml").read_text(encoding="utf-8")


def test_a_draft_another_tab_kept_is_not_overwritten(page: TestClient) -> None:
    mine, theirs = _begun(page, "2 in"), _begun(page, "1 in")
    assert page.post("/api/keep", json=theirs).status_code == 200
    assert page.post("/api/keep", json=mine).status_code == 409
    given = page.post("/api/open", json={"source": "folder", "name": "deck.yaml"}).json()
    assert given["design"]["facts"][DROP] == "1 in"


def test_saving_leaves_no_draft_of_what_is_saved(page: TestClient, tmp_path: Path) -> None:
    begun = _begun(page)
    draft = page.post("/api/keep", json=begun).json()["draft"]
    asked = {**{k: begun[k] for k in ("design", "base")}, "was": "deck.yaml"}
    theirs = {**asked, "file": "third.yaml", "draft": ""}  # a tab that could not keep its own
    assert page.post("/api/save", json=theirs).status_code == 200
    assert (tmp_path / ".deck.yaml.draft").exists()
    mine = {**asked, "file": "other.yaml", "draft": draft}
    assert page.post("/api/save", json=mine).status_code == 200
    assert sorted(p.name for p in tmp_path.iterdir()) == ["deck.yaml", "other.yaml", "third.yaml"]


def test_an_example_opened_again_does_not_take_the_name_of_the_work_begun_on_it(
    page: TestClient,
) -> None:
    first = opened(page)
    asked = {"design": first["design"], "base": first["base"], "file": first["file"]}
    page.post("/api/keep", json=asked)
    assert opened(page)["file"] == "step-down-3in-2.yaml"


@pytest.mark.parametrize("name", AWAY)
def test_no_draft_stands_outside_the_folder(tmp_path: Path, name: str) -> None:
    inside = tmp_path / "inside"
    inside.mkdir()
    page = client(inside, CATALOGUE)
    answer = page.post("/api/keep", json={"design": {"name": "x"}, "file": name})
    assert answer.status_code in (400, 422)
    assert [p for p in tmp_path.rglob("*") if p.is_file()] == []


def test_a_draft_that_is_a_link_or_nonsense_is_not_read(page: TestClient, tmp_path: Path) -> None:
    secret = tmp_path / "secret"
    secret.write_text(json.dumps({"design": {"name": "secret"}}))
    draft = tmp_path / ".deck.yaml.draft"
    for spoil in (lambda: draft.symlink_to(secret), lambda: draft.write_bytes(b"\xff{")):
        draft.unlink(missing_ok=True)
        spoil()
        given = page.post("/api/open", json={"source": "folder", "name": "deck.yaml"}).json()
        assert given["design"]["facts"][DROP] == "3 in"
    assert secret.exists()


def _outcomes(act: Callable[[int], Any], count: int = 50) -> list[str]:
    def one(number: int) -> str:
        try:
            act(number)
        except AlreadyThere:
            return "there"
        return "written"

    with ThreadPoolExecutor(count) as pool:
        return list(pool.map(one, range(count)))


def test_of_fifty_saves_at_once_one_is_written_whole(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    texts = [f"design: 1\nname: {number}\n" * 50 for number in range(50)]
    found = _outcomes(lambda number: folder.save("new.yaml", texts[number]))
    assert sorted(found) == ["there"] * 49 + ["written"]
    assert (tmp_path / "new.yaml").read_text() == texts[found.index("written")]
    before = write_digest(tmp_path / "new.yaml")
    found = _outcomes(lambda number: folder.save("new.yaml", texts[number] + "#\n", before))
    assert sorted(found) == ["there"] * 49 + ["written"]
    assert (tmp_path / "new.yaml").read_text() == texts[found.index("written")] + "#\n"
    assert [p.name for p in tmp_path.iterdir()] == ["new.yaml"]


def write_digest(path: Path) -> str:
    from deckclause.rulesets.files import digest

    return digest(path.read_bytes())


def test_on_a_full_disk_neither_file_nor_draft_is_cut_off(
    page: TestClient, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun = _begun(page)
    kept = page.post("/api/keep", json=begun).json()["draft"]
    before = {p.name: p.read_bytes() for p in tmp_path.iterdir()}

    def full(handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(write_file, "_sync", full)
    again = page.post("/api/keep", json={**begun, "replacing": kept})
    asked = {k: begun[k] for k in ("design", "base", "file")}
    saved = page.post("/api/save", json={**asked, "replacing": begun["digest"]})
    for answer in (again, saved):
        assert answer.status_code == 400
        assert "No space left" in " ".join(answer.json()["problems"])
    assert {p.name: p.read_bytes() for p in tmp_path.iterdir()} == before
