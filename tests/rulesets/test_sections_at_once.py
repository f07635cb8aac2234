"""What ordinances do besides replacing one clause: ranges, adopted except, parts taken out, own tables.

Each with the facts of a place that does it where one was read, the source beside it.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from deckclause.rulesets.clauses import Informs, Limit, Unmodelled
from deckclause.rulesets.fingerprint import table_fingerprint
from deckclause.rulesets.library import RuleLibrary
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.ruleset import RuleSet
from deckclause.upkeep.lint.context import LintContext
from deckclause.upkeep.lint.run import CHECKS, run_checks
from rulesets.small_rules import one_place, open_rules

TOWN = "Aldmere@2020-01-01"
FROST = "\n  - {replace: frost, fingerprint: MARK_frost, to: {at_most: 42 in}}\n"


def open_town(root: Path, changes: str, more: str = "") -> RuleLibrary:
    """Return the small code with a town's changes; MARK_x stands for the fingerprint of x."""
    loaded = open_rules(root).load("code-2018")
    marks = {c.key: c.fingerprint for c in loaded.ruleset.clauses}
    marks["spacing"] = table_fingerprint(loaded.raw_tables["spacing"])
    for key in sorted(marks, key=len, reverse=True):
        changes = changes.replace(f"MARK_{key}", f"'{marks[key]}'")
    return open_rules(root, one_place("town"), town=changes + more)


def town(root: Path, changes: str, more: str = "") -> RuleSet:
    return open_town(root, changes, more).ruleset(TOWN)


def requirement(ruleset: RuleSet, key: str) -> object:
    clause = ruleset.clause(key)
    assert clause is not None
    return clause.requirement


def unsettled(library: RuleLibrary, name: str) -> list[str]:
    check = [c for c in CHECKS if c.name == "range-not-settled"]
    return [f.message.partition(":")[0] for f in run_checks(LintContext(library, (name,)), check)]


# --- a range of sections --------------------------------------------------------------------------


def test_what_a_replaced_range_does_not_deal_with_is_open_and_told(tmp_path: Path) -> None:
    library = open_town(tmp_path, "\n  - {range: {from: '5.2', to: '5.3'}}" + FROST)
    ruleset = library.ruleset(TOWN)
    kind = requirement(ruleset, "bolt_kind")
    assert isinstance(kind, Unmodelled)
    assert "Aldmere replaces 5.2 to 5.3 as a whole" in kind.reason
    frost = requirement(ruleset, "frost")
    assert isinstance(frost, Limit)  # dealt with by a change of its own
    assert not isinstance(requirement(ruleset, "bolt_spacing"), Unmodelled)
    assert not isinstance(requirement(ruleset, "load"), Unmodelled)
    assert unsettled(library, TOWN) == ["bolt_kind"]


def test_a_struck_range_is_gone_with_the_ordinances_words_standing_and_source(
    tmp_path: Path,
) -> None:
    change = (
        "\n  - {range: {from: '5.2', to: '5.3', struck: true}, section: Sec. 9, says: Left to the "
        "owner., standing: memory, sources: [invented]}\n"
    )
    ruleset = town(tmp_path, change)
    assert [c.key for c in ruleset.clauses] == ["bolt_spacing", "load"]
    assert [(s.key, s.says, s.standing, s.sources, s.origin.section) for s in ruleset.struck] == [
        ("bolt_kind", "Left to the owner.", "memory", ("invented",), "Sec. 9"),
        ("frost", "Left to the owner.", "memory", ("invented",), "Sec. 9"),
    ]


def test_utah_replaces_three_sections_at_once() -> None:
    """Utah Code 15A-3-202(26) replaces R311.7.5 to R311.7.5.3; the copy read told four figures of it."""
    library = RuleLibrary.open()
    open_ = unsettled(library, "Utah@2024-09-10")
    assert open_ == ["stair_nosing", "stair_open_riser", "stair_riser_slope"]
    edition = library.ruleset("irc-2021")
    in_range = {c.key for c in edition.clauses if "R311.7.5" in c.cites}
    in_range -= {c.key for c in edition.clauses if "R311.7.5.4" in c.cites}
    settled = {
        "stair_riser_height",
        "stair_riser_variation",
        "stair_tread_depth",
        "stair_tread_variation",
    }
    assert in_range == {*open_, *settled}


# --- adopted except -------------------------------------------------------------------------------


def test_michigan_adopts_the_2021_code_except_table_r507_2_3(tmp_path: Path) -> None:
    """R 408.30500 and following, in force 2025-08-29 (ars.apps.lara.state.mi.us): the table struck."""
    (tmp_path / "amendments").mkdir()
    (tmp_path / "sources.yaml").write_text("sources: {}\n")
    (tmp_path / "register.yaml").write_text(
        "places:\n  Michigan:\n    adoptions:\n"
        "      - {edition: irc-2021, amendments: [michigan], from: 2025-08-29}\n"
    )
    (tmp_path / "amendments" / "michigan.yaml").write_text(
        "amendment: michigan\nkind: amendment\ntitle: T\nplace: Michigan\nedition: irc-2021\n"
        "ordinance: R 408.30500\nadopted: 2025-05-01\nsources: [invented]\nchanges:\n"
        "  - {not_adopted: [Table R507.2.3], says: The table is not adopted.}\n"
    )
    library = RuleLibrary.open(tmp_path)
    edition = library.ruleset("irc-2021")
    alone = {c.key for c in edition.clauses if c.cites == "Table R507.2.3"}
    beside = {c.key for c in edition.clauses if "Table R507.2.3" in c.cites} - alone
    assert alone | beside
    ruleset = library.ruleset("Michigan@2025-08-29")
    assert {s.key for s in ruleset.struck} == alone
    assert {k for k in beside if isinstance(requirement(ruleset, k), Unmodelled)} == beside
    untouched = {c.key for c in edition.clauses} - alone - beside
    assert all(ruleset.clause(k) == edition.clause(k) for k in untouched)


@pytest.mark.parametrize(
    ("part", "struck"),
    [("'5.3'", ["frost"]), ("Table 5.3", []), ("Chapter 5", []), ("'5'", [])],
)
def test_a_part_not_adopted_takes_what_stands_in_it_alone(
    tmp_path: Path, part: str, struck: list[str]
) -> None:
    changes = f"\n  - {{not_adopted: [{part}]}}\n"
    if not struck:
        with pytest.raises(InputError, match=r"has no clause in|names no chapter"):
            town(tmp_path, changes)
        return
    assert [s.key for s in town(tmp_path, changes).struck] == struck


# --- renumbered, parts taken out ------------------------------------------------------------------


def test_renumbered_sections_ask_what_they_asked(tmp_path: Path) -> None:
    """Austin's redline moves sections to new numbers: what stands under one follows it."""
    plain = open_rules(tmp_path).ruleset("code-2018")
    ruleset = town(tmp_path, "\n  - {renumber: {'5.2': '6.1', '5.3': '6.2'}}\n")
    assert [c.cites for c in ruleset.clauses] == ["5.1", "6.1", "6.2", "5.4"]
    assert [c.requirement for c in ruleset.clauses] == [c.requirement for c in plain.clauses]


def test_an_exception_and_a_choice_are_taken_out(tmp_path: Path) -> None:
    """Half of real amendments delete an item or an exception; Ankeny replaces the landing's."""
    ruleset = town(
        tmp_path,
        "\n  - {drop: frost, fingerprint: MARK_frost, exceptions: [1]}"
        "\n  - {drop: bolt_kind, fingerprint: MARK_bolt_kind, choices: [lag]}\n",
    )
    frost, kind = ruleset.clause("frost"), requirement(ruleset, "bolt_kind")
    assert frost is not None
    assert frost.exceptions == ()
    assert isinstance(kind, Limit)
    assert kind.one_of == ("bolt",)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        (
            "{drop: frost, fingerprint: MARK_frost, exceptions: [2]}",
            "frost has no exception 2; it has 1",
        ),
        ("{drop: bolt_kind, fingerprint: MARK_bolt_kind, choices: [blot]}", "Did you mean bolt?"),
        (
            "{drop: bolt_kind, fingerprint: MARK_bolt_kind, choices: [lag, bolt]}",
            "would allow nothing",
        ),
        ("{drop: bolt_kind, choices: [lag]}", "the fingerprint of bolt_kind is missing"),
        ("{drop: bolt_kind, fingerprint: MARK_bolt_kind}", "drop needs `exceptions` or `choices`"),
        ("{range: {from: '7.1', to: '7.9'}}", "has no clause in 7.1 to 7.9"),
        ("{range: {from: here, to: there}}", "name two sections"),
        ("{renumber: {'9.9': '1.1'}}", "no clause stands in 9.9"),
        ("{strike: frost, fingerprint: MARK_frost, renumber: {'5.2': '6.1'}}", "exactly one of"),
    ],
)
def test_what_cannot_be_done_is_refused_with_its_line(
    tmp_path: Path, changes: str, words: str
) -> None:
    with pytest.raises(InputError) as fault:
        town(tmp_path, f"\n  - {changes}\n")
    assert words in str(fault.value)
    assert "town.yaml, line" in str(fault.value)


# --- tables of its own, permissive rules, provisions ----------------------------------------------

OWN_TABLE = """
tables:
  own_spacing:
    title: Bolts near the lake
    cites: Ordinance 7 Table A
    by: [bolts.kind, joists.span]
    between: {joists.span: next_larger}
    columns: [6 ft, 12 ft]
    cells: {lag: [20 in, 10 in], bolt: [24 in, 12 in]}
    standing: confirmed
    sources: [invented]
"""
READS_IT = """
  - replace: bolt_spacing
    fingerprint: MARK_bolt_spacing
    to: {at_most: {table: own_spacing}, says: Bolts stand as Table A gives.}
"""


def test_a_town_has_a_table_of_its_own(tmp_path: Path) -> None:
    from deckclause.designs.read_design import design_of
    from deckclause.evaluate.catalogue import Catalogue
    from deckclause.evaluate.findings import evaluate

    open_town(tmp_path, READS_IT, OWN_TABLE)
    catalogue = Catalogue.open(tmp_path, cached=False)
    design = "design: 1\nname: D\nbolts: {kind: bolt, spacing: 12-1/2 in}\njoists: {span: 10 ft}\n"
    prepared = catalogue.prepare(design_of(design.encode(), "d.yaml", catalogue.vocabulary))
    (found,) = [
        f
        for f in evaluate(prepared, catalogue.evaluator(TOWN), catalogue.vocabulary).findings
        if f.key == "bolt_spacing"
    ]
    assert found.most == Fraction(12)  # 10 ft reads the next larger column, 12 ft
    assert found.status_words == "does not comply"


def test_a_table_may_not_take_the_name_of_one_there_is(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="has a table 'spacing' already; change its cells"):
        town(tmp_path, READS_IT, OWN_TABLE.replace("own_spacing:", "spacing:", 1))


def test_a_permissive_rule_is_told_and_asks_nothing(tmp_path: Path) -> None:
    change = (
        "\n  - {add: {key: own.may, topic: bolt_kind, cites: '7.1', says: The official may accept "
        "other fasteners., informs: The official may accept other fasteners., standing: confirmed, "
        "sources: [invented]}}\n"
    )
    assert isinstance(requirement(town(tmp_path, change), "own.may"), Informs)


def test_provisions_without_figures_are_kept_as_text_and_change_no_rule(tmp_path: Path) -> None:
    from deckclause.answers.ordinance import ordinance_of

    plain = town(tmp_path, FROST)
    more = "provisions:\n  - {section: Sec. 4, title: Fee, text: Forty dollars a deck.}\n"
    library = open_town(tmp_path, FROST, more)
    assert library.ruleset(TOWN).clauses == plain.clauses
    (fee,) = ordinance_of(library, "town").provisions
    assert (fee.section, fee.title, fee.text) == ("Sec. 4", "Fee", "Forty dollars a deck.")


def test_the_papers_show_what_each_operation_does(tmp_path: Path) -> None:
    from deckclause.answers.markup import STRUCK
    from deckclause.answers.ordinance import ordinance_of

    library = open_town(
        tmp_path,
        "\n  - {range: {from: '5.2', to: '5.3'}}\n  - {renumber: {'5.4': '6.4'}}" + FROST,
    )
    sections, numbers, frost = ordinance_of(library, "town").changes
    assert sections.act == "are struck and replaced at once"
    assert [[words for how, words in line if how == STRUCK] for line in sections.lines] == [
        ["Lags or bolts. "]
    ]
    assert (numbers.cites, numbers.act) == ("5.4", "are renumbered")
    assert frost.act == "is amended"
