"""Tables beside their calculations: the right family, the right keys, honest counts and checks."""

from __future__ import annotations

from fractions import Fraction

import pytest
from msgspec.structs import replace

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.derived_checks import (
    FEWEST,
    DerivedCheck,
    RuleRecord,
    derived_check,
    rule_records,
)
from deckclause.evaluate.tables.basis import (
    MET,
    MISSED,
    NONE,
    UNSEEN,
    TableBasis,
    cell_basis,
    cell_facts,
    table_basis,
)
from deckclause.evaluate.tables.keys import find_table, place_of, read_keys
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.ruleset import RuleSet


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return Catalogue.open()


@pytest.fixture(scope="module")
def books(catalogue: Catalogue) -> list[RuleSet]:
    return [catalogue.ruleset(name) for name in catalogue.files.rulesets]


def basis(catalogue: Catalogue, name: str, table: str) -> TableBasis:
    ruleset = catalogue.ruleset(name)
    return table_basis(ruleset, find_table(ruleset, table))


def at(catalogue: Catalogue, name: str, table: str, **keys: str):
    ruleset = catalogue.ruleset(name)
    found = find_table(ruleset, table)
    quantities = catalogue.vocabulary.quantities
    place = place_of(found, read_keys(found, keys, quantities), quantities)
    return cell_basis(ruleset, found, place)


@pytest.mark.parametrize(
    ("ruleset", "table", "met", "of"),
    [
        # AWC DCA 6 (2012) Table 2, Table 4 and Table 5, scanned in Everett WA permit files
        ("awc-dca6-2012", "joist_spans", 36, 36),
        ("awc-dca6-2012", "joist_overhangs", 36, 36),
        ("awc-dca6-2012", "footing_sizes", 63, 63),
        ("awc-dca6-2012", "ledger_spacing_engineered_rim", 28, 28),
        # the ledger table as reprinted in Wisconsin CR 15-043, Appendix B
        ("irc-2009", "ledger_spacing", 21, 21),
        ("irc-2015", "ledger_spacing", 14, 14),
        # IRC 2015 tables as reprinted by trade handouts (sources named in the rule file)
        ("irc-2015", "beam_spans_southern_pine", 56, 56),
        ("irc-2015", "beam_spans_other_species", 112, 112),
        ("irc-2015", "joist_spans", 51, 53),
    ],
)
def test_confirmed_cells_met(
    catalogue: Catalogue, ruleset: str, table: str, met: int, of: int
) -> None:
    assert basis(catalogue, ruleset, table).met_of("confirmed") == (met, of)


def test_the_three_misses_of_2015_are_the_2x6_cells_explained(catalogue: Catalogue) -> None:
    missed = basis(catalogue, "irc-2015", "joists").with_verdict(MISSED)
    assert [(c.facts["joists.size"], c.facts["joists.spacing"]) for c in missed] == [
        ("2x6", 16), ("2x6", 24), ("2x6", 24),
    ]  # fmt: skip
    assert all("not thereby a failing one" in " ".join(c.explanation.notes) for c in missed)


def test_a_met_cell_shows_its_working(catalogue: Catalogue) -> None:
    cell = at(
        catalogue, "irc-2015", "joists", columns="without", species="southern", size="2x8",
        spacing="16 in",
    )  # fmt: skip
    assert (cell.printed, cell.calculated, cell.verdict) == (142, 142, MET)
    assert cell.explanation.unrounded_in == pytest.approx(141.88, abs=0.005)
    assert cell.calculation.family == "joists"


def test_the_columns_of_2015_lead_to_two_calculations(catalogue: Catalogue) -> None:
    keys = {"species": "southern", "size": "2x8", "spacing": "12 in"}
    plain = at(catalogue, "irc-2015", "joists", columns="without", **keys)
    beside = at(catalogue, "irc-2015", "joists", columns="with cantilever", **keys)
    # IRC 2015 Table R507.5: 13-1 and 10-1
    assert (plain.calculated, beside.calculated) == (157, 121)


def test_forty_psf_is_live_load_and_more_is_snow(catalogue: Catalogue) -> None:
    live = at(catalogue, "irc-2021", "ledger", snow="40 psf", assembly="lag", span="12 ft")
    snow = at(catalogue, "irc-2021", "ledger", snow="70 psf", assembly="lag", span="12 ft")
    assert "ground_snow_load" not in dict(live.calculation.keys)
    assert dict(snow.calculation.keys)["ground_snow_load"] == "70 psf"
    assert live.explanation.factors[0].value == 1.0
    assert snow.explanation.factors[0].value == 1.15


def test_guide_and_code_take_different_calculations(catalogue: Catalogue) -> None:
    keys = {"species": "southern", "size": "2x10", "spacing": "16 in"}
    guide = at(catalogue, "awc-dca6-2012", "joist_overhangs", **keys)
    code = at(catalogue, "irc-2018", "joist_cantilevers", **keys)
    assert guide.calculation.family == "guide_joist_overhangs"
    assert code.calculation.family == "joist_overhangs"
    beams = {"size": "2-2x8", "joist_span": "12 ft"}
    clear = at(catalogue, "awc-dca6-2012", "beam_spans_southern_pine", **beams)
    assert clear.calculation.family == "guide_beams"


def test_tables_and_cells_without_a_calculation_say_why(catalogue: Catalogue) -> None:
    for name in ("irc-2015", "irc-2018", "awc-dca6-2012"):
        heights = basis(catalogue, name, "post_heights")
        assert len(heights.with_verdict(NONE)) == len(heights.cells)
        assert all("not known" in cell.reason for cell in heights.cells)


def test_a_row_of_one_species_group_takes_a_calculation_of_its_own(catalogue: Catalogue) -> None:
    # IRC 2021 Table R507.5(1) (from memory): the redwood group's 2-2x8 at 6 ft spans 7 ft 10 in
    group = at(catalogue, "irc-2021", "beams", species="redwood", size="2-2x8", span="6 ft")
    assert (group.calculation.family, group.calculated) == ("group_beams", 94)


def test_every_cell_of_every_shipped_table_has_a_verdict(books: list[RuleSet]) -> None:
    seen = 0
    for book in books:
        for table in book.tables:
            found = table_basis(book, table)
            assert len(found.cells) == len(table.cells) == len(list(cell_facts(table)))
            for place, cell in enumerate(found.cells):
                assert cell.place == place
                assert (cell.verdict == NONE) == bool(cell.reason)
                assert (cell.verdict == UNSEEN) <= (cell.printed == "not seen")
                seen += 1
    assert seen > 3000


def test_a_place_is_checked_with_its_own_figures(catalogue: Catalogue) -> None:
    ruleset = catalogue.ruleset("irc-2018")
    table = find_table(ruleset, "ledger")
    stricter = replace(table, cells=(Fraction(12), *table.cells[1:]))
    cell = cell_basis(replace(ruleset, tables=(stricter,), kind="place"), stricter, 0)
    assert (cell.printed, cell.calculated, cell.verdict) == (12, 30, MISSED)


# -- derived checks -----------------------------------------------------------------------------


def test_agreement_never_raises_a_standing(catalogue: Catalogue, books: list[RuleSet]) -> None:
    records = rule_records(books)
    for name in catalogue.files.rulesets:
        ruleset = catalogue.ruleset(name)
        for table in ruleset.tables:
            for cell in table_basis(ruleset, table).cells:
                note = table.note(cell.place)
                assert cell.standing == (
                    note.standing if note and note.standing else table.standing
                )
                check = derived_check(cell, records)
                assert check is None or (check.cell.standing == "memory")


def test_a_remembered_figure_that_differs_is_flagged(catalogue: Catalogue, books) -> None:
    records = rule_records(books)
    keys = {"snow": "50 psf", "assembly": "lag"}
    differs = derived_check(at(catalogue, "irc-2021", "ledger", span="8 ft", **keys), records)
    agrees = derived_check(at(catalogue, "irc-2021", "ledger", span="6 ft", **keys), records)
    assert differs is not None
    assert differs.flagged
    assert "The table's figure stands" in differs.words
    assert agrees is not None
    assert not agrees.flagged
    assert "stays memory" in agrees.words


def test_too_few_confirmed_cells_establish_nothing(catalogue: Catalogue, books) -> None:
    records = rule_records(books)
    assert not records["joist overhangs"].established
    assert records["footings"].established
    assert "footings, thickness" not in records  # sizes were seen in print, thicknesses were not
    cell = at(catalogue, "irc-2021", "posts", species="redwood", size="4x4", area="100 sq ft")
    check = derived_check(cell, records)
    assert cell.verdict == MISSED
    assert check is not None
    assert not check.flagged
    assert "no derived check" in check.words


@pytest.mark.parametrize(
    ("met", "confirmed", "established"),
    [(FEWEST, FEWEST, True), (FEWEST - 1, FEWEST - 1, False), (9, 10, True), (8, 10, False)],
)
def test_what_establishes_a_rule(met: int, confirmed: int, established: bool) -> None:
    assert RuleRecord("joists", met, confirmed).established is established


def test_confirmed_and_uncalculated_cells_have_no_derived_check(catalogue: Catalogue) -> None:
    confirmed = at(catalogue, "irc-2015", "ledger", assembly="lag", span="6 ft")
    none = at(catalogue, "irc-2018", "decking", board="five", direction="perpendicular")
    assert derived_check(confirmed, {}) is None
    assert derived_check(none, {}) is None
    assert DerivedCheck(confirmed, RuleRecord("ledger", 9, 9)).flagged is False


# -- the ledger: what the two figures may not be taken for -----------------------------------------


def test_a_ledger_figure_is_implied_and_limited_to_its_table(catalogue: Catalogue) -> None:
    for cell in basis(catalogue, "irc-2018", "ledger").cells:
        assert cell.explanation.basis.value == "implied by a table"
        assert any(
            "not to be used for any other fastener" in line for line in cell.explanation.inputs
        )
        assert "NDS" not in " ".join(check.line() for check in cell.explanation.checks)
        assert {"ledger_table_tests", "outside_nds_scope", "basis_stated"} <= {
            caution.key for caution in cell.cautions
        }


# -- keys as typed --------------------------------------------------------------------------------


def test_between_columns_the_cell_the_table_reads_is_shown(catalogue: Catalogue) -> None:
    assert (
        at(catalogue, "irc-2018", "ledger", assembly="lag", span="11 ft").facts["joists.span"]
        == 144
    )
    soil = at(
        catalogue, "irc-2018", "footings", snow="40 psf", area="50 sq ft", figure="side",
        bearing="1700 psf",
    )  # fmt: skip
    assert soil.facts["site.soil_bearing"] == Fraction(1500, 144)
    assert soil.facts["footings.tributary_area"] == 60 * 144


@pytest.mark.parametrize(
    ("table", "keys", "words"),
    [
        ("joits", {}, "has no table 'joits'"),
        ("joists", {}, "joist_spans or joist_cantilevers"),
        ("ledger", {"assembly": "lag"}, "span= (6 ft, 8 ft"),
        ("ledger", {"assembly": "lag_scrw"}, "Did you mean lag screw?"),
        ("ledger", {"span": "20 ft"}, "no column"),
        ("ledger", {"span": "12"}, "no unit"),
        ("ledger", {"span": "12 psf"}, "a length is needed"),
        ("ledger", {"spann": "12 ft"}, "Did you mean span?"),
    ],
)
def test_what_cannot_be_found_is_said_with_what_can(
    catalogue: Catalogue, table: str, keys: dict[str, str], words: str
) -> None:
    with pytest.raises(InputError) as fault:
        at(catalogue, "irc-2018", table, **keys)
    assert words in str(fault.value)
