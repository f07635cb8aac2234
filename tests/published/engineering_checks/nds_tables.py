"""NDS Tables 12K and 12.2A, typed from scanned pages in city permit files.

Sources: lfportal.everettwa.gov documents 1831805 pages 32 and 33, 1614580 pages 87 and 114.
Where one scan is garbled the other was read. This is an extract: the gravities of deck species
and, of Table 12K, the plates legible in the scans.
"""

from __future__ import annotations

from deckclause.engineering.dowels.bearing import PlateSteel
from deckclause.engineering.dowels.connections import SteelPlate, WoodMember, lag_single_shear
from deckclause.engineering.dowels.lag_screws import withdrawal_per_inch_lb
from deckclause.engineering.rounding import round_to
from deckclause.quantities import parse_quantity as q
from published.engineering_checks.records import Group, Record

GRAVITIES_12K = (0.55, 0.50, 0.49, 0.46, 0.43, 0.42, 0.37, 0.36, 0.35)

# plate, diameter, then Z parallel and Z perpendicular for each gravity
TABLE_12K = """
0.075 1/4  160 120 150 110 150 110 150 100 140 100 140 100 130 90 130 90 130 90
0.075 5/16 200 140 190 130 190 130 190 130 180 120 180 120 170 110 170 110 160 100
0.075 3/8  200 140 200 130 190 130 190 120 180 120 180 120 170 110 170 100 170 100
0.105 1/4  170 130 160 120 160 120 160 110 150 110 150 110 140 100 140 100 140 90
0.105 5/16 210 150 200 140 200 140 190 130 190 130 190 120 180 110 170 110 170 110
0.105 3/8  210 140 200 140 200 130 200 130 190 120 190 120 180 110 180 110 170 110
0.120 1/4  180 130 170 120 170 120 160 120 160 110 160 110 150 100 150 100 140 100
0.120 5/16 210 150 210 140 200 140 200 140 190 130 190 130 180 120 180 120 180 110
0.120 3/8  220 150 210 140 210 140 200 130 200 130 190 120 180 110 180 110 180 110
0.134 1/4  180 140 180 130 170 130 170 120 160 120 160 110 150 110 150 100 150 100
0.134 5/16 220 160 210 150 210 140 200 140 200 130 200 130 190 120 180 120 180
"""

DIAMETERS_122A = (
    "1/4", "5/16", "3/8", "7/16", "1/2", "5/8", "3/4", "7/8", "1", "1-1/8", "1-1/4",
)  # fmt: skip

TABLE_122A = """
0.55 260 307 352 395 437 516 592 664 734 802 868
0.50 225 266 305 342 378 447 513 576 636 695 752
0.49 218 258 296 332 367 434 498 559 617 674 730
0.46 199 235 269 302 334 395 453 508 562 613 664
0.43 179 212 243 273 302 357 409 459 508 554 600
0.42 173 205 235 264 291 344 395 443 490 535 579
0.36 137 163 186 209 231 273 313 352 389 425 460
0.35 132 156 179 200 222 262 300 337 373 407 441
"""


def lag_with_plate_lb(gravity: float, plate: str, diameter: str, angle: str) -> float:
    """Z of a lag screw through a steel plate at the table's penetration of 8D."""
    wood = WoodMember(gravity, q("12 in"), q(angle))
    nominal = q(f"{diameter} in")
    side = SteelPlate(PlateSteel.A653_GRADE_33, q(f"{plate} in"))
    return lag_single_shear(wood, side, nominal, depth=nominal * 8).reference_lb


def table_12k() -> Group:
    records = []
    for line in TABLE_12K.strip().splitlines():
        plate, diameter, *values = line.split()
        for index, printed in enumerate(values):
            gravity = GRAVITIES_12K[index // 2]
            angle = ("0 deg", "90 deg")[index % 2]
            value = lag_with_plate_lb(gravity, plate, diameter, angle)
            computed = f"{round_to(value, 10):.0f}"
            item = f"plate {plate}, {diameter} in, G {gravity:.2f}, {angle}"
            records.append(Record(item, printed, computed, computed == printed))
    return Group(
        "NDS Table 12K: lag screws with steel side plates, lb",
        "NDS-12K",
        "confirmed",
        "calculation",
        tuple(records),
        "Rounded to 10 lb. Bearing strength takes the nominal diameter: with the root diameter "
        "there, many cells fail.",
    )


def table_122a() -> Group:
    records = []
    for line in TABLE_122A.strip().splitlines():
        gravity, *values = line.split()
        for diameter, printed in zip(DIAMETERS_122A, values, strict=True):
            value = withdrawal_per_inch_lb(float(gravity), q(f"{diameter} in"))
            computed = f"{value:.0f}"
            item = f"G {gravity}, {diameter} in"
            records.append(Record(item, printed, computed, computed == printed))
    return Group(
        "NDS Table 12.2A: lag screw withdrawal, lb per inch of thread",
        "NDS-12.2A",
        "confirmed",
        "calculation",
        tuple(records),
    )
