"""Where the placement table's figures come from: NDS geometry for a 1/2 in fastener.

NDS 2018 Tables 12.5.1C and D (as quoted in public for the edges): loaded edge 4D, unloaded edge
1.5D, row spacing (5l + 10D)/8 for l/D between 2 and 6, at most 5 in between outermost rows. The
loaded edge is the ledger's top and the band joist's bottom; l is the 1-1/2 in of one board.
"""

from __future__ import annotations

from fractions import Fraction as F
from math import ceil

from deckclause.engineering.dowels.geometry import across_grain_rules, slenderness
from deckclause.quantities import parse_quantity
from placement.trade_limits import clauses_2012

LIMITS = {d.label: d for d in clauses_2012("2x10")}
HALF, BOARD = parse_quantity("1/2 in"), parse_quantity("1-1/2 in")
RULES = across_grain_rules(HALF, slenderness(BOARD, BOARD, HALF))


def test_edges_are_the_nds_edges() -> None:
    assert LIMITS["ledger top edge"].least == F(RULES.loaded_edge_in) == 4 * F(1, 2)
    assert LIMITS["band joist bottom edge"].least == F(RULES.loaded_edge_in)
    assert LIMITS["ledger bottom edge"].least == F(RULES.unloaded_edge_in) == F(3, 2) * F(1, 2)
    assert LIMITS["band joist top edge"].least == F(RULES.unloaded_edge_in)


def test_row_spacing_is_the_nds_spacing_to_the_next_eighth() -> None:
    by_rule = F(RULES.between_rows_in)
    assert by_rule == (5 * F(3, 2) + 10 * F(1, 2)) / 8 == F(25, 16)
    assert LIMITS["row spacing"].least == F(ceil(by_rule * 8), 8)
    assert LIMITS["row spacing"].most == F(RULES.rows_spread_most_in)
