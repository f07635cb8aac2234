"""One deck for all of several rule sets, in words: the same for the terminal and for documents."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from msgspec import Struct

from deckclause.answers.compare.questions import open_questions
from deckclause.answers.compare.together import ASKS, lacking_lines, together_answer
from deckclause.answers.names import parts_text
from deckclause.compare.comparison import Comparison
from deckclause.compare.rows_together import rows_together
from deckclause.compare.strictest import Bounds, Strictest, strictest
from deckclause.evaluate.explain import Explainer
from deckclause.evaluate.findings import Finding
from deckclause.evaluate.notices import notices_by_name
from deckclause.evaluate.status import (
    DOES_NOT_COMPLY,
    ENGINEERING_REQUIRED,
    INFORMATION_MISSING,
    status_told,
)
from deckclause.evaluate.words import bounds_text, name_text, scalar_text
from deckclause.placement.boards import LEDGER_TOP, LOWER_ROW, UPPER_ROW
from deckclause.rulesets.clauses import Distance, Limit
from deckclause.rulesets.names import rule_set_title, rule_set_titles
from deckclause.rulesets.vocabulary import Vocabulary

LIMITS = "The strictest limit, and who sets it"
LIMIT_HEADERS = ("topic", "build to", "design", "", "set by")
NO_LIMIT = "No topic has a figure from every rule set that regulates it."
READ_WHOLE = (
    "A figure stands here only where every rule set that regulates the topic gives one; a rule "
    "set that is silent is named, and silence is never a pass."
)


class LimitRow(Struct, frozen=True):
    """A strictest limit: the topic, what to build to, what the design has, and who sets it."""

    topic: str
    limit: str
    design: str
    mark: str
    setters: tuple[str, ...]


class StrictestAnswer(Struct, frozen=True):
    """One deck for all of several rule sets: what must change, what is open, the strictest limits."""

    design: str
    rule_sets: str
    headline: str
    sections: tuple[tuple[str, tuple[str, ...]], ...]
    limits: tuple[LimitRow, ...]

    @property
    def title(self) -> str:
        """The deck and the rule sets it is held against."""
        return f"{self.design}: one deck for all of {self.rule_sets}"


def strictest_answer(
    comparison: Comparison, vocabulary: Vocabulary, *, si: bool = False
) -> StrictestAnswer:
    """Return what one deck for all the rule sets of a comparison must satisfy."""
    words = _Strictest(comparison, vocabulary, si=si)
    return StrictestAnswer(
        comparison.design.design.name,
        rule_set_titles(list(words.explainers)),
        words.headline,
        tuple(words.sections()),
        tuple(words.limits()),
    )


class _Strictest:
    """Writes what one deck for all the rule sets of a comparison must satisfy."""

    def __init__(self, comparison: Comparison, vocabulary: Vocabulary, *, si: bool = False) -> None:
        self.comparison = comparison
        self.vocabulary = vocabulary
        self.si = si
        self.found = strictest(comparison)
        self.together = together_answer(
            comparison.together, vocabulary, binding=comparison.binding is not None, si=si
        )
        self.explainers = {
            e.ruleset.name: Explainer(e, vocabulary, si=si) for e in comparison.evaluations
        }

    @property
    def headline(self) -> str:
        """How the whole stands, which is a pass only where every rule set's outcome is one."""
        counts = [
            (len(self._topics(status)), words)
            for status, words in (
                (DOES_NOT_COMPLY, "not complying"),
                (ENGINEERING_REQUIRED, "needing an engineer"),
                (INFORMATION_MISSING, "not known"),
            )
        ]
        told = ", ".join(f"{n} topic{'s' * (n != 1)} {words}" for n, words in counts if n)
        if self.together is not None and self.together.binding and not self.together.holds:
            told = "; ".join(w for w in (f"{ASKS} {self.together.headline}", told) if w)
        if told:
            return f"Not yet one deck for all of them: {told}"
        if self.comparison.exit_status:
            return "No rule set here decides anything of this design: that is no pass"
        return "Every topic decided complies under all of them"

    def sections(self) -> Iterator[tuple[str, tuple[str, ...]]]:
        """Yield each heading with its lines, in the order to read them; the limits come after."""
        for heading, lines in (
            (
                ASKS,
                (f"{status_told(status)}: {text}" for status, text in lacking_lines(self.together)),
            ),
            ("What must change", self._changes()),
            ("What needs engineering", self._told(ENGINEERING_REQUIRED)),
            ("Not known somewhere, so no strictest limit", self._undecided()),
            ("What to find out", self._questions()),
            ("Local values in force", self._notices()),
        ):
            found = tuple(lines)
            if found:
                yield heading, found

    def limits(self) -> list[LimitRow]:
        """Return the strictest limits, those of alike parts as one row."""
        rows: dict[tuple[object, ...], list[str]] = {}
        for entry in self.found:
            bounds = entry.bounds
            if bounds is None or not bounds.is_any:
                continue
            limit = self._bounds(bounds)
            if bounds.contradicts:
                limit += " (no value satisfies all)"
            mark = "FAILS" if entry.fails else "ASK" if entry.value_unknown else "ok"
            same = (_title(entry), limit, self._values(entry), mark, self._setters(entry))
            rows.setdefault(same, []).append(entry.part)
        return [
            LimitRow(f"{title}{parts_text(parts)}", limit, design, mark, setters)  # type: ignore[arg-type]
            for (title, limit, design, mark, setters), parts in rows.items()
        ]

    def _topics(self, status: int) -> set[str]:
        rows = self.comparison.rows
        return {r.topic.name for r in rows if any(o.status == status for o in r.outcomes)}

    def _bounds(self, bounds: Bounds) -> str:
        one = bounds.setters[0]
        return bounds_text(bounds.least, bounds.most, one.kind, one.unit, si=self.si)

    def _values(self, entry: Strictest) -> str:
        one = next(f for f in entry.findings if f.limit != (None, None))
        words = [scalar_text(v, one.kind, one.unit, si=self.si) for v in entry.values]
        return ", ".join([*words, *["not known"] * entry.value_unknown])

    def _setters(self, entry: Strictest) -> tuple[str, ...]:
        assert entry.bounds is not None
        words: dict[str, None] = {}
        for finding in entry.bounds.setters:
            mark = "*" if self.explainers[finding.ruleset].standing(finding) == "memory" else ""
            words[f"{rule_set_title(finding.ruleset)}{mark}"] = None
        silent = [f"({rule_set_title(name)} is silent)" for name in entry.silent]
        if len(words) == len(self.explainers) > 1:
            return ("all" + ("*" if any(w.endswith("*") for w in words) else ""),)
        return (*words, *silent)

    def _changes(self) -> Iterator[str]:
        """Yield a line for each fault: what stands, what each rule set asks, what would do."""
        said: dict[tuple[str, str], list[str]] = {}
        for entry in self.found:
            with_figure = [f for f in entry.fails if f.limit != (None, None)]
            if with_figure:
                words = self._fault(entry, with_figure)
                said.setdefault((_title(entry), words), []).append(entry.part)
        yield from (
            f"{title}{parts_text(parts)}: {words}" for (title, words), parts in said.items()
        )
        yield from self._told(DOES_NOT_COMPLY)
        yield from self._rows()

    def _rows(self) -> Iterator[str]:
        """Say where both rows may stand under all limits at once, where a row or the drop fails."""
        if not any(_on_rows(f) for entry in self.found for f in entry.fails):
            return
        found = rows_together(self.comparison, self.vocabulary)
        if found is None:
            yield "Rows of fasteners: no place that keeps the limits of all of them is known"
            return

        def span(ends: tuple[Fraction, Fraction]) -> str:
            return bounds_text(*ends, "length", "in", si=self.si)

        drop = "at the stated drop" if found.at_stated_drop else f"at a drop of {span(found.drop)}"
        yield (
            f"Rows of fasteners: all limits hold at once {drop} with the upper row "
            f"{span(found.upper)} and the lower row {span(found.lower)} below the ledger's top, "
            f"{span(found.between)} apart; within these ranges check a pair with `place`"
        )

    def _fault(self, entry: Strictest, fails: list[Finding]) -> str:
        one = fails[0]
        stands = dict.fromkeys(scalar_text(f.value, f.kind, f.unit, si=self.si) for f in fails)
        asks: dict[str, list[Finding]] = {}
        for f in fails:
            limit = bounds_text(f.least, f.most, one.kind, one.unit, si=self.si)
            asks.setdefault(limit, []).append(f)
        asked = "; ".join(f"{limit} is asked by {_places(who)}" for limit, who in asks.items())
        return f"{', '.join(stands)} stands; {asked}. {self._would_do(entry)}"

    def _would_do(self, entry: Strictest) -> str:
        bounds = entry.bounds
        if bounds is None:
            names = rule_set_titles([f.ruleset for f in entry.without_figure])
            return f"What would do for all is not known: {names} gives no figure"
        if bounds.contradicts:
            return "No value satisfies all of them"
        return f"For all of them: {self._bounds(bounds)}"

    def _told(self, status: int) -> Iterator[str]:
        """Yield a line for each thing findings without a figure say, with the places named."""
        said: dict[tuple[str, str], list[Finding]] = {}
        for entry in self.found:
            for f in entry.findings:
                if f.status != status or f.limit != (None, None):
                    continue
                step = self.explainers[f.ruleset].steps(f)[-1]
                if status == DOES_NOT_COMPLY:
                    step = f"{step}. {f.says.rstrip('.')}"
                said.setdefault((entry.row.topic.title, step), []).append(f)
        for (title, step), found in said.items():
            parts = dict.fromkeys(f.part for f in found)
            yield f"{title}{parts_text(parts)}: {step} - {_places(found)}"

    def _undecided(self) -> Iterator[str]:
        """Yield what is undecided where; topics of which nothing more is known share a line."""
        said: dict[str, dict[str, list[str]]] = {}
        for entry in self.found:
            if entry.without_figure and any(
                f.status in (INFORMATION_MISSING, ENGINEERING_REQUIRED)
                for f in entry.without_figure
            ):
                titles = said.setdefault(self._why_open(entry), {})
                titles.setdefault(_title(entry), []).append(entry.part)
        for words, titles in said.items():
            named = "; ".join(f"{title}{parts_text(parts)}" for title, parts in titles.items())
            yield f"{named}: {words}"

    def _why_open(self, entry: Strictest) -> str:
        places: dict[str, dict[str, None]] = {}
        for f in sorted(entry.without_figure, key=lambda f: _OPEN_ORDER.index(f.status)):
            places.setdefault(_OPEN_WORDS[f.status], {})[f.ruleset] = None
        words = [f"{how} {rule_set_titles(list(names))}" for how, names in places.items()]
        alone: dict[str, list[str]] = {}
        for name, bounds in entry.alone:
            alone.setdefault(self._bounds(bounds), []).append(name)
        words += [f"{rule_set_titles(names)} alone: {limit}" for limit, names in alone.items()]
        return "; ".join(words)

    def _questions(self) -> Iterator[str]:
        asked = open_questions(self.comparison.rows, list(self.explainers.values()))
        yield from (f"{q.words} - for: {', '.join(q.topics)}" for q in asked)

    def _notices(self) -> Iterator[str]:
        said = notices_by_name(self.comparison.evaluations, self.vocabulary, si=self.si)
        yield from (
            f"{rule_set_title(name)}: {says}" for name, told in said.items() for says in told
        )


def _on_rows(finding: Finding) -> bool:
    """Tell whether a finding limits where a row of fasteners or the ledger's top stands."""
    requirement = finding.requirement
    if not isinstance(requirement, Limit) or not isinstance(requirement.subject, Distance):
        return False
    return bool({requirement.subject.start, requirement.subject.end} & {*ROWS, LEDGER_TOP})


ROWS = (UPPER_ROW, LOWER_ROW)
_OPEN_ORDER = (INFORMATION_MISSING, ENGINEERING_REQUIRED, DOES_NOT_COMPLY)
_OPEN_WORDS = {
    INFORMATION_MISSING: "not known in",
    ENGINEERING_REQUIRED: "engineering required in",
    DOES_NOT_COMPLY: "not complying, without a figure, in",
}


def _title(entry: Strictest) -> str:
    named = f" ({name_text(entry.subject)})" if entry.subject else ""
    return f"{entry.row.topic.title}{named}"


def _places(findings: Iterable[Finding]) -> str:
    """Name the rule sets findings stand in, those of the same section together."""
    by_section: dict[str, dict[str, None]] = {}
    for f in findings:
        by_section.setdefault(f.cites, {})[f.ruleset] = None
    return " and ".join(
        f"{rule_set_titles(list(names))} ({cites})" for cites, names in by_section.items()
    )
