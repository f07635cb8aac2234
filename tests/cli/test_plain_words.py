"""What any command prints for a person is in the trade's words, over the shipped examples.

No quantity's key, no choice with an underscore, no `is yes`; a rule set by its title. What is typed
at a prompt or stands in a file (a command's own line, the YAML that `amend` shows, a place's list of
names to ask by) is in the words of the file.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from deckclause.cli.ask import Asking
from deckclause.cli.main import run
from deckclause.evaluate.catalogue import Catalogue
from report.test_plain_words import BOOLEAN, CHOICES, KEYS, RAW_NAME, UNKNOWNS
from support.designs import EXAMPLES

TOWN = "Tarn Hollow@2025-03-01"
TOWNS = [w for t in (TOWN, "Skerryvane@2024-05-01") for w in ("--under", t)]
STEP_DOWN, WHOLE = EXAMPLES / "step-down-3in.yaml", EXAMPLES / "whole-deck-12x16.yaml"
EVERY = sorted(EXAMPLES.glob("*.yaml"))
RECEIPT = re.compile(r"sources?: .*(\n {6}.*)*|\S+\s+(?:edition|amendment)?\s*[0-9a-f]{64}")
"""Ids of published sources and of what a paper was made of, which stand beside a digest."""
TYPED = re.compile(r"`[^`]*`|--\S+|\S+\.(?:yaml|html|md|csv|pdf|svg|json)\b")
TAGS = re.compile(r"<style.*?</style>|<script.*?</script>|<[^>]*>", re.DOTALL)


def faults(text: str) -> list[str]:
    """Return what in a text is no word of the trade."""
    plain = TYPED.sub("", RECEIPT.sub("", text.replace("\\", "")))
    words = {word.rstrip(".") for word in re.findall(r"[\w.]+", plain)}
    found = sorted(words & (KEYS | CHOICES))
    found += BOOLEAN.findall(" ".join(plain.split()))
    found += [match.group() for match in UNKNOWNS.finditer(" ".join(plain.split()))]
    return found + [match.group() for match in RAW_NAME.finditer(plain)]


def told(capsys: pytest.CaptureFixture[str], *words: str | Path) -> str:
    """Run a command; return what it printed, to either stream."""
    status = run([str(word) for word in words])
    printed = capsys.readouterr()
    assert status in (0, 1, 3), printed.err
    return printed.out + printed.err


COMMANDS: tuple[tuple[str | Path, ...], ...] = (
    *(("place", design, "--under", TOWN) for design in EVERY),
    *(("place", "steps", design, "--under", "irc-2018") for design in EVERY[2:4]),
    *(("place", "layout", design, "--under", "irc-2018") for design in EVERY),
    *(("choose", design, "--under", "irc-2018") for design in EVERY[::3]),
    ("choose", WHOLE, "--under", "irc-2009"),
    ("compare", STEP_DOWN, EXAMPLES / "engineered-rim.yaml", *TOWNS),
    ("relief", EXAMPLES / "engineered-rim.yaml", "--under", "irc-2009"),
    ("diff", "irc-2018", TOWN),
    ("diff", "irc-2018", "irc-2021", "--part", "joists", "--format", "markdown"),
    ("where", "joist_span", "--under", "irc-2015", "--under", "irc-2021"),
    ("where", "ledger_lower_row_below_ledger_top", "--under", "irc-2012", "--under", "irc-2015"),
    ("rules", "history", "Tarn Hollow"),
    ("rules", "standing"),
    ("rules", "show", "irc-2012", "ledger_spacing"),
    ("basis", "irc-2018", "ledger_spacing", "--all"),
)


@pytest.mark.parametrize("words", COMMANDS, ids=lambda w: "-".join(Path(str(x)).stem for x in w))
def test_what_a_command_prints(
    capsys: pytest.CaptureFixture[str], words: tuple[str | Path, ...]
) -> None:
    assert not faults(told(capsys, *words))


@pytest.mark.parametrize("name", ["irc-2009", "irc-2021", TOWN, "awc-dca6-2015"])
def test_a_rule_set_shown(capsys: pytest.CaptureFixture[str], name: str) -> None:
    assert not faults(told(capsys, "rules", "show", name))


@pytest.mark.parametrize("design", EVERY, ids=lambda path: path.stem)
def test_documents(capsys: pytest.CaptureFixture[str], tmp_path: Path, design: Path) -> None:
    for ending in ("html", "md"):
        told(capsys, "compare", design, "--under", TOWN, "-o", tmp_path / f"a.{ending}")
        text = (tmp_path / f"a.{ending}").read_text()
        assert not faults(TAGS.sub(" ", text))


def test_an_archive_under_another_edition(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    archive = tmp_path / "a.csv"
    told(capsys, "new", "archive", archive, "--designs", "40")
    page = tmp_path / "council.html"
    by_place = ("impact", "--from", "irc-2021", "--to", TOWN, archive, "--out", tmp_path / "out")
    assert not faults(told(capsys, *by_place, "-o", page))
    assert not faults(TAGS.sub(" ", page.read_text()))


def test_an_amendments_papers_and_its_draft(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """The YAML that `amend` shows is a file's; what it says of the change is for a person."""
    told(capsys, "amend", "papers", "tarn-hollow-2021", "-o", tmp_path, "--format", "html")
    pages = list(tmp_path.glob("*.html"))
    assert len(pages) > 1
    for page in pages:
        assert not faults(TAGS.sub(" ", page.read_text())), page.name
    draft = told(
        capsys, "amend", "new", "--place", "Otter Brook", "--edition", "irc-2021",
        "--set", "loads.deck_live_load=60 psf",
    )  # fmt: skip
    assert not faults(draft[draft.index("WHAT CHANGES") :])


def test_a_request_and_what_it_still_lacks(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    file = tmp_path / "request.yaml"
    new = ("request", "new", STEP_DOWN, "--under", TOWN, "--relief", "1", "-o", file)
    assert not faults(told(capsys, *new))
    assert not faults(told(capsys, "request", "check", file))


def test_the_questions_put_and_what_is_said_to_a_slip(tmp_path: Path) -> None:
    deck = tmp_path / "deck.yaml"
    deck.write_text("design: 1\ndeck: {attachment: ledger}\n")
    said: list[str] = []
    typed = iter(["banana", "?", "12", ""] * 12)
    asking = Asking(Catalogue.open(), [TOWN], deck, lambda _: next(typed, None), said.append)
    asking.through(12)
    assert len(said) > 20
    assert not faults("\n".join(said))
