"""A place's own rules folder over the shipped rules: laid out, written in, checked, read by all."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from deckclause.cli.main import run
from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.files import default_root, find_files, shipped_root
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.schema_check import SchemaChecker, load_schemas
from deckclause.upkeep.lint.focus import own_focus
from deckclause.upkeep.town_folder import NewFolder, town_files

DOCS = Path(__file__).resolve().parents[2] / "docs"
TOWN = "Otter Brook"


@pytest.fixture(scope="module")
def laid_out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A town within the invented county: laid out, one ordinance in hand, in force."""
    folder: Path = tmp_path_factory.mktemp("towns") / "otter-brook"
    assert run(["init", str(folder), "--within", "Quillmere County", "--edition", "irc-2021"]) == 0
    rules = ["--rules", str(folder / "rules")]
    new = [
        "amend", "new", "--place", TOWN, "--edition", "irc-2021", "--ordinance", "Ordinance 1",
        "--adopted", "2026-01-05", "--in-hand", "--set", "site.frost_depth=48 in", "--write",
    ]  # fmt: skip
    assert run([*new, *rules]) == 0
    register = ["amend", "register", "otter-brook-2021", "--from", "2026-02-01", "--write"]
    assert run([*register, *rules]) == 0
    return folder


@pytest.fixture
def folder(laid_out: Path, tmp_path: Path) -> Path:
    """A copy to spoil."""
    return Path(shutil.copytree(laid_out, tmp_path / "otter-brook"))


def lint(folder: Path, *more: str) -> int:
    return run(["rules", "lint", "--rules", str(folder / "rules"), *more])


# --- what is laid out -----------------------------------------------------------------------------


def test_the_folder_holds_no_copy_of_the_shipped_rules(laid_out: Path) -> None:
    yaml = sorted(p.relative_to(laid_out).as_posix() for p in laid_out.rglob("*.yaml"))
    assert yaml == [
        "rules/amendments/otter-brook-2021.yaml",
        "rules/register.yaml",
        "rules/sources.yaml",
    ]
    for name in yaml:
        first = (laid_out / name).read_text().splitlines()[0]
        schema = (laid_out / name).parent / first.partition("$schema=")[2]
        assert schema.is_file(), name  # an editor finds it from the file's own folder


def test_what_the_readme_tells_to_type_is_understood(laid_out: Path) -> None:
    import shlex

    from deckclause.cli.completion import whole_parser

    text = (laid_out / "README.md").read_text()
    lines = [line for line in text.splitlines() if line.startswith("deckclause ")]
    assert len(lines) == 5
    for line in lines:
        whole_parser().parse_args(shlex.split(line)[1:])


def test_the_check_is_the_one_of_the_guide_for_this_place(tmp_path: Path) -> None:
    files = town_files(tmp_path, NewFolder(TOWN, "irc-2021"))
    check = files[tmp_path / ".github" / "workflows" / "check.yml"]
    shown = (DOCS / "town-folder" / "check.yml").read_text()
    assert check == shown.replace("Tarn Hollow@2026-01-31", f"{TOWN}@2026-02-01")
    assert check != shown


def test_nothing_that_stands_there_is_overwritten(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = {p: p.read_bytes() for p in folder.rglob("*") if p.is_file()}
    assert run(["init", str(folder)]) == 2
    assert "already there" in capsys.readouterr().err
    assert {p: p.read_bytes() for p in folder.rglob("*") if p.is_file()} == before


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (["--edition", "irc-2012a"], "Did you mean irc-2012?"),
        (["--within", "Quilmere County"], "Did you mean Quillmere County?"),
    ],
)
def test_what_is_not_known_is_refused_and_nothing_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], more: list[str], words: str
) -> None:
    assert run(["init", str(tmp_path / "town"), *more]) == 2
    assert words in capsys.readouterr().err
    assert not (tmp_path / "town").exists()


# --- what is read ---------------------------------------------------------------------------------


def test_its_own_rules_and_the_shipped_ones_are_read_as_one(laid_out: Path) -> None:
    library = RuleLibrary.open(laid_out / "rules")
    assert set(library.files.rulesets) == set(find_files(default_root()).rulesets)
    assert {TOWN, "Utah", "Quillmere County"} <= set(library.register.places)
    town = library.ruleset(f"{TOWN}@2026-02-01")
    values = {s.quantity: (s.value, s.standing, s.origin.place) for s in town.settings}
    assert values["site.frost_depth"] == (48, "confirmed", TOWN)
    assert values["site.ground_snow_load"][2] == "Quillmere County"
    assert library.vocabulary.sources["otter-brook-2021-ordinance"].reach == "direct"
    assert "memory" in library.vocabulary.sources
    # before its own first day the county's code stood there
    assert library.register.resolve(f"{TOWN}@2026-01-31").amendments == ("quillmere-county-2021",)


def test_what_the_folder_names_as_the_shipped_rules_do_is_its_own(folder: Path) -> None:
    register = folder / "rules" / "register.yaml"
    register.write_text(
        register.read_text() + "  Waukee:\n    adoptions: [{edition: irc-2024, from: 2026-01-01}]\n"
    )
    library = RuleLibrary.open(folder / "rules")
    assert library.register.resolve("Waukee@2026-06-01").edition == "irc-2024"
    assert (
        RuleLibrary.open(shipped_root()).register.resolve("Waukee@2026-12-01").edition == "irc-2018"
    )


def test_a_warm_answer_follows_the_folders_register(folder: Path) -> None:
    root = folder / "rules"
    assert Catalogue.open(root).register.resolve(f"{TOWN}@2026-02-01").amendments[-1] == (
        "otter-brook-2021"
    )
    register = root / "register.yaml"
    register.write_text(register.read_text().replace("from: 2026-02-01}", "from: 2026-03-01}"))
    later = Catalogue.open(root).register.resolve(f"{TOWN}@2026-02-01")
    assert later.amendments == ("quillmere-county-2021",)


def test_a_folder_that_holds_no_rules_says_how_to_lay_one_out(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["rules", "list", "--rules", str(tmp_path)]) == 2
    assert "deckclause init FOLDER" in capsys.readouterr().err


# --- what is checked ------------------------------------------------------------------------------


def test_lint_of_a_sound_folder_speaks_of_it_alone(
    laid_out: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    checks = ["unreadable", "against-schema", "schema-not-current", "never-adopted", "adoption-gap",
              "rules-fall-away", "stale-amendment", "dangling-source", "unused-source",
              "unused-topic"]  # fmt: skip
    assert lint(laid_out, *(w for c in checks for w in ("--check", c)), "--strict") == 0
    assert "nothing to report" in capsys.readouterr().out


def test_a_fault_of_its_own_stops_the_check_at_its_line(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = folder / "rules" / "amendments" / "otter-brook-2021.yaml"
    path.write_text(path.read_text().replace("set:", "sett:"))
    line = next(i for i, t in enumerate(path.read_text().splitlines(), 1) if "sett:" in t)
    assert lint(folder, "--check", "unreadable", "--format", "sarif") == 1
    (told,) = [
        r
        for r in json.loads(capsys.readouterr().out)["runs"][0]["results"]
        if "sett" in r["message"]["text"]
    ]
    where = told["locations"][0]["physicalLocation"]
    assert where["artifactLocation"]["uri"].endswith("amendments/otter-brook-2021.yaml")
    assert where["region"]["startLine"] in (line, line - 1)
    assert "Did you mean set?" in told["message"]["text"]


def test_a_fault_of_its_register_is_told_and_stops_no_other_place(folder: Path) -> None:
    register = folder / "rules" / "register.yaml"
    register.write_text(
        register.read_text() + "  Bad: {adoptions: [{edition: irc-2021, form: x}]}\n"
    )
    library = RuleLibrary.open(folder / "rules")
    (fault,) = {str(problem) for name, problem in library.register.faults if "form" in str(problem)}
    assert "register.yaml, line" in fault
    assert "'form' is not a known key" in fault
    assert library.register.resolve(f"{TOWN}@2026-02-01").edition == "irc-2021"
    assert "Bad" in own_focus(library).subjects  # lint looks at it


def test_its_files_hold_to_its_own_schemas(laid_out: Path) -> None:
    checker = SchemaChecker(load_schemas(laid_out / "rules"))
    kinds = {"register": "register.yaml", "sources": "sources.yaml",
             "amendment": "amendments/otter-brook-2021.yaml"}  # fmt: skip
    for kind, name in kinds.items():
        path = laid_out / "rules" / name
        assert not list(checker.file_faults(path, kind, name)), name


def test_a_source_added_by_a_command_is_one_an_editor_completes(folder: Path) -> None:
    add = [
        "sources", "add", "survey-2026", "--title", "Frost survey", "--kind", "other", "--reach",
        "secondary", "--seen", "Frost depths.", "--write", "--rules", str(folder / "rules"),
    ]  # fmt: skip
    assert run(add) == 0
    published = json.loads((folder / "rules" / "schema" / "1" / "vocabulary.json").read_text())
    assert "survey-2026" in published["$defs"]["source"]["enum"]
    assert "survey-2026" in RuleLibrary.open(folder / "rules").vocabulary.sources
