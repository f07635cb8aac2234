"""Several rule sets after one `--under`, as people type them."""

from __future__ import annotations

import pytest

from deckclause.cli.main import run
from deckclause.rulesets.files import default_root

DECK = str(default_root() / "examples" / "step-down-3in.yaml")
TARN = "Tarn Hollow, 2025-03-01"


@pytest.mark.parametrize(
    "typed",
    [
        [DECK, "--under", TARN, "irc-2021"],
        ["--under", TARN, "irc-2021", DECK],
        ["--under", TARN, "--under", "irc-2021", DECK],
    ],
)
@pytest.mark.parametrize("command", ["compare", "place"])
def test_rule_sets_may_follow_one_another(
    command: str, typed: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    said = []
    for arguments in (typed, [DECK, "--under", TARN, "--under", "irc-2021"]):
        said.append((run([command, *arguments]), capsys.readouterr().out))
    assert said[0] == said[1]
    assert said[0][1]


def test_ids_may_be_parted_by_commas(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["compare", DECK, "--under", "irc-2018,irc-2021", "--part", "placement"]) == 1
    out = capsys.readouterr().out
    assert "IRC 2018" in out
    assert "IRC 2021" in out
