"""A generated state of 3,000 towns, two adoptions each, with its counties; and an archive of permits.

    pytest tests/benchmarks/test_state_speed.py -n 0 -s

Ratios and processor time alone: what else the machine does counts little.
"""

from __future__ import annotations

import shutil
import sys
from pathlib import Path
from time import process_time

import pytest

from benchmarks.performance_page import Measured
from benchmarks.timing import best_command
from deckclause.rulesets.files import default_root
from deckclause.rulesets.library import RuleLibrary
from deckclause.upkeep.lint.context import LintContext
from deckclause.upkeep.lint.run import run_checks
from support.generated_state import TOWNS_OF_COUNTY, town_name, write_state

TOWNS = 3000
DECK = str(default_root() / "examples" / "whole-deck-12x16.yaml")
COMMAND = (sys.executable, "-c", "from deckclause.cli.main import entry; entry()")
FEW, MORE = 20, 60
ADOPTION = 0.08
"""Seconds of the processor an adoption may add to lint of everything; the aim is 0.03."""
LINT_ONE = 5
"""Seconds of the processor that lint of an edited place may take; the aim is 1."""
DESIGN = 4e-3
"""Seconds a permit may take under two editions; 20 s for a million is the aim.

The rule sets are read in columns. Whether a deck holds together has no columns: it is asked permit
by permit, and takes nearly all of the time.
"""
FEW_PERMITS, MORE_PERMITS = 500, 3_500


@pytest.fixture(scope="module")
def state(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_state(tmp_path_factory.mktemp("state") / "rules", TOWNS)


def test_tomorrow_s_question_is_as_fast_as_today_s(
    state: Path, measured: dict[str, Measured]
) -> None:
    def asked(day: str, runs: int) -> float:
        under = f"{town_name(1234)}@{day}"
        return best_command(
            runs, [*COMMAND, "compare", DECK, "--rules", str(state), "--under", under]
        )

    asked("2024-01-01", 1)  # read once, and kept
    today, tomorrow = asked("2024-01-01", 3), asked("2024-01-02", 3)
    found = f"{tomorrow / today:.2f} times today's ({1000 * tomorrow:.0f} ms)"
    measured["tomorrow"] = Measured(found, "at most 1.3 times", tomorrow <= 1.3 * today)
    print(found)
    assert tomorrow <= 1.3 * today


def test_lint_of_one_place_costs_little_more_among_thousands(
    state: Path, measured: dict[str, Measured]
) -> None:
    """After an edit, with what was surveyed kept; then again, with nothing changed."""
    lint = [*COMMAND, "rules", "lint", "--for", town_name(42), "--rules", str(state)]
    amendment = next((state / "amendments").glob("generated-town-0042-*.yaml"))
    best_command(1, lint)
    times = []
    for edit in range(2):
        with open(amendment, "a", encoding="utf-8") as file:
            file.write(f"# edit {edit}\n")
        times.append(best_command(1, lint))
    edited, again = min(times), best_command(2, lint)
    measured["lint one"] = Measured(f"{edited:.1f} s", "about 1 s", edited <= 1.5)
    measured["lint again"] = Measured(f"{again:.1f} s", "at most 1 s", again <= 1)
    print(f"{edited:.1f} s, again {again:.1f} s")
    assert edited <= LINT_ONE
    assert again <= edited / 2


def test_lint_of_everything_grows_little_by_the_adoption(
    tmp_path: Path, measured: dict[str, Measured]
) -> None:
    times = []
    for towns in (FEW, MORE):
        root = write_state(tmp_path / str(towns), towns)
        start = process_time()
        run_checks(LintContext(RuleLibrary.open(root)))
        times.append(process_time() - start)
        shutil.rmtree(root)
    adoptions = 2 * (MORE - FEW + (MORE - FEW) // TOWNS_OF_COUNTY)
    grown = (times[1] - times[0]) / adoptions
    found = f"{grown:.3f} s an adoption"
    measured["lint growth"] = Measured(found, "at most 0.03 s", grown <= 0.03)
    print(found)
    assert grown <= ADOPTION


def test_lint_and_relief_of_the_shipped_rules(
    tmp_path: Path, measured: dict[str, Measured], monkeypatch: pytest.MonkeyPatch
) -> None:
    step = str(default_root() / "examples" / "step-down-3in.yaml")
    relief = [*COMMAND, "relief", step, "--under", "irc-2012"]
    best_command(1, relief)
    took = best_command(2, relief)
    measured["relief"] = Measured(f"{took:.2f} s", "at most 0.5 s", took <= 0.5)
    monkeypatch.setenv("DECKCLAUSE_CACHE", str(tmp_path))
    lint = [*COMMAND, "rules", "lint"]
    first, again = best_command(1, lint), best_command(2, lint)
    measured["lint shipped"] = Measured(f"{first:.1f} s", "at most 4 s", first <= 4)
    measured["lint shipped again"] = Measured(f"{again:.1f} s", "none set", again <= first / 4)
    print(f"relief {took:.2f} s, lint {first:.1f} s, again {again:.1f} s")
    assert again <= first / 4


def test_a_permit_costs_microseconds(tmp_path: Path, measured: dict[str, Measured]) -> None:
    times = []
    for count in FEW_PERMITS, MORE_PERMITS:
        path = tmp_path / f"{count}.parquet"
        best_command(1, [*COMMAND, "new", "archive", str(path), "--designs", str(count)])
        asked = ["--from", "irc-2015", "--to", "irc-2021", "--list", "none", "--quiet"]
        out = ["--out", str(tmp_path / f"out-{count}")]
        times.append(best_command(1, [*COMMAND, "impact", str(path), *asked, *out]))
    each = (times[1] - times[0]) / (MORE_PERMITS - FEW_PERMITS)
    found = f"{1e6 * each:.0f} us a permit, {times[0] - FEW_PERMITS * each:.1f} s to begin"
    measured["impact"] = Measured(found, "20 s for a million", each * 1e6 <= 20)
    print(found)
    assert each <= DESIGN
