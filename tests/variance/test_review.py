"""The office's view of a request: afresh, what is asserted, what is missing, a draft, a log."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest
from msgspec.structs import replace

from deckclause.answers.request.items import label
from deckclause.answers.request.review import APPROVED, _drafts, review_request
from deckclause.cli.main import run
from deckclause.report.request.review_text import review_lines
from deckclause.rulesets.problems import InputError
from deckclause.variance.context import find_context
from deckclause.variance.request.build import Request, read_request
from deckclause.variance.request.decisions import entry_text, read_decisions
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


def test_a_decision_is_cited_by_a_later_request_with_consent_and_of_this_office_alone(
    asked: Request, path: Path, tmp_path: Path
) -> None:
    (draft, *_) = review_request(asked, date(2025, 3, 10)).drafts
    granted = replace(
        draft, outcome="approved with conditions", may_be_cited=True, reasons="Sound."
    )
    others = (
        replace(granted, may_be_cited=False),
        replace(granted, outcome="denied"),
        replace(granted, under="Quillmere County@2019-07-01"),
        replace(granted, clause="another_clause"),
    )
    log = "decisions:\n" + "".join(map(entry_text, (granted, *others)))
    later = tmp_path / "later.yaml"
    (tmp_path / "log.yaml").write_text(log)
    (tmp_path / "deck.yaml").write_text((path.parent / "deck.yaml").read_text())
    text = re.sub(r"^office_log:.*$", "office_log: log.yaml", path.read_text(), flags=re.MULTILINE)
    later.write_text(text if "office_log: log" in text else f"office_log: log.yaml\n{text}")
    found = review_request(read_request(catalogue(), later), date(2025, 4, 10)).earlier
    assert found == (
        f"This office, 2025-03-10: {draft.cites}, {draft.allowed} in place of {draft.required} "
        "(approved with conditions). Reasons: Sound.",
    )


def test_no_approval_is_drafted_where_engineering_gives_no_value(asked: Request) -> None:
    """3/4 in under a 1/2 in screw on a loaded edge is under the 4 diameters of NDS 12.5.1."""
    for decidable in (True, False):
        for draft in _drafts(asked, date(2025, 3, 10), decidable=decidable):
            item = next(i for i in asked.items if i.clause == draft.clause)
            assert item.finding is not None
            has_none = bool(find_context(asked.case, item.finding).no_value)
            assert (draft.outcome == APPROVED) is (decidable and not has_none)
            assert bool(draft.reasons) is has_none


def test_no_approval_is_drafted_where_the_joint_carries_more_than_it_resists(
    tmp_path: Path,
) -> None:
    """4-1/4 in for 6-1/2 in under the 2012 edition: shear of the ledger, NDS 3.4.3.3, is over the whole."""
    beyond = read_request(catalogue(), new_request(tmp_path, under="irc-2012"))
    (draft,) = _drafts(beyond, date(2025, 3, 10), decidable=True)
    assert draft.outcome != APPROVED
    assert draft.reasons.startswith("Shear of the ledger at its fasteners, NDS 3.4.3.3: 1.29 of")


def test_what_the_figures_rest_on_is_told_apart_and_holds_no_value_the_place_sets(
    asked: Request,
) -> None:
    review = review_request(asked, date(2025, 3, 10))
    assert review.rests_on
    design = asked.case.design.design
    own = {label(name, asked.case.vocabulary) for name in design.facts}
    parts = {
        label(n, asked.case.vocabulary) for g in design.parts.values() for p in g for n in p.facts
    }
    assert {name for name, _ in review.rests_on} <= own | parts
    moved = {label(name, asked.case.vocabulary) for name in asked.tree.data["with_changes"]}
    assert moved
    assert {n for n, said in review.rests_on if "set differently for this request" in said} == (
        moved & {name for name, _ in review.rests_on}
    )
    assert not any("the design has" in line for line in review.computed)
    assert "to be seen on site" in "\n".join(review_lines(review))


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
