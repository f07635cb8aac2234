"""Deck framing figures typed by hand from the sources named, never read from a rule file.

Spans are written as the sources print them, feet-inches; sizes of footings in inches.
"""

from __future__ import annotations

SOUTHERN, DOUGLAS, REDWOOD = (
    "southern_pine",
    "douglas_fir_larch_hem_fir_spruce_pine_fir",
    "redwood_western_cedar_ponderosa_red_pine",
)

# Article "Deck joist spacing, span and size" (doorwaysmagazine.com), quoting 2015 IRC Table R507.5;
# the southern pine rows also stand in the southern pine handout docslib.org 8073521 (tables 1:1 to
# 1:4, which names no edition but has the two sets of columns that only 2015 has). 40 psf live and
# 10 psf dead; columns 12, 16 and 24 in.
JOISTS_2015_WITHOUT_CANTILEVER = {
    (SOUTHERN, "2x6"): "9-11 9-0 7-7",
    (SOUTHERN, "2x8"): "13-1 11-10 9-8",
    (SOUTHERN, "2x10"): "16-2 14-0 11-5",
    (SOUTHERN, "2x12"): "18-0 16-6 13-6",
    (DOUGLAS, "2x6"): "9-6 8-6 7-2",
    (DOUGLAS, "2x8"): "12-6 11-1 9-1",
    (DOUGLAS, "2x10"): "15-8 13-7 11-1",
    (REDWOOD, "2x6"): "8-10 8-0 7-0",
    (REDWOOD, "2x8"): "11-8 10-7 8-8",
}
JOISTS_2015_WITH_CANTILEVER = {
    (SOUTHERN, "2x6"): "6-8 6-8 6-8",
    (SOUTHERN, "2x8"): "10-1 10-1 9-8",
    (SOUTHERN, "2x10"): "14-6 14-0 11-5",
    (SOUTHERN, "2x12"): "18-0 16-6 13-6",
    (DOUGLAS, "2x6"): "6-3 6-3 6-3",
    (DOUGLAS, "2x8"): "9-5 9-5 9-1",
    (REDWOOD, "2x6"): "5-7 5-7 5-7",
    (REDWOOD, "2x8"): "8-6 8-6 8-6",
}

# AWC DCA 6, 2012-based issue, Table 2 (page 4), as filed with Everett, Washington (document
# 1003584 p. 24): greatest joist span and greatest overhang, columns 12, 16 and 24 in.
GUIDE_JOISTS = {
    (SOUTHERN, "2x6"): ("9-11 9-0 7-7", "1-0 1-1 1-3"),
    (SOUTHERN, "2x8"): ("13-1 11-10 9-8", "1-10 2-0 2-4"),
    (SOUTHERN, "2x10"): ("16-2 14-0 11-5", "3-1 3-5 2-10"),
    (SOUTHERN, "2x12"): ("18-0 16-6 13-6", "4-6 4-2 3-4"),
    (DOUGLAS, "2x6"): ("9-6 8-4 6-10", "0-11 1-0 1-2"),
    (DOUGLAS, "2x8"): ("12-6 11-1 9-1", "1-8 1-10 2-2"),
    (DOUGLAS, "2x10"): ("15-8 13-7 11-1", "2-10 3-2 2-9"),
    (DOUGLAS, "2x12"): ("18-0 15-9 12-10", "4-4 3-11 3-3"),
    (REDWOOD, "2x6"): ("8-10 8-0 6-10", "0-9 0-10 0-11"),
    (REDWOOD, "2x8"): ("11-8 10-7 8-8", "1-5 1-7 1-9"),
    (REDWOOD, "2x10"): ("14-11 13-0 10-7", "2-5 2-7 2-8"),
    (REDWOOD, "2x12"): ("17-5 15-1 12-4", "3-7 3-9 3-1"),
}

# AWC DCA 6, 2009-based issue, Table 2 with its May 2013 addendum (studylib.net 12741497): without
# overhang, with overhang to a quarter of the span, columns 12, 16 and 24 in; then the same before
# the addendum.
GUIDE_2009_ADDENDUM = {
    "2x8": ("13-1 11-10 9-8", "10-1 10-1 9-8"),
    "2x10": ("16-2 14-0 11-5", "14-6 14-0 11-5"),
    "2x12": ("18-0 16-6 13-6", "18-0 16-6 13-6"),
}
GUIDE_2009_BEFORE_JUNE_2013 = {
    "2x8": ("13-8 12-5 10-2", "10-9 10-9 10-2"),
    "2x10": ("17-5 15-10 13-1", "15-6 15-6 13-1"),
    "2x12": ("18-0 18-0 15-5", "18-0 18-0 15-5"),
}
GUIDE_2009_DOUGLAS_2X8 = ("12-6 11-1 9-1", "9-5 9-5 9-1")

# Wisconsin rule order CR 15-043 (2015), deck appendix Tables 3A and 3B: beam spans, a mirror of 2015
# IRC Table R507.6. One line for each joist span in feet; columns as in the heads.
WISCONSIN_OTHER_SIZES = "2-2x6 2-2x8 2-2x10 2-2x12 4x6 4x8 4x10 4x12 3-2x6 3-2x8 3-2x10 3-2x12"
WISCONSIN_OTHER = {
    6: "5-5 6-10 8-4 9-8 6-5 8-5 9-11 11-5 7-4 9-8 12-0 13-11",
    8: "4-8 5-11 7-3 8-5 5-6 7-3 8-7 9-11 6-8 8-6 10-5 12-1",
    10: "4-2 5-4 6-6 7-6 4-11 6-6 7-8 8-10 6-0 7-7 9-4 10-9",
    12: "3-10 4-10 5-11 6-10 4-6 5-11 7-0 8-1 5-6 6-11 8-6 9-10",
    14: "3-6 4-6 5-6 6-4 4-2 5-6 6-6 7-6 5-1 6-5 7-10 9-1",
    16: "3-1 4-1 5-1 5-11 3-11 5-2 6-1 7-0 4-9 6-0 7-4 8-6",
    18: "2-9 3-8 4-8 5-7 3-8 4-10 5-8 6-7 4-6 5-8 6-11 8-1",
}
WISCONSIN_SOUTHERN_SIZES = "2-2x6 2-2x8 2-2x10 2-2x12 3-2x6 3-2x8 3-2x10 3-2x12"
WISCONSIN_SOUTHERN = {
    6: "6-11 8-9 10-4 12-2 8-2 10-10 13-0 15-3",
    8: "5-11 7-7 9-0 10-7 7-5 9-6 11-3 13-3",
    10: "5-4 6-9 8-0 9-5 6-8 8-6 10-0 11-10",
    12: "4-10 6-2 7-4 8-7 6-1 7-9 9-2 10-9",
    14: "4-6 5-9 6-9 8-0 5-8 7-2 8-6 10-0",
    16: "4-3 5-4 6-4 7-6 5-3 6-8 7-11 9-4",
    18: "4-0 5-0 6-0 7-0 5-0 6-4 7-6 8-10",
}

# Southern pine handout docslib.org 8073521, beam table: one line for each beam, columns joist spans
# of 6 to 18 ft.
HANDOUT_SOUTHERN_BEAMS = {
    "2-2x6": "6-11 5-11 5-4 4-10 4-6 4-3 4-0",
    "2-2x8": "8-9 7-7 6-9 6-2 5-9 5-4 5-0",
    "2-2x10": "10-4 9-0 8-0 7-4 6-9 6-4 6-0",
    "2-2x12": "12-2 10-7 9-5 8-7 8-0 7-6 7-0",
    "3-2x6": "8-2 7-5 6-8 6-1 5-8 5-3 5-0",
    "3-2x8": "10-10 9-6 8-6 7-9 7-2 6-8 6-4",
    "3-2x10": "13-0 11-3 10-0 9-2 8-6 7-11 7-6",
    "3-2x12": "15-3 13-3 11-10 10-9 10-0 9-4 8-10",
}

# AWC DCA 6, 2012-based issue, Table 4 (page 12), as filed with Everett, Washington (document 1003584
# p. 32). Beam span, joist span up to; heights in feet of 6x6 posts for five species columns whose
# heads could not be read (NP not permitted); footing round, square, thick in inches.
GUIDE_TABLE_4 = """
6 10 | 14 14 14 14 14 | 18 16 7
6 14 | 14 14 14 14 14 | 21 18 8
6 18 | 14 14 12 14 11 | 24 21 10
8 10 | 14 14 14 14 14 | 20 18 8
8 14 | 14 14 14 14 11 | 24 21 10
8 18 | 14 13 11 12 8 | 27 24 11
10 10 | 14 14 14 14 12 | 23 20 9
10 14 | 14 13 11 13 8 | 27 24 11
10 18 | 12 11 8 11 2 | 31 27 13
12 10 | 14 14 12 14 10 | 25 22 10
12 14 | 13 12 9 11 5 | 30 26 13
12 18 | 11 9 6 9 2 | 34 30 15
14 10 | 14 13 11 13 8 | 27 24 11
14 14 | 11 10 7 10 2 | 32 29 14
14 18 | 9 8 2 8 NP | 37 33 16
16 10 | 13 12 10 12 6 | 29 26 12
16 14 | 10 9 5 9 2 | 35 31 15
16 18 | 7 5 2 7 NP | 40 35 18
18 10 | 12 11 8 11 2 | 31 27 13
18 14 | 9 8 2 8 NP | 37 33 16
18 18 | 5 2 2 6 NP | 42 37 19
"""

# Southern pine handout docslib.org 8073521 (2015 layout) and the page of R507.7 filed with Everett,
# Washington (document 1467330 p. 24; 2018 numbering): joist spacing in inches for wood boards laid
# square and diagonally.
DECKING = {"five_quarter_wood": (16, 12), "two_inch_wood": (24, 16)}

# NADRA, "Code update: what happens in Vegas": the smallest round footing of the 2018 table is 14 in;
# "2021 deck code highlights": its smallest area is 20 sq ft.
LEAST_ROUND_FOOTING_2018 = 14
LEAST_AREA_2018_SQ_FT = 20

# Journal of Light Construction, "New height limits for deck posts", and Remodeling, "Better deck post
# sizing": a 4x4 post is 8 ft at most in the 2015 and 2018 tables.
POST_4X4_FT = 8

# The Building Code Forum, thread on decks, 9 July 2020, an author of the proposal: the 2018 table prints
# 6 ft 9 in for a 4x4; a footnote gives 8 ft under a 2-ply beam. The table itself was not seen.
POST_4X4_2018_IN = 6 * 12 + 9

# Extreme How-To, 2021 deck code changes: a beam of 7-4 rises to 9-0 where the joists have no
# cantilever (proposal RB190): 12 ft joists are then read as 0.66 x 12 = 7.92 ft, in the 8 ft column.
EFFECTIVE_SPAN_EXAMPLE = ("7-4", "9-0")
# Bramlett Home Inspections, "Deck spans and cantilevers": a spruce-pine-fir beam of 2-2x10 under an
# effective joist span of 10 ft spans 7-9 by 2021 Table R507.5(1).
BRAMLETT_2021_BEAM = "7-9"
