"""The one folder: what may be read and written, and that nothing leads out of it."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from deckclause.page.folder import AlreadyThere, Folder
from deckclause.rulesets.files import digest
from deckclause.rulesets.problems import InputError
from page.pages import client, example, opened

AWAY = (
    "../secret.yaml", "..\\secret.yaml", "/etc/passwd.yaml", "sub/inside.yaml", "./design.yaml",
    ".hidden.yaml", "..yaml", "a\x00.yaml", "a\n.yaml", "C:design.yaml", "-rf.yaml", "design.txt",
    "", ".yaml", "%2e%2e/x.yaml", "x" * 200 + ".yaml", "\u202egnp.yaml", "~/.yaml",
)  # fmt: skip


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    inside = tmp_path / "work"
    inside.mkdir()
    (inside / "deck.yaml").write_text(example(), encoding="utf-8")
    (inside / "notes.yaml").write_text("a: 1\n")
    (inside / "readme.txt").write_text("design: 1\n")
    (tmp_path / "secret.yaml").write_text("design: 1\nname: secret\n")
    (inside / "sub").mkdir()
    (inside / "sub" / "inside.yaml").write_text("design: 1\n")
    return inside


def test_only_designs_directly_in_the_folder_are_listed(folder: Path) -> None:
    assert Folder(folder).names() == ("deck.yaml",)


@pytest.mark.parametrize("name", AWAY)
def test_no_name_leads_out_of_the_folder(folder: Path, name: str) -> None:
    before = {p: p.read_bytes() for p in folder.parent.rglob("*") if p.is_file()}
    one = Folder(folder)
    with pytest.raises(InputError):
        one.read(name)
    with pytest.raises(InputError):
        one.save(name, "design: 1\n")
    page = client(folder)
    assert page.post("/api/open", json={"source": "folder", "name": name}).status_code == 400
    asked = {"design": {"name": "x"}, "base": "", "file": name}
    assert page.post("/api/save", json=asked).status_code in (200, 400)
    after = {p: p.read_bytes() for p in folder.parent.rglob("*") if p.is_file()}
    assert {p: after.get(p) for p in before} == before
    assert {p.parent for p in set(after) - set(before)} <= {folder}


def test_a_link_is_neither_read_nor_written_through(folder: Path) -> None:
    secret = folder.parent / "secret.yaml"
    (folder / "link.yaml").symlink_to(secret)
    (folder / "gone.yaml").symlink_to(folder.parent / "nothing.yaml")
    (folder / "loop.yaml").symlink_to("loop.yaml")
    one = Folder(folder)
    assert one.names() == ("deck.yaml",)
    for name in ("link.yaml", "gone.yaml", "loop.yaml"):
        with pytest.raises(InputError, match="link"):
            one.read(name)
        with pytest.raises(InputError, match="link"):
            one.save(name, "design: 1\n", digest(secret.read_bytes()))
    assert secret.read_text() == "design: 1\nname: secret\n"
    assert not (folder.parent / "nothing.yaml").exists()


def test_what_is_no_plain_file_is_not_read(folder: Path) -> None:
    os.mkfifo(folder / "pipe.yaml")
    (folder / "dir.yaml").mkdir()
    one = Folder(folder)
    for name in ("pipe.yaml", "dir.yaml"):
        with pytest.raises(InputError):
            one.read(name)
    assert one.names() == ("deck.yaml",)


def test_the_folder_may_itself_be_reached_by_a_link(folder: Path) -> None:
    link = folder.parent / "way-in"
    link.symlink_to(folder)
    one = Folder(link)
    one.save("new.yaml", "design: 1\n")
    assert (folder / "new.yaml").read_text() == "design: 1\n"


def test_nothing_is_replaced_without_saying_so_about_that_very_content(folder: Path) -> None:
    one = Folder(folder)
    with pytest.raises(AlreadyThere) as there:
        one.save("deck.yaml", "design: 1\n")
    (folder / "deck.yaml").write_text("design: 1\nname: changed meanwhile\n")
    with pytest.raises(AlreadyThere) as again:
        one.save("deck.yaml", "design: 1\n", there.value.digest)
    assert (folder / "deck.yaml").read_text() == "design: 1\nname: changed meanwhile\n"
    one.save("deck.yaml", "design: 1\n", again.value.digest)
    assert (folder / "deck.yaml").read_text() == "design: 1\n"


def test_saving_asks_before_it_replaces(folder: Path) -> None:
    page = client(folder)
    given = opened(page)
    asked = {"design": given["design"], "base": given["base"], "file": "deck.yaml"}
    refused = page.post("/api/save", json=asked)
    assert refused.status_code == 409
    assert refused.json()["already_there"] == "deck.yaml"
    assert refused.json()["kept"] is True
    done = page.post("/api/save", json={**asked, "replacing": refused.json()["digest"]})
    assert done.status_code == 200
    assert (folder / "deck.yaml").read_text(encoding="utf-8") == example()


def test_a_folder_that_cannot_be_written_says_so(folder: Path) -> None:
    if os.getuid() == 0:
        pytest.skip("the superuser may write anywhere")
    folder.chmod(0o500)
    try:
        with pytest.raises(InputError, match="cannot be written"):
            Folder(folder).save("new.yaml", "design: 1\n")
    finally:
        folder.chmod(0o700)


@pytest.fixture
def page(folder: Path) -> TestClient:
    return client(folder)


def test_examples_are_read_by_name_only(page: TestClient) -> None:
    for name in ("../register.yaml", "register.yaml", "/etc/passwd", ""):
        answer = page.post("/api/open", json={"source": "example", "name": name})
        assert answer.status_code == 400
