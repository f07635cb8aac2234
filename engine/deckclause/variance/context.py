"""What engineering has to say beside a failing clause: context with its basis and its limits.

Nothing here decides compliance, and no figure is a strength to rely on. Where no calculation of
ours fits the matter, that is said.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from msgspec import Struct

from deckclause.designs.design import Facts
from deckclause.engineering.cautions import for_topic
from deckclause.engineering.dowels.connections import WoodMember
from deckclause.engineering.dowels.geometry import (
    GeometryRules,
    across_grain_rules,
    slenderness,
)
from deckclause.engineering.members.adjustment import LoadDuration
from deckclause.engineering.members.species import UnknownLumberError, specific_gravity
from deckclause.engineering.tables.explain import explain_cell
from deckclause.engineering.tables.explanation import UnknownCellError
from deckclause.engineering.tables.ledger import (
    LedgerRow,
    compare_with_nds,
    explain_spacing,
    force_per_fastener,
)
from deckclause.engineering.tables.loads import LIVE, LIVE_LOAD, DeckLoad, snow_load
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Finding
from deckclause.quantities import ANGLE, LENGTH, PRESSURE, Quantity, length_text
from deckclause.variance.case import ReliefCase

BASIS_RULE = "calculation"
NOTHING = "No calculation of this tool fits this matter: an engineer's is needed."


class Context(Struct, frozen=True):
    """Engineering beside one clause: what it rests on, the lines to check, the cautions.

    `no_value` says why the engineering known here gives the joint no value at all at what is
    asked for; empty where it gives one, or has nothing to say.
    """

    clause: str
    basis: str
    lines: tuple[str, ...]
    cautions: tuple[str, ...]
    no_value: str = ""

    @property
    def says_something(self) -> bool:
        """Whether any calculation fits."""
        return bool(self.lines) and self.lines != (NOTHING,)


def find_context(case: ReliefCase, finding: Finding, value: Fraction | None = None) -> Context:
    """Return the engineering context of one failing finding, at the value asked for."""
    facts = Explainer(case.evaluation, case.vocabulary).facts(finding)
    asked = value if value is not None else finding.value
    builder = _BUILDERS.get(finding.topic)
    if builder is None or not isinstance(asked, Fraction):
        return Context(finding.key, "none", (NOTHING,), _cautions("connection"))
    try:
        return builder(finding, facts, asked)
    except (UnknownCellError, UnknownLumberError, ValueError, KeyError) as problem:
        text = f"Not calculated: {str(problem).strip(chr(39))}."
        return Context(finding.key, "none", (NOTHING, text), _cautions("connection"))


def _cautions(topic: str) -> tuple[str, ...]:
    return tuple(c.text for c in for_topic(topic))


def _length(value: Fraction) -> Quantity:
    return Quantity(value, LENGTH)


def _fact(facts: Facts, name: str) -> Fraction:
    value = facts.get(name)
    if not isinstance(value, Fraction):
        raise KeyError(f"{name.replace('.', ' ').replace('_', ' ')} is not known")
    return value


def _edges(finding: Finding, facts: Facts, asked: Fraction) -> Context:
    """Put a fastener's distances beside the NDS least distances of a board loaded across its grain."""
    diameter = _fact(facts, "fasteners.diameter")
    thick = Fraction(3, 2)
    band = facts.get("band_joist.thickness")
    main = band if isinstance(band, Fraction) else thick
    rules = across_grain_rules(
        _length(diameter), slenderness(_length(main), _length(thick), _length(diameter))
    )
    lines = [f"Asked for: {length_text(asked)}, which is {float(asked / diameter):g} diameters."]
    no_value = ""
    hard = _HARD_LEAST.get(finding.topic)
    if hard is None:
        lines.append(
            "This distance is the effective depth of NDS 3.4.3.3 (from memory), the part of the ledger "
            "that carries its shear at the fasteners. Sudden splitting at the lower row is not modelled "
            "by that shear: an engineer must judge a lesser depth."
        )
    else:
        name, least = hard(rules)
        size = f"a {length_text(diameter)} fastener"
        lines.append(
            f"NDS geometry for {size} across the grain: {name}, at least {least:g} in for any "
            "value at all (from memory)."
        )
        if float(asked) < least:
            no_value = f"{length_text(asked)} is below the {least:g} in ({name}) under which NDS gives {size} no value"
            lines.append(
                "The value asked for is below it: NDS gives no value then, and the joint needs an "
                "engineer's design or a test."
            )
            if "edge" in name and asked <= diameter / 2:
                no_value += "; the fastener's own side then stands at the edge of the wood"
                lines.append("The fastener's own side would stand at the edge of the wood.")
        else:
            lines.append("The value asked for is not below it.")
    return Context(finding.key, BASIS_RULE, tuple(lines), _cautions("connection"), no_value)


def _loaded(rules: GeometryRules) -> tuple[str, float]:
    return "loaded edge, 4 diameters", rules.loaded_edge_in


def _unloaded(rules: GeometryRules) -> tuple[str, float]:
    return "unloaded edge, 1.5 diameters", rules.unloaded_edge_in


def _between(rules: GeometryRules) -> tuple[str, float]:
    return "between rows", rules.between_rows_in


def _end(rules: GeometryRules) -> tuple[str, float]:
    return "end, half the value at 2 diameters and all of it from 4", rules.end_least_in


_HARD_LEAST: dict[str, Callable[[GeometryRules], tuple[str, float]]] = {
    "ledger_top_edge_distance": _loaded,
    "band_joist_bottom_edge_distance": _loaded,
    "ledger_bottom_edge_distance": _unloaded,
    "band_joist_top_edge_distance": _unloaded,
    "ledger_row_spacing": _between,
    "ledger_end_distance": _end,
    "band_joist_end_distance": _end,
}
"""The distance under which a fastener has no value, by topic; the ledger hangs on its fasteners, so
its top edge is loaded, and the band joist carries them, so its bottom edge is."""


def _spacing(finding: Finding, facts: Facts, asked: Fraction) -> Context:
    """Put the force on one fastener beside what the table's own cell implies, and NDS beside both."""
    span = _length(_fact(facts, "joists.span"))
    live = facts.get("loads.deck_live_load")
    variable = Quantity(live, PRESSURE) if isinstance(live, Fraction) else LIVE
    load = DeckLoad(variable, LoadDuration.OCCUPANCY)
    force = force_per_fastener(_length(asked), span, load)
    lines = [
        f"Load on one fastener at {length_text(asked)}: {float(force.value):.0f} lb ({load.text}, half "
        f"the joist span of {length_text(span.value, 'ft')}).",
    ]
    no_value = ""
    row = facts.get("fasteners.assembly")
    if isinstance(row, str) and row.upper() in LedgerRow.__members__:
        snow = _table_snow(facts, "loads.ledger_table_snow")
        table_load = LIVE_LOAD if snow is None else snow_load(snow)
        explanation = explain_spacing(LedgerRow[row.upper()], span, table_load)
        lines += explanation.lines()
        if explanation.cell_in is not None and asked > explanation.cell_in:
            most = length_text(Fraction(explanation.cell_in))
            no_value = (
                f"{length_text(asked)} is above the {most} that the table's own cells imply at "
                f"{table_load.text}"
            )
    if facts.get("fasteners.kind") == "through_bolt":
        lines.append(_nds(facts))
    return Context(finding.key, "implied by a table", tuple(lines), _cautions("ledger"), no_value)


def _table_snow(facts: Facts, name: str) -> Quantity | None:
    """Return the snow column a table is read at; None for its 40 psf live load columns.

    Raises ValueError where the live load is above those and no column stands for it: a figure for a
    lesser load would be put beside what is asked.
    """
    snow, live = facts.get(name), facts.get("loads.deck_live_load")
    if isinstance(snow, Fraction) and snow > LIVE.value:
        return Quantity(snow, PRESSURE)
    if isinstance(live, Fraction) and live > LIVE.value:
        raise ValueError(
            "the tables explained here are for a live load of 40 psf; more is set here"
        )
    return None


def _nds(facts: Facts) -> str:
    members = []
    for name, thickness in (("ledger", Fraction(3, 2)), ("band_joist", Fraction(3, 2))):
        species = str(facts.get(f"{name}.species", "unknown")).replace("_", " ")
        known = {"spruce pine fir": "spruce-pine-fir", "hem fir": "hem-fir",
                 "douglas fir larch": "douglas fir-larch"}  # fmt: skip
        gravity = specific_gravity(known.get(species, species))
        members.append(WoodMember(gravity, _length(thickness), Quantity(Fraction(90), ANGLE)))
    between = [facts.get(f"wall.{n}") for n in ("sheathing_thickness", "drainage_washer_stack",
                                               "gap_to_sheathing")]  # fmt: skip
    if not all(isinstance(b, Fraction) for b in between):
        raise KeyError("what lies between ledger and band joist is not known")
    gap = sum((b for b in between if isinstance(b, Fraction)), Fraction(0))
    return compare_with_nds(members[0], members[1], gap=_length(gap)).statement


def _joist_span(finding: Finding, facts: Facts, asked: Fraction) -> Context:
    """Explain the span the table's own assumptions give these joists."""
    keys = {
        "species_group": str(facts.get("joists.species", "")).replace("_", " "),
        "size": str(facts.get("joists.size", "")),
        "spacing": length_text(_fact(facts, "joists.spacing")),
    }
    snow = _table_snow(facts, "loads.framing_table_snow")
    if snow is not None:
        keys["ground_snow_load"] = f"{float(snow.value * 144):g} psf"
    explanation = explain_cell("joists", keys)
    lines = (f"Asked for: {length_text(asked, 'ft')}.", *explanation.lines())
    return Context(finding.key, explanation.basis.value, lines, _cautions("joists"))


EDGE_TOPICS = (
    "ledger_top_edge_distance",
    "ledger_bottom_edge_distance",
    "ledger_lower_row_below_ledger_top",
    "ledger_row_spacing",
    "ledger_end_distance",
    "band_joist_top_edge_distance",
    "band_joist_bottom_edge_distance",
    "band_joist_end_distance",
)
_BUILDERS: dict[str, Callable[[Finding, Facts, Fraction], Context]] = {
    **dict.fromkeys(EDGE_TOPICS, _edges),
    "ledger_fastener_spacing": _spacing,
    "joist_span": _joist_span,
}
