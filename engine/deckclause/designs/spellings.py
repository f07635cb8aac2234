"""Words as people write them, read as the vocabulary has them; what was understood is told.

A spelling is taken up only where it has one reading. Where two stand (`2x10` for a beam: one ply or
a solid piece?), it is left as it is, and reading the design says both.
"""

from __future__ import annotations

import re

from deckclause.quantities import NUMBER
from deckclause.rulesets.vocabulary import NO, YES, QuantityDefinition

SPECIES = {
    "syp": "southern_pine",
    "sp": "southern_pine",
    "southern_yellow_pine": "southern_pine",
    "yellow_pine": "southern_pine",
    "df": "douglas_fir_larch",
    "dfl": "douglas_fir_larch",
    "df_l": "douglas_fir_larch",
    "doug_fir": "douglas_fir_larch",
    "douglas_fir": "douglas_fir_larch",
    "hf": "hem_fir",
    "hemfir": "hem_fir",
    "spf": "spruce_pine_fir",
    "s_p_f": "spruce_pine_fir",
    "wrc": "western_cedar",
    "western_red_cedar": "western_cedar",
}
"""Grade-stamp abbreviations and yard names; trade practice."""
GRADES = {
    "ss": "select_structural",
    "sel_str": "select_structural",
    "select": "select_structural",
    **{
        spelling: f"no_{n}"
        for n in (1, 2, 3)
        for spelling in (f"#{n}", f"#_{n}", str(n), f"no{n}", f"number_{n}", f"grade_{n}")
    },
}
FASTENERS = {
    "bolt": "through_bolt",
    "bolts": "through_bolt",
    "thru_bolt": "through_bolt",
    "thru_bolts": "through_bolt",
    "through_bolts": "through_bolt",
    "machine_bolt": "through_bolt",
    "lag": "lag_screw",
    "lags": "lag_screw",
    "lag_screws": "lag_screw",
    "lag_bolt": "lag_screw",
    "lag_bolts": "lag_screw",
    "structural_screws": "structural_screw",
    "ledger_screws": "structural_screw",
    "nails": "nail",
}
BAND_JOISTS = {
    "sawn": "sawn_lumber",
    "solid_sawn": "sawn_lumber",
    "lumber": "sawn_lumber",
    "dimension_lumber": "sawn_lumber",
    "lvl": "laminated_veneer_lumber",
    "engineered_rim": "engineered_rim_board",
}
PANELS = dict.fromkeys(
    ("plywood", "osb", "oriented_strand_board", "wsp"), "wood_structural_panel"
) | dict.fromkeys(("gyp", "gypsum_board", "drywall"), "gypsum")
"""Plywood and oriented strand board are the wood structural panels of PS 1 and PS 2."""
BY_KEY = {
    "species": SPECIES,
    "grade": GRADES,
    "kind": FASTENERS | BAND_JOISTS,
    "sheathing_kind": PANELS,
    "treatment": dict.fromkeys(("pt", "p_t", "treated", "pressuretreated"), "pressure_treated"),
    "directly_supported_by": dict.fromkeys(("sill", "mud_sill", "sill_plate"), "mudsill")
    | dict.fromkeys(("double_top_plates", "double_plate"), "double_top_plate"),
    "attachment": {"attached": "ledger", "free_standing": "freestanding"},
    "board": {"composite": "plastic_composite"}
    | {"5/4_wood": "five_quarter_wood", "2x_wood": "two_inch_wood"},
    "direction": dict.fromkeys(("square", "square_to_the_joists"), "perpendicular")
    | dict.fromkeys(("45", "45_degrees", "45_degrees_at_most"), "diagonal_to_45_degrees"),
    "position": dict.fromkeys(("on_top", "drop", "drop_beam", "dropped_beam"), "dropped")
    | dict.fromkeys(("flush_beam", "on_its_side", "in_hangers"), "flush"),
    "structure": dict.fromkeys(("i_joist", "i_joists"), "i_joist_floor")
    | dict.fromkeys(("truss", "trusses", "floor_trusses"), "truss_floor")
    | dict.fromkeys(("stand_off", "standoff"), "stand_off_over_veneer")
    | dict.fromkeys(
        ("floor_joists_along_it", "joists_along_it"), "floor_joists_parallel_to_ledger"
    ),
    "infill": dict.fromkeys(("baluster", "balusters", "boards", "pickets"), "balusters_or_boards"),
    "connection": dict.fromkeys(("hold_downs", "holddowns", "hold_down"), "hold_down_devices")
    | dict.fromkeys(("engineered_connection", "an_engineered_connection"), "engineered"),
    "base": dict.fromkeys(("post_base", "metal_post_base", "connector"), "manufactured_connector"),
    "beam_connection": dict.fromkeys(("post_cap", "metal_post_cap"), "manufactured_connector"),
    "shape": {"circular": "round", "tube": "round"},
}
"""Spellings by the last word of a quantity's name."""
PLIES = {"single": 1, "double": 2, "triple": 3, "one": 1, "two": 2, "three": 3}
NOTHING = (
    "cantilever",
    "gap_to_sheathing",
    "drainage_washer_stack",
    "fixed_seat_height",
    "nosing_projection",
)
"""Measures of which `none` means 0 in."""
IN_INCHES = ("joists.spacing", "fasteners.spacing")
"""Spacings that `16 o.c.` gives in inches, as nobody gives them in feet."""
_TIMES = re.compile(r"(?<=\d)[\"”]?\s*(?:[xX×]|\bby\b)\s*(?=\d)")
_SIZE = re.compile(r"(\dx\d+)(?:[\"”]|s)?")
_LITTLE = ("a", "an", "the", "they")
_OR_BETTER = re.compile(r"_?(?:or|and|&)_?(?:better|btr)$")
"""A stamp of a grade or better is that grade at the least."""
_CENTERS = re.compile(
    r"\s*(?:o\.?\s*/?\s*c\.?|on\s+cent(?:er|re)s?|ctrs?\.?|centers)\s*$", re.IGNORECASE
)
_PLY = re.compile(
    r"^\(?(\d|single|double|triple|one|two|three)\)?[\s_-]*(?:ply|plies|-)?[\s_-]*(?:of_)?(\dx\d+)s?$"
)


def as_meant(text: str, definition: QuantityDefinition) -> str:
    """Return a value's text as the vocabulary has it; unchanged where it has no one reading.

    >>> species = QuantityDefinition("joists.species", "choice", "", "", choices=("southern_pine",))
    >>> as_meant("SYP", species), as_meant("Southern Pine", species)
    ('southern_pine', 'southern_pine')
    >>> as_meant('16" o.c.', QuantityDefinition("joists.spacing", "length", "", ""))
    '16"'
    >>> as_meant("0", QuantityDefinition("joists.cantilever", "length", "", ""))
    '0 in'
    """
    plain = " ".join(text.split())
    if definition.kind == "yes_no":
        return _yes_or_no(plain)
    if definition.kind == "choice":
        return _choice(plain, definition)
    if definition.kind == "length":
        return _length(plain, definition)
    if definition.dimension is not None and definition.dimension != NUMBER:
        return re.sub(r"\bPSF\b", "psf", re.sub(r"\bLBS?\b\.?", "lb", plain))
    return text


def _yes_or_no(text: str) -> str:
    low = text.lower()
    if low in ("y", "true", "x") or low in YES:
        return "yes"
    if low in ("n", "false", "none") or low in NO:
        return "no"
    return text


def _choice(text: str, definition: QuantityDefinition) -> str:
    if text in definition.choices:
        return text
    low = _TIMES.sub("x", text.lower()).replace(".", "").strip()
    word = re.sub(r"[\s-]+", "_", low)
    by_word = {choice.replace("-", "_"): choice for choice in definition.choices}
    if word in by_word:
        return by_word[word]
    if word in ("none", "nothing"):
        return by_word.get("none") or by_word.get("nothing") or text
    plain = text.lower().replace(".", "")
    same = [c for c in definition.choices if _bare(c) in (_bare(word), _bare(plain))]
    if len(same) == 1:
        return same[0]
    key = definition.name.rpartition(".")[2]
    bare = _SIZE.fullmatch(low)
    if bare and bare[1] in definition.choices:
        return bare[1]
    if key == "grade":
        word = _OR_BETTER.sub("", word)
        if word in by_word:
            return by_word[word]
    meant = BY_KEY.get(key, {}).get(word, "")
    if meant in definition.choices:
        return meant
    plies = _PLY.match(low.replace(" ", "_"))
    if plies:
        count, size = plies.groups()
        built_up = f"{PLIES.get(count, count)}-{size}"
        if built_up in definition.choices:
            return built_up
    return text


def _bare(words: str) -> str:
    """Return words without articles and without the `s` of several.

    >>> _bare("rests_on_framing"), _bare("they rest on framing"), _bare("glass")
    ('rest_on_framing', 'rest_on_framing', 'glass')
    """
    kept = [word for word in re.split(r"[\s_-]+", words) if word not in _LITTLE]
    return "_".join(w[:-1] if w.endswith("s") and not w.endswith("ss") else w for w in kept)


def _length(text: str, definition: QuantityDefinition) -> str:
    key = definition.name.rpartition(".")[2]
    if key == "spacing" or key.endswith("_spacing"):
        text, on_center = _CENTERS.subn("", text)
        if on_center and re.fullmatch(r"\d+", text) and definition.name in IN_INCHES:
            return f"{text} in"
    if re.fullmatch(r"0+(\.0+)?", text):
        return "0 in"  # nothing is nothing in every unit
    if text.lower() in ("none", "no") and key in NOTHING:
        return "0 in"
    return text
