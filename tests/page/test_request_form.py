"""The request's form: every question of `request new` and no other, every answer as it was typed."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from starlette.testclient import TestClient

from deckclause.evaluate.catalogue import Catalogue
from deckclause.page.request_answers import answered
from deckclause.page.typed import MAX_ANSWER, Answers, TypedItem, TypedPaper, plain_text
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.relief import read_relief
from deckclause.rulesets.yaml_tree import parse_tree
from deckclause.variance.request.fields import ITEMS, fields
from page.pages import client, opened
from variance.requests import new_request

CATALOGUE = Catalogue.open()
RULES = read_relief(CATALOGUE.files, CATALOGUE.vocabulary)
UNDER = "Tarn Hollow@2025-03-01"
CLAUSE = "ledger_lower_row_below_ledger_top"
LISTS = ("items.evidence", "attachments")
SERVED = [(k, f.name) for f in RULES.forms.values() for k in f.kinds]
IDS = re.compile(r'\bid="(request-[^"]+?)"')


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> TestClient:
    return client(tmp_path_factory.mktemp("empty"), CATALOGUE)


@pytest.fixture(scope="module")
def guided(tmp_path_factory: pytest.TempPathFactory) -> str:
    return new_request(tmp_path_factory.mktemp("new"), under=UNDER).read_text(encoding="utf-8")


def _asked(page: TestClient, filled: str, **more: Any) -> dict[str, Any]:
    design = opened(page)
    named = {"under": UNDER, "kind": "modification", "form": "plain", "filled": filled}
    more.setdefault("relief", 1)
    return {
        "design": design["design"],
        "base": design["base"],
        "file": "deck.yaml",
        **named,
        **more,
    }


def _form(page: TestClient, filled: str, **more: Any) -> dict[str, Any]:
    answer = page.post("/api/request-form", json=_asked(page, filled, **more))
    assert answer.status_code == 200, answer.text
    return answer.json()  # type: ignore[no-any-return]


def _fields_shown(html: str) -> list[str]:
    ids = IDS.findall(html)
    assert len(ids) == len(set(ids))
    shown = [i for i in ids if not re.search(r"-(asks|tests|note|wanted)$", i)]
    return [re.sub(r"^items\[1\]\.", ITEMS, i.removeprefix("request-")) for i in shown]


@pytest.mark.parametrize(("kind", "form"), SERVED)
def test_every_question_of_a_request_is_asked_once(
    page: TestClient, guided: str, kind: str, form: str
) -> None:
    text = guided.replace("kind: modification", f"kind: {kind}")
    html = _form(page, text.replace("form: plain", f"form: {form}"))["form"]
    shown = [name for name in _fields_shown(html) if name != "rest"]
    reasons = [name for name in shown if name.startswith("why_not.")]
    assert sorted(set(shown) - set(reasons)) == sorted(fields())
    offered = parse_tree(text.encode(), "request.yaml").data["why_not"]
    assert len(reasons) == len(set(reasons)) == len(offered) > 0
    for test in RULES.kinds[kind].tests:
        # each legal test stands beside the field that answers it
        where = f"request-{test.field.replace(ITEMS, 'items[1].')}-tests"
        beside = html.split(f'<div class="test" id="{where}">', 1)[1].split("</div>", 1)[0]
        assert test.asks in beside


def test_what_check_calls_missing_is_marked_beside_its_field(page: TestClient, guided: str) -> None:
    found = _form(page, guided)
    lacking = set(re.findall(r'data-lack="([^"]+)"', found["lacks"]))
    marked = re.findall(
        r'id="([^"]+)-wanted"><strong class="empty">Still empty', found["form"]
    )  # fmt: skip
    assert lacking == set(marked)
    assert len(lacking) > 10


def test_the_changes_that_avoid_relief_stand_where_their_refusal_is_asked_for(
    page: TestClient, guided: str
) -> None:
    html = _form(page, guided)["form"]
    before, after = html.split('id="request-items[1].alternatives_considered"', 1)
    table = before.split('id="changes-caption">', 1)[1]
    assert "2-1/2 in to" in table or "3 in to" in table
    assert "changes-caption" not in after


def test_a_new_request_holds_no_word_the_applicant_did_not_write(
    page: TestClient, guided: str
) -> None:
    html = _form(page, guided)["form"]
    assert set(re.findall(r"<textarea[^>]*>(.*?)</textarea>", html, re.DOTALL)) == {""}
    assert not re.search(r"<input[^>]*\schecked[\s>=]", html)
    assert "selected" not in html
    empty = {"words": {}, "items": [], "attachments": []}
    draft = page.post("/api/request", json=_asked(page, guided, answers=empty, format="html")).text
    assert draft.count("[not written:") >= 15
    assert 'class="applicant"' not in draft


def test_answers_come_out_as_the_applicants_words_and_no_others(
    page: TestClient, guided: str
) -> None:
    words = {"intent": 'The bolts <hold> & "stay".', "equivalence.strength": "null"}
    answers = {
        "words": {"owner.name": "Ada: Pike # the owner", "declarations.owner_consent": "yes"},
        "items": [{"clause": CLAUSE, "words": words, "evidence": ["A1"]}],
        "attachments": [{"id": "A1", "title": "Photo", "kind": "photo"}],
    }
    asked = _asked(page, guided, answers=answers)
    text = page.post("/api/request", json={**asked, "format": "yaml"}).text
    data = parse_tree(text.encode(), "x").data
    assert data["owner"]["name"] == "Ada: Pike # the owner"
    assert data["declarations"] == {"owner_consent": "yes", "statement_of_truth": "no"}
    assert data["items"][0]["intent"] == words["intent"]
    assert data["items"][0]["equivalence"]["strength"] == "null"
    assert data["items"][0]["evidence"] == ["A1"]
    assert [line for line in guided.splitlines() if line.lstrip().startswith("#")] == [
        line for line in text.splitlines() if line.lstrip().startswith("#")
    ]
    draft = page.post("/api/request", json={**asked, "format": "html"}).text
    marked = set(re.findall(r'<p class="applicant"[^>]*>(.*?)</p>', draft, re.DOTALL))
    assert marked == {"The bolts &lt;hold&gt; &amp; &quot;stay&quot;.", "null"}
    assert re.search(r">A1<.*?<td>1<", draft, re.DOTALL), (
        "an attachment names the items it bears out"
    )
    again = _form(page, text)["form"]
    assert "The bolts &lt;hold&gt; &amp; &#34;stay&#34;." in again


TEXTS = st.text(st.characters(codec="utf-8"), max_size=80).map(plain_text)
WHOLE = [n for n, f in fields().items() if not f.in_item and not n.startswith("declarations")]
WHOLE = [n for n in WHOLE if n not in LISTS]
IN_ITEM = [n.removeprefix(ITEMS) for n, f in fields().items() if f.in_item and n not in LISTS]


@given(
    st.dictionaries(st.sampled_from(WHOLE), TEXTS, max_size=6),
    st.dictionaries(st.sampled_from(IN_ITEM), TEXTS, max_size=6),
    st.lists(TEXTS.filter(bool), max_size=3),
)
def test_whatever_is_typed_is_read_back_and_can_be_emptied_again(
    guided: str, words: dict[str, str], in_item: dict[str, str], titles: list[str]
) -> None:
    papers = [TypedPaper(id=f"A{i}", title=title) for i, title in enumerate(titles, 1)]
    items = [TypedItem(clause=CLAUSE, words=in_item, evidence=[p.id for p in papers])]
    written = answered(guided, Answers(words=words, items=items, attachments=papers), "deck.yaml")
    assert not written.left_out
    data = parse_tree(written.text.encode(), "x").data
    for where, given_words in ((data, words), (data["items"][0], in_item)):
        for name, text in given_words.items():
            stands = where
            for step in name.split("."):
                stands = stands[step]
            assert (stands or "") == text
    assert [p["title"] for p in data["attachments"]] == [p.title for p in papers]
    nothing = Answers(
        words=dict.fromkeys(words, ""),
        items=[TypedItem(clause=CLAUSE, words=dict.fromkeys(in_item, ""))],
    )
    emptied = parse_tree(answered(written.text, nothing, "deck.yaml").text.encode(), "x").data
    assert _said(emptied) == _said(parse_tree(guided.encode(), "x").data)


def _said(data: Any) -> Any:
    """Leave out what is empty: an answer emptied again leaves its name in the file."""
    if isinstance(data, dict):
        return {name: said for name, value in data.items() if (said := _said(value))}
    return [_said(value) for value in data] if isinstance(data, list) else data


def test_each_item_has_answers_of_its_own(page: TestClient) -> None:
    asked = _asked(page, "", under="irc-2021")
    asked["design"]["facts"] |= {"fasteners.spacing": "40 in"}
    found = page.post("/api/request-form", json=asked).json()
    ids = IDS.findall(found["form"])
    assert len(ids) == len(set(ids))
    clauses = sorted(set(re.findall(r'data-clause="([^"]+)"', found["form"])))
    assert len(clauses) > 1
    items = [{"clause": c, "words": {"intent": f"Words on {c}."}} for c in clauses]
    more = {"filled": found["text"], "answers": {"items": items}, "format": "html"}
    draft = page.post("/api/request", json={**asked, **more}).text
    marked = re.findall(r'<p class="applicant"[^>]*>(.*?)</p>', draft, re.DOTALL)
    assert set(marked) == {f"Words on {clause}." for clause in clauses}
    assert draft.count("[not written:") > 10


def test_no_relief_is_taken_by_itself(page: TestClient) -> None:
    asked = _asked(page, "", under="irc-2012", relief=0)
    asked["design"]["facts"]["ledger.below_band_joist"] = "1-3/4 in"
    found = page.post("/api/request-form", json=asked).json()
    assert found["form"] == ""
    assert "none is taken by itself" in found["choices"]
    assert "the whole rule of International Residential Code, 2015" in found["choices"]
    assert "The two scales disagree" in found["choices"]
    assert "checked" not in found["choices"]
    assert page.post("/api/request", json={**asked, "format": "html"}).status_code == 400
    named = page.post("/api/request-form", json={**asked, "relief": 2}).json()
    assert 'value="2" checked' in named["choices"]
    second = named["choices"].split('for="relief-choice-2">', 1)[1].split("</div>", 1)[0]
    titles = re.findall(r"<h4>Item \d+: (.*?), Table", named["form"])
    assert titles
    assert all(title in second for title in titles)


def test_an_answer_cut_by_a_number_sign_in_a_file_opened_is_told(
    page: TestClient, guided: str
) -> None:
    cut = guided.replace("address:  #", "address: Lot 4 #12 #")
    assert cut != guided
    lacks = _form(page, cut)["lacks"]
    assert "May be cut short" in lacks
    assert "Nothing is missing" not in lacks


@pytest.mark.parametrize(
    "name", ["owner", "owner.nam", "items.intent", "intent", "items", "kind", "attachments", "x.y"]
)
def test_an_answer_to_nothing_that_is_asked_is_refused(guided: str, name: str) -> None:
    with pytest.raises(InputError, match="nothing a request asks"):
        answered(guided, Answers(words={name: "words"}), "deck.yaml")


def test_an_answer_to_a_clause_that_is_no_item_is_kept_aside_and_never_dropped_silently(
    page: TestClient, guided: str
) -> None:
    answers = {"items": [{"clause": "another_clause", "words": {"intent": "Kept."}}]}
    found = _form(page, guided, answers=answers)
    assert found["left_out"] == ["another_clause"]
    for route in ("request-check", "request"):
        refused = page.post(f"/api/{route}", json=_asked(page, guided, answers=answers))
        assert refused.status_code == 400
        assert "another_clause" in refused.json()["problems"][0]


@pytest.mark.parametrize(
    "filled", ["- a list\n", "a: 1\n", "items: 3\n", "items:\n  - x\n", "[", "&a [*a]\n"]
)
def test_what_is_no_request_is_told(page: TestClient, filled: str) -> None:
    for answers in (None, {"words": {"address": "here"}}):
        asked = _asked(page, filled, answers=answers)
        assert page.post("/api/request-form", json=asked).status_code == 400


def test_an_answer_longer_than_any_office_reads_is_refused(page: TestClient, guided: str) -> None:
    answers = {"words": {"summary": "x" * (MAX_ANSWER + 1)}}
    asked = _asked(page, guided, answers=answers)
    assert page.post("/api/request-check", json=asked).status_code == 422


def test_a_design_changed_since_stands_against_the_request(page: TestClient, guided: str) -> None:
    asked = _asked(page, guided, answers={})
    asked["design"]["facts"]["fasteners.spacing"] = "15 in"
    answer = page.post("/api/request-check", json=asked)
    assert "the design has changed since this was written" in answer.text
    assert page.post("/api/request", json={**asked, "format": "pdf"}).status_code == 400


def test_no_request_names_a_file_outside_the_folder(page: TestClient, guided: str) -> None:
    for name in ("../deck.yaml", "/etc/passwd", ""):
        asked = _asked(page, guided, answers={}, file=name)
        assert page.post("/api/request-form", json=asked).status_code == 400
    assert not Path("deck.yaml").exists()
