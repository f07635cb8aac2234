"""Real patterns of request forms can be filled with nothing left over.

Published: New York, 19 NYCRR 1205.4 with form DOS-2078 (seven parts); New Jersey, N.J.A.C. 5:23-2.10
(four statements); University of Minnesota on Minnesota Rule 1300.0110 subpart 13 (ten items).
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from deckclause.answers.request.build import request_answer
from deckclause.report.document.write import document_bytes
from deckclause.report.drawing.svg import escape
from deckclause.report.request.document import request_document
from deckclause.variance.request.build import read_request
from deckclause.variance.request.check import check_request
from variance.decks import catalogue
from variance.requests import fill, new_request

PATTERNS = (
    ("New York", "state_variance", "unnecessary", 7,
     ("General", "Contacts", "Building data", "Applicable code and relief", "Subject", "Documents",
      "Filing and signature")),
    ("New Jersey", "modification", "", 4,
     ("The requirement", "The difficulty", "Nature and extent", "Feasible alternatives")),
    ("University of Minnesota", "alternative_method", "", 10,
     ("Project and site", "Why", "Building data", "Codes cited", "Intent", "At least equivalent",
      "Difficulties", "Costs, hardship, impracticality", "Details, tests, listings, plans",
      "Signed and dated")),
)  # fmt: skip


@pytest.mark.parametrize(("place", "kind", "ground", "count", "titles"), PATTERNS)
def test_a_published_pattern_is_filled_with_nothing_left_over(
    tmp_path: Path, place: str, kind: str, ground: str, count: int, titles: tuple[str, ...]
) -> None:
    path = new_request(tmp_path, "--local", place, "--kind", kind, under="irc-2018")
    answers = fill(path, ground=ground)
    shared = catalogue()
    request = read_request(shared, path)
    checked = check_request(request)
    assert checked.is_complete, (checked.missing, checked.against)
    assert [part.title for part in request.form.parts] == list(titles)
    page = document_bytes(request_document(request_answer(request, checked)), "html").decode()
    letter, *parts = re.split(r'<h2 id="part-\d+">', page)
    assert len(parts) == count
    for part, text in zip(request.form.parts, parts, strict=True):
        own = text.split("<h2", 1)[0]
        assert part.title in text
        assert "[not written" not in own
        for name in part.holds:
            if name not in answers:
                continue
            said_in_letter = escape(answers[name]) in letter
            assert said_in_letter or escape(answers[name]) in own, (part.key, name)
            if said_in_letter and escape(answers[name]) not in own:
                assert "of the letter." in own or "See the letter." in own, (part.key, name)
    for name, words in answers.items():
        if not name.startswith("drawing."):  # lettered in the title block, broken into lines
            assert escape(words) in page, name
