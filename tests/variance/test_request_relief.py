"""Which relief a request asks for: said, chosen by number, or just as drawn; and kept up to date."""

from __future__ import annotations

from pathlib import Path

import pytest

from deckclause.cli.main import run
from deckclause.report.request.template import WORKED_OUT
from deckclause.rulesets.yaml_tree import parse_tree
from variance.requests import EXAMPLE

UNDER = ["--under", "Tarn Hollow@2025-03-01"]


def _design(
    folder: Path, drop: str = "2-1/2 in", row: str = "6 in", spacing: str = "16 in"
) -> Path:
    text = EXAMPLE.read_text()
    for old, new in (
        ("below_band_joist: 3 in", f"below_band_joist: {drop}"),
        ("lower_row_below_ledger_top: 6-1/2 in", f"lower_row_below_ledger_top: {row}"),
        ("spacing: 16 in", f"spacing: {spacing}"),
    ):
        text = text.replace(old, new)
    path = folder / "deck.yaml"
    path.write_text(text)
    return path


def _new(folder: Path, *options: str) -> Path:
    path = folder / "request.yaml"
    path.unlink(missing_ok=True)
    named = options or ("--keep-rows",)
    assert run(["request", "new", str(folder / "deck.yaml"), *UNDER, "-o", str(path), *named]) == 0
    return path


def _data(path: Path) -> dict:
    return parse_tree(path.read_bytes(), path.name).data


def test_what_is_asked_for_and_moved_is_said_and_the_others_stand_in_the_file(
    tmp_path: Path, capsys
) -> None:
    _design(tmp_path, drop="3 in", row="5-3/4 in", spacing="40 in")
    path = _new(tmp_path, "--relief", "1")
    said = capsys.readouterr().err
    assert "asks for relief 1: Lower row below the ledger's top" in said
    assert "moves lower row below ledger top: 5-3/4 in -> 5-1/2 in" in said
    assert _data(path)["with_changes"] == {"fasteners.lower_row_below_ledger_top": "5-1/2 in"}
    assert f"{WORKED_OUT}     precedent: none" in path.read_text()


def test_no_relief_is_taken_by_itself(tmp_path: Path, capsys) -> None:
    design = _design(tmp_path)
    path = tmp_path / "request.yaml"
    assert run(["request", "new", str(design), *UNDER, "-o", str(path)]) == 2
    said = capsys.readouterr().err
    assert "none is taken by itself" in said
    assert "relief 1: the whole rule of International Residential Code, 2024" in said
    assert "relief 2: Lower row below the ledger's top" in said
    assert not path.exists()


def test_a_row_set_for_relief_from_one_clause_stays_where_it_was_set(tmp_path: Path) -> None:
    """Lower row at 6 in with 2-1/2 in of drop leaves 3/4 in of wood: only note d is short."""
    _design(tmp_path)
    data = _data(_new(tmp_path))
    assert data["with_changes"] == {}
    assert [i["clause"] for i in data["items"]] == ["ledger_lower_row_below_ledger_top"]


def test_a_relief_is_taken_by_its_number_or_as_drawn(tmp_path: Path) -> None:
    _design(tmp_path)
    drawn = _data(_new(tmp_path, "--keep-rows"))
    assert drawn == _data(_new(tmp_path, "--relief", "2"))
    assert drawn["with_changes"] == {}
    assert {i["clause"] for i in drawn["items"]} == {"ledger_lower_row_below_ledger_top"}


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--relief", "9"], "deckclause relief numbers: 1"),
        (["--keep-rows"], "cannot stand as drawn"),
    ],
)
def test_a_relief_there_is_not_is_refused(
    tmp_path: Path, capsys, options: list[str], said: str
) -> None:
    design = _design(tmp_path, drop="3 in", row="6-1/2 in")
    assert run(["request", "new", str(design), *UNDER, *options]) == 2
    assert said in capsys.readouterr().err


def test_help_names_every_kind_and_form_and_explains_changes(capsys) -> None:
    from variance.decks import case, replaced

    rules = case(replaced(), "irc-2021").rules
    with pytest.raises(SystemExit):
        run(["request", "--help"])
    said = capsys.readouterr().out
    for name in (*rules.kinds, *rules.forms, "with_changes", "exit status"):
        assert name in said


def _answered(path: Path) -> None:
    text = path.read_text()
    text = text.replace("address:  #", 'address: "4 Mill Lane #2"  #')
    text = text.replace("    proposal:  #", "    proposal: Words on the row.  #")
    text = text.replace("owner:", "# a note of my own\nowner:")
    path.write_text(text.replace('truth: "no"', 'truth: "yes"'))


def test_a_changed_design_is_taken_up_and_every_answer_kept(tmp_path: Path, capsys) -> None:
    _design(tmp_path)
    path = _new(tmp_path)
    _answered(path)
    before = path.read_text()
    _design(tmp_path, row="5-3/4 in")
    assert run(["request", "refresh", str(path)]) == 0
    assert path.read_text() == before
    said = capsys.readouterr().out
    assert "the design has changed" in said
    assert "item on ledger_lower_row_below_ledger_top: " in said
    assert "--write" in said
    assert run(["request", "refresh", str(path), "--write"]) == 0
    after, data = path.read_text(), _data(path)
    assert data["address"] == "4 Mill Lane #2"
    assert data["items"][0]["proposal"] == "Words on the row."
    assert "# a note of my own\nowner:" in after
    assert data["declarations"]["statement_of_truth"] == "no"
    assert run(["request", "check", str(path)]) == 1
    assert "has changed" not in capsys.readouterr().out.split("wrote", 1)[1]
    assert run(["request", "refresh", str(path)]) == 0
    assert "nothing has changed" in capsys.readouterr().out


def test_what_became_stale_and_what_is_new_is_said_and_nothing_written_is_lost(
    tmp_path: Path, capsys
) -> None:
    _design(tmp_path, spacing="40 in")
    path = _new(tmp_path)
    _answered(path)
    _design(tmp_path, spacing="11 in")
    assert run(["request", "refresh", str(path), "--write"]) == 0
    said = capsys.readouterr().out
    assert "item on ledger_fastener_spacing no longer needs relief; its 1 answers stay" in said
    assert [i["clause"] for i in _data(path)["items"]] == ["ledger_lower_row_below_ledger_top"]
    assert path.read_text().count("Words on the row.") == 2
    _design(tmp_path, spacing="40 in")
    assert run(["request", "refresh", str(path), "--write"]) == 0
    assert "new:\n  item on ledger_fastener_spacing" in capsys.readouterr().out
    assert len(_data(path)["items"]) == 2


def test_why_a_change_is_not_made_stays_with_that_change(tmp_path: Path, capsys) -> None:
    _design(tmp_path)
    path = _new(tmp_path)
    first, *_, last = _data(path)["why_not"]
    text = path.read_text()
    for key, said in ((first, "Too low a step."), (last, "Not ours to rebuild.")):
        text = text.replace(f'  "{key}":', f'  "{key}": {said}')
    path.write_text(text)
    _design(tmp_path, spacing="40 in")
    assert run(["request", "refresh", str(path), "--write"]) == 0
    said, kept = capsys.readouterr().out, _data(path)["why_not"]
    for key, words in ((first, "Too low a step."), (last, "Not ours to rebuild.")):
        assert kept.get(key) == words or (f"why_not: {key}" in said and words in path.read_text())


def test_a_build_replaces_only_what_a_build_wrote_and_nobody_changed(
    tmp_path: Path, capsys
) -> None:
    _design(tmp_path)
    path = _new(tmp_path)
    out = tmp_path / "out"
    build = ["request", "build", str(path), "-o", str(out), "--format", "html"]
    assert run(build) == 1
    assert "(exit status 1)" in capsys.readouterr().out.splitlines()[-1]
    assert run(build) == 2
    assert "--replace" in capsys.readouterr().err
    path.write_text(path.read_text().replace("address:  #", "address: 4 Mill Lane  #"))
    assert run([*build, "--replace"]) == 1
    assert "4 Mill Lane" in (out / "request.html").read_text()
    page = out / "request.html"
    page.write_text("mine now")
    assert run([*build, "--replace"]) == 2
    assert page.read_text() == "mine now"
    assert "changed since it was built" in capsys.readouterr().err
    page.unlink()
    (out / "request-drawing-1.svg").unlink()
    (out / "request-drawing-1.svg").write_text("not of a build")
    assert run([*build, "--replace"]) == 2
    assert not page.exists()


def test_word_without_a_renderer_says_so_outside_the_document(
    tmp_path: Path, capsys, monkeypatch
) -> None:
    docx = pytest.importorskip("docx")
    from deckclause.report.drawing import rendered

    def none(*_: object) -> None:
        raise ImportError("no cairosvg here")

    monkeypatch.setattr(rendered, "import_module", none)
    _design(tmp_path)
    path = _new(tmp_path)
    assert run(["request", "build", str(path), "-o", str(tmp_path / "o"), "--format", "docx"]) == 1
    assert "deckclause[documents]" in capsys.readouterr().err
    typed = "\n".join(p.text for p in docx.Document(str(tmp_path / "o/request.docx")).paragraphs)
    assert "Drawing not included." in typed
    assert "pip" not in typed
