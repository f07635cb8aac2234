"""Where things stand on a section panel: one scale, three columns on shared heights.

From left to right: labels and dimensions of the band joist's limits, the band joist's gauge, the
section itself, the ledger's gauge, dimensions and labels of the ledger's limits.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from deckclause.answers.section_scene import Scene

PER_INCH = 26.0
LABEL, LANES, GAUGE, GAP, SECTION = 104.0, 50.0, 88.0, 22.0, 372.0
PANEL_WIDTH = 2 * (LABEL + LANES + GAUGE + GAP) + SECTION
HEADING = 46.0
LARGE_TYPE_ROOM = 44.0
LABEL_TYPE, FULL_TYPE = 15.0, 13.0
"""The largest type whose labels fit `LABEL`, and the one that sets how much more a larger needs."""
THICKNESS = Fraction(3, 2)
"""Dressed thickness of nominal 2x lumber (PS 20-20 Table 3)."""


class Frame(Struct, frozen=True):
    """A panel's place on the sheet; heights are inches below the band joist's top.

    `least_type` is the smallest lettering of the panel, where a sheet sets one.
    """

    left: float
    top: float
    highest: Fraction
    lowest: Fraction
    least_type: float = 0.0

    def type(self, size: float) -> float:
        """Return the size of lettering that would stand at `size`, no smaller than the sheet allows."""
        return max(size, self.least_type)

    def y(self, position: Fraction) -> float:
        """Return the sheet height of a position."""
        return self.top + HEADING + float(position - self.highest) * PER_INCH

    @property
    def bottom(self) -> float:
        """The panel's lower edge on the sheet."""
        return self.y(self.lowest)

    @property
    def room(self) -> float:
        """What a sheet with larger type leaves between the section and the ledger's gauge."""
        return LARGE_TYPE_ROOM if self.least_type else 0.0

    @property
    def label(self) -> float:
        """What labels outside the gauges take; the largest type needs more than the rest."""
        more = self.least_type / FULL_TYPE if self.least_type > LABEL_TYPE else 1.0
        return LABEL * more

    @property
    def wide(self) -> float:
        """How wide the panel is."""
        return PANEL_WIDTH + self.room + 2 * (self.label - LABEL)

    @property
    def band_gauge(self) -> float:
        """Left edge of the band joist's gauge."""
        return self.left + self.label + LANES

    @property
    def section(self) -> float:
        """Left edge of the section."""
        return self.band_gauge + GAUGE + GAP

    @property
    def ledger_gauge(self) -> float:
        """Left edge of the ledger's gauge."""
        return self.section + SECTION + GAP + self.room

    @property
    def band(self) -> float:
        """Inside face of the band joist."""
        return self.section + 118

    @property
    def band_outside(self) -> float:
        """Outside face of the band joist."""
        return self.band + width(THICKNESS)

    def ledger(self, sheathing: Fraction) -> float:
        """House side of the ledger."""
        return self.band_outside + width(sheathing)


def width(inches: Fraction) -> float:
    """Return a length on the sheet."""
    return float(inches) * PER_INCH


def frame_of(scene: Scene, left: float, top: float, least_type: float = 0.0) -> Frame:
    """Return a frame with room for every part of the scene."""
    section = scene.drawing.section
    build_up = section.floor_build_up or Fraction(0)
    highs = [-build_up - 2, scene.deck_surface or Fraction(0), scene.drop]
    lows = [
        section.band_joist_depth + 2,
        scene.drop + section.ledger_depth,
        scene.joist_top + (section.joist_depth or section.ledger_depth),
    ]
    return Frame(left, top, min(highs) - Fraction(1, 4), max(lows) + Fraction(1, 4), least_type)
