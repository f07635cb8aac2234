"""Amending end to end: from a description to a town in force, and across a renumbering."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from deckclause.cli.main import run
from deckclause.rulesets.files import default_root
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.schema_check import SchemaChecker, load_schemas, plain_data
from deckclause.rulesets.yaml_tree import parse_tree
from deckclause.upkeep.amending.append import with_changes
from deckclause.upkeep.amending.carry import CARRIED, CHANGED_BASE, NOT_CARRIED, rebased


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    return Path(shutil.copytree(default_root(), tmp_path / "rules"))


def _new(rules: Path, *more: str) -> int:
    return run(
        [
            "amend", "new", "--rules", str(rules), "--place", "Otterbrook", "--edition", "irc-2021",
            "--ordinance", "Ordinance 25-3", "--adopted", "2025-03-01", *more,
        ]
    )  # fmt: skip


ROWS = ["--clause", "ledger_row_spacing", "--at-least", "2 in"]


def test_a_new_amendment_is_shown_and_written_only_with_write(
    rules: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = rules / "amendments" / "otterbrook-2021.yaml"
    assert _new(rules, *ROWS) == 0
    out = capsys.readouterr().out
    assert "at least 2 in" in out
    assert "WHAT IT CHANGES FOR THE EXAMPLE DESIGNS" in out
    assert "Nothing was written" in out
    assert not file.exists()
    assert _new(rules, *ROWS, "--write") == 0
    written = file.read_text()
    assert "# Table R507.9.1.3(2) note b said: " in written
    assert _new(rules, *ROWS, "--write") == 2
    assert file.read_text() == written


def test_a_written_amendment_holds_to_its_schema_and_can_be_put_in_force(rules: Path) -> None:
    frost = ["--set", "site.frost_depth=42 in", "--ordinance-section", "Sec. 4"]
    assert _new(rules, *ROWS, *frost, "--write") == 0
    file = rules / "amendments" / "otterbrook-2021.yaml"
    checker = SchemaChecker(load_schemas(rules))
    assert not list(checker.faults(plain_data(file.read_bytes(), "f"), "amendment", "f"))
    register = rules / "register.yaml"
    register.write_text(
        register.read_text()
        + "  Otterbrook:\n    adoptions:\n"
        + "      - {edition: irc-2021, amendments: [otterbrook-2021], from: 2025-04-01}\n"
    )
    ruleset = RuleLibrary.open(rules).ruleset("Otterbrook@2025-05-01")
    clause = ruleset.clause("ledger_row_spacing")
    assert clause is not None
    assert clause.origin.ordinance == "Ordinance 25-3"
    assert [s.quantity for s in ruleset.settings] == ["site.frost_depth"]


def test_a_clause_is_found_by_its_section(rules: Path, capsys: pytest.CaptureFixture[str]) -> None:
    section = "Table R507.9.1.3(1) note b"
    assert _new(rules, "--section", section, "--strike") == 0
    assert "strike: lag_screw_tip" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (["--section", "Table R507.9.1.3(2)", "--at-least", "2 in"], "say which with --clause"),
        (["--section", "R999", "--strike"], "no clause of irc-2021 cites"),
        (["--clause", "ledger_rows_spacing", "--strike"], "Did you mean ledger_row_spacing?"),
        (["--clause", "ledger_row_spacing", "--at-least", "2"], "unit"),
        (["--clause", "ledger_row_spacing", "--at-least", "2 psf"], "psf"),
        ([], "says no change"),
        (["--set", "site.frost_depth"], "is not QUANTITY=VALUE"),
        (["--set", "site.frost_deepness=42 in"], "Did you mean site.frost_depth?"),
        (["--adopted", "next spring", *ROWS], "is not a date"),
    ],
)
def test_a_description_that_cannot_be_used_is_refused(
    rules: Path, capsys: pytest.CaptureFixture[str], more: list[str], words: str
) -> None:
    assert _new(rules, *more, "--write") == 2
    assert words in capsys.readouterr().err
    assert not (rules / "amendments" / "otterbrook-2021.yaml").exists()


# -- what a change would not do --------------------------------------------------------------------

BAND = ["--clause", "band_joist_bottom_edge_distance", "--at-least", "2-1/2 in"]


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (["--clause", "deck_live_load", "--exactly", "60 psf"], '--set loads.deck_live_load="60 psf"'),
        (["--clause", "ledger_row_spacing", "--at-least", "1-5/8 in"], "nothing would change"),
        (["--set", "loads.deck_live_load=40 psf"], "irc-2021 gives 40 psf itself"),
        (["--clause", "ledger_row_spacing"], "says no change of it"),
        ([*BAND, "--strike-exception", "3"], "there is no exception 3"),
        (["--at-least", "2 in"], "name the clause"),
        ([*BAND, "--at-least", "3 in"], "given twice for one change"),
        (["--set", "site.frost_depth=42 in", "--strike"], "needs a --clause of its own"),
    ],
)  # fmt: skip
def test_a_change_that_would_change_nothing_is_refused_with_what_is_right(
    rules: Path, capsys: pytest.CaptureFixture[str], more: list[str], words: str
) -> None:
    assert _new(rules, *more, "--write") == 2
    assert words in capsys.readouterr().err
    assert not (rules / "amendments" / "otterbrook-2021.yaml").exists()


def test_exceptions_that_stay_are_named_and_one_that_permits_less_must_be_decided(
    rules: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = rules / "amendments" / "otterbrook-2021.yaml"
    assert _new(rules, *BAND) == 0
    out = capsys.readouterr().out
    assert "Exceptions of the clause that stay" in out
    assert "at least 3/4 in (Table R507.9.1.3(2) note e); it permits less" in " ".join(out.split())
    assert _new(rules, *BAND, "--write") == 2
    assert "--strike-exception N" in capsys.readouterr().err
    assert not file.exists()
    assert _new(rules, *BAND, "--keep-exceptions", "--write") == 0
    clause = RuleLibrary.open(rules).ruleset("otterbrook-2021").clause(BAND[1])
    assert clause is not None
    assert len(clause.exceptions) == 2


def test_a_struck_exception_is_gone_and_what_it_guarded_is_named(
    rules: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert _new(rules, *BAND, "--strike-exception", "1", "--write") == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "with it this demand is lost" in out
    clause = RuleLibrary.open(rules).ruleset("otterbrook-2021").clause(BAND[1])
    assert clause is not None
    assert [e.cites for e in clause.exceptions] == ["Table R507.9.1.3(2) note e"]


def test_the_words_are_those_of_the_new_figure(rules: Path) -> None:
    assert _new(rules, *BAND[:-1], "2.5 in", "--keep-exceptions", "--write") == 0
    clause = RuleLibrary.open(rules).ruleset("otterbrook-2021").clause(BAND[1])
    assert clause is not None
    assert clause.says == (
        "Lower row of fasteners to bottom edge of the band joist: at least 2-1/2 in."
    )
    assert "at_least: 2-1/2 in" in (rules / "amendments" / "otterbrook-2021.yaml").read_text()


def test_words_of_a_range_keep_the_bound_that_stays(rules: Path) -> None:
    assert _new(rules, *ROWS, "--write") == 0
    clause = RuleLibrary.open(rules).ruleset("otterbrook-2021").clause("ledger_row_spacing")
    assert clause is not None
    assert clause.says.endswith("at least 2 in and at most 5 in.")


# -- drafts, several changes, the register ---------------------------------------------------------

DRAFT = ["amend", "new", "--place", "Otterbrook", "--edition", "irc-2021"]


def test_a_draft_is_marked_compared_and_kept_out_of_force(
    rules: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    here = ["--rules", str(rules)]
    assert run([*DRAFT, *here, *ROWS, "--set", "loads.deck_live_load=60 psf", "--write"]) == 0
    out = capsys.readouterr().out
    assert "This is a draft" in out
    assert str(rules / "amendments" / "otterbrook-2021.yaml") in out
    assert "amend register otterbrook-2021" in out
    assert run(["diff", "irc-2021", "otterbrook-2021", *here]) == 0
    out = capsys.readouterr().out
    assert "OTTERBROOK-2021 (DRAFT)" in out
    assert "a draft, not in force" in " ".join(out.split())
    file = str(rules / "amendments" / "otterbrook-2021.yaml")
    assert run(["diff", "irc-2021", file, *here]) == 0
    assert run(["amend", "register", "otterbrook-2021", "--from", "2026-01-01", *here]) == 2
    assert "is a draft" in capsys.readouterr().err
    register = rules / "register.yaml"
    entry = "  Otterbrook:\n    adoptions:\n      - {edition: irc-2021, amendments: [otterbrook-2021], from: 2026-01-01}\n"
    register.write_text(register.read_text() + entry)
    assert run(["diff", "irc-2021", "Otterbrook@2026-01-01", *here]) == 2
    assert "cannot be in force" in capsys.readouterr().err


def test_register_enters_it_round_trip_and_signs_the_draft(
    rules: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    here = ["--rules", str(rules)]
    register = rules / "register.yaml"
    before = register.read_text()
    assert run([*DRAFT, *here, *ROWS, "--write"]) == 0
    command = ["amend", "register", "otterbrook-2021", *here, "--from", "2026-01-01"]
    command += ["--ordinance", "Ordinance 26-1", "--adopted", "2025-12-01"]
    assert run(command) == 0
    assert register.read_text() == before
    assert run([*command, "--write"]) == 0
    assert register.read_text().startswith(before)
    ruleset = RuleLibrary.open(rules).ruleset("Otterbrook@2026-01-01")
    assert ruleset.layers[-1].adopted == "2025-12-01"
    assert "A DRAFT" not in (rules / "amendments" / "otterbrook-2021.yaml").read_text()
    capsys.readouterr()
    assert run(["diff", "irc-2021", "otterbrook-2021", *here]) == 2
    assert "as Otterbrook@2026-01-01" in capsys.readouterr().err
    assert run([*command, "--write"]) == 2
    assert "already" in capsys.readouterr().err


def test_register_ends_what_was_in_force_and_loses_nothing_in_silence(
    rules: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    here = ["--rules", str(rules)]
    dated = ["--ordinance", "9", "--adopted", "2026-01-01", "--id", "dunmarrow-2021"]
    new = ["amend", "new", "--place", "Dunmarrow", "--edition", "irc-2021", *ROWS, *dated]
    assert run([*new, *here, "--write"]) == 0
    command = ["amend", "register", "dunmarrow-2021", "--from", "2026-02-01", *here, "--write"]
    before = (rules / "register.yaml").read_text()
    assert run(command) == 2  # the town's own rules of the 2015 code would be lost
    said = capsys.readouterr()
    assert "these rules would be lost: ledger_spacing, stair_light, door_landing" in said.err
    assert "The town leaves the stair light to the owner." in said.out
    assert (rules / "register.yaml").read_text() == before
    assert run([*command, "--let-fall", "ledger_spacin"]) == 2
    assert "Did you mean ledger_spacing?" in capsys.readouterr().err
    assert run([*command, "--let-fall", "all"]) == 0
    library = RuleLibrary.open(rules)
    held = library.register.place("Dunmarrow").adoptions[-1]
    assert held.lets_fall == ("ledger_spacing", "stair_light", "door_landing")
    frost = {
        s.quantity: s.origin.ordinance for s in library.ruleset("Dunmarrow@2026-02-01").settings
    }
    assert frost["site.frost_depth"] == "Ordinance 2018-02"  # the ground is what it was
    assert library.ruleset("Dunmarrow@2026-01-31").edition == "irc-2015"
    assert library.ruleset("Dunmarrow@2026-02-01").edition == "irc-2021"


def test_a_second_amendment_of_one_edition_adds_to_the_first(
    rules: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Quillmere County stands on the 2021 code with an amendment; that one stays in force."""
    here = ["--rules", str(rules)]
    dated = ["--ordinance", "9", "--adopted", "2026-01-01", "--id", "quillmere-second"]
    new = ["amend", "new", "--place", "Quillmere County", "--edition", "irc-2021"]
    assert run([*new, *ROWS, *dated, *here, "--write"]) == 0
    capsys.readouterr()
    command = ["amend", "register", "quillmere-second", "--from", "2026-02-01", *here, "--write"]
    assert run(command) == 0
    assert "irc-2021 with quillmere-county-2021, quillmere-second" in capsys.readouterr().out
    library = RuleLibrary.open(rules)
    before, after = (library.ruleset(f"Quillmere County@2026-0{m}-01") for m in (1, 2))
    assert [x.name for x in after.layers] == [*(x.name for x in before.layers), "quillmere-second"]


def test_several_changes_at_once_and_more_added_later(rules: Path) -> None:
    here = ["--rules", str(rules)]
    file = rules / "amendments" / "otterbrook-2021.yaml"
    first = [*ROWS, "--says", "Rows.", *BAND, "--keep-exceptions", "--says", "Band."]
    assert run([*DRAFT, *here, *first, "--write"]) == 0
    before = file.read_text()
    more = ["amend", "add", "otterbrook-2021", *here, "--set", "loads.deck_live_load=60 psf"]
    assert run(more) == 0
    assert file.read_text() == before
    assert run([*more, "--write"]) == 0
    assert file.read_text().startswith(before)
    ruleset = RuleLibrary.open(rules).ruleset("otterbrook-2021")
    says = [ruleset.clause(key).says for key in (ROWS[1], BAND[1])]  # type: ignore[union-attr]
    assert says == ["Rows.", "Band."]
    assert [s.quantity for s in ruleset.settings] == ["loads.deck_live_load"]


def test_changes_are_added_with_the_indent_of_the_file(tmp_path: Path) -> None:
    text = "changes:\n- strike: a\n# end\nsays: x\n"
    fresh = with_changes(text, parse_tree(text.encode(), "f"), ["  - set:", "      q: 1"])
    assert fresh == "changes:\n- strike: a\n- set:\n    q: 1\n# end\nsays: x\n"
    flow = "changes: [{strike: a}]\n"
    tree = parse_tree(flow.encode(), "f")
    with pytest.raises(InputError, match="one entry below the other"):
        with_changes(flow, tree, ["  - set:"])


# -- rebase ----------------------------------------------------------------------------------------


@pytest.fixture
def amended(rules: Path) -> Path:
    """An amendment of 2012 with a change of every fate."""
    library = RuleLibrary.open(rules)
    loaded = library.load("irc-2012")
    from deckclause.rulesets.fingerprint import fingerprint, table_fingerprint

    def mark(key: str) -> str:
        return fingerprint(loaded.raw_clauses[key], loaded.raw_tables)

    lone = next(
        c.key for c in loaded.ruleset.clauses if library.ruleset("irc-2021").clause(c.key) is None
    )
    (rules / "amendments" / "fenwick-2012.yaml").write_text(f"""\
# yaml-language-server: $schema=../schema/1/amendment.json
amendment: fenwick-2012
title: Fenwick amendments to the 2012 code
place: Fenwick
edition: irc-2012
ordinance: "7"
adopted: 2013-01-01
standing: memory
sources: [memory]
changes:
  # why: the mill's rafters
  - replace: ledger_row_spacing
    fingerprint: "{mark("ledger_row_spacing")}"
    to: {{at_least: 2 in}}
  - strike: ledger_assembly
    fingerprint: "{mark("ledger_assembly")}"
  - strike: {lone}
    fingerprint: "{mark(lone)}"
  - set: {{site.frost_depth: 42 in}}
  - cells: ledger_spacing
    fingerprint: "{table_fingerprint(loaded.raw_tables["ledger_spacing"])}"
    figures: [{{at: [lag_screw, 6 ft], figure: 28 in}}]
  - add:
      key: fenwick_rule
      topic: ledger_size
      cites: Sec. 1
      says: The ledger is 2x10 or larger.
      limit: ledger.size
      one_of: [2x10, 2x12]
      standing: memory
      sources: [memory]
""")
    return rules


def test_rebase_says_what_became_of_each_change(amended: Path) -> None:
    library = RuleLibrary.open(amended)
    text, outcomes = rebased(library, "fenwick-2012", "irc-2021", "fenwick-2021", "9", "2022-01-01")
    fates = [o.outcome for o in outcomes]
    assert fates == [CARRIED, CHANGED_BASE, NOT_CARRIED, CARRIED, NOT_CARRIED, CARRIED]
    assert "is now Table R507.9.1.3(2)" in outcomes[0].why
    assert "laid out otherwise" in outcomes[4].why
    assert "# why: the mill's rafters" in text
    assert "title: Fenwick amendments to the 2021 code" in text
    assert f"# not carried from fenwick-2012: strike {outcomes[2].target}" in text


def test_rebase_writes_what_can_be_layered(
    amended: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    command = ["amend", "rebase", "fenwick-2012", "irc-2021", "--rules", str(amended)]
    file = amended / "amendments" / "fenwick-2021.yaml"
    assert run([*command, "--write"]) == 2
    assert not file.exists()
    dated = ["--ordinance", "9", "--adopted", "2022-01-01"]
    assert run([*command, *dated, "--write"]) == 1
    assert "WHAT IS CARRIED" in capsys.readouterr().out
    assert file.is_file()
    assert run(["rules", "affirm", "fenwick-2021", "--rules", str(amended)]) == 0


def test_a_draft_of_a_place_within_another_stands_on_what_the_larger_one_amended(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The county asks 1-1/2 in below the row where the edition asks 3/4 in: 1 in would be looser."""
    folder = tmp_path / "otter-brook"
    assert run(["init", str(folder), "--within", "Quillmere County"]) == 0
    rules = ["--rules", str(folder / "rules")]
    new = ["amend", "new", "--place", "Otter Brook", "--edition", "irc-2021", "--ordinance", "O 1"]
    new += ["--adopted", "2025-12-01", "--in-hand", *rules, "--write"]
    change = ["--clause", "ledger_bottom_edge_distance", "--at-least", "2 in"]
    assert run([*new, *change, "--strike", "permit_exemption", "--says", "All need one."]) == 0
    assert "said: The lower row stands at least 1-1/2 in above" in capsys.readouterr().out
    library = RuleLibrary.open(folder / "rules")
    draft = library.ruleset("otter-brook-2021")
    assert [layer.name for layer in draft.layers] == [
        "irc-2021", "quillmere-county-2021", "otter-brook-2021",
    ]  # fmt: skip
    register = ["amend", "register", "otter-brook-2021", "--from", "2026-01-01", *rules, "--write"]
    carry = ["amend", "carry", "otter-brook-2021", "irc-2024", "--ordinance", "O 2", "--adopted"]
    assert run([*carry, "2027-11-01", "--in-hand", *rules, "--write"]) == 0
    carried = (folder / "rules" / "amendments" / "otter-brook-2024.yaml").read_text()
    assert (
        "The lower row stands at least 3/4 in above the bottom" in carried
    )  # the 2024 edition's own
    assert "1-1/2 in" not in carried
    assert "otter-brook-2021-ordinance" not in carried
    assert carried.count("otter-brook-2024-ordinance") == 2
    assert "otter-brook-2024-ordinance:" in (folder / "rules" / "sources.yaml").read_text()
    assert run(register) == 0  # the fingerprints are those of what is in force there
    assert (
        RuleLibrary.open(folder / "rules").ruleset("Otter Brook@2026-02-01").layers == draft.layers
    )


def test_sections_changed_at_once_follow_the_clauses_they_reach(tmp_path: Path) -> None:
    """Chapter 3 was renumbered in 2024: stairs stand in R318 there, R311 before."""
    library = RuleLibrary.open()
    text, outcomes = rebased(library, "utah-2021", "irc-2024", "utah-2024", "", "")
    (told,) = [o for o in outcomes if o.kind == "range"]
    assert (told.outcome, told.target) == (CHANGED_BASE, "R311.7.5 to R311.7.5.3")
    assert told.why == "it is now R318.7.5 to R318.7.5.3, which reaches the same clauses"
    assert "range: {from: R318.7.5, to: R318.7.5.3}" in text


@pytest.mark.parametrize(
    ("edition", "part", "why"),
    [
        ("irc-2021", "R507.2.1", "stands in other sections, with other clauses"),
        ("irc-2021", "Table R507.2", "irc-2021 has no snow_basis.not_stated"),
        ("irc-2021", "R999", "irc-2012 has no clause there"),
    ],
)
def test_sections_that_reach_other_clauses_are_not_carried(
    amended: Path, edition: str, part: str, why: str
) -> None:
    (amended / "amendments" / "fenwick-2012.yaml").write_text(
        "amendment: fenwick-2012\ntitle: T\nplace: Fenwick\nedition: irc-2012\nordinance: O\n"
        "adopted: 2013-01-01\nstanding: memory\nsources: [memory]\nchanges:\n"
        f"  - not_adopted: [{part}]\n"
    )
    library = RuleLibrary.open(amended)
    _, (told,) = rebased(library, "fenwick-2012", edition, "f", "", "")
    assert told.outcome == NOT_CARRIED
    assert why in told.why


def test_a_rebase_to_its_own_edition_carries_everything(amended: Path) -> None:
    library = RuleLibrary.open(amended)
    _, outcomes = rebased(library, "fenwick-2012", "irc-2012", "fenwick-b", "", "")
    assert {o.outcome for o in outcomes} == {CARRIED}


def test_the_old_name_of_carry_is_still_understood(
    rules: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shown = []
    for name in ("carry", "rebase"):
        run(["amend", name, "dunmarrow-2015", "irc-2018", "--rules", str(rules)])
        shown.append(capsys.readouterr().out)
    assert shown[0] == shown[1]
    assert "WHAT IS CARRIED" in shown[0]


# --- sources ------------------------------------------------------------------------------------

SOURCE = [
    "sources", "add", "otterbrook-25-3", "--title", "Ordinance 25-3", "--kind", "ordinance",
    "--seen", "The row spacing.", "--reach", "direct",
]  # fmt: skip


def test_a_source_is_added_in_one_command_and_confirms_the_towns_own_figures(
    rules: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    here = ["--rules", str(rules)]
    file = rules / "sources.yaml"
    before = file.read_text()
    assert run([*SOURCE, *here]) == 0
    assert file.read_text() == before
    assert run([*SOURCE, *here, "--write"]) == 0
    assert file.read_text().startswith(before.rstrip("\n"))
    assert run([*SOURCE, *here, "--write"]) == 2
    assert "there is a source 'otterbrook-25-3' already" in capsys.readouterr().err
    assert run(["rules", "schema", *here]) == 0  # nothing to be made by hand
    assert _new(rules, *ROWS, "--source", "otterbrook-25-3", "--write") == 0
    text = (rules / "amendments" / "otterbrook-2021.yaml").read_text()
    assert text.count("standing: confirmed") == 2
    assert "standing: memory" not in text


def test_an_ordinance_in_hand_becomes_a_source(rules: Path) -> None:
    assert _new(rules, *ROWS, "--in-hand", "--write") == 0
    ruleset = RuleLibrary.open(rules).ruleset("otterbrook-2021")
    clause = ruleset.clause("ledger_row_spacing")
    assert clause is not None
    assert (clause.standing, clause.sources) == ("confirmed", ("otterbrook-2021-ordinance",))
    source = RuleLibrary.open(rules).vocabulary.sources["otterbrook-2021-ordinance"]
    assert source.title == "Ordinance 25-3, adopted 2025-03-01"
    assert run(["rules", "schema", "--rules", str(rules)]) == 0


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (["--source", "otterbrok"], "Add it with `deckclause sources add`"),
        (["--in-hand", "--source", "invented"], "takes the place of --source"),
    ],
)
def test_a_source_at_fault_is_said_to_be_so(
    rules: Path, capsys: pytest.CaptureFixture[str], more: list[str], words: str
) -> None:
    assert _new(rules, *ROWS, *more, "--write") == 2
    assert words in capsys.readouterr().err
    assert not (rules / "amendments" / "otterbrook-2021.yaml").exists()


def test_a_draft_is_not_called_adopted(rules: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*SOURCE, "--state", "draft", "--rules", str(rules), "--write"]) == 2
    assert "a draft reaches as a draft" in capsys.readouterr().err


# --- law in force -------------------------------------------------------------------------------


def test_an_amendment_in_force_is_not_added_to(
    rules: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = rules / "amendments" / "dunmarrow-2015.yaml"
    before = file.read_text()
    more = ["amend", "add", "dunmarrow-2015", "--set", "loads.deck_live_load=60 psf", "--write"]
    assert run([*more, "--rules", str(rules)]) == 2
    said = capsys.readouterr().err
    assert "is in force since 2018-03-01" in said
    assert "Write a second ordinance" in said
    assert file.read_text() == before


def test_nothing_is_in_force_before_it_is_adopted(
    rules: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert _new(rules, *ROWS, "--write") == 0
    capsys.readouterr()
    command = ["amend", "register", "otterbrook-2021", "--from", "2025-02-28"]
    assert run([*command, "--rules", str(rules), "--write"]) == 2
    assert "lies before 2025-03-01" in capsys.readouterr().err


def test_the_years_of_a_place(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["rules", "history", "tarn hollow"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "2013-07-01 IRC 2012 with quillmere-county-2012" in out  # the county's, before its own
    assert "2020-01-01 IRC 2018 with quillmere-county-2018, tarn-hollow-2018" in out
    assert "HOLDS NO LONGER, and nobody decided so: ledger_bottom_edge_distance" in out
    assert "2025-01-01 IRC 2021 with quillmere-county-2021, tarn-hollow-2021" in out


# --- a bound that holds in one place of the input space alone -------------------------------------


def _where(*conditions: str, by: str = "--at-least") -> list[str]:
    where = [word for text in conditions for word in ("--where", text)]
    return ["amend", "new", "--place", "Otterbrook", "--edition", "irc-2021", "--clause",
            "guard_height", by, "42 in", *where]  # fmt: skip


def test_a_bound_may_hold_where_it_is_said_to_alone(capsys: pytest.CaptureFixture[str]) -> None:
    from ruamel.yaml import YAML

    assert (
        run(
            _where(
                "deck.greatest_height_above_grade=more_than 6 ft", "deck.use=deck, exterior_balcony"
            )
        )
        == 0
    )
    text = capsys.readouterr().out.partition("\nWHAT CHANGES")[0]
    (change,) = YAML(typ="safe").load(text)["changes"]
    (exception,) = change["to"]["unless"]
    assert exception["when"] == {
        "deck.greatest_height_above_grade": {"more_than": "6 ft"},
        "deck.use": ["deck", "exterior_balcony"],
    }
    assert exception["at_least"] == "42 in"
    assert set(change["to"]) == {"unless"}  # the clause itself stays, and as well known as it was


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (_where("deck.hight=6 ft"), "there is no quantity 'deck.hight'"),
        (_where("deck.use"), "is not QUANTITY=VALUE"),
        ([*_where()[:-2], "--where", "deck.use=deck", "--strike"], "give the bound"),
    ],
)
def test_where_a_bound_holds_is_said_rightly_or_refused(
    capsys: pytest.CaptureFixture[str], arguments: list[str], words: str
) -> None:
    assert run(arguments) == 2
    assert words in " ".join(capsys.readouterr().err.split())
