"""Which calculation stands behind which table of a rule set, and the keys it takes there.

A rule file names its axes by the vocabulary's quantities; the calculations of
`deckclause.engineering.tables` take their own plain keys. This file alone knows both. A table
without a calculation says why, so that nobody takes silence for agreement.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from deckclause.quantities import AREA, LENGTH, PRESSURE, Dimension, Quantity, quantity_text
from deckclause.rulesets.clauses import Scalar, Table

LIVE_LOAD_KEY = Fraction(40, 144)
"""The column of a load axis that stands for 40 psf live load, not for snow (psi)."""

Facts = dict[str, Scalar]
"""A cell's axis quantities with the keys it stands under."""


class Calculation(Struct, frozen=True):
    """The calculation of one cell: a family of `engineering.tables` and its keys as text.

    `topic` names the cautions that go with it.
    """

    family: str
    keys: tuple[tuple[str, str], ...]
    topic: str

    @property
    def rule(self) -> str:
        """The rule that cells can establish for one another, in words.

        A footing's thickness follows another rule than its size does.

        >>> Calculation("small_footings", (("part", "thickness"),), "footings").rule
        'small footings, thickness'
        """
        part = ", thickness" if dict(self.keys).get("part") == "thickness" else ""
        return f"{self.family.replace('_', ' ')}{part}"

    @property
    def under_snow(self) -> bool:
        """Whether the cell is for a ground snow load."""
        return "ground_snow_load" in dict(self.keys)

    def with_snow(self, load: Fraction) -> Calculation:
        """Return the calculation of the same cell under a ground snow load (psi) over 40 psf."""
        if self.under_snow or load <= LIVE_LOAD_KEY:
            return self
        key = ("ground_snow_load", _measure(load, PRESSURE, "psf"))
        return replace(self, keys=(*self.keys, key))


class NoCalculation(Struct, frozen=True):
    """Why no calculation stands behind a table or a cell."""

    reason: str


Build = Callable[[Facts, bool], Calculation | NoCalculation]
"""From a cell's keys, and whether the book is the AWC guide, to its calculation."""


def calculation(table: Table, facts: Facts, *, guide: bool) -> Calculation | NoCalculation:
    """Return the calculation behind one cell of a table, or why there is none.

    `facts` holds one key for each axis; `guide` says that the table stands in the AWC guide.
    """
    axes = {axis.quantity for axis in table.axes}
    for name, needed, build in _TABLES:
        if table.name == name and needed <= axes:
            return build(facts, guide)
    return NoCalculation(_REASONS.get(table.name, "no calculation is written for this table"))


def _text(value: Scalar) -> str:
    """Write a choice as a calculation reads it: `southern pine`."""
    return str(value).replace("_", " ")


def _measure(value: Scalar, dimension: Dimension, unit: str) -> str:
    """Write an axis key exactly, with its unit: `12 ft`, `1500 psf`."""
    if not isinstance(value, Fraction):
        raise TypeError(f"the axis key {value!r} is no measure")
    return quantity_text(Quantity(value, dimension), unit)


def _feet(value: Scalar) -> str:
    return _measure(value, LENGTH, "ft")


def _snow(facts: Facts, axis: str) -> dict[str, str]:
    """Return the snow key; none in the column that stands for 40 psf live load."""
    load = facts.get(axis)
    if load is None or load == LIVE_LOAD_KEY:
        return {}
    return {"ground_snow_load": _measure(load, PRESSURE, "psf")}


def _made(family: str, topic: str, **keys: str) -> Calculation:
    return Calculation(family, tuple(keys.items()), topic)


def _joist(facts: Facts) -> dict[str, str]:
    return {"species_group": _text(facts["joists.species_group"]), "size": str(facts["joists.size"])}  # fmt: skip


def _joist_spans(facts: Facts, guide: bool) -> Calculation:
    cantilevers = facts.get("joists.span_columns") == "with_cantilever"
    return _made(
        "joists_with_cantilever" if cantilevers else "joists",
        "joists",
        **_joist(facts),
        spacing=_measure(facts["joists.spacing"], LENGTH, "in"),
        **_snow(facts, "loads.framing_table_snow"),
    )


def _overhangs(facts: Facts, guide: bool) -> Calculation:
    return _made(
        "guide_joist_overhangs" if guide else "joist_overhangs",
        "joists",
        **_joist(facts),
        spacing=_measure(facts["joists.spacing"], LENGTH, "in"),
    )


def _cantilevers(facts: Facts, guide: bool) -> Calculation:
    return _made("joist_cantilevers", "joists", **_joist(facts), back_span=_feet(facts["joists.span"]))  # fmt: skip


def _beam(group: str, facts: Facts, guide: bool, axis: str) -> Calculation:
    size = str(facts["beams.size"])
    if size.startswith("3x"):  # the row that a table heads `3x8 or 2-2x8`
        size = f"{size} or 2-2x{size.removeprefix('3x')}"
    family = "guide_beams" if guide else "beams"
    return _made(family, "beams", species_group=group, size=size, joist_span=_feet(facts[axis]))


def _southern_beams(facts: Facts, guide: bool) -> Calculation:
    return _beam("southern pine", facts, guide, "beams.joist_span")


def _other_beams(facts: Facts, guide: bool) -> Calculation:
    return _beam("douglas fir-larch group", facts, guide, "beams.joist_span")


def _effective_span_beams(facts: Facts, guide: bool) -> Calculation:
    group = str(facts["beams.species_group"])
    if group == "southern_pine":
        return _beam("southern pine", facts, guide, "beams.effective_joist_span")
    return _made(
        "group_beams",
        "beams",
        species_group=_text(group),
        size=str(facts["beams.size"]),
        joist_span=_feet(facts["beams.effective_joist_span"]),
    )


def _posts(facts: Facts, guide: bool) -> Calculation:
    return _made(
        "posts",
        "posts",
        species_group=_text(facts["posts.species_group"]),
        size=str(facts["posts.size"]),
        tributary_area=_measure(facts["posts.tributary_area"], AREA, "sq ft"),
    )


_PARTS = {"side": "square", "diameter": "round", "thickness": "thickness"}


def _code_footings(facts: Facts, guide: bool) -> Calculation:
    small = "loads.framing_table_snow" not in facts  # the 2021 table, which goes below 12 in
    return _made(
        "small_footings" if small else "footings",
        "footings",
        tributary_area=_measure(facts["footings.tributary_area"], AREA, "sq ft"),
        soil_bearing=_measure(facts["site.soil_bearing"], PRESSURE, "psf"),
        part=_PARTS[str(facts["footings.table_figure"])],
        **_snow(facts, "loads.framing_table_snow"),
    )


def _guide_footings(facts: Facts, guide: bool) -> Calculation:
    return _made(
        "guide_footings",
        "footings",
        beam_span=_feet(facts["footings.beam_span"]),
        joist_span=_feet(facts["footings.joist_span"]),
        part=_PARTS[str(facts["footings.table_figure"])],
    )


def _ledger(facts: Facts, guide: bool) -> Calculation:
    return _made(
        "ledger",
        "ledger",
        row=str(facts["fasteners.assembly"]),
        joist_span=_feet(facts["joists.span"]),
        **_snow(facts, "loads.ledger_table_snow"),
    )


_RIM_ROWS = {"engineered_rim_1_in": "rim_1_in", "engineered_rim_1_1_8_in": "rim_1_1_8_in"}


def _ledger_rim(facts: Facts, guide: bool) -> Calculation:
    row = _RIM_ROWS[str(facts["band_joist.fastener_table_row"])]
    return _made("ledger", "ledger", row=row, joist_span=_feet(facts["joists.span"]))


_JOIST_AXES = frozenset({"joists.species_group", "joists.size", "joists.spacing"})

_TABLES: tuple[tuple[str, frozenset[str], Build], ...] = (
    ("joist_spans", _JOIST_AXES, _joist_spans),
    ("joist_cantilevers", _JOIST_AXES, _overhangs),
    ("joist_overhangs", _JOIST_AXES, _overhangs),
    ("joist_cantilevers", frozenset({"joists.species_group", "joists.size", "joists.span"}), _cantilevers),
    ("beam_spans_southern_pine", frozenset({"beams.size", "beams.joist_span"}), _southern_beams),
    ("beam_spans_other_species", frozenset({"beams.size", "beams.joist_span"}), _other_beams),
    ("beam_spans", frozenset({"beams.species_group", "beams.size", "beams.effective_joist_span"}), _effective_span_beams),
    ("post_heights", frozenset({"posts.species_group", "posts.size", "posts.tributary_area"}), _posts),
    ("footing_sizes", frozenset({"footings.tributary_area", "footings.table_figure", "site.soil_bearing"}), _code_footings),
    ("footing_sizes", frozenset({"footings.beam_span", "footings.joist_span", "footings.table_figure"}), _guide_footings),
    ("ledger_spacing", frozenset({"fasteners.assembly", "joists.span"}), _ledger),
    ("ledger_spacing_engineered_rim", frozenset({"band_joist.fastener_table_row", "joists.span"}), _ledger_rim),
)  # fmt: skip
"""Name and axes of each kind of table, and what builds its calculation."""

_REASONS = {
    "decking_joist_spacing": "the table is a convention of the trade: no span calculation gives it",
    "post_heights": (
        "these heights are given without a tributary area, or fall off faster than the buckling of a "
        "concentric column does: their rule is not known"
    ),
}
