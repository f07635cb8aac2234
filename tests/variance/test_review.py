"""The office's view of a request: afresh, what is asserted, what is missing, a draft, a log."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from deckclause.answers.request.review import review_request
from deckclause.cli.main import run
from deckclause.rulesets.problems import InputError
from deckclause.variance.request.build import Request, read_request
from deckclause.variance.request.decisions import read_decisions
from variance.decks import catalogue
from variance.requests import new_request


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = new_request(tmp_path_factory.mktemp("review"))
    text = made.read_text().replace("date:  #", "date: 2025-03-07  #", 1)
    made.write_text(
        text.replace("    intent:  #", "    intent: The lower row stays in sound wood.  #")
    )
    return made


@pytest.fixture(scope="module")
def asked(path: Path) -> Request:
    return read_request(catalogue(), path)


def test_what_is_computed_and_what_is_asserted_stand_apart(asked: Request) -> None:
    review = review_request(asked, date(2025, 3, 10))
    words = "The lower row stays in sound wood."
    assert any(said == words for _, said in review.asserted)
    assert not any(words in line for line in review.computed)
    for item in asked.items:
        assert item.finding is not None
        assert any(line.startswith(item.finding.cites) for line in review.computed)


def test_an_incomplete_request_cannot_be_decided_and_the_draft_says_so(asked: Request) -> None:
    review = review_request(asked, date(2025, 3, 10))
    assert review.missing
    assert not review.can_be_decided
    assert {d.outcome for d in review.drafts} == {"more information"}


def test_the_clocks_of_the_place_run_from_the_date_of_the_request(asked: Request) -> None:
    """Tarn Hollow: 10 and 20 business days, 30 calendar days; from Friday, 7 March 2025."""
    until = {c.event: c.until for c in review_request(asked, date(2025, 3, 10)).clocks}
    assert until["completeness answer"] == date(2025, 3, 21)
    assert until["first comments"] == date(2025, 4, 4)
    assert until["filing of an appeal after the decision"] == date(2025, 4, 6)


def test_a_decision_is_logged_and_read_back(path: Path, tmp_path: Path, capsys) -> None:
    log = tmp_path / "log.yaml"
    beside = tmp_path / ".log.yaml.new"
    beside.write_text("of somebody else\n")
    decide = ["request", "review", str(path), "--log", str(log), "--decide", "denied"]
    assert run([*decide, "--reasons", 'No "sound wood": shown #1']) == 1
    assert run([*decide, "--may-be-cited"]) == 1
    first, *_ = read_decisions(log)
    assert first.reasons == 'No "sound wood": shown #1'
    assert not any(d.is_precedent for d in read_decisions(log))
    assert "applicant" not in log.read_text()
    assert beside.read_text() == "of somebody else\n"
    assert run(["request", "review", str(path), "--log", str(log)]) == 2


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("decisions: none\n", "no log of decisions"),
        ("decisions:\n  - decidd: x\n", "Did you mean decided"),
        ("decisions:\n  - decided: x\n", "lacks under"),
    ],
)
def test_what_is_no_log_is_refused_with_its_line(tmp_path: Path, text: str, said: str) -> None:
    path = tmp_path / "log.yaml"
    path.write_text(text)
    with pytest.raises(InputError) as fault:
        read_decisions(path)
    assert said in str(fault.value)
