"""The twelve cautions that every engineering figure carries, in our own words.

They reach the terminal, the drawings, the request for relief and the documents from here, so
that they are worded once. `for_topic` picks those that bear on one kind of figure; the three of
`ALWAYS` go with every figure.
"""

from __future__ import annotations

from msgspec import Struct


class Caution(Struct, frozen=True):
    """One caution: a stable key, a short form for a line of output, and the full wording."""

    number: int
    key: str
    short: str
    text: str


CAUTIONS: tuple[Caution, ...] = (
    Caution(
        1,
        "basis_stated",
        "Read the basis beside each figure: code table, calculation, implied or fitted.",
        "Every figure names its basis. A value worked backwards from a table describes that table "
        "only: it is not a strength for another diameter, species, sheathing, band joist, load or "
        "a joist span past the table's end.",
    ),
    Caution(
        2,
        "ledger_table_tests",
        "The ledger table rests on tests of particular assemblies.",
        "The ledger fastener table comes from tests of a 2x ledger with 1/2 in fasteners, thin "
        "sheathing, evenly spread joist load and staggered fasteners on a band joist that bears on "
        "a wall. It does not cover point loads, girders, hot tubs, stairs, brick veneer, "
        "cantilevered bays, truss floors, or a band joist that is decayed or of unknown make.",
    ),
    Caution(
        3,
        "outside_nds_scope",
        "Connection equations with a gap or a short lag are outside NDS scope.",
        "NDS wants the boards in contact and a lag at least four diameters into the main member. A "
        "result with sheathing in between, or with less lag, is shown for context and nothing else.",
    ),
    Caution(
        4,
        "gravity_only",
        "Gravity load only.",
        "Only downward load is worked out here. Lateral load and tension ties, uplift at the back "
        "of a cantilever, guards, stairs, wind and earthquake each need their own load path.",
    ),
    Caution(
        5,
        "sound_wood_assumed",
        "Tables assume sound No. 2 lumber, wet service and the stated load.",
        "The tables and these calculations assume new, sound lumber of the right species and "
        "grade, wet service, and no more than the stated load. Rot, rust, missing or overdriven "
        "fasteners are what bring real decks down, and no figure here sees them.",
    ),
    Caution(
        6,
        "edition_matters",
        "Editions and local amendments differ; never mix their rows.",
        "Loads, spans and rounding change between editions and places. Name the edition with the "
        "figure. The model code and the AWC guide disagree on three 2x6 cells and on whether a "
        "beam's span is clear or centre to centre.",
    ),
    Caution(
        7,
        "rounding_direction",
        "Table rounding is for comparing; a design rounds to the safe side.",
        "Fastener spacing rounds down, guide footings round up, and span tables round to the "
        "nearest inch. The nearest inch is only for comparing with a table: a design of one's own "
        "rounds to the safe side. The unrounded value and the margin are shown.",
    ),
    Caution(
        8,
        "no_interpolation",
        "No interpolation unless the edition allows it, and never past the table.",
        "Between two columns use the one with the longer joist span, unless the edition allows a "
        "value in between; past the last column a table says nothing.",
    ),
    Caution(
        9,
        "near_a_limit",
        "This result stands near a step or a limit.",
        "A small change can flip a result near a step: bending value near 1150 psi, lag "
        "penetration near four diameters, an edge distance within drilling tolerance (1/8 in), a "
        "column near the greatest slenderness, or a ratio within two percent of its limit.",
    ),
    Caution(
        10,
        "splitting_not_modelled",
        "Splitting of the wood is not modelled by the yield equations.",
        "Yield equations describe bending bolts and crushing wood, not sudden splitting. Edge, end "
        "and spacing rules and the shear check at connections stand in for it, and do not "
        "model fracture itself.",
    ),
    Caution(
        11,
        "unverified_values",
        "Values marked memory have not been checked against the standard.",
        "Design values and factors marked memory must be replaced from licensed copies of the NDS, "
        "its Supplement and the code before anyone relies on them.",
    ),
    Caution(
        12,
        "not_a_design",
        "Not an engineered design or an approval.",
        "This is a check for learning and discussion. It is neither an engineered design nor a "
        "code approval: the building official and a licensed engineer decide. Where an input is "
        "missing or unknown there is no answer.",
    ),
)

BY_KEY = {caution.key: caution for caution in CAUTIONS}

ALWAYS = ("basis_stated", "gravity_only", "not_a_design")

_TOPICS: dict[str, tuple[str, ...]] = {
    "connection": ("outside_nds_scope", "splitting_not_modelled", "unverified_values"),
    "ledger": ("ledger_table_tests", "outside_nds_scope", "edition_matters", "rounding_direction",
               "no_interpolation", "splitting_not_modelled"),
    "joists": ("sound_wood_assumed", "edition_matters", "rounding_direction", "no_interpolation",
               "unverified_values"),
    "beams": ("sound_wood_assumed", "edition_matters", "rounding_direction", "no_interpolation",
              "unverified_values"),
    "posts": ("sound_wood_assumed", "edition_matters", "unverified_values"),
    "footings": ("edition_matters", "rounding_direction", "unverified_values"),
}  # fmt: skip


def caution(key: str) -> Caution:
    """Return one caution by key; KeyError naming the known keys if there is none.

    >>> caution("gravity_only").number
    4
    """
    try:
        return BY_KEY[key]
    except KeyError:
        raise KeyError(f"no caution '{key}'; the keys are {', '.join(sorted(BY_KEY))}") from None


def for_topic(topic: str, *extra: str) -> tuple[Caution, ...]:
    """Return the cautions for one kind of figure, in their order, with any `extra` keys.

    Topics: connection, ledger, joists, beams, posts, footings. ValueError for another.

    >>> [c.number for c in for_topic("footings", "near_a_limit")]
    [1, 4, 6, 7, 9, 11, 12]
    """
    if topic not in _TOPICS:
        raise ValueError(f"no cautions for '{topic}'; the topics are {', '.join(_TOPICS)}")
    keys = {*ALWAYS, *_TOPICS[topic], *extra}
    for key in extra:
        caution(key)
    return tuple(c for c in CAUTIONS if c.key in keys)
