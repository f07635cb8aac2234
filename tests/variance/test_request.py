"""The request: guided, checked against the legal tests, and never saying more than it knows."""

from __future__ import annotations

import re
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import pytest

from deckclause.answers.request.build import request_answer
from deckclause.answers.requirement_words import requirement_sentence
from deckclause.cli.main import run
from deckclause.report.document.write import document_bytes
from deckclause.report.request.document import request_document
from deckclause.report.request.parts import COMPUTED
from deckclause.rulesets.problems import InputError
from deckclause.variance.request.build import read_request
from deckclause.variance.request.check import check_request
from deckclause.variance.request.fields import fields
from variance.decks import case, catalogue, replaced
from variance.requests import fill, new_request

LEAVE_HARDSHIP = ("items.hardship",)


def _checked(path: Path):
    request = read_request(catalogue(), path)
    return request, check_request(request)


def _html(path: Path) -> str:
    shared = catalogue()
    request = read_request(shared, path)
    document = request_document(request_answer(request, check_request(request)))
    return document_bytes(document, "html").decode()


def test_every_form_and_test_names_fields_and_blocks_there_are() -> None:
    rules = case(replaced(), "irc-2021").rules
    known = fields()
    for form in rules.forms.values():
        for part in form.parts:
            assert set(part.holds) <= set(known), (form.name, part.key)
            assert set(part.computed) <= set(COMPUTED), (form.name, part.key)
    for kind in rules.kinds.values():
        assert {t.field for t in kind.tests} | set(kind.also_needs) <= set(known), kind.name


def test_a_new_request_is_all_open_and_says_what_is_missing(tmp_path: Path) -> None:
    _, checked = _checked(new_request(tmp_path))
    assert not checked.against
    assert {lack.field for lack in checked.missing} >= {
        "items.why_impractical", "items.special_condition", "items.intent", "items.mitigation",
        "owner.name", "declarations.owner_consent",
    }  # fmt: skip
    assert run(["request", "check", str(tmp_path / "request.yaml")]) == 1


def test_a_filled_request_is_complete(tmp_path: Path) -> None:
    path = new_request(tmp_path)
    fill(path, leave=(*LEAVE_HARDSHIP, "items.ground", "items.ground_argument"))
    _, checked = _checked(path)
    assert checked.is_complete, (checked.missing, checked.against)
    assert run(["request", "check", str(path)]) == 0


def test_the_least_is_asked_for_and_its_shortfall_is_computed(tmp_path: Path) -> None:
    """2021, 3 in drop: the lower row from 6-1/2 in to 5-1/2 in leaves the 3/4 in edge kept."""
    request, _ = _checked(new_request(tmp_path))
    assert [i.clause for i in request.items] == ["ledger_lower_row_below_ledger_top"]
    finding = request.items[0].finding
    assert finding is not None
    assert (finding.least, finding.value, finding.margin) == (13 / 2, 11 / 2, -1)
    page = _html(tmp_path / "request.yaml")
    row = re.search(r"<th scope=\"row\">1</th>(.*?)</tr>", page, re.DOTALL)
    assert row
    assert "at least 6-1/2 in" in row.group(1)
    assert "<td>5-1/2 in</td><td>1 in</td>" in row.group(1)


def test_empty_arguments_stay_visibly_empty_and_nothing_is_argued_for_the_applicant(
    tmp_path: Path,
) -> None:
    page = _html(new_request(tmp_path))
    assert page.count("[not written:") >= 15
    assert 'class="applicant"' not in page


def test_only_the_applicants_own_words_are_marked_as_his(tmp_path: Path) -> None:
    path = new_request(tmp_path)
    words = fill(path, leave=(*LEAVE_HARDSHIP, "items.ground", "items.ground_argument"))
    marked = re.findall(r'<p class="applicant"[^>]*>(.*?)</p>', _html(path), re.DOTALL)
    assert marked
    assert set(marked) <= {*words.values(), "A1"}


def test_hardship_is_not_asked_and_is_refused_where_it_does_not_count(tmp_path: Path) -> None:
    path = new_request(tmp_path)
    text = path.read_text()
    assert "hardship:" not in text
    path.write_text(
        text.replace("    evidence: []", "    hardship: It costs a lot.\n    evidence: []", 1)
    )
    _, checked = _checked(path)
    assert any("hardship" in words for words in checked.against)
    elsewhere = new_request(tmp_path, "--kind", "state_variance", under="Ellavane@2024-01-01")
    assert "    hardship:  # " in elsewhere.read_text()


def test_a_ground_of_cost_is_refused_where_hardship_does_not_count(tmp_path: Path) -> None:
    text = _state_variance(tmp_path, "excess_cost_burden")
    local = text.replace('local: "Ellavane"', 'local: "Tarn Hollow"')
    (tmp_path / "request.yaml").write_text(local)
    _, checked = _checked(tmp_path / "request.yaml")
    assert any("hardship" in words for words in checked.against)


def _state_variance(folder: Path, ground: str) -> str:
    path = new_request(folder, "--kind", "state_variance", under="Ellavane@2024-01-01")
    fill(path, ground=ground)
    return path.read_text()


@pytest.mark.parametrize("ground", ["unnecessary", "impracticable"])
def test_one_ground_is_enough_for_a_state_variance(tmp_path: Path, ground: str) -> None:
    _state_variance(tmp_path, ground)
    _, checked = _checked(tmp_path / "request.yaml")
    assert checked.is_complete, (checked.missing, checked.against)


def test_a_ground_that_is_none_is_named(tmp_path: Path) -> None:
    _state_variance(tmp_path, "i_would_like_it")
    _, checked = _checked(tmp_path / "request.yaml")
    assert any("none of" in words for words in checked.against)


def test_an_appeal_never_offers_to_waive(tmp_path: Path) -> None:
    path = new_request(tmp_path, "--kind", "appeal")
    fill(path, leave=LEAVE_HARDSHIP, ground="equally_good")
    _, checked = _checked(path)
    assert checked.is_complete, (checked.missing, checked.against)
    offers = [w for w in re.findall(r"[^.;]*waiv[^.;]*", _html(path)) if "cannot waive" not in w]
    assert not offers
    path.write_text(path.read_text().replace("Words on items proposal.", "Please waive this."))
    _, asked = _checked(path)
    assert any("cannot waive" in words for words in asked.against)


@pytest.mark.parametrize("kind", ["zoning_variance", "zoning", "setback_variance"])
def test_zoning_is_another_process_and_refused(tmp_path: Path, kind: str, capsys) -> None:
    path = new_request(tmp_path)
    again = ["request", "new", str(tmp_path / "deck.yaml"), "--under", "irc-2021", "--kind", kind]
    assert run(again) == 2
    assert "zoning board" in capsys.readouterr().err
    path.write_text(path.read_text().replace("kind: modification", f"kind: {kind}"))
    with pytest.raises(InputError, match="zoning board"):
        read_request(catalogue(), path)


def test_a_changed_design_makes_the_request_stale_and_it_is_not_built(
    tmp_path: Path, capsys
) -> None:
    path = new_request(tmp_path)
    design = tmp_path / "deck.yaml"
    design.write_text(design.read_text().replace("spacing: 16 in", "spacing: 15 in"))
    _, checked = _checked(path)
    assert any("design has changed" in words for words in checked.against)
    assert run(["request", "build", str(path), "-o", str(tmp_path / "out")]) == 2
    assert not (tmp_path / "out").exists()
    assert "not built" in capsys.readouterr().err


def test_life_safety_is_not_drafted(tmp_path: Path, capsys) -> None:
    guard = (
        "guards: {name: edge, drop_straight_down: 40 in, ground_fall_within_36_in: 0 in, "
        "installed: yes, height: 30 in, fixed_seat_height: 0 in}\n"
    )
    (tmp_path / "deck.yaml").write_text(
        (Path(__file__).parents[2] / "rules/examples/step-down-3in.yaml")
        .read_text().replace("below_band_joist: 3 in", "below_band_joist: 0 in") + guard
    )  # fmt: skip
    asked = ["request", "new", str(tmp_path / "deck.yaml"), "--under", "irc-2021"]
    assert run(asked) == 2
    assert "no request is drafted" in capsys.readouterr().err


def test_a_passing_design_gets_no_request(tmp_path: Path, capsys) -> None:
    text = (Path(__file__).parents[2] / "rules/examples/step-down-3in.yaml").read_text()
    (tmp_path / "deck.yaml").write_text(
        text.replace("below_band_joist: 3 in", "below_band_joist: 0 in")
    )
    assert run(["request", "new", str(tmp_path / "deck.yaml"), "--under", "irc-2021"]) == 2
    assert "fails nothing" in capsys.readouterr().err


def test_built_files_open_and_hold_the_same_words(tmp_path: Path) -> None:
    docx, pypdf = pytest.importorskip("docx"), pytest.importorskip("pypdf")
    pytest.importorskip("weasyprint")
    path = new_request(tmp_path)
    words = fill(path, leave=(*LEAVE_HARDSHIP, "items.ground", "items.ground_argument"))
    assert run(["request", "build", str(path), "-o", str(tmp_path / "out")]) == 0
    reader = pypdf.PdfReader(tmp_path / "out" / "request.pdf")
    printed = re.sub(r"\s+", "", "".join(p.extract_text() for p in reader.pages))
    word = docx.Document(BytesIO((tmp_path / "out" / "request.docx").read_bytes()))
    typed = " ".join(
        [p.text for p in word.paragraphs]
        + [c.text for t in word.tables for r in t.rows for c in r.cells]
    )
    for name, answer in words.items():
        if name.startswith("drawing."):
            continue  # lettered in the title block
        assert re.sub(r"\s+", "", answer) in printed
        assert answer in typed
    assert word.inline_shapes
    assert (tmp_path / "out" / "request-drawing-1.svg").read_text().startswith("<svg")


def test_a_request_carries_the_section_and_no_note_to_its_drafter(tmp_path: Path) -> None:
    page = _html(new_request(tmp_path))
    assert page.count("<svg") == 1
    assert "No ledger elevation is drawn" not in page
    assert "(ledger.length)" not in page


def test_every_edition_says_itself_where_the_power_stands() -> None:
    """R104.10, R104.11, R112; 2024: R104.2.4, R104.2.3: cited from the rule set, not from a list."""
    rules = case(replaced(), "irc-2021").rules
    for name in ("irc-2006", "irc-2012", "irc-2021", "irc-2024"):
        ruleset = catalogue().ruleset(name)
        for kind in rules.kinds.values():
            assert not kind.topic or ruleset.topic_clauses(kind.topic)
        cites = [ruleset.topic_clauses(t)[0].cites for t in ("modification", "alternative_method")]
        new = name == "irc-2024"
        assert cites == (["R104.2.4", "R104.2.3"] if new else ["R104.10", "R104.11"])


@pytest.mark.parametrize("kind", ["modification", "alternative_method", "appeal"])
def test_no_heading_skips_a_level(tmp_path: Path, kind: str) -> None:
    """WCAG 2 technique H42 and the headings order rule of axe-core."""
    levels = [int(n) for n in re.findall(r"<h(\d)", _html(new_request(tmp_path, "--kind", kind)))]
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_an_answer_cut_by_a_number_sign_is_told_with_its_line(tmp_path: Path, capsys) -> None:
    path = new_request(tmp_path)
    text = path.read_text()
    lines = text.splitlines()
    assert not _checked(path)[1].comments
    text = text.replace("parcel:  # Parcel", "parcel: Parcel #06-114-022  # Parcel")
    text = text.replace("permit_number:  # needed", "permit_number: #2025-0417  # needed")
    text = text.replace("address:  # needed", 'address: "Lot #4"  # needed')
    path.write_text(text)
    wanted = [
        n for n, line in enumerate(lines, 1) if line.startswith(("parcel:", "permit_number:"))
    ]
    request, checked = _checked(path)
    assert request.written("parcel") == "Parcel"
    assert sorted(c.line for c in checked.comments) == sorted(wanted)
    assert not checked.is_complete
    run(["request", "check", str(path)])
    said = capsys.readouterr().out
    assert said.count("what stands after # is a comment and is not printed") == 2
    assert f"line {wanted[0]}: '# 2025-0417" in said or f"line {wanted[0]}: '# 06-114-022" in said


def test_no_comment_of_the_templates_own_is_taken_for_a_cut_answer(tmp_path: Path) -> None:
    for place, kind in (
        ("New York", "state_variance"),
        ("University of Minnesota", "modification"),
    ):
        path = new_request(tmp_path, "--local", place, "--kind", kind, under="irc-2018")
        assert not _checked(path)[1].comments


def test_an_unknown_kind_of_attachment_is_refused_with_a_suggestion(tmp_path: Path) -> None:
    path = new_request(tmp_path)
    assert "kind is one of: plan, drawing, photo" in path.read_text()
    path.write_text(
        path.read_text().replace("attachments: []", "attachments: [{id: A1, title: P, kind: foto}]")
    )
    _, checked = _checked(path)
    assert any("Did you mean photo?" in words for words in checked.against)


def test_the_letter_stands_first_and_says_what_is_asked_in_one_sentence(tmp_path: Path) -> None:
    path = new_request(tmp_path)
    path.write_text(path.read_text().replace("applicant:\n  name:", "applicant:\n  name: A. Quill"))
    page = _html(path)
    assert re.findall(r"<h2[^>]*>(.*?)</h2>", page)[:2] == ["The request", "Proposed decision"]
    assert (
        "A. Quill asks that Table R507.9.1.3(2) note d, Figure R507.9.1.3(1) (lower row below the "
        "ledger&#39;s top) be modified from at least 6-1/2 in to at least 5-1/2 in"
    ) in page.replace("&#x27;", "&#39;").replace("'", "&#39;")


def test_wrong_words_are_gone_and_the_annexes_hold_the_rest(tmp_path: Path) -> None:
    page = _html(new_request(tmp_path))
    for wrong in (
        "County County", "known by", "In the order of", "No other rule set here permits it",
        "declarations.statement_of_truth", "Figures marked *", "ledger carries beam",
    ):  # fmt: skip
        assert wrong not in page, wrong
    for right in (
        "Quillmere County: County Ordinance 2024-03",
        "Tarn Hollow sets the deck live load to 60 psf (Town Ordinance 97, Sec. 3",
        "Calculation sheet of the ledger",
        "Shear of the ledger at its fasteners",
        "Annex A. Calculation",
        "Annex B. Drawings, and the design as stated",
        "Whether a beam or girder, or another concentrated load, bears on the ledger",
        "Statement of truth",
    ):
        assert right in page, right
    assert page.count("Standing says how well a figure is known") == 1
    heads = re.findall(r"<h2[^>]*>(.*?)</h2>", page)
    order = [next(i for i, h in enumerate(heads) if word in h) for word in (
        "The request", "Proposed decision", "The work", "legal tests", "The figures",
        "Ways to comply", "drawings", "signatures", "Annex A. Calculation", "Annex B. Drawings",
        "Annex C. Changes", "Annex D. Published rules", "Annex E. Receipts",
    )]  # fmt: skip
    assert order == sorted(order)


def test_an_exception_stands_beside_the_rule_it_lets_out() -> None:
    asked = case(
        replaced(("lower_row_below_ledger_top: 6-1/2 in", "lower_row_below_ledger_top: 6 in")),
        "irc-2021",
    )
    said = [requirement_sentence(f) for f in asked.failing]
    assert any(
        "at least 2 in above the bottom of the band joist. An exception holds here" in w
        for w in said
    )


def test_each_change_that_avoids_relief_has_a_row_with_why_it_is_not_made(tmp_path: Path) -> None:
    path = new_request(tmp_path)
    empty = _html(path).count("[not written: why not]")
    assert empty >= 3
    text = path.read_text()
    key = next(line for line in text.splitlines() if line.startswith('  "'))
    path.write_text(text.replace(key, f"{key} The step would be too small."))
    page = _html(path)
    assert "<td>The step would be too small.</td>" in page
    assert page.count("[not written: why not]") == empty - 1
    assert _checked(path)[1].unsaid == empty - 1
