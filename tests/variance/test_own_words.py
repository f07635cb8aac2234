"""The applicant's own figures held against the design and the findings.

A contradiction planted in free text is found in every case; none is claimed in clean words. A
figure or section the engine knows of something else (27 in is the greatest spacing here) is found
only where the words name the thing it is said of. The
figures are read off the request's own design (a 2x10 band joist on a mudsill, 2x10 ledger, 2x10
joists, 1/2 in bolts at 16 in, rows at 2 and 6 in, ledger 2-1/2 in down, 11 ft 6 in of joist span,
25 psf of snow in the file and 30 psf by the county's act, 42 in of frost by it).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from deckclause.cli.main import run
from deckclause.variance.request.build import Request, read_request
from deckclause.variance.request.check import check_request, is_answer
from deckclause.variance.request.own_words import Disagreement, disagreements
from variance.decks import catalogue
from variance.planted import DESIGN, UNDER, blank, missed_and_claimed
from variance.requests import fill

WRONG_LENGTHS = (
    "4-1/8 in", "1-5/16 in", "8-3/16 in", '7/8"', "0.6 in", "3-7/16 inches", "28-5/8 in", "9 ft 7 in",
    "13 ft", "5'-5\"", "21 1/2 in", "17 in", "33-1/4 in", "1/16 in", "10 ft 10 in",
)  # fmt: skip
SENTENCES = ("The bolts stand {} from the edge.", "We ask for {} in this one case only.")
WRONG = (
    *(s.format(n) for n in WRONG_LENGTHS for s in SENTENCES),
    "The 2x12 ledger carries the load.",
    "A 2x6 ledger board is enough.",
    "The 2x4 joists hang level.",
    "The 2x14 band joist is sound.",
    "It bears on a 6x6 post.",
    "The ground snow load is 70 psf.",
    "With a snow load of 15 psf nothing is near its limit.",
    "The frost depth is 12 in.",
    "Frost line at 60 in, by the county.",
    "The live load of 85 psf is covered.",
    "Each bolt carries 9,999 lb.",
    "Each bolt carries 123 pounds, far below its value.",
    "Soil bearing of 3,700 psf was found.",
    "Section R999.4 permits it.",
    "Table R301.99(7) lists it.",
    "By Table R507.2.1 note z it may stand nearer.",
    "The joist span is 2 in.",
    "The bolt spacing is 2 in.",
    "As R311.77.5 of the sister code says.",
    "The deck stands 77 in above grade.",
)
CLEAN = (
    *(
        s.format(n)
        for n in (
            "2 in",
            "6 in",
            "6-1/2 in",
            "1/2 in",
            "2-1/2 in",
            "9-1/4 in",
            "16 in",
            "11 ft 6 in",
            "11'-6\"",
            "7/16 in",
        )
        for s in SENTENCES
    ),
    "The 2x10 ledger carries the load.",
    "The 2x10 joists hang level with the ledger's top.",
    "The 2x10 band joist is sound and dry.",
    "The county's frost depth is 42 in.",
    "The ground snow load is 30 psf.",
    "Bolts of 1/2 in diameter at a bolt spacing of 16 in.",
    "The joist span is 11 ft 6 in.",
    "Half-inch bolts, hot-dip galvanized, two rows.",
    "It cannot be met without cutting the house's floor.",
    "Photographs A1 to A4 were taken on 4 May 2025.",
    "The owner has lived here for 12 years.",
    "Nothing hangs below the ledger.",
    "The row moves by half an inch.",
    "See attachment A1, sheet 3 of 5.",
    "Lot 7, block 12, parcel 06-114.",
    "Telephone 555-0100.",
    "Two hold-down devices tie the deck to the floor.",
    "The deck was drawn by J. Doe, licence 12345.",
    "An engineer will look at each bolt before decking.",
    "No beam bears on the ledger.",
    "The 1/2 in bolts pass through 7/16 in of sheathing.",
    "The ledger stands 2-1/2 in below the band joist's top.",
    "The upper row is 2 in below the ledger's top.",
    "The lower row is 6 in below the ledger's top.",
    "The decking is 1 in thick.",
    "Subfloor and finish of 3/4 in each.",
    "The clause asks for at least 6-1/2 in; we ask for 6 in.",
    "It is short by 1/2 in.",
    "The house is of 1987.",
    "Cost is not pleaded.",
)


MISPLACED = (
    "The lower row is 3 in above the band joist's bottom.",
    "The lower bolt row stands 6 in above the band joist's bottom.",
    "The lower row is at 16 in from the band joist's bottom edge.",
    "The upper row is 6 in below the ledger's top.",
    "The upper row is 16 in below the ledger's top.",
    "The upper row runs 1/2 in below the ledger's top.",
    "The lower row is 2 in below the ledger's top.",
    "The lower row is 16 in below the ledger's top.",
    "The lower row stays 7/16 in below the ledger's top.",
    "The lower row is 16 in above the ledger's bottom.",
    "The upper row is 16 in from the band joist's top.",
    "The step down from the floor is 6 in.",
    "From the floor the deck steps down 16 in.",
    "The deck steps down 6 in from the threshold.",
    "The step down, measured from the threshold, is 2 in.",
    "A step down of 3 in is wanted.",
    "The owner wants to step down 3 in.",
    "We ask for a step of 3-1/2 in.",
    "A 3 in step down at the door keeps the snow from the sash.",
    "Stepping down 3-1/2 in keeps water out.",
)
PLACED = (
    "The lower row is 6 in below the ledger's top.",
    "The lower bolt row stands 6 in below the ledger's top.",
    "The code puts the lower row 6-1/2 in below the ledger's top.",
    "The lower row is 3/4 in above the band joist's bottom.",
    "The code asks that the lower row be 2 in above the band joist's bottom.",
    "The upper row is 2 in below the ledger's top.",
    "The lower row is 3-1/4 in above the ledger's bottom.",
    "The upper row is 4-1/2 in below the band joist's top.",
    "The step down from the floor is 3 in.",
    "From the threshold the deck steps down 3-1/2 in.",
    "A step down of 3 in from the floor, which is 3-1/2 in from the threshold, is wanted.",
    "The deck is stepped down at the door.",
    "The bolts step along the ledger at 16 in, high and low by turns.",
    "The rows stand 4 in apart.",
    "The lower row moves by 1/2 in.",
    "The upper row stays where it is.",
    "One step leads to the lawn. The ledger is 2-1/2 in below the band joist's top.",
    "Both rows pass through 7/16 in of sheathing.",
    "The first step of the work is the flashing; it laps 2 in.",
    "The lower row is drawn in section; the joists span 11 ft 6 in.",
)


@pytest.fixture(scope="module")
def request_read(tmp_path_factory: pytest.TempPathFactory) -> Request:
    folder: Path = tmp_path_factory.mktemp("words")
    design = folder / "deck.yaml"
    design.write_text(DESIGN)
    path = folder / "request.yaml"
    asked = ["request", "new", str(design), "--under", UNDER]
    assert run([*asked, "--keep-rows", "-o", str(path)]) == 0
    return read_request(catalogue(), path)


@pytest.fixture(scope="module")
def named(request_read: Request) -> dict[str, list[Disagreement]]:
    """What is named of each sentence, all held against the request at once: to gather its figures is slow."""
    texts = [
        *((f"planted {number}", 0, text) for number, text in enumerate((*WRONG, *MISPLACED))),
        *((f"clean {number}", 0, text) for number, text in enumerate((*CLEAN, *PLACED))),
        ("summary", 0, "A step down of 3 in is wanted."),
    ]
    found: dict[str, list[Disagreement]] = {field: [] for field, _, _ in texts}
    for disagreement in disagreements(request_read, iter(texts)):
        found[disagreement.field].append(disagreement)
    return found


def test_a_planted_contradiction_is_found_in_each_of_fifty(
    named: dict[str, list[Disagreement]],
) -> None:
    assert len(WRONG) == 50
    assert [text for n, text in enumerate(WRONG) if not named[f"planted {n}"]] == []


def test_nothing_is_claimed_of_fifty_clean_sentences(named: dict[str, list[Disagreement]]) -> None:
    assert len(CLEAN) == 50
    assert [d.words for n in range(len(CLEAN)) for d in named[f"clean {n}"]] == []


def test_a_row_or_a_step_put_where_nothing_has_it_is_found(
    named: dict[str, list[Disagreement]],
) -> None:
    missed = [t for n, t in enumerate(MISPLACED, len(WRONG)) if not named[f"planted {n}"]]
    assert missed == []


def test_nothing_is_claimed_of_rows_and_steps_that_are_right(
    named: dict[str, list[Disagreement]],
) -> None:
    places = range(len(CLEAN), len(CLEAN) + len(PLACED))
    assert [d.words for n in places for d in named[f"clean {n}"]] == []


def test_a_step_down_without_its_datum_is_asked_which_it_means(
    named: dict[str, list[Disagreement]],
) -> None:
    (found,) = named["summary"]
    assert found.why == (
        "a step down without its datum: say 3 in from the floor or 3-1/2 in from the threshold"
    )


@pytest.mark.parametrize("said", ["TBD", "tbd.", "n/a", "N.A.", "-", "to be determined", "???", ""])
def test_what_stands_for_want_of_an_answer_is_none(said: str) -> None:
    assert not is_answer(said)


@pytest.mark.parametrize("said", ["No.", "None of the joists is notched.", "A1", "14 Mill Lane"])
def test_short_answers_are_answers(said: str) -> None:
    assert is_answer(said)


def test_a_contradiction_in_a_filled_request_fails_its_check_and_clean_words_do_not(
    tmp_path: Path,
) -> None:
    """A sample of one kind and form; tests/benchmarks/test_many_contradictions.py takes every one."""
    wrong, clean = (*WRONG[::9], *MISPLACED[::9]), (*CLEAN[::9], *PLACED[::9])
    missed, claimed = missed_and_claimed(tmp_path, "state_variance", "seven_parts", wrong, clean)
    assert missed == []
    assert claimed == []


def test_words_that_are_no_answer_leave_a_request_incomplete(tmp_path: Path) -> None:
    """What is no figure and no statement is not an answer, in a field of the whole or of an item."""
    path = blank(tmp_path, "modification", "plain")
    words = fill(path)
    assert not check_request(read_request(catalogue(), path)).missing
    text = path.read_text()
    for field, said in (
        ("items.intent", "n/a"),
        ("address", "TBD"),
        ("items.proposal", "to be confirmed"),
    ):
        text = text.replace(f'"{words[field]}"', f'"{said}"')
    path.write_text(text)
    missing = {lack.field for lack in check_request(read_request(catalogue(), path)).missing}
    assert missing == {"items.intent", "address", "items.proposal"}
