"""The guide's drawings of an exception are what the engine draws, and the words beside them hold."""

from __future__ import annotations

import pytest

from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import evaluate
from deckclause.evaluate.status import COMPLIES, DOES_NOT_COMPLY, INFORMATION_MISSING
from support.designs import changed
from support.regenerate import HOW
from support.write_exception_drawings import CASES, DOCS, DROP, RULE_SET, drawings


def test_the_drawings_are_current() -> None:
    kept = {file: (DOCS / f"{file}.svg").read_text(encoding="utf-8") for file in CASES}
    assert kept == drawings(), HOW


@pytest.mark.parametrize(
    ("file", "status"),
    [
        ("exception-holds", COMPLIES),
        ("exception-does-not-hold", DOES_NOT_COMPLY),
        ("exception-unknown", INFORMATION_MISSING),
    ],
)
def test_each_case_comes_to_what_the_guide_says(file: str, status: int) -> None:
    catalogue = Catalogue.open()
    design = changed(
        catalogue, ledger__below_band_joist=DROP, band_joist__directly_supported_by=CASES[file][0]
    )
    evaluation = evaluate(design, catalogue.evaluator(RULE_SET), catalogue.vocabulary)
    assert evaluation.outcome("band_joist_bottom_edge_distance").status == status


def test_a_sheet_says_itself_whether_it_is_known() -> None:
    titles = {file: _title(svg) for file, svg in drawings().items()}
    assert titles["exception-holds"].endswith("the rows have a place under IRC 2015")
    assert titles["exception-does-not-hold"].endswith("rows as asked do not comply under IRC 2015")
    assert titles["exception-unknown"].endswith("not known whether the rows comply under IRC 2015")


def _title(svg: str) -> str:
    return svg.split("<title", 1)[1].split(">", 1)[1].split("<", 1)[0]
