"""The section of a request: as proposed, the value asked for dimensioned, fasteners as they are."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from msgspec.structs import replace

from deckclause.report.drawing.section_boards import LAG_SCREW, THROUGH_BOLT
from report.scenes import drawn, section_drawing
from report.test_drawings import letters

ROWS = (F(2), F(5))


def _parts(kind: str) -> dict[str, int]:
    """What a fastener's kind adds to the two rows of the section with none known."""
    drawing = section_drawing(rows=ROWS)
    with_kind, without = (drawn(replace(drawing, fasteners=k)) for k in (kind, ""))
    return {
        tag: with_kind.count(f"<{tag}") - without.count(f"<{tag}") for tag in ("rect", "polygon")
    }


def test_a_lag_screw_has_a_head_on_one_side_only_and_a_bolt_a_nut_on_the_other() -> None:
    """A lag screw is driven from the ledger's face; a bolt has washers under head and nut."""
    assert _parts(THROUGH_BOLT) == {"rect": 2, "polygon": 0}
    assert _parts(LAG_SCREW) == {"rect": -2, "polygon": 2}


@pytest.mark.parametrize("row", [F(5), F(21, 4)])
def test_a_section_as_proposed_dimensions_the_value_asked_for(row: F) -> None:
    drawing = section_drawing(rows=(F(2), row))
    limits = [
        d for d in drawing.clauses if {d.start, d.end} == {"ledger.top_edge", "fasteners.lower_row"}
    ]
    assert limits
    words = letters(drawn(replace(drawing, proposed=tuple(limits[:1]))))
    assert words.count("asked for") == 1
    assert ("5 in" if row == 5 else "5-1/4 in") in words
    assert any("as proposed" in w for w in words)
    assert "lower row?" not in words
