"""The calculation sheet of one relief: the ledger as prescribed beside the ledger as asked for.

Opens the facts of a case for `engineering.ledger_joint`. The sheet is context for an engineer: it
decides nothing, and where a fact it needs is missing there is no sheet, only what is missing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from deckclause.designs.design import Facts
from deckclause.engineering.ledger_joint.joint import (
    Arrangement,
    Board,
    CalculationSheet,
    Fastener,
    LedgerJoint,
)
from deckclause.engineering.ledger_joint.sheet import calculation_sheet
from deckclause.engineering.members.species import UnknownLumberError
from deckclause.engineering.tables.ledger import IMPLIED_NOTE, LedgerRow
from deckclause.engineering.tables.loads import DEAD, LIVE
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Evaluation
from deckclause.evaluate.words import name_text
from deckclause.placement.from_design import section_facts
from deckclause.quantities import LENGTH, PRESSURE, Quantity
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.variance.context import EDGE_TOPICS
from deckclause.variance.relax import Relaxation

AS_PRESCRIBED = "as prescribed"
AS_ASKED = "as asked"
OUTSIDE_NDS = "Outside NDS scope"
SPECIES = {
    "spruce_pine_fir": "spruce-pine-fir",
    "hem_fir": "hem-fir",
    "douglas_fir_larch": "douglas fir-larch",
    "douglas_fir": "douglas fir-larch",
    "western_cedar": "western cedars",
}
GRADES = {"select_structural": "SS", "no_1": "No.1", "no_2": "No.2", "no_3": "No.3"}
INCISED_TO_TREAT = ("hem-fir", "douglas fir-larch", "spruce-pine-fir")
"""Woods that take preservative only where incised; taken as incised where treated, on the safe side."""
BEARS_DIRECTLY = ("mudsill", "header", "double_top_plate", "single_top_plate")
HUNG_ON_THE_LEDGER = (*EDGE_TOPICS, "ledger_fastener_spacing")
"""Topics a ledger's calculation sheet has something to say to."""


class Calculation(Struct, frozen=True):
    """The sheet of one relief, or why there is none: what is not known or not covered."""

    sheet: CalculationSheet | None
    why_none: tuple[str, ...]


def engineering_lines(sheet: CalculationSheet) -> Iterator[str]:
    """Yield what each step says of the joint as prescribed and as asked: its two ratios, or no value.

    A step outside NDS scope is left out: its ratio says nothing against a joint the code's table covers.
    """
    for step in sheet.steps:
        before, after = (step.result(name) for name in (AS_PRESCRIBED, AS_ASKED))
        head = f"{step.title}, {step.section}"
        if after.no_value:
            same = f" (the same {AS_PRESCRIBED})" if before.no_value == after.no_value else ""
            yield f"{head}: {after.no_value}{same}. An engineer must weigh this"
        elif (
            before.ratio is not None
            and after.ratio is not None
            and not step.limits.startswith(OUTSIDE_NDS)
        ):
            now = f"{after.ratio:.2f} {AS_ASKED}"
            if f"{before.ratio:.2f}" == f"{after.ratio:.2f}":
                now = f"the same {AS_ASKED}"
            more = ", more than there is. An engineer must weigh this" if after.ratio > 1 else ""
            yield f"{head}: {before.ratio:.2f} of the resistance used {AS_PRESCRIBED}, {now}{more}"


def beyond_resistance(sheet: CalculationSheet) -> tuple[str, ...]:
    """Return the steps within NDS scope by which the joint as asked carries more than it resists."""
    return tuple(
        f"{step.title}, {step.section}: {ratio:.2f} of the resistance used {AS_ASKED}"
        for step in sheet.steps
        if not step.limits.startswith(OUTSIDE_NDS)
        and (ratio := step.result(AS_ASKED).ratio) is not None
        and ratio > 1
    )


def relief_calculation(
    evaluation: Evaluation, vocabulary: Vocabulary, relaxations: Iterable[Relaxation]
) -> Calculation | None:
    """Work out the sheet of a relief on a ledger; None where it is on nothing a sheet covers.

    `evaluation` is that of the design as asked for, its rows where the relief leaves them.
    """
    on_ledger = [r for r in relaxations if r.finding.topic in HUNG_ON_THE_LEDGER]
    if not on_ledger:
        return None
    facts = _facts(evaluation, vocabulary)
    reader = _Reader(facts)
    joint, asked = reader.joint(), reader.arrangement()
    if reader.missing or joint is None or asked is None:
        return Calculation(None, tuple(dict.fromkeys(reader.missing)))
    prescribed = replace(asked, name=AS_PRESCRIBED, in_table=True)
    for relaxation in on_ledger:
        prescribed = _at_limit(prescribed, relaxation, joint)
    try:
        return Calculation(calculation_sheet(joint, (prescribed, asked)), ())
    except (UnknownLumberError, ValueError) as problem:
        return Calculation(None, (str(problem),))


def _facts(evaluation: Evaluation, vocabulary: Vocabulary) -> Facts:
    """Return the section's facts with what the rule set provides and the place sets."""
    facts = dict(section_facts(evaluation.design))
    explainer = Explainer(evaluation, vocabulary)
    for finding in evaluation.findings:
        if finding.topic in HUNG_ON_THE_LEDGER:
            facts = {**facts, **explainer.facts(finding)}
    spans = [
        value
        for part in evaluation.design.design.values("joists")
        if isinstance(value := part.facts.get("joists.span"), Fraction)
    ]
    if spans:
        facts["joists.span"] = max(spans)
    return facts


def _at_limit(rows: Arrangement, relaxation: Relaxation, joint: LedgerJoint) -> Arrangement:
    """Put one measure of an arrangement where the clause has its limit."""
    limit = Quantity(relaxation.limit, LENGTH)
    topic = relaxation.finding.topic
    match topic:
        case "ledger_bottom_edge_distance":
            return replace(rows, ledger_lower_from_top=joint.ledger.depth - limit)
        case "ledger_top_edge_distance":
            return replace(rows, ledger_upper_from_top=limit)
        case "ledger_lower_row_below_ledger_top":
            return replace(rows, ledger_lower_from_top=limit)
        case "band_joist_top_edge_distance":
            return replace(rows, band_upper_from_top=limit)
        case "band_joist_bottom_edge_distance":
            return replace(rows, band_lower_from_bottom=limit)
        case "ledger_end_distance":
            return replace(rows, end_distance=limit)
        case "ledger_fastener_spacing":
            return replace(rows, spacing=limit)
    return rows


class _Reader:
    """Reads the facts a sheet needs and keeps what is missing."""

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self.missing: list[str] = []

    def joint(self) -> LedgerJoint | None:
        kind = self.choice("fasteners.kind", {"through_bolt": "BOLT", "lag_screw": "LAG"})
        if self.facts.get("band_joist.kind") != "sawn_lumber":
            self.missing.append("the band joist is not sawn lumber: its maker's figures are needed")
        ledger, band = self.board("ledger"), self.board("band_joist")
        diameter, span = self.length("fasteners.diameter"), self.length("joists.span")
        between = [self.length(f"wall.{n}") for n in (
            "sheathing_thickness", "drainage_washer_stack", "gap_to_sheathing")]  # fmt: skip
        if self.missing or ledger is None or band is None or diameter is None or span is None:
            return None
        capacity, says = self.table()
        return LedgerJoint(
            ledger=ledger,
            band=band,
            fastener=Fastener[kind],
            diameter=diameter,
            joist_span=span,
            joist_spacing=self.known_length("joists.spacing"),
            live=self.pressure("loads.deck_live_load") or LIVE,
            dead=DEAD,
            snow=self.pressure("site.ground_snow_load"),
            between=Quantity(sum((b.value for b in between if b), Fraction(0)), LENGTH),
            borne_directly=self.borne_directly(),
            table_capacity_lb=capacity,
            table_capacity_says=says,
        )

    def arrangement(self) -> Arrangement | None:
        upper = self.length("fasteners.upper_row_below_ledger_top")
        lower = self.length("fasteners.lower_row_below_ledger_top")
        drop, depth = self.length("ledger.below_band_joist"), self.length("band_joist.depth")
        spacing = self.length("fasteners.spacing")
        if upper is None or lower is None or drop is None or depth is None or spacing is None:
            return None
        below = depth - drop - lower
        if below.value <= 0:
            self.missing.append("the lower row does not pass through the band joist")
            return None
        end = self.known_length("fasteners.end_distance_on_ledger")
        return Arrangement(
            AS_ASKED, upper, lower, drop + upper, below, spacing, end, in_table=False
        )

    def board(self, name: str) -> Board | None:
        size, depth = self.facts.get(f"{name}.size"), self.length(f"{name}.depth")
        species = self.choice(f"{name}.species", {}).replace("_", " ")
        thick = self.known_length(f"{name}.thickness") or Quantity(Fraction(3, 2), LENGTH)
        wood = SPECIES.get(species.replace(" ", "_"), species)
        grade = self.choice("ledger.grade", GRADES) if name == "ledger" else "No.2"
        treated = self.choice("ledger.treatment", {}) if name == "ledger" else ""
        if depth is None or not isinstance(size, str):
            return None
        incised = treated == "incised_pressure_treated" or (
            treated == "pressure_treated" and wood in INCISED_TO_TREAT
        )
        return Board(size, depth, thick, wood, grade, wet=name == "ledger", incised=incised)

    def table(self) -> tuple[float | None, str]:
        row = self.facts.get("fasteners.assembly")
        if not isinstance(row, str) or row.upper() not in LedgerRow.__members__:
            return None, ""
        return float(LedgerRow[row.upper()].value), IMPLIED_NOTE

    def borne_directly(self) -> bool | None:
        bears = self.facts.get("band_joist.directly_supported_by")
        return None if bears is None else bears in BEARS_DIRECTLY

    def known_length(self, name: str) -> Quantity | None:
        value = self.facts.get(name)
        return Quantity(value, LENGTH) if isinstance(value, Fraction) else None

    def length(self, name: str) -> Quantity | None:
        found = self.known_length(name)
        if found is None:
            self.missing.append(f"{name_text(name)} is not known")
        return found

    def pressure(self, name: str) -> Quantity | None:
        value = self.facts.get(name)
        return Quantity(value, PRESSURE) if isinstance(value, Fraction) else None

    def choice(self, name: str, words: dict[str, str]) -> str:
        value = self.facts.get(name)
        if not isinstance(value, str) or (words and value not in words):
            self.missing.append(f"{name_text(name)} is not one worked out here, or not known")
            return ""
        return words.get(value, value)
