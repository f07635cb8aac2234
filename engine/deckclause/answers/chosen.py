"""The answer of `choose`: the sizes chosen, what keeps the others out, and what is not decided.

`chosen_answer` is the one way in, for the command and the page alike; all that is told is decided
here, and whoever prints it computes nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from itertools import groupby

from msgspec import Struct
from msgspec.structs import replace

from deckclause.answers.compare.questions import finding_questions
from deckclause.answers.figure import Figure, figure
from deckclause.choosing.choose import Chosen, Solution, choose
from deckclause.choosing.excluded import Excluded, Why
from deckclause.choosing.members import (
    BY_QUANTITY,
    Variable,
    drawn,
    stated,
    variables,
    with_choice,
)
from deckclause.choosing.prices import PriceList
from deckclause.designs.design import Design
from deckclause.designs.geometry import known_distances
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.status import DOES_NOT_COMPLY
from deckclause.rulesets.clauses import Clause, Scalar
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.standing import from_memory
from deckclause.rulesets.vocabulary import Vocabulary

FLOOR_TO_DECK = ("floor.interior", "deck.surface")


class Reason(Struct, frozen=True):
    """Why some options cannot be: a clause, and the rule sets it stands in.

    `why` is `fails`; `no answer passes` where no answer to what is not stated is known to pass, and
    of other options one may; or `not decided` where the clause does not decide them but decides others.
    """

    why: Why
    topic: str
    title: str
    clause: str
    cites: str
    from_memory: bool
    rule_sets: tuple[str, ...]


class Barred(Struct, frozen=True):
    """Options of one choice that the same reasons keep out.

    `alone`: whatever else is chosen; otherwise beside the other members as chosen.
    """

    options: tuple[Figure, ...]
    reasons: tuple[Reason, ...]
    alone: bool


class ChosenMember(Struct, frozen=True):
    """One choice: as drawn (each size stated, None where a part states none), and as chosen.

    `chosen` has one figure a solution, the best first. `also` are options that no clause bars beside
    the other members as chosen, a run of neighbours each. `unsure`: a rule set asked does not decide it yet.
    """

    quantity: str
    words: str
    drawn: tuple[Figure | None, ...]
    chosen: tuple[Figure, ...]
    also: tuple[tuple[Figure, ...], ...]
    barred: tuple[Barred, ...]
    unsure: bool


class OpenTopic(Struct, frozen=True):
    """A topic that rule sets leave open for the deck as chosen, whatever the design states."""

    topic: str
    title: str
    status: str
    says: str
    cites: str
    from_memory: bool
    rule_sets: tuple[str, ...]


class Told(Struct, frozen=True):
    """A topic under some rule sets: one that fails, or one they have nothing to say of."""

    topic: str
    title: str
    rule_sets: tuple[str, ...]
    drawn: Figure | None = None
    least: Figure | None = None
    most: Figure | None = None
    """Where it fails by one figure: what the deck has, and what is asked."""


class Asked(Struct, frozen=True):
    """A fact the design leaves out and a clause waits for."""

    quantity: str
    ask: str


class ChooseAnswer(Struct, frozen=True):
    """What `choose` found for a deck under some rule sets, everything decided.

    `solutions` are the best and the next best; none where nothing fits, and then `conflicts` holds
    every smallest set of rule sets that leave no combination (an empty one: no deck so built holds
    together). `left` stays as drawn because no rule set asked decides it. `step_down` is the drop
    from the floor inside to the deck's surface, inches, as drawn and of the best.
    """

    design: str
    rule_sets: tuple[str, ...]
    members: tuple[ChosenMember, ...]
    left: tuple[ChosenMember, ...]
    solutions: tuple[Solution, ...]
    step_down: tuple[Fraction | None, Fraction | None]
    still_fails: tuple[Told, ...]
    open_topics: tuple[OpenTopic, ...]
    silent: tuple[Told, ...]
    questions: tuple[Asked, ...]
    conflicts: tuple[tuple[str, ...], ...]
    kept: tuple[str, ...]
    """Where nothing fits: what was kept as drawn and may be chosen too, in words."""
    unpriced: tuple[str, ...]
    priced: bool
    exit_status: int

    @property
    def no_pass(self) -> bool:
        """Whether sizes were chosen with which something still fails or is not decided."""
        return bool(self.solutions) and self.exit_status != 0

    @property
    def head(self) -> str:
        """What the sizes are: complying only where every rule set decides them and nothing fails."""
        if not self.solutions:
            return "sizes looked for"
        return "sizes chosen" if self.no_pass else "sizes that comply"


def chosen_answer(
    catalogue: Catalogue,
    design: Design,
    names: Sequence[str],
    *,
    keep: Sequence[str] = (),
    opened: Mapping[str, Sequence[str]] | None = None,
    prices: PriceList | None = None,
) -> ChooseAnswer:
    """Choose sizes for a deck that comply under every rule set of `names`, all together.

    `keep` and `opened` are as of `choosing.members.variables`. Raises InputError for a name or
    value that is none, and where nothing is left to choose.
    """
    chosen = variables(design, catalogue.vocabulary, keep=keep, opened=opened)
    if not chosen:
        raise InputError.single("--keep", "everything is kept; nothing is left to choose")
    found = choose(catalogue, design, names, chosen, prices)
    return _Answer(catalogue, found).answer(prices is not None)


class _Answer:
    def __init__(self, catalogue: Catalogue, found: Chosen) -> None:
        self.catalogue = catalogue
        self.vocabulary: Vocabulary = catalogue.vocabulary
        self.found = found

    def answer(self, priced: bool) -> ChooseAnswer:
        found = self.found
        best = found.solutions[0].choice if found.solutions else None
        stood = self._step_down(found.design)
        after = None if best is None else self._step_down(with_choice(found.design, best))
        return ChooseAnswer(
            found.design.name,
            found.names,
            tuple(self._member(v) for v in found.variables),
            tuple(
                self._left(v)
                for v in found.left
                if BY_QUANTITY[v.quantity].always or stated(found.design, v.quantity)
            ),
            found.solutions,
            (stood, after),
            self._failing(),
            self._open(),
            self._told((s.topic, s.ruleset) for s in found.silent),
            self._questions(),
            found.conflicts,
            () if found.solutions else self._kept(),
            found.unpriced,
            priced,
            found.exit_status,
        )

    def _member(self, variable: Variable) -> ChosenMember:
        found, quantity = self.found, variable.quantity
        mine = [e for e in found.excluded if e.quantity == quantity]
        out = {e.option for e in mine}
        taken = tuple(s.choice[quantity] for s in found.solutions)
        also = [o for o in variable.options if taken and o != taken[0] and o not in out]
        return ChosenMember(
            quantity,
            variable.words,
            self._drawn(quantity),
            self._figures(quantity, taken),
            tuple(self._figures(quantity, run) for run in _runs(variable, also)),
            tuple(self._barred(variable, mine)),
            quantity in found.unsure,
        )

    def _left(self, variable: Variable) -> ChosenMember:
        return ChosenMember(
            variable.quantity, variable.words, self._drawn(variable.quantity), (), (), (), True
        )

    def _drawn(self, quantity: str) -> tuple[Figure | None, ...]:
        values = dict.fromkeys(drawn(self.found.design, quantity))
        return tuple(None if v is None else self._figure(quantity, v) for v in values)

    def _figure(self, quantity: str, value: Scalar) -> Figure:
        definition = self.vocabulary.quantities[quantity]
        return Figure(value, definition.kind, definition.unit)

    def _figures(self, quantity: str, values: Iterable[Scalar]) -> tuple[Figure, ...]:
        return tuple(self._figure(quantity, value) for value in values)

    def _barred(self, variable: Variable, excluded: Sequence[Excluded]) -> Iterable[Barred]:
        by_option = {e.option: e for e in excluded}
        for run in _runs(variable, list(by_option)):
            some = [by_option[option] for option in run]
            for (reasons, alone), group in groupby(some, lambda e: (self._reasons(e), e.alone)):
                options = self._figures(variable.quantity, (e.option for e in group))
                yield Barred(options, reasons, alone)

    def _reasons(self, excluded: Excluded) -> tuple[Reason, ...]:
        together: dict[tuple[Why, str, str, bool], tuple[list[str], Clause]] = {}
        for name, clause, why in excluded.by:
            key = (why, clause.topic, _cites(clause), from_memory(clause))
            together.setdefault(key, ([], clause))[0].append(name)
        return tuple(
            Reason(
                why,
                topic,
                self._title(topic),
                clause.key,
                cites,
                memory,
                tuple(dict.fromkeys(names)),
            )
            for (why, topic, cites, memory), (names, clause) in together.items()
        )

    def _open(self) -> tuple[OpenTopic, ...]:
        together: dict[tuple[str, str, str, str, bool], list[str]] = {}
        for undecided in self.found.undecided:
            finding = undecided.finding
            if not undecided.missing:
                key = (
                    finding.topic,
                    finding.status_words,
                    finding.says.rstrip("."),
                    finding.cites,
                    from_memory(finding.clause),
                )
                together.setdefault(key, []).append(undecided.ruleset)
        return tuple(
            OpenTopic(topic, self._title(topic), status, says, cites, memory, tuple(names))
            for (topic, status, says, cites, memory), names in together.items()
        )

    def _questions(self) -> tuple[Asked, ...]:
        explainers = {e.ruleset.name: Explainer(e, self.vocabulary) for e in self.found.evaluations}
        asked = dict.fromkeys(
            Asked(quantity, words)
            for undecided in self.found.undecided
            if undecided.missing
            for quantity, words in finding_questions(
                undecided.finding, explainers[undecided.ruleset]
            )
            if quantity
        )
        return tuple(asked)

    def _failing(self) -> tuple[Told, ...]:
        """Tell what fails whatever is chosen, with its figures where all its parts have the same."""
        failing = self._told((topic, name) for name, topic in self.found.still_fails)
        return tuple(map(self._with_figures, failing))

    def _with_figures(self, told: Told) -> Told:
        failing = [
            finding
            for evaluation in self.found.evaluations
            for finding in evaluation.findings
            if finding.topic == told.topic and finding.status == DOES_NOT_COMPLY
        ]
        one = failing[0]
        figures = {(f.value, f.least, f.most) for f in failing}
        if len(figures) > 1 or one.value is None or (one.least, one.most) == (None, None):
            return told
        drawn, least, most = (
            figure(v, one.kind, one.unit) for v in (one.value, one.least, one.most)
        )
        return replace(told, drawn=drawn, least=least, most=most)

    def _told(self, pairs: Iterable[tuple[str, str]]) -> tuple[Told, ...]:
        together: dict[str, list[str]] = {}
        for topic, name in pairs:
            together.setdefault(topic, []).append(name)
        return tuple(Told(t, self._title(t), tuple(names)) for t, names in together.items())

    def _kept(self) -> tuple[str, ...]:
        asked = {v.quantity for v in (*self.found.variables, *self.found.left)}
        every = variables(self.found.design, self.vocabulary, opened=dict.fromkeys(BY_QUANTITY, ()))
        return tuple(
            v.words
            for v in every
            if v.quantity not in asked and stated(self.found.design, v.quantity)
        )

    def _title(self, topic: str) -> str:
        return self.vocabulary.topics[topic].title

    def _step_down(self, design: Design) -> Fraction | None:
        facts = self.catalogue.prepare(design).named_parts("joists")
        found = {known_distances(here).get(FLOOR_TO_DECK) for _, here in facts}
        return found.pop() if len(found) == 1 else None


def _runs(variable: Variable, some: Sequence[Scalar]) -> Iterable[tuple[Scalar, ...]]:
    """Part options where the variable has others between them; choices without measure stay together."""
    if not all(isinstance(option, Fraction) for option in variable.options):
        return [tuple(some)] if some else []
    places = [n for n, option in enumerate(variable.options) if option in some]
    runs = groupby(enumerate(places), lambda pair: pair[1] - pair[0])
    return [tuple(variable.options[place] for _, place in run) for _, run in runs]


def _cites(clause: Clause) -> str:
    origin = clause.origin
    if not origin.ordinance:
        return clause.cites
    return f"{clause.cites}; {origin.place}, {origin.ordinance} {origin.section}".rstrip()
