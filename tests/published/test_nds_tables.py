"""NDS tables reproduced cell for cell, typed from scans in city permit files."""

from __future__ import annotations

from fractions import Fraction

from deckclause.engineering.dowels.bearing import PlateSteel
from deckclause.engineering.dowels.reduction import reduction_terms
from deckclause.engineering.dowels.yield_limits import Joint, single_shear
from deckclause.engineering.rounding import round_to
from published.engineering_checks import nds_tables


def test_table_12k_every_legible_cell():
    group = nds_tables.table_12k()
    assert group.total == 197
    assert group.misses == ()


def test_table_122a_every_cell():
    group = nds_tables.table_122a()
    assert group.total == 88
    assert group.misses == ()


def test_root_diameter_in_the_bearing_strength_breaks_table_12k():
    """The trap: with Dr in Fe-perpendicular, far fewer cells across the grain come out."""
    roots = {"1/4": 0.173, "5/16": 0.227, "3/8": 0.265}
    yields = {"1/4": 70000.0, "5/16": 60000.0, "3/8": 45000.0}
    met = total = 0
    for line in nds_tables.TABLE_12K.strip().splitlines():
        plate, diameter, *values = line.split()
        nominal, root = float(Fraction(diameter)), roots[diameter]
        terms = reduction_terms(nominal_in=nominal, yield_diameter_in=root, greatest_angle_deg=90)
        for gravity, printed in zip(nds_tables.GRAVITIES_12K, values[1::2], strict=False):
            bearing = round_to(6100 * gravity**1.45 / root**0.5, 50)
            joint = Joint(
                root, 8 * nominal, float(plate), bearing, PlateSteel.A653_GRADE_33.value,
                yields[diameter],
            )  # fmt: skip
            met += round_to(single_shear(joint, terms).z_lb, 10) == float(printed)
            total += 1
    assert total == 98
    assert met < total / 4
