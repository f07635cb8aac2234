"""The sizes that comply under every rule set asked, for a person and as data."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator, Sequence
from fractions import Fraction
from io import StringIO
from itertools import groupby
from textwrap import wrap
from typing import Any

from tabulate import tabulate

from deckclause.answers.figure import Figure
from deckclause.choosing.choose import Chosen, Excluded, Solution, Undecided
from deckclause.choosing.members import Variable
from deckclause.choosing.prices import fastener_item
from deckclause.quantities import length_text
from deckclause.report.cautions import CAUTIONS
from deckclause.report.comparison.stars import from_memory
from deckclause.rulesets.clauses import Clause, Scalar
from deckclause.rulesets.files import HOLDS_TOGETHER
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.vocabulary import Vocabulary

ON_CENTER = ("joists.spacing", "fasteners.spacing")
SCHEMA = "deckclause/choose/1"


class ChosenText:
    """Writes what was chosen, what it takes, what keeps the others out, and what is not decided."""

    def __init__(
        self, chosen: Chosen, vocabulary: Vocabulary, *, width: int = 100, si: bool = False
    ) -> None:
        self.chosen = chosen
        self.vocabulary = vocabulary
        self.width = max(width, 60)
        self.si = si

    def lines(self) -> Iterator[str]:
        """Yield the report."""
        chosen = self.chosen
        names = "; ".join(rule_set_title(name) for name in chosen.names)
        yield from self._wrapped(f"{chosen.design.name}: sizes that comply under {names}")
        yield ""
        if not chosen.solutions:
            yield from self._nothing()
        else:
            yield from self._sizes()
            yield from self._open()
        yield from self._barred()
        if chosen.solutions:
            yield from self._buying()
        yield ""
        for caution in CAUTIONS:
            yield from self._wrapped(caution)

    # -- parts ----------------------------------------------------------------------------------

    def _nothing(self) -> Iterator[str]:
        yield from self._wrapped(
            "NOTHING FITS: no combination of the sizes tried complies under all of them."
        )
        for names in self.chosen.conflicts:
            titles = [rule_set_title(n) for n in names]
            if not titles:
                yield from self._wrapped("With none of them would the deck hold together.", "  ")
                continue
            if len(titles) == 1:
                yield from self._wrapped(f"{titles[0]} alone allows none of them.", "  ")
            else:
                yield from self._wrapped(
                    f"{' and '.join(titles)} conflict: each allows some, but none in common; any fewer of these do not conflict.",
                    "  ",
                )

    def _sizes(self) -> Iterator[str]:
        solutions = self.chosen.solutions
        heads = ["", "as drawn", "CHOSEN", *(f"next best {n}" for n in range(1, len(solutions)))]
        rows = [
            [
                f"{v.words}{'?' if v.quantity in self.chosen.unsure else ''}",
                self._drawn(v),
                *(self.value(v.quantity, s.choice[v.quantity]) for s in solutions),
            ]
            for v in self.chosen.variables
        ]
        rows.append(
            ["lumber", "", *(f"{_round(s.taken.board_feet)} board feet" for s in solutions)]
        )
        if any(s.taken.concrete for s in solutions):
            rows.append(
                ["concrete", "", *(f"{float(s.taken.concrete):.1f} cu ft" for s in solutions)]
            )
        if any(s.price is not None for s in solutions):
            rows.append(["cost", "", *(_money(s.price) for s in solutions)])
        yield from tabulate(rows, heads, tablefmt="simple", disable_numparse=True).splitlines()
        least = (
            "the least cost by the price list"
            if solutions[0].price is not None
            else "the least lumber"
        )
        if self.chosen.unsure:
            yield from self._wrapped(
                "? chosen by what is known only: a rule below does not decide it yet, so it may change."
            )
        yield from self._wrapped(
            f"CHOSEN is {least} of all combinations tried: every clause that depends on a size was "
            "evaluated on each combination of the sizes it depends on."
        )

    def _open(self) -> Iterator[str]:
        chosen = self.chosen
        if chosen.still_fails:
            yield ""
            yield "STILL FAILS, WHATEVER IS CHOSEN"
            for name, topic in chosen.still_fails:
                yield from self._wrapped(f"{self._title(topic)}, under {_title(name)}", "  ")
        print_open = [u for u in chosen.undecided if not u.missing]
        if print_open:
            yield ""
            yield "NOT DECIDED: there the size is chosen by the other rule sets alone"
            for words, names in _together(
                (self._why_open(u), _title(u.ruleset)) for u in print_open
            ):
                yield from self._wrapped(f"{'; '.join(names)}: {words}", "  ")
        asked = sorted({name for u in chosen.undecided for name in u.missing})
        if asked:
            yield ""
            yield "ASKED BEFORE IT IS SURE"
            for name in asked:
                definition = self.vocabulary.quantities.get(name)
                yield from self._wrapped(definition.ask if definition else name, "  ")

    def _why_open(self, undecided: Undecided) -> str:
        finding = undecided.finding
        star = "*" if from_memory(finding.clause) else ""
        return f"{self._title(finding.topic)} ({finding.status_words}): {finding.says.rstrip('.')} ({finding.cites}{star})"

    def _barred(self) -> Iterator[str]:
        if not self.chosen.excluded:
            return
        yield ""
        yield "WHAT KEEPS OTHER SIZES OUT"
        for variable in self.chosen.variables:
            mine = [e for e in self.chosen.excluded if e.quantity == variable.quantity]
            for reason, group in groupby(mine, key=self._bars):
                options = [self.value(e.quantity, e.option) for e in group]
                yield from self._wrapped(f"{variable.words} {_span(options)}: {reason}", "  ")

    def _bars(self, excluded: Excluded) -> str:
        words = [
            f"{why} under {'; '.join(names)}"
            for why, names in _together(
                (
                    f"{_gerund(why)} {self._title(clause.topic).lower()} ({_cites(clause)})",
                    _title(name),
                )
                for name, clause, why in excluded.by
            )
        ]
        return "; ".join(words) + ("" if excluded.alone else ", beside the other sizes chosen")

    def _buying(self) -> Iterator[str]:
        yield ""
        yield "CUT AND BUY"
        rows = buying_rows(self.chosen.solutions[0], si=self.si)
        yield from tabulate(rows, BUYING, tablefmt="simple", disable_numparse=True).splitlines()
        for words in self.chosen.solutions[0].taken.unknown:
            yield from self._wrapped(f"Not counted: {words}", "  ")
        for item in self.chosen.unpriced:
            yield from self._wrapped(f"No price in the list: {item}; the cost is without it", "  ")
        yield from self._wrapped(
            "Counts are of whole pieces without waste. Fasteners are counted by the spacing; `deckclause "
            "place layout` gives each one's place, clear of the joists."
        )

    # -- words ----------------------------------------------------------------------------------

    def value(self, quantity: str, value: Scalar) -> str:
        """Write a size as a carpenter reads it."""
        definition = self.vocabulary.quantities[quantity]
        words = Figure(value, definition.kind, definition.unit).text(si=self.si)
        return f"{words} on center" if quantity in ON_CENTER else words

    def _drawn(self, variable: Variable) -> str:
        group = variable.quantity.split(".")[0]
        design = self.chosen.design
        stated = [p.facts.get(variable.quantity) for p in design.parts.get(group, ())]
        if variable.quantity in design.facts:
            stated = [design.facts[variable.quantity]]
        words = dict.fromkeys(self.value(variable.quantity, v) for v in stated if v is not None)
        return ", ".join(words) or "not stated"

    def _title(self, topic: str) -> str:
        return self.vocabulary.topics[topic].title

    def _wrapped(self, text: str, indent: str = "") -> list[str]:
        return wrap(
            text, self.width, initial_indent=indent, subsequent_indent=indent + "  ",
            break_long_words=False, break_on_hyphens=False,
        )  # fmt: skip

    def data(self) -> dict[str, Any]:
        """Return the same as plain data; figures as text in inch-pound units, exact."""
        chosen = self.chosen
        return {
            "schema": SCHEMA,
            "design": chosen.design.name,
            "rule_sets": list(chosen.names),
            "solutions": [self._solution(s) for s in chosen.solutions],
            "excluded": [
                {
                    "quantity": e.quantity,
                    "option": self.value(e.quantity, e.option),
                    "alone": e.alone,
                    "by": [
                        {"rule_set": n, "clause": c.key, "cites": c.cites, "why": why}
                        for n, c, why in e.by
                    ],
                }
                for e in chosen.excluded
            ],
            "unsure": sorted(chosen.unsure),
            "undecided": [
                {
                    "rule_set": u.ruleset,
                    "topic": u.finding.topic,
                    "status": u.finding.status_words,
                    "missing": list(u.missing),
                }
                for u in chosen.undecided
            ],
            "still_fails": [{"rule_set": n, "topic": t} for n, t in chosen.still_fails],
            "conflicts": [list(names) for names in chosen.conflicts],
            "cautions": list(CAUTIONS),
        }

    def _solution(self, solution: Solution) -> dict[str, Any]:
        return {
            "choice": {q: self.value(q, v) for q, v in solution.choice.items()},
            "board_feet": str(solution.taken.board_feet),
            "concrete_cubic_feet": f"{float(solution.taken.concrete):.2f}",
            "cost": None if solution.price is None else _money(solution.price),
            "buy": [dict(zip(BUYING, row, strict=True)) for row in buying_rows(solution)],
        }

    def json(self) -> str:
        """Return the data as JSON."""
        return json.dumps(self.data(), indent=2, ensure_ascii=False)


BUYING = ("item", "for", "cut", "buy", "count", "board feet")


def buying_rows(solution: Solution, *, si: bool = False) -> list[list[str]]:
    """Return the cut and buy list: a row an item."""
    del si
    rows = [
        [
            piece.size.rpartition("-")[2],
            piece.member,
            f"{piece.count} at {length_text(piece.cut, 'ft')}",
            length_text(piece.stock, "ft"),
            str(piece.bought),
            str(_round(piece.board_feet)),
        ]
        for piece in solution.taken.pieces
    ]
    fasteners = solution.taken.fasteners
    if fasteners is not None:
        thick = (
            "" if fasteners.diameter is None else f", {length_text(fasteners.diameter)} diameter"
        )
        long = fasteners.least_length
        rows.append(
            [
                f"{fastener_item(fasteners)}{thick}",
                "ledger",
                "",
                "length not known" if long is None else f"{length_text(long)} or longer",
                str(fasteners.count),
                "",
            ]
        )
        rows.append(
            [
                "washer",
                "ledger",
                "",
                "",
                str(fasteners.count * (2 if "bolt" in fasteners.kind else 1)),
                "",
            ]
        )
    if solution.taken.concrete:
        rows.append(
            ["concrete", "footings", "", "", f"{float(solution.taken.concrete):.1f} cu ft", ""]
        )
    return rows


def buying_csv(solution: Solution) -> str:
    """Return the cut and buy list as CSV."""
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(BUYING)
    writer.writerows(buying_rows(solution))
    return out.getvalue()


def _together(pairs: Iterator[tuple[str, str]] | Any) -> list[tuple[str, list[str]]]:
    found: dict[str, list[str]] = {}
    for words, name in pairs:
        names = found.setdefault(words, [])
        if name not in names:
            names.append(name)
    return list(found.items())


def _span(options: Sequence[str]) -> str:
    if len(options) < 3:
        return ", ".join(options)
    return (
        f"{options[0]} to {options[-1]}"
        if options[0][0].isdigit() and " in" in options[0]
        else ", ".join(options)
    )


def _gerund(why: str) -> str:
    return "fails" if why == "fails" else "not decided by"


def _cites(clause: Clause) -> str:
    origin = clause.origin
    act = (
        f"; {origin.place}, {origin.ordinance} {origin.section}".rstrip()
        if origin.ordinance
        else ""
    )
    return f"{clause.cites}{act}{'*' if from_memory(clause) else ''}"


def _round(value: Fraction) -> int:
    return int(value + Fraction(1, 2))


def _money(value: Fraction | None) -> str:
    return "" if value is None else f"{float(value):,.2f}"


def _title(name: str) -> str:
    """Name a rule set, or what is asked of every deck whatever the rule set."""
    return "every rule set (statics and fit)" if name == HOLDS_TOGETHER else rule_set_title(name)
