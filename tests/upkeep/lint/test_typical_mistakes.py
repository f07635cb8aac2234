"""Mistakes people make who write rules: each message names the file, the line and the cure.

A sound little rules folder, one slip at a time; what is expected was written beside each by hand.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from deckclause.rulesets.fingerprint import table_fingerprint
from deckclause.rulesets.library import RuleLibrary
from deckclause.upkeep.lint.context import LintContext
from deckclause.upkeep.lint.finding import LintFinding
from deckclause.upkeep.lint.run import CHECKS, run_checks
from rulesets.small_rules import open_rules

EDITION, TOWN = "editions/code-2018.yaml", "amendments/town.yaml"
REGISTER, SOURCES = "register.yaml", "sources.yaml"
LOOKED_FOR = ("unreadable", "dangling-source", "stale-amendment", "another-place")

CHANGES = """
  - replace: frost
    fingerprint: '{frost}'
    to: {{at_most: 42 in}}
  - strike: bolt_kind
    fingerprint: '{bolt_kind}'
  - set: {{joists.live_load: 60 psf}}
  - cells: spacing
    fingerprint: '{spacing}'
    figures: [{{at: [lag, 12 ft], figure: 14 in}}]
"""
PLACES = """\
places:
  Aldmere:
    invented: true
    adoptions:
      - edition: code-2018
        amendments: [town]
        from: 2019-06-01
"""
LISTED = """\
sources:
  invented:
    title: Invented
    kind: other
    reach: direct
    seen: All of it.
"""


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    loaded = open_rules(tmp_path).load("code-2018")
    marks = {c.key: c.fingerprint for c in loaded.ruleset.clauses}
    marks["spacing"] = table_fingerprint(loaded.raw_tables["spacing"])
    open_rules(tmp_path, PLACES, town=CHANGES.format(**marks))
    (tmp_path / SOURCES).write_text(LISTED)
    return tmp_path


def lint(rules: Path) -> list[LintFinding]:
    checks = [check for check in CHECKS if check.name in LOOKED_FOR]
    return run_checks(LintContext(RuleLibrary.open(rules)), checks)


def test_without_a_slip_there_is_nothing_to_report(rules: Path) -> None:
    assert lint(rules) == []


# file, what stands there, what is written instead, the line counted from it, the cure
SLIPS = (
    (EDITION, "at_most: 40 in", "at_mots: 40 in", 0, "Did you mean at_most?"),
    (EDITION, "at_most: 40 in", "at_lest: 40 in", 0, "Did you mean at_least?"),
    (EDITION, "limit: site.frost_depth", "limti: site.frost_depth", 0, "Did you mean limit?"),
    (EDITION, "at_most: 40 in", "at_most: 40", 0, "such as 40 in or 40 ft"),
    (EDITION, "at_most: 40 in", "at_most: 40 psf", 0, "a length is needed here"),
    (EDITION, "limit: site.frost_depth", "limit: site.frost_dept", 0, "Did you mean site.frost_depth?"),
    (EDITION, "topic: bolt_spacing", "topic: bolt_spacin", 0, "Did you mean bolt_spacing?"),
    (EDITION, "sources: [invented]", "sources: invented", 0, "write it as [invented]"),
    (EDITION, "standing: confirmed", "standing: confrmed", 0, "Did you mean confirmed?"),
    (EDITION, "one_of: [lag, bolt]", "one_of: [lag, blot]", 0, "Did you mean bolt?"),
    (EDITION, "one_of: [lag, bolt]", "one_of: lag", 0, "write it as [lag]"),
    (EDITION, "lag: [30 in, 15 in]", "lag: [30 in]", 0, "2 figures are needed, one a column; 1 stand here"),
    (EDITION, "{table: spacing}", "{table: spacin}", 0, "Did you mean spacing?"),
    (EDITION, "by: [bolts.kind,", "by: [bolts.kin,", 0, "Did you mean bolts.kind?"),
    (EDITION, "    at_most: 40 in", "    at_most: 40 in\n    at_most: 41 in", 1, "keep one"),
    (EDITION, "    at_most: 40 in", "\tat_most: 40 in", 0, "never with tabs"),
    (EDITION, "limit: site.frost_depth", "limit site.frost_depth", 1, "the line above, or this one, lacks its colon"),
    (EDITION, "key: bolt_kind", "key: bolt_spacing", 0, "'bolt_spacing' already stands in this rule set"),
    (EDITION, "key: bolt_kind", "key: Bolt Kind", 0, "as bolt_kind"),
    (EDITION, "{when: {bolts.kind: lag}, says", "{says", 0, "when: this is needed and is missing"),
    (EDITION, "when: {bolts.kind: lag}", 'when: {joists.span: "< 12 ft"}', 0, "write {less_than: 12 ft}"),
    (EDITION, "when: {bolts.kind: lag}", "when: {joists.span: 9 ft to 12 ft}", 0, "write {at_least: 9 ft, at_most: 12 ft}"),
    (EDITION, "when: {bolts.kind: lag}", "when: {joists.span: {at_most: 3,000 ft}}", 0, "write the figure without its comma"),
    (EDITION, "when: {bolts.kind: lag}", "when: {bolts.kind: screws}", 0, "One of: lag, bolt."),
    (EDITION, "says: Bolts stand", "says: Bolts: they stand", 0, "must stand in quotation marks"),
    (EDITION, "next_larger", "nearest", 0, "One of: exact, next_larger, next_smaller, interpolate."),
    (EDITION, "bolt: [36 in, 29 in]", "bolt: [36 psf, 29 in]", 0, "a length is needed here"),
    (EDITION, "columns: [6 ft, 12 ft]", "columns: [12 ft, 6 ft]", 0, "the keys of joists.span must rise"),
    (EDITION, "columns: [6 ft, 12 ft]", "columns: [6 ft, 12]", 0, "such as 12 in or 12 ft"),
    (EDITION, "    says: Lags or bolts.\n", "", -3, "says: this is needed and is missing"),
    (EDITION, "    one_of: [lag, bolt]\n", "", -5, "a limit needs at_least, at_most, exactly or one_of"),
    (EDITION, "    value: 40 psf\n", "", -5, "provides needs a value"),
    (TOWN, "edition: code-2018", "edition: code 2018", 0, "Did you mean code-2018?"),
    (TOWN, "adopted: 2019-05-01", "adopted: 5/1/2019", 0, "write it as 2024-05-01"),
    (TOWN, "replace: frost", "replace: frots", 0, "Did you mean frost?"),
    (TOWN, "strike: bolt_kind", "delete: bolt_kind", 0, "Did you mean strike?"),
    (TOWN, "    to: {at_most: 42 in}\n", "", -2, "replace needs `to`: what the clause says now"),
    (TOWN, "{at_most: 42 in}", "{minimum: 42 in}", 0, "Did you mean at_least?"),
    (TOWN, "{at_most: 42 in}", "{at_most: 42 psf}", 0, "a length is needed here"),
    (TOWN, "joists.live_load: 60 psf", "joists.live_lod: 60 psf", 0, "Did you mean joists.live_load?"),
    (TOWN, "joists.live_load: 60 psf", "joists.live_load: sixty", 0, "is not a number with a unit"),
    (TOWN, "cells: spacing", "cells: spacings", 0, "Did you mean spacing?"),
    (TOWN, "at: [lag, 12 ft]", "at: [lags, 12 ft]", 0, "Did you mean lag?"),
    (TOWN, "at: [lag, 12 ft]", "at: [lag, 13 ft]", 0, "Did you mean 12 ft?"),
    (TOWN, "amendment: town", "amendment: twon", 0, "stands in a file named for 'town'"),
    (TOWN, "place: Aldmere", "place: Aldmer", 0, "put the register's name in it"),
    (REGISTER, "from:", "form:", 0, "Did you mean from?"),
    (REGISTER, "edition: code-2018", "edition: code-2081", 0, "Did you mean code-2021?"),
    (REGISTER, "[town]", "[twon]", -1, "Did you mean town?"),
    (REGISTER, "from: 2019-06-01", "from: 2020-02-30", -2, "no day of the calendar"),
    (REGISTER, "from: 2019-06-01", "from: June 2019", 0, "write it as 2024-05-01"),
    (REGISTER, "        from: 2019-06-01", "        from: 2019-06-01\n        until: 2019-01-01", -2, "ends before it begins"),
    (REGISTER, "    invented: true", "    invented: true\n    within: Aldmre", -1, "Did you mean Aldmere?"),
    (REGISTER, "invented: true", "invented: yes", 0, "neither true nor false"),
    (TOWN, "strike: bolt_kind", "range: {from: '5.2', to: '5.3', struck: yes}", 0, "neither true nor false"),
    (REGISTER, "places:", "place:", 0, "Did you mean places?"),
    (SOURCES, "reach: direct", "reach: close", 0, "One of: direct, mirror, draft, secondary."),
    (SOURCES, "    title: Invented\n", "", -1, "title: this is needed and is missing"),
    (SOURCES, "title: Invented", "titel: Invented", 0, "Did you mean title?"),
)  # fmt: skip


@pytest.mark.parametrize(
    ("file", "stands", "written", "lines", "cure"), SLIPS, ids=[f"{s[0]}: {s[2]!r}" for s in SLIPS]
)
def test_a_slip_is_told_with_file_line_and_cure(
    rules: Path, file: str, stands: str, written: str, lines: int, cure: str
) -> None:
    path = rules / file
    text = path.read_text()
    before, found, after = text.partition(stands)
    assert found
    path.write_text(before + written + after)
    told = [f for f in lint(rules) if f.place.file.endswith(file) and cure in f.message]
    assert told, [(f.place, f.message) for f in lint(rules)]
    line = before.count("\n") + 1 + lines
    assert line in {f.place.line for f in told}, told


def test_a_source_that_is_not_listed_is_told_once(rules: Path) -> None:
    path = rules / EDITION
    head, _, rest = path.read_text().rpartition("sources: [invented]")
    path.write_text(f"{head}sources: [invnted]{rest}")
    (told,) = [f for f in lint(rules) if f.place.file.endswith(EDITION)]
    assert told.message == "there is no source 'invnted'"
    assert told.place.line == head.count("\n") + 1


RUBBISH = ("bogus: [", "\t", "- - -", "a: &a [*a]", "\x00", "!!python/x y")


@pytest.mark.parametrize(
    ("file", "at", "rubbish"),
    [
        (file, 1 + n % 3, RUBBISH[n % len(RUBBISH)])
        for n, file in enumerate((EDITION, TOWN, REGISTER, SOURCES) * 2)
    ],
)
def test_no_rubbish_makes_lint_crash_and_each_gets_its_file(
    rules: Path, file: str, at: int, rubbish: str
) -> None:
    path = rules / file
    lines = path.read_text().splitlines()
    path.write_text("\n".join([*lines[:at], rubbish, *lines[at:]]) + "\n")
    assert any(f.place.file.endswith(file) for f in lint(rules))
