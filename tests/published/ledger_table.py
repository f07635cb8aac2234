"""Published ledger figures, typed by hand from their sources and never read from a rule file.

Inches, feet, pounds and pounds per foot as named. Each constant names its source.
"""

from __future__ import annotations

from fractions import Fraction

# Wisconsin Uniform Dwelling Code, SPS 320-325 Appendix B, Table 6, as adopted by rule order
# CR 15-043 (Wisconsin register 714A1): greatest on-centre spacing in inches of ledger fasteners at
# 40 psf live and 10 psf dead load, 2x lumber band joist. It mirrors the IRC ledger table; its
# column heads are the greatest joist span in feet.
JOIST_SPANS_FT = (6, 8, 10, 12, 14, 16, 18)
LAG_SCREW_SPACING_IN = (30, 23, 18, 15, 13, 11, 10)
THROUGH_BOLT_SPACING_IN = (36, 36, 34, 29, 24, 21, 19)
THROUGH_BOLT_WITH_WASHER_STACK_SPACING_IN = (36, 36, 29, 24, 21, 18, 16)

SPACING_CELLS = tuple(
    (row, span, spacing)
    for row, spacings in (
        ("lag_screw", LAG_SCREW_SPACING_IN),
        ("through_bolt", THROUGH_BOLT_SPACING_IN),
        ("through_bolt_thick_assembly", THROUGH_BOLT_WITH_WASHER_STACK_SPACING_IN),
    )
    for span, spacing in zip(JOIST_SPANS_FT, spacings, strict=True)
)
"""All 21 cells as (row, greatest joist span in feet, greatest spacing in inches)."""

# The same table's rows for engineered band joists (lag screw or bolt alike).
ENGINEERED_BAND_1_IN_SPACING_IN = (24, 18, 14, 12, 10, 9, 8)
ENGINEERED_BAND_1_1_8_IN_SPACING_IN = (28, 21, 16, 14, 12, 10, 9)

# SEAINT mailing list, April 2006, on the ledger tests (seaintarchive.org 2006b/msg00402):
# 12 ft joists at 40 live and 10 dead put 300 lb on each foot of ledger.
FIELD_JOIST_SPAN_FT = 12
FIELD_LAG_SCREW_SPACING_IN = 15
FIELD_THROUGH_BOLT_SPACING_IN = 29
FIELD_LEDGER_LOAD_PLF = 300
FIELD_LOAD_PER_LAG_SCREW_LB = 375  # 300 plf over 1.25 ft
FIELD_LOAD_PER_THROUGH_BOLT_LB = 725  # 300 plf over 29 in

# City of Edmonds, Washington, deck tip sheet 5 (document 1487848), reprinting the placement table
# and figure of the 2015 IRC. Inches.
EDMONDS_LEDGER_TOP_EDGE = Fraction(2)
EDMONDS_LEDGER_BOTTOM_EDGE = Fraction(3, 4)
EDMONDS_BAND_JOIST_TOP_EDGE = Fraction(3, 4)
EDMONDS_BAND_JOIST_BOTTOM_EDGE = Fraction(2)
EDMONDS_BAND_JOIST_BOTTOM_EDGE_OVER_DIRECT_BEARING = Fraction(3, 4)
EDMONDS_DIRECT_BEARING = ("mudsill", "header", "double_top_plate")
EDMONDS_END_DISTANCE = Fraction(2)
EDMONDS_FIRST_FASTENER = Fraction(5)
EDMONDS_ROW_SPACING = (Fraction(13, 8), Fraction(5))
EDMONDS_LOWER_ROW_BELOW_LEDGER_TOP = {
    "2x8": Fraction(11, 2),
    "2x10": Fraction(13, 2),
    "2x12": Fraction(15, 2),
}
EDMONDS_LOWER_ROW_2X8_ON_2X8 = Fraction(9, 2)

# Contractor page quoting the 2009 IRC text (decks-ca.com, Deck Connections): fasteners 2 in from
# the ledger's top or bottom, 2 to 5 in from its ends, staggered.
EDITION_2009_EDGE_DISTANCE = Fraction(2)
EDITION_2009_FIRST_FASTENER_WINDOW = (Fraction(2), Fraction(5))

# PS 20, American Softwood Lumber Standard: dressed dry sizes, thickness by width, in inches.
PS_20_DRESSED = {
    "2x4": (Fraction(3, 2), Fraction(7, 2)),
    "2x6": (Fraction(3, 2), Fraction(11, 2)),
    "2x8": (Fraction(3, 2), Fraction(29, 4)),
    "2x10": (Fraction(3, 2), Fraction(37, 4)),
    "2x12": (Fraction(3, 2), Fraction(45, 4)),
    "4x4": (Fraction(7, 2), Fraction(7, 2)),
    "4x6": (Fraction(7, 2), Fraction(11, 2)),
    "6x6": (Fraction(11, 2), Fraction(11, 2)),
}

# Trade facts without a published source (common practice, never a requirement): before the 2009
# edition carpenters set about one bolt every 16 in, high and low by turns.
PRACTICE_BEFORE_2009_SPACING_IN = 16
PRACTICE_BEFORE_2009_STAGGERED = True
