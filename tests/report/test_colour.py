"""Colour adds nothing that takes a column, and stays away where it is not wanted."""

from __future__ import annotations

import io
import re

from deckclause.answers.compare.build import compare_answer
from deckclause.compare.comparison import compare
from deckclause.evaluate.catalogue import Catalogue
from deckclause.report.colour import coloured, has_colour
from deckclause.report.comparison.table import ComparisonText
from support.designs import EXAMPLES


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def test_only_a_terminal_that_wants_it_gets_colour() -> None:
    assert has_colour(Terminal(), {})
    assert not has_colour(io.StringIO(), {})
    assert not has_colour(Terminal(), {"NO_COLOR": "1"})
    assert not has_colour(Terminal(), {"TERM": "dumb"})


def test_without_its_colours_a_report_is_the_same_text() -> None:
    catalogue = Catalogue.open()
    design = catalogue.design(EXAMPLES / "step-down-3in.yaml")
    comparison = compare(catalogue, design, ["irc-2012", "irc-2021"], pairs=[])
    plain = "\n".join(ComparisonText(compare_answer(comparison, catalogue.vocabulary)).lines())
    shown = coloured(plain)
    assert "\x1b[1;31mFAILS\x1b[0m" in shown
    assert re.sub(r"\x1b\[[0-9;]*m", "", shown) == plain
