"""The applicant's own words held against the design and the findings: which figures agree with nothing.

Every figure the engine knows of a request is gathered: what the design states and what follows,
what places set, limits, values and steps of the findings, the alternatives, the precedents, the
calculation sheet, sections of the rule sets cited. A figure in the applicant's words that is none
of them is named. Where the words name a thing (`the 2x8 ledger`, `frost depth of 36 in`) and give a
figure known only of something else, that is named too; so is a row, or the step down, that is put
where nothing has it (`own_places.py`).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec import Struct

from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.status import NOT_APPLICABLE
from deckclause.evaluate.words import asked_limit, fact_text
from deckclause.rulesets.clauses import Scalar
from deckclause.variance.published import rule_topics
from deckclause.variance.request.build import Request
from deckclause.variance.request.mentions import Mention, mentions, plain
from deckclause.variance.request.own_places import Places

if TYPE_CHECKING:
    from deckclause.variance.calculation import Calculation
    from deckclause.variance.precedents import Precedents

Key = tuple[str, Fraction | str]


class Named(Struct, frozen=True):
    """A thing the words may name, with the quantities whose figures it may have."""

    title: str
    pattern: str
    kind: str
    quantities: tuple[str, ...]


GAP = r"[\s,]*(?:(?:of|is|at|to|the|a|an|as|are|be|will|stays?|stands?|from|only|just|about|=|:)\s+){0,3}"
"""What may stand between a thing and its figure; nothing that turns the meaning."""
NAMED = (
    Named("ledger", r"ledger(?:\s+board)?", "size", ("ledger.size",)),
    Named("band joist", r"(?:band|rim)\s+joist", "size", ("band_joist.size",)),
    Named("joists", r"(?<!band )(?<!rim )(?:deck\s+)?joists?", "size", ("joists.size",)),
    Named("frost depth", r"frost\s+(?:depth|line)", "length", ("site.frost_depth",)),
    Named("ground snow load", r"(?:ground\s+)?snow(?:\s+load)?", "psf", ("site.ground_snow_load",)),
    Named("live load", r"live\s+load", "psf", ("loads.deck_live_load",)),
    Named("soil bearing", r"(?:soil(?:\s+bearing)?|bearing\s+capacity)", "psf", ("site.soil_bearing",)),
    Named("joist span", r"joist\s+span", "length", ("joists.span",)),
    Named("fastener spacing", r"(?:bolt|screw|fastener)\s+spacing", "length", ("fasteners.spacing",)),
)  # fmt: skip


class Disagreement(Struct, frozen=True):
    """A figure in the applicant's words that agrees with nothing, or with something else."""

    field: str
    item: int
    said: str
    why: str

    @property
    def words(self) -> str:
        """The disagreement in one line."""
        where = (
            f"items[{self.item}].{self.field.removeprefix('items.')}" if self.item else self.field
        )
        return f"{where} says {self.said}, {self.why}"


def disagreements(
    request: Request, texts: Iterator[tuple[str, int, str]]
) -> tuple[Disagreement, ...]:
    """Return every figure of the applicant's words that agrees with nothing the engine knows.

    `texts` yields (field, item or 0, text).
    """
    written = list(texts)
    if not any(mentions(text) for _, _, text in written):
        return ()
    known = _Known(request)
    found: list[Disagreement] = []
    for field, item, raw in written:
        text = plain(raw)
        for mention in mentions(raw):
            why = (
                known.why_not(mention)
                or known.named_otherwise(text, mention)
                or known.placed_otherwise(text, mention)
            )
            if why:
                found.append(Disagreement(field, item, mention.text, why))
    return tuple(dict.fromkeys(found))


class _Known:
    """Every figure the engine knows of a request."""

    def __init__(self, request: Request) -> None:
        self.request = request
        self.vocabulary = request.case.vocabulary
        self.explainers = tuple(
            Explainer(case.evaluation, self.vocabulary)
            for case in (request.case, request.as_designed)
        )
        self.figures: set[Key] = set()
        self.by_quantity: dict[str, set[Key]] = {}
        for case in (request.case, request.as_designed):
            for group, part in _parts(case.design.design):
                self._facts(case.design.facts(group, part))
        self._findings()
        self.places = Places((request.case, request.as_designed))
        self._steps()
        self._is_deep = False

    def _deepen(self) -> None:
        """Work out alternatives, precedents and the sheet: slow, so only once a figure asks for it."""
        if not self._is_deep:
            self._is_deep = True
            self._engine_words()

    def why_not(self, mention: Mention) -> str:
        """Say why a figure is none the engine knows; nothing where it is one."""
        if mention.key not in self.figures:
            self._deepen()
        if mention.key in self.figures:
            return ""
        if mention.kind == "section":
            number = str(mention.value).partition(" note")[0]
            same = [
                v
                for k, v in self.figures
                if k == "section" and str(v).partition(" note")[0] == number
            ]
            if same and " note" not in str(mention.value):
                return ""
            return "a section nothing of this request rests on"
        if mention.kind in ("psi", "plf", "pcf", "kip"):
            return ""
        return (
            "a figure of nothing in the design, the findings, the alternatives or the calculation"
        )

    def named_otherwise(self, text: str, mention: Mention) -> str:
        """Say where a thing is named with a figure that is not its own; nothing where it is."""
        for named in NAMED:
            if named.kind != mention.kind or not _names(named, text, mention):
                continue
            self._deepen()
            own: set[Key] = set().union(*(self.by_quantity.get(q, set()) for q in named.quantities))
            if own and mention.key not in own:
                told = " or ".join(sorted(str(_text(k)) for k in own))
                return f"but the {named.title} is {told}"
        return ""

    def _steps(self) -> None:
        """Take every step down known, from either datum."""
        self.figures |= {("length", v) for v in (*self.places.floor, *self.places.threshold)}

    def placed_otherwise(self, text: str, mention: Mention) -> str:
        """Say where a row, or the step down, is put where nothing has it; nothing where it may be."""
        why = self.places.why_not(text, mention)
        if why and not self._is_deep:
            self._deepen()
            why = self.places.why_not(text, mention)
        return why

    def _facts(self, facts: dict[str, Scalar]) -> None:
        for name, value in facts.items():
            self._one(name, value)

    def _one(self, name: str, value: Scalar | None) -> None:
        definition = self.vocabulary.quantities.get(name)
        if definition is None or value is None or isinstance(value, bool):
            return
        for mention in mentions(str(fact_text(value, definition)).replace("_", " ")):
            self.figures.add(mention.key)
            self.by_quantity.setdefault(name, set()).add(mention.key)

    def _findings(self) -> None:
        """Take what places set in place of the design's own, and every finding's figures in words."""
        for setting in self.request.case.evaluator.ruleset.settings:
            value = setting.value
            if isinstance(value, Fraction):
                self.by_quantity[setting.quantity] = set()
                self._one(setting.quantity, value)
        relevant = rule_topics(self.request.case)
        for case, explainer in zip(
            (self.request.case, self.request.as_designed), self.explainers, strict=True
        ):
            for finding in case.evaluation.findings:
                self._words(finding.cites, finding.clause.cites)
                if finding.status == NOT_APPLICABLE or finding.topic not in relevant:
                    continue
                self._words(finding.says, *explainer.steps(finding))
                self._words(*(e.cites for e in finding.clause.exceptions))

    def _engine_words(self) -> None:
        from deckclause.variance.precedents import find_precedents
        from deckclause.variance.search import find_changes

        request = self.request
        findings = [i.finding for i in request.items if i.finding is not None]
        for found in find_precedents(request.case, findings):
            self._precedents(found)
            self.places.add_precedents(found)
        options = find_changes(request.case).options
        self.places.add_options(options)
        self._steps()
        for option in options:
            for change in option.changes:
                for value in (change.before, change.after):
                    definition = self.vocabulary.quantities[change.quantity]
                    self._words(str(fact_text(value, definition)))
                    for mention in mentions(str(fact_text(value, definition))):
                        self.by_quantity.setdefault(change.quantity, set()).add(mention.key)
        for clause in request.case.evaluator.ruleset.topic_clauses(request.kind.topic or ""):
            self._words(clause.cites)
        self._calculation(request)
        for finding in findings:
            if finding.margin is not None:
                from deckclause.evaluate.words import scalar_text

                self._words(scalar_text(abs(finding.margin), finding.kind, finding.unit))

    def _calculation(self, request: Request) -> None:
        from deckclause.variance.calculation import relief_calculation
        from deckclause.variance.relax import missed

        relaxations = [r for i in request.items if i.finding and (r := missed(i.finding))]
        found: Calculation | None = relief_calculation(
            request.case.evaluation, self.vocabulary, relaxations
        )
        if found is None or found.sheet is None:
            return
        for step in found.sheet.steps:
            self._words(step.section, step.formula, *(i.value for i in step.inputs))
            self._words(*(f.line() for f in step.factors))
            for result in step.results:
                self._words(result.text, result.no_value)
                for pounds in (result.demand_lb, result.capacity_lb):
                    if pounds is not None:
                        self.figures.add(("lb", Fraction(round(pounds))))

    def _precedents(self, found: Precedents) -> None:
        for precedent in (*found.permit, *found.refuse):
            self._words(precedent.cites, precedent.says)
            self._words(asked_limit(precedent))

    def _words(self, *texts: str) -> None:
        for text in texts:
            for mention in mentions(text or ""):
                self.figures.add(mention.key)
                if mention.kind == "section":
                    self.figures.add(("section", str(mention.value).partition(" note")[0]))


def _parts(design: object) -> list[tuple[str, str]]:
    parts = getattr(design, "parts", {})
    return [("", ""), *((group, part.name) for group, kept in parts.items() for part in kept)]


def _names(named: Named, text: str, mention: Mention) -> bool:
    """Tell whether a thing stands right beside a figure: before it, or after it."""
    before, after = text[: mention.start], text[mention.end :]
    if re.match(rf"\s+{named.pattern}\b", after, re.IGNORECASE):
        return True
    if named.kind == "size":
        return False
    return bool(re.search(rf"\b{named.pattern}\b{GAP}$", before, re.IGNORECASE))


def _text(key: Key) -> str:
    from deckclause.quantities import length_text

    kind, value = key
    if kind == "length" and isinstance(value, Fraction):
        return length_text(value)
    return str(value) if kind in ("size", "section") else f"{value} {kind}"
