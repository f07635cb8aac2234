"""One door to every explanation: a table family and its keys as text.

`deckclause basis` and the lint list call `explain_cell` with the row and column keys of a cell
as they stand in a rule file.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from deckclause.engineering.tables import beams, footings, group_beams, joists, ledger, posts
from deckclause.engineering.tables.explanation import Explanation, UnknownCellError
from deckclause.engineering.tables.loads import LIVE_LOAD, DeckLoad, snow_load
from deckclause.quantities import AREA, LENGTH, PRESSURE, Dimension, Quantity, parse_quantity

_ONE_OF_ROWS = {row.name.lower(): row for row in ledger.LedgerRow}


class _Keys:
    """The keys of one cell, read with clear errors."""

    def __init__(self, family: str, keys: Mapping[str, str]) -> None:
        self.family, self.keys = family, keys

    def text(self, name: str) -> str:
        try:
            return self.keys[name]
        except KeyError:
            raise UnknownCellError(
                f"{self.family}: the key '{name}' is missing; given: {', '.join(self.keys)}"
            ) from None

    def quantity(self, name: str, dimension: Dimension) -> Quantity:
        return parse_quantity(self.text(name), dimension)

    def load(self) -> DeckLoad:
        """40 psf live unless a ground snow load over it is named."""
        if "ground_snow_load" not in self.keys:
            return LIVE_LOAD
        return snow_load(self.quantity("ground_snow_load", PRESSURE))

    def live_only(self) -> None:
        if "ground_snow_load" in self.keys:
            raise UnknownCellError(
                f"{self.family}: only the 40 psf live load cells can be explained"
            )


def _joists(k: _Keys) -> Explanation:
    return joists.explain_span(
        k.text("species_group"), k.text("size"), k.quantity("spacing", LENGTH), k.load()
    )


def _joists_with_cantilever(k: _Keys) -> Explanation:
    k.live_only()
    return joists.explain_span_with_cantilever(
        k.text("species_group"), k.text("size"), k.quantity("spacing", LENGTH)
    )


def _overhangs(k: _Keys) -> Explanation:
    k.live_only()
    return joists.explain_overhang(
        k.text("species_group"), k.text("size"), k.quantity("spacing", LENGTH), guide=False
    )


def _guide_overhangs(k: _Keys) -> Explanation:
    k.live_only()
    return joists.explain_overhang(
        k.text("species_group"), k.text("size"), k.quantity("spacing", LENGTH), guide=True
    )


def _cantilevers(k: _Keys) -> Explanation:
    return joists.explain_cantilever(
        k.text("species_group"), k.text("size"), k.quantity("back_span", LENGTH), k.load()
    )


def _beams(k: _Keys) -> Explanation:
    return beams.explain_beam(
        k.text("species_group"), k.text("size"), k.quantity("joist_span", LENGTH), k.load()
    )


def _group_beams(k: _Keys) -> Explanation:
    return group_beams.explain_group_beam(
        k.text("species_group"), k.text("size"), k.quantity("joist_span", LENGTH), k.load()
    )


def _guide_beams(k: _Keys) -> Explanation:
    k.live_only()
    return beams.explain_beam(
        k.text("species_group"), k.text("size"), k.quantity("joist_span", LENGTH), guide=True
    )


def _posts(k: _Keys) -> Explanation:
    return posts.explain_height(
        k.text("species_group"), k.text("size"), k.quantity("tributary_area", AREA), k.load()
    )


def _code_footings(k: _Keys) -> Explanation:
    return footings.explain_code_footing(
        k.quantity("tributary_area", AREA),
        k.quantity("soil_bearing", PRESSURE),
        k.text("part"),
        k.load(),
    )


def _small_footings(k: _Keys) -> Explanation:
    return footings.explain_code_footing(
        k.quantity("tributary_area", AREA),
        k.quantity("soil_bearing", PRESSURE),
        k.text("part"),
        k.load(),
        small=True,
    )


def _guide_footings(k: _Keys) -> Explanation:
    k.live_only()
    return footings.explain_guide_footing(
        k.quantity("beam_span", LENGTH), k.quantity("joist_span", LENGTH), k.text("part")
    )


def _ledger(k: _Keys) -> Explanation:
    row = _ONE_OF_ROWS.get(k.text("row"))
    if row is None:
        raise UnknownCellError(
            f"ledger: '{k.text('row')}' is not a row; one of {', '.join(_ONE_OF_ROWS)}"
        )
    return ledger.explain_spacing(row, k.quantity("joist_span", LENGTH), k.load())


FAMILIES: dict[str, tuple[Callable[[_Keys], Explanation], tuple[str, ...]]] = {
    "joists": (_joists, ("species_group", "size", "spacing", "ground_snow_load?")),
    "joists_with_cantilever": (_joists_with_cantilever, ("species_group", "size", "spacing")),
    "joist_overhangs": (_overhangs, ("species_group", "size", "spacing")),
    "guide_joist_overhangs": (_guide_overhangs, ("species_group", "size", "spacing")),
    "joist_cantilevers": (
        _cantilevers,
        ("species_group", "size", "back_span", "ground_snow_load?"),
    ),
    "beams": (_beams, ("species_group", "size", "joist_span", "ground_snow_load?")),
    "group_beams": (_group_beams, ("species_group", "size", "joist_span", "ground_snow_load?")),
    "guide_beams": (_guide_beams, ("species_group", "size", "joist_span")),
    "posts": (_posts, ("species_group", "size", "tributary_area", "ground_snow_load?")),
    "footings": (_code_footings, ("tributary_area", "soil_bearing", "part", "ground_snow_load?")),
    "small_footings": (
        _small_footings,
        ("tributary_area", "soil_bearing", "part", "ground_snow_load?"),
    ),
    "guide_footings": (_guide_footings, ("beam_span", "joist_span", "part")),
    "ledger": (_ledger, ("row", "joist_span", "ground_snow_load?")),
}
"""Every table family that can be explained, with the keys of its cells; `?` may be left out."""


def explain_cell(family: str, keys: Mapping[str, str]) -> Explanation:
    """Explain one table cell from its family and keys, all as text.

    Raises UnknownCellError for a family, key or value that names no cell here, and
    QuantityError for text that is no quantity: there is then no answer, never a guess.

    >>> cell = {"species_group": "southern pine", "size": "2x8", "spacing": "16 in"}
    >>> explain_cell("joists", cell).cell_text
    '11-10'
    """
    if family not in FAMILIES:
        raise UnknownCellError(f"no calculation for '{family}'; one of {', '.join(FAMILIES)}")
    build, _ = FAMILIES[family]
    return build(_Keys(family, keys))
