"""Support reactions of a level member under a uniform load of 1 per inch, by PyNite."""

from __future__ import annotations

import contextlib
import io
from collections.abc import Sequence
from fractions import Fraction


def reactions(supports: Sequence[Fraction], length: Fraction) -> list[float]:
    """Return the upward reaction at each support (inches from the left end) of a member."""
    from Pynite import FEModel3D

    places = sorted({Fraction(0), length, *supports})
    model = FEModel3D()
    model.add_material("wood", 1.4e6, 5e5, 0.3, 0.0)
    model.add_section("s", 20.0, 100.0, 100.0, 100.0)
    for number, place in enumerate(places):
        model.add_node(f"N{number}", float(place), 0, 0)
    for number in range(len(places) - 1):
        model.add_member(f"M{number}", f"N{number}", f"N{number + 1}", "wood", "s")
        model.add_member_dist_load(f"M{number}", "Fy", -1.0, -1.0)
    names = [f"N{places.index(support)}" for support in supports]
    for number, name in enumerate(names):
        model.def_support(name, number == 0, True, True, True, False, False)
    with contextlib.redirect_stdout(io.StringIO()):
        model.analyze_linear()
    return [float(next(iter(model.nodes[name].RxnFY.values()))) for name in names]
