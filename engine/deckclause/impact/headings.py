"""What offices call the facts of a deck in the headings of their sheets, and what sizes are likely.

Trade words in our own list; a proposal made from it is always shown to a person before it counts.
"""

from __future__ import annotations

import re
from fractions import Fraction

from deckclause.quantities import parse_quantity

SAID: dict[str, tuple[str, ...]] = {
    "site.ground_snow_load": ("snow load", "ground snow load", "ground snow", "snow"),
    "site.frost_depth": ("frost depth", "frost line", "frost"),
    "site.soil_bearing": ("soil bearing", "bearing capacity", "soil psf"),
    "deck.attachment": ("attachment", "attached", "attached or freestanding", "deck type"),
    "deck.area": ("deck area", "area", "sqft", "square footage"),
    "deck.greatest_height_above_grade": ("deck height", "height above grade", "height grade"),
    "wall.veneer": ("veneer", "wall veneer", "siding veneer"),
    "band_joist.size": (
        "band joist",
        "band joist size",
        "rim joist",
        "rim joist size",
        "band size",
    ),
    "band_joist.kind": ("band joist kind", "band joist type", "band joist material", "rim type"),
    "band_joist.species": ("band joist species", "rim species"),
    "ledger.size": ("ledger", "ledger board", "ledger size", "ledger board size"),
    "ledger.length": ("ledger length",),
    "ledger.species": ("ledger species",),
    "ledger.grade": ("ledger grade",),
    "ledger.flashed": ("flashing", "flashed", "ledger flashing", "ledger flashed"),
    "ledger.treatment": ("ledger treatment",),
    "fasteners.kind": (
        *("fastener type", "fastener", "fastener kind", "ledger fastener", "ledger fasteners type"),
        *("ledger connection", "ledger bolts or lags", "bolt or lag", "ledger attachment"),
    ),
    "fasteners.diameter": (
        *("fastener size", "fastener diameter", "fastener dia", "bolt size", "bolt diameter"),
        *("bolt dia", "lag size", "lag diameter", "ledger fastener size"),
    ),
    "fasteners.spacing": (
        *("fastener spacing", "bolt spacing", "lag spacing", "ledger fastener spacing"),
        *("ledger bolt spacing", "fastener oc", "bolt oc", "lag oc"),
    ),
    "fasteners.finish": ("fastener finish", "fastener coating"),
    "fasteners.staggered": ("staggered", "fasteners staggered", "stagger"),
    "joists.size": ("joist", "joist size", "deck joist", "deck joist size"),
    "joists.span": ("joist span", "deck joist span", "joist length"),
    "joists.spacing": ("joist spacing", "joist oc", "joist spacing oc", "deck joist spacing"),
    "joists.species": ("joist species", "deck joist species", "joist wood"),
    "joists.grade": ("joist grade",),
    "joists.cantilever": ("joist cantilever", "joist overhang", "cantilever", "overhang"),
    "joists.at_ledger": ("joist hangers", "joist hanger", "hangers"),
    "beams.size": ("beam", "beam size", "girder", "girder size"),
    "beams.span": ("beam span", "post spacing", "girder span"),
    "beams.species": ("beam species",),
    "beams.cantilever": ("beam cantilever", "beam overhang", "cantilever", "overhang"),
    "posts.size": ("post", "post size"),
    "posts.height": ("post height",),
    "posts.species": ("post species",),
    "footings.depth": ("footing depth", "pier depth", "footer depth", "depth footing"),
    "footings.diameter": ("footing diameter", "footing dia", "pier diameter", "tube diameter"),
    "footings.side": ("footing side", "footing width"),
    "footings.thickness": ("footing thickness",),
    "footings.shape": ("footing shape",),
    "decking.board": ("decking", "decking board", "decking material", "decking type"),
    "guards.height": ("guard height", "guardrail height", "railing height", "rail height"),
    "guards.opening": ("baluster spacing", "picket spacing", "guard opening", "baluster gap"),
    "guards.post_size": ("guard post", "guard post size", "rail post"),
    "stairs.riser_height": ("riser", "riser height", "stair riser"),
    "stairs.tread_depth": ("tread", "tread depth", "stair tread"),
    "stairs.width": ("stair width",),
    "stairs.handrail_height": ("handrail height",),
    "stairs.headroom": ("headroom", "stair headroom"),
    "doors.step_down": ("step down", "door step", "step down at door"),
    "lateral.device_count": ("hold downs", "holddowns", "lateral devices", "tension devices"),
    "materials.framing_treatment": ("treatment", "framing treatment", "lumber treatment"),
}
"""By quantity, headings that mean it. All the words of one must stand in a heading."""

UNCLEAR: dict[str, tuple[str, ...]] = {
    "deck length": ("ledger.length", "joists.field_width"),
    "deck width": ("ledger.length", "joists.field_width"),
    "species": ("joists.species", "ledger.species", "beams.species", "posts.species"),
    "lumber species": ("joists.species", "ledger.species", "beams.species", "posts.species"),
    "grade": ("joists.grade", "ledger.grade", "beams.grade"),
    "spacing": ("joists.spacing", "fasteners.spacing"),
    "span": ("joists.span", "beams.span"),
    "bolts": ("fasteners.kind", "fasteners.diameter", "fasteners.spacing"),
    "rail": ("guards.height", "stairs.handrail_height"),
}
"""Headings that may mean several facts: only the office knows."""

NAMES_A_ROW: tuple[str, ...] = (
    *("permit", "permit no", "permit number", "permit num", "permit id", "case", "case no"),
    *("case number", "record", "record no", "record number", "application no", "file no"),
    *("address", "site address", "property address", "street address", "location", "parcel"),
    *("parcel no", "apn", "lot"),
)
"""Headings of what a row is known by; kept through to the lists, never read as a fact."""

LIKELY: dict[str, tuple[str, str]] = {
    "site.ground_snow_load": ("5 psf", "400 psf"),
    "site.frost_depth": ("3 in", "120 in"),
    "site.soil_bearing": ("500 psf", "20000 psf"),
    "deck.area": ("4 sq ft", "5000 sq ft"),
    "deck.greatest_height_above_grade": ("4 in", "40 ft"),
    "ledger.length": ("3 ft", "120 ft"),
    "fasteners.diameter": ("1/8 in", "1 in"),
    "fasteners.spacing": ("4 in", "60 in"),
    "joists.span": ("3 ft", "30 ft"),
    "joists.spacing": ("8 in", "36 in"),
    "joists.field_width": ("3 ft", "120 ft"),
    "joists.cantilever": ("1 in", "8 ft"),
    "beams.span": ("3 ft", "30 ft"),
    "beams.cantilever": ("1 in", "8 ft"),
    "posts.height": ("6 in", "25 ft"),
    "footings.depth": ("6 in", "10 ft"),
    "footings.diameter": ("6 in", "5 ft"),
    "footings.side": ("6 in", "5 ft"),
    "footings.thickness": ("4 in", "3 ft"),
    "guards.height": ("24 in", "72 in"),
    "guards.opening": ("1 in", "12 in"),
    "stairs.riser_height": ("3 in", "12 in"),
    "stairs.tread_depth": ("6 in", "24 in"),
    "stairs.width": ("18 in", "12 ft"),
    "stairs.handrail_height": ("24 in", "60 in"),
    "stairs.headroom": ("60 in", "12 ft"),
    "doors.step_down": ("1/4 in", "36 in"),
}
"""Between what bounds a bare number is likely; no rule, a guard against a unit taken wrongly: `138`
under a heading read in feet is left out and told."""


def likely(name: str) -> tuple[Fraction, Fraction] | None:
    """Return the bounds of a quantity's likely values, in its base unit; None where none are set."""
    bounds = LIKELY.get(name)
    if bounds is None:
        return None
    least, most = (parse_quantity(bound).value for bound in bounds)
    return least, most


UNITS_IN_HEADINGS: dict[str, str] = {
    **dict.fromkeys(("in", "ins", "inch", "inches", '"'), "in"),
    **dict.fromkeys(("ft", "feet", "foot", "lf", "'"), "ft"),
    **dict.fromkeys(("psf",), "psf"),
    **dict.fromkeys(("sf", "sqft"), "sq ft"),
    **dict.fromkeys(("lb", "lbs"), "lb"),
    "mm": "mm",
}
_BRACKETED = re.compile(r"[(\[]\s*([^)\]]*?)\s*[)\]]")
_WORDS = re.compile(r"[a-z]+|#")
_IDLE = frozenset(["of", "the", "at", "to", "a", "on", "and", "proposed", "existing", "new"])


def heading_words(heading: str) -> tuple[frozenset[str], str]:
    """Return the words of a heading, singular, and the unit it names, if any.

    >>> sorted(heading_words("Fastener Spacing (in.)")[0]), heading_words("Fastener Spacing (in.)")[1]
    (['fastener', 'spacing'], 'in')
    >>> heading_words("Joist Span, ft")[1], heading_words("Deck area (sq. ft.)")[1]
    ('ft', 'sq ft')
    """
    unit = ""
    plain = heading.lower().replace("o.c.", "oc").replace("on center", "oc")
    plain = re.sub(r"sq(?:uare)?\.?\s*(?:ft|feet|foot)\b", "sqft", plain)
    for inside in _BRACKETED.findall(plain):
        unit = unit or UNITS_IN_HEADINGS.get(inside.strip(" ."), "")
    words = _WORDS.findall(_BRACKETED.sub(" ", plain))
    if not unit and len(words) > 1 and words[-1] in UNITS_IN_HEADINGS:
        unit = UNITS_IN_HEADINGS[words.pop()]
    return frozenset(_singular(word) for word in words if word not in _IDLE), unit


def _singular(word: str) -> str:
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word
