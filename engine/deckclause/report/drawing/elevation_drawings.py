"""The ledger in elevation for a report: one drawing for each layout, or in words what is missing.

A layout is worked out only where the design states its ledger, its band joist's pieces and its
joists, and the rows as stated comply; nothing is taken for granted here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from deckclause.answers.place_and_day import place_and_day
from deckclause.answers.sheet import TitleBlock
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.findings import Evaluation
from deckclause.evaluate.prepare import PreparedDesign
from deckclause.evaluate.status import NOT_REGULATED, STATUS_WORDS
from deckclause.placement.boards import SectionError
from deckclause.placement.from_rules import PlacementRules
from deckclause.placement.layout_answer import LayoutAnswer, layout_of
from deckclause.placement.ledger_line import LayoutError
from deckclause.placement.schedule import COLUMNS
from deckclause.quantities import length_text
from deckclause.report.document import Block, Cell, Drawing, Grid, Paragraph
from deckclause.report.drawing.draw_elevation import draw_elevation
from deckclause.report.drawing.draw_from_design import elevation_drawing
from deckclause.report.placing.layout_text import KIND_WORDS, line_lines, reasons, rows_lines
from deckclause.rulesets.names import rule_set_titles
from deckclause.rulesets.vocabulary import Vocabulary

NO_LEDGER = "No ledger elevation is drawn: the deck does not hang on a ledger, or it is not said."
ONLY_WOOD = "No clause keeps the rows from the band joist's edges: only the wood bounds them."
WORKED_OUT = (
    "Worked out, not taken from the design: the fewest fasteners that comply. Another layout may "
    "comply as well."
)


def elevation_blocks(catalogue: Catalogue, evaluations: Sequence[Evaluation]) -> tuple[Block, ...]:
    """Return the elevations of a design's ledger under rule sets, each with its schedule.

    Rule sets with the same layout share one. Where there is none, words say why and what to ask.
    """
    design = evaluations[0].design
    if design.facts().get("deck.attachment") != "ledger":
        return (Paragraph(NO_LEDGER, "note"),)
    return tuple(_blocks(catalogue, design, [e.ruleset.name for e in evaluations]))


def _blocks(catalogue: Catalogue, design: PreparedDesign, names: list[str]) -> Iterator[Block]:
    vocabulary = catalogue.vocabulary
    drawn: list[tuple[LayoutAnswer, list[str]]] = []
    without: dict[str, list[str]] = {}
    for name in names:
        try:
            answer = layout_of(design, PlacementRules(catalogue.evaluator(name), vocabulary))
        except (LayoutError, SectionError) as fault:
            without.setdefault(str(fault), []).append(name)
            continue
        if not answer.schedule:
            without.setdefault(_why(answer, vocabulary), []).append(name)
            continue
        same = next((shared for one, shared in drawn if _alike(one, answer)), None)
        if same is None:
            drawn.append((answer, [name]))
        else:
            same.append(name)
    for answer, shared in drawn:
        yield from _elevation(design.design.name, answer, shared)
    for why, shared in without.items():
        yield Paragraph(
            f"No ledger elevation is drawn under {rule_set_titles(shared)}: {why}", "note"
        )


def _alike(one: LayoutAnswer, two: LayoutAnswer) -> bool:
    return (one.layout, one.row_depths) == (two.layout, two.row_depths)


def _elevation(name: str, answer: LayoutAnswer, names: Sequence[str]) -> Iterator[Block]:
    rule_sets = rule_set_titles(list(names))
    place, day = place_and_day(names)
    drawing = elevation_drawing(name, answer, "")
    svg = draw_elevation(replace(drawing, block=TitleBlock(name, place, rule_sets, day)))
    words = [_count(answer), *rows_lines(answer), *line_lines(answer)]
    caption = f"Ledger elevation under {rule_sets}."
    yield Drawing(svg, caption, " ".join(map(_sentence, words)))
    yield Paragraph(" ".join([WORKED_OUT, *_cautions(answer)]), "note")
    rows = tuple(tuple(Cell(text) for text in row.cells()) for row in answer.schedule)
    headers = tuple(f"{column[0].upper()}{column[1:]}" for column in COLUMNS)
    yield Grid(f"Every fastener of the ledger under {rule_sets}", headers, rows)


def _sentence(words: str) -> str:
    return f"{words[0].upper()}{words[1:].rstrip('.')}."


def _count(answer: LayoutAnswer) -> str:
    assert answer.layout is not None
    facts = answer.placement.boards.facts
    kind = KIND_WORDS.get(str(facts.get("fasteners.kind")), "fasteners")
    diameter = facts.get("fasteners.diameter")
    size = f" of {length_text(diameter)} diameter" if isinstance(diameter, Fraction) else ""
    return f"{answer.layout.count} {kind}{size}, the fewest that comply along the ledger"


def _cautions(answer: LayoutAnswer) -> Iterator[str]:
    assert answer.layout is not None
    placement = answer.placement
    if placement.asked.status == NOT_REGULATED or not placement.speaks_of_band_joist:
        yield ONLY_WOOD
    yield from answer.layout.cautions


def _why(answer: LayoutAnswer, vocabulary: Vocabulary) -> str:
    """Say why there is no layout, and what to find out."""
    words = [f"{STATUS_WORDS[answer.status]}.", *map(_sentence, reasons(answer))]
    asked = [vocabulary.quantities.get(name) for name in answer.missing]
    questions = [
        found.ask if found else name for name, found in zip(answer.missing, asked, strict=True)
    ]
    if questions:
        words.append(f"To find out: {' '.join(questions)}")
    return " ".join(words)
