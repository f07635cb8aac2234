"""Where an applicant's words put a row, or the step down, held against where the design has it.

`The lower row is 2 in above the band joist's bottom` names a row and a datum: the figure must be the
design's, a limit's, or one an alternative or a published rule has there. A step down is a length
from the floor or from the threshold; a figure that says neither is asked which it means.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction

from deckclause.evaluate.prepare import PreparedDesign
from deckclause.quantities import length_text
from deckclause.variance.case import ReliefCase
from deckclause.variance.options import Option
from deckclause.variance.precedents import Precedents
from deckclause.variance.request.mentions import Mention, mentions
from deckclause.variance.steps_down import steps_down

ROWS = {
    ("lower", "ledger", "top"): "ledger_lower_row_below_ledger_top",
    ("upper", "ledger", "top"): "ledger_top_edge_distance",
    ("lower", "ledger", "bottom"): "ledger_bottom_edge_distance",
    ("upper", "band", "top"): "band_joist_top_edge_distance",
    ("lower", "band", "bottom"): "band_joist_bottom_edge_distance",
}
"""The topic that asks for each distance of a row from a board's edge."""
ROW = re.compile(r"\b(upper|lower)\s+(?:bolt\s+)?row\b[^.;:]{0,40}$", re.IGNORECASE)
EDGE = re.compile(
    r"^\s*(?:or more\s+)?(?:below|above|from|off)\s+(?:the\s+)?(ledger|band|rim)(?:\s+joist)?(?:'s|’s)?\s+"
    r"(?:\w+\s+)?(top|bottom)\b",
    re.IGNORECASE,
)
STEP = re.compile(r"\bstep(?:s|ped|ping)?[\s-]+down\b|\bstep\s+of\b", re.IGNORECASE)
FLOOR, THRESHOLD = (
    re.compile(r"\bfloor\b", re.IGNORECASE),
    re.compile(r"\b(threshold|sill)\b", re.I),
)
NEAR = 45
"""Characters between a step and its figure within which the one is said of the other."""


class Places:
    """Where the rows stand and how far the deck steps down, by every way the request knows of."""

    def __init__(self, cases: Iterable[ReliefCase]) -> None:
        self.rows: dict[str, set[Fraction]] = {}
        self.floor: set[Fraction] = set()
        self.threshold: set[Fraction] = set()
        self.own: list[tuple[Fraction, Fraction | None]] = []
        for case in cases:
            self.add(case)
            steps = steps_down(case.design)
            self.own += [(s.from_threshold, s.from_floor) for s in steps]

    def add(self, case: ReliefCase) -> None:
        """Take a design's own places, with the limits on them."""
        for finding in case.evaluation.findings:
            if finding.topic in ROWS.values():
                kept = self.rows.setdefault(finding.topic, set())
                kept.update(
                    v
                    for v in (finding.value, finding.least, finding.most)
                    if isinstance(v, Fraction)
                )
                if isinstance(finding.margin, Fraction):
                    kept.add(abs(finding.margin))
                for words in (finding.says, finding.clause.says):
                    kept.update(m.value for m in mentions(words) if isinstance(m.value, Fraction))
        self.add_steps(case.design)

    def add_steps(self, design: PreparedDesign) -> None:
        """Take the step down of a design."""
        for step in steps_down(design):
            self.threshold.add(step.from_threshold)
            if step.from_floor is not None:
                self.floor.add(step.from_floor)

    def add_options(self, options: Iterable[Option]) -> None:
        """Take the places of the changes that avoid relief."""
        for option in options:
            self.add_steps(option.evaluation.design)
            for finding in option.evaluation.findings:
                if finding.topic in ROWS.values() and isinstance(finding.value, Fraction):
                    self.rows.setdefault(finding.topic, set()).add(finding.value)

    def add_precedents(self, found: Precedents) -> None:
        """Take the limits of other published rules."""
        for one in (*found.permit, *found.refuse):
            kept = self.rows.setdefault(found.finding.topic, set())
            kept.update(v for v in (one.least, one.most) if v is not None)

    def why_not(self, text: str, mention: Mention) -> str:
        """Say why a length stands where the words put it in nothing known; nothing where it may."""
        if not isinstance(mention.value, Fraction) or mention.kind != "length":
            return ""
        return self._row(text, mention) or self._step(text, mention)

    def _row(self, text: str, mention: Mention) -> str:
        row, edge = ROW.search(text[: mention.start]), EDGE.match(text[mention.end :])
        if row is None or edge is None:
            return ""
        board = "ledger" if edge[1].lower() == "ledger" else "band"
        topic = ROWS.get((row[1].lower(), board, edge[2].lower()))
        known = self.rows.get(topic or "", set())
        if not known or mention.value in known:
            return ""
        told = " or ".join(length_text(v) for v in sorted(known))
        return f"but the {row[1].lower()} row's distance there is {told}"

    def _step(self, text: str, mention: Mention) -> str:
        start = max(text.rfind(".", 0, mention.start), text.rfind(";", 0, mention.start)) + 1
        stop = min(
            (i for i in (text.find(c, mention.end) for c in ".;") if i >= 0), default=len(text)
        )
        said = text[start:stop]
        at = mention.start - start
        near = [
            m for m in STEP.finditer(said) if min(abs(m.end() - at), abs(m.start() - at)) <= NEAR
        ]
        if not near or not self.own:
            return ""
        datums = [
            (name, known)
            for name, pattern, known in (
                ("floor", FLOOR, self.floor), ("threshold", THRESHOLD, self.threshold),
            )
            if pattern.search(said)
        ]  # fmt: skip
        if len(datums) == 1:
            name, known = datums[0]
            if not known or mention.value in known:
                return ""
            told = " or ".join(length_text(v) for v in sorted(known))
            return f"but the step down from the {name} is {told}"
        threshold, floor = self.own[0]
        if not datums and floor is not None and threshold != floor:
            return (
                f"a step down without its datum: say {length_text(floor)} from the floor or "
                f"{length_text(threshold)} from the threshold"
            )
        return ""
