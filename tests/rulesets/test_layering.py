"""Amendments layered on an edition: every operation, and everything that is refused."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from deckclause.rulesets.clauses import Fixed, Limit, Lookup, MustBe, Provides
from deckclause.rulesets.fingerprint import fingerprint, table_fingerprint
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.ruleset import RuleSet
from rulesets.small_rules import EDITION, one_place, open_rules

PLACE = "Aldmere@2020-01-01"
STRUCK = """
  - {{section: "3", says: Left to the owner., strike: bolt_kind, fingerprint: "{print}"}}
"""
REPLACED = """
  - section: "2"
    replace: frost
    fingerprint: "{print}"
    to: {{says: The frost line is at most 48 in deep here., at_most: 48 in, standing: confirmed}}
"""


def print_of(root: Path, key: str) -> str:
    loaded = open_rules(root).load("code-2018")
    return fingerprint(loaded.raw_clauses[key], loaded.raw_tables)


def amended(root: Path, changes: str) -> RuleSet:
    return open_rules(root, one_place("town"), town=changes).ruleset(PLACE)


def refusal(root: Path, changes: str) -> str:
    with pytest.raises(InputError) as fault:
        amended(root, changes)
    return str(fault.value)


def test_replace_keeps_what_it_does_not_state(tmp_path: Path) -> None:
    ruleset = amended(tmp_path, REPLACED.format(print=print_of(tmp_path, "frost")))
    clause = ruleset.clause("frost")
    assert clause is not None
    assert isinstance(clause.requirement, Limit)
    assert clause.requirement.most == Fixed(Fraction(48))
    assert clause.cites == "5.3"
    assert len(clause.exceptions) == 1
    assert (clause.origin.place, clause.origin.ordinance, clause.origin.section) == (
        "Aldmere",
        "Ordinance 7",
        "2",
    )
    assert clause.origin.adopted == "2019-05-01"


def test_replace_by_another_form_drops_the_old_form(tmp_path: Path) -> None:
    change = f"""
  - replace: bolt_spacing
    fingerprint: "{print_of(tmp_path, "bolt_spacing")}"
    to: {{must_be: {{bolts.kind: bolt}}, standing: confirmed}}
"""
    clause = amended(tmp_path, change).clause("bolt_spacing")
    assert clause is not None
    assert isinstance(clause.requirement, MustBe)
    assert clause.note == "", "the note spoke of the old figure"


def test_strike_takes_the_clause_and_remembers_who_struck_it(tmp_path: Path) -> None:
    ruleset = amended(tmp_path, STRUCK.format(print=print_of(tmp_path, "bolt_kind")))
    assert ruleset.clause("bolt_kind") is None
    (struck,) = ruleset.struck
    assert (struck.key, struck.topic, struck.origin.section) == ("bolt_kind", "bolt_kind", "3")
    assert struck.says == "Left to the owner."


def test_add(tmp_path: Path) -> None:
    change = """
  - add:
      key: aldmere.close_bolts
      topic: bolt_spacing
      cites: Ordinance 7
      says: Bolts stand at most 20 in apart.
      limit: bolts.spacing
      at_most: 20 in
      standing: confirmed
      sources: [invented]
"""
    ruleset = amended(tmp_path, change)
    assert [c.key for c in ruleset.topic_clauses("bolt_spacing")] == [
        "bolt_spacing",
        "aldmere.close_bolts",
    ]


def test_set_gives_a_value_and_its_provenance(tmp_path: Path) -> None:
    change = """
  - {section: "1", says: Deeper here., set: {site.frost_depth: 42 in, joists.live_load: 60 psf}, cites: Table 9}
"""
    settings = {s.quantity: s for s in amended(tmp_path, change).settings}
    assert settings["site.frost_depth"].value == Fraction(42)
    assert settings["joists.live_load"].value == Fraction(60, 144)
    assert settings["site.frost_depth"].cites == "Table 9"
    assert settings["site.frost_depth"].origin.section == "1"


def test_cells_change_one_cell_and_the_clauses_that_read_it(tmp_path: Path) -> None:
    raw = open_rules(tmp_path).load("code-2018").raw_tables["spacing"]
    change = f"""
  - cells: spacing
    fingerprint: "{table_fingerprint(raw)}"
    figures: [{{at: [bolt, 12 ft], figure: 24 in}}]
"""
    library = open_rules(tmp_path, one_place("town"), town=change)
    clause = library.ruleset(PLACE).clause("bolt_spacing")
    assert clause is not None
    assert isinstance(clause.requirement, Limit)
    assert isinstance(clause.requirement.most, Lookup)
    assert clause.requirement.most.table.cells == (30, 15, 36, 24)
    base = library.ruleset("code-2018").clause("bolt_spacing")
    assert base is not None
    assert isinstance(base.requirement, Limit)
    assert isinstance(base.requirement.most, Lookup)
    assert base.requirement.most.table.cells == (30, 15, 36, 29), "the edition is left alone"


def test_a_place_may_fix_a_site_value_by_clause(tmp_path: Path) -> None:
    change = """
  - add:
      key: aldmere.frost
      topic: frost
      cites: Ordinance 7
      says: Frost by elevation.
      provides: site.frost_depth
      value: {cases: [{when: {site.elevation: {at_most: 6000 ft}}, value: 36 in}]}
      standing: confirmed
      sources: [invented]
"""
    clause = amended(tmp_path, change).clause("aldmere.frost")
    assert clause is not None
    assert isinstance(clause.requirement, Provides)


def test_layering_shares_what_it_leaves_alone(tmp_path: Path) -> None:
    library = open_rules(
        tmp_path, one_place("town"), town=STRUCK.format(print=print_of(tmp_path, "bolt_kind"))
    )
    base, town = library.ruleset("code-2018"), library.ruleset(PLACE)
    for key in ("bolt_spacing", "frost", "load"):
        assert town.clause(key) is base.clause(key)


# --- refused ----------------------------------------------------------------------------------


def test_a_stale_fingerprint_is_refused_saying_what_moved(tmp_path: Path) -> None:
    change = REPLACED.format(print=print_of(tmp_path, "frost"))
    edition = tmp_path / "editions" / "code-2018.yaml"
    edition.write_text(EDITION.replace("at_most: 40 in", "at_most: 41 in"))
    words = refusal(tmp_path, change)
    assert "frost has moved since this was written" in words
    assert "rules affirm town" in words
    assert "5.3, The frost line is at most 40 in deep here." in words
    assert "amendments/town.yaml, line" in words


def test_words_about_a_clause_move_no_fingerprint(tmp_path: Path) -> None:
    change = REPLACED.format(print=print_of(tmp_path, "frost"))
    edition = tmp_path / "editions" / "code-2018.yaml"
    edition.write_text(EDITION.replace("Seen in a handbook.", "Seen in two handbooks."))
    assert amended(tmp_path, change).clause("frost") is not None


def test_a_changed_table_moves_the_fingerprint_of_its_readers(tmp_path: Path) -> None:
    before = print_of(tmp_path, "bolt_spacing")
    edition = tmp_path / "editions" / "code-2018.yaml"
    edition.write_text(EDITION.replace("36 in, 29 in", "36 in, 28 in"))
    assert print_of(tmp_path, "bolt_spacing") != before


def test_a_missing_fingerprint_is_refused_telling_the_present_one(tmp_path: Path) -> None:
    now = print_of(tmp_path, "frost")
    words = refusal(tmp_path, "\n  - {replace: frost, to: {at_most: 48 in}}\n")
    assert f"it is {now}" in words


def test_two_changes_of_one_clause_are_an_error_naming_the_first(tmp_path: Path) -> None:
    now = print_of(tmp_path, "frost")
    change = REPLACED.format(print=now) + f'\n  - {{strike: frost, fingerprint: "{now}"}}\n'
    assert "frost is already changed on line" in refusal(tmp_path, change)


def test_two_values_for_one_quantity_are_an_error(tmp_path: Path) -> None:
    change = "\n  - {set: {site.frost_depth: 42 in}}\n  - {set: {site.frost_depth: 48 in}}\n"
    assert "the value of site.frost_depth is already changed" in refusal(tmp_path, change)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ('{strike: bolt_kinds, fingerprint: "x"}', "Did you mean bolt_kind?"),
        (
            '{cells: spacings, fingerprint: "x", figures: [{at: [lag, 6 ft], figure: 1 in}]}',
            "spacing",
        ),
        ("{set: {site.frost_dept: 42 in}}", "site.frost_depth"),
        ("{set: {site.frost_depth: 42 psf}}", "site.frost_depth"),
        ("{set: {site.frost_depth: 42 in}, strike: frost}", "exactly one of"),
        ("{replace: frost}", "replace needs `to`"),
    ],
)
def test_what_does_not_fit_is_refused(tmp_path: Path, change: str, words: str) -> None:
    assert words in refusal(tmp_path, f"\n  - {change}\n")


def test_adding_a_clause_that_stands_already_is_refused(tmp_path: Path) -> None:
    change = """
  - add: {key: frost, topic: frost, cites: x, says: x, limit: site.frost_depth, at_most: 1 in, standing: confirmed, sources: [invented]}
"""
    assert "already has a clause 'frost'; replace it" in refusal(tmp_path, change)


def test_providing_what_no_place_may_fix_is_refused(tmp_path: Path) -> None:
    change = """
  - add: {key: a.b, topic: frost, cites: x, says: x, provides: bolts.spacing, value: 1 in, standing: confirmed, sources: [invented]}
"""
    assert "not marked `provided`" in refusal(tmp_path, change)


def test_an_amendment_of_another_edition_is_refused(tmp_path: Path) -> None:
    register = one_place("town").replace("code-2018", "code-2021")
    library = open_rules(tmp_path, register, town="\n  - {set: {site.frost_depth: 42 in}}\n")
    with pytest.raises(InputError, match="amends code-2018, but stands on code-2021 here"):
        library.ruleset(PLACE)


def test_every_fault_of_an_amendment_is_told_at_once(tmp_path: Path) -> None:
    change = '\n  - {strike: nothing, fingerprint: "x"}\n  - {set: {no.such: 1 in}}\n'
    words = refusal(tmp_path, change)
    assert "nothing" in words
    assert "no.such" in words
