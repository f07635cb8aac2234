"""The sizes that comply under every rule set asked, for a person."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from textwrap import wrap

from msgspec.structs import replace
from tabulate import tabulate

from deckclause.answers.chosen import Barred, ChooseAnswer, ChosenMember, Reason, Told
from deckclause.answers.figure import limit_words
from deckclause.quantities import LENGTH, Quantity, quantity_text
from deckclause.reading.status import status_told
from deckclause.report.cautions import CAUTIONS
from deckclause.report.choosing.buying import (
    buying_heads,
    buying_rows,
    concrete_text,
    wood_text,
)
from deckclause.report.choosing.words import WHY, money, options_text, size_text, titles
from deckclause.rulesets.files import HOLDS_TOGETHER

NO_PASS = "NO PASS AS A WHOLE: what still fails, or is not decided, stands below."


class ChosenText:
    """Writes what was chosen, what it takes, what keeps the others out, and what is not decided."""

    def __init__(self, answer: ChooseAnswer, *, width: int = 100, si: bool = False) -> None:
        self.answer = answer
        self.width = max(width, 60)
        self.si = si

    def lines(self) -> Iterator[str]:
        """Yield the report."""
        answer = self.answer
        yield from self._wrapped(
            f"{answer.design}: {self.answer.head} under {titles(answer.rule_sets)}"
        )
        if answer.no_pass:
            yield from self._wrapped(NO_PASS)
        yield ""
        if answer.solutions:
            yield from self._sizes()
            yield from self._open()
            yield from self._buying()
            yield from self._asked()
        else:
            yield from self._nothing()
        yield from self._barred()
        yield ""
        for caution in CAUTIONS:
            yield from self._wrapped(caution)

    def _nothing(self) -> Iterator[str]:
        yield from self._wrapped(
            "NOTHING FITS: no combination of the sizes tried complies under all of them."
        )
        for names in self.answer.conflicts:
            if not names:
                words = "Whatever the town, none of them would hold together."
            elif len(names) == 1:
                words = f"{titles(names)} alone allows none of them."
            else:
                words = (
                    f"{titles(names)} conflict: without any one of them some combination complies, "
                    "with all of them none."
                )
            yield from self._wrapped(words, "  ")
        if self.answer.kept:
            yield from self._wrapped(
                f'Kept as drawn: {", ".join(self.answer.kept)}; --try "NAME" chooses one of them too.',
                "  ",
            )

    def _sizes(self) -> Iterator[str]:
        answer = self.answer
        if not answer.members:
            yield "NO SIZE IS CHOSEN: none of the rule sets asked decides one."
        else:
            yield from self._table()
        if any(member.unsure for member in answer.members):
            yield from self._wrapped(
                "? a rule set asked does not decide this size yet: it was chosen by the others and may change."
            )
        if answer.members:
            least = "the least cost by the price list" if answer.priced else "the least lumber"
            yield from self._wrapped(
                f"CHOSEN is {least} of all combinations tried: every clause that depends on a size "
                "was evaluated on each combination of the sizes it depends on."
            )
        if answer.left:
            yield ""
            yield "NOT CHOSEN, LEFT AS DRAWN: no rule set asked decides it as far as known"
            for member in answer.left:
                yield from self._wrapped(f"{member.words}: {self._drawn(member)}", "  ")

    def _table(self) -> Iterator[str]:
        """Yield the sizes side by side: the best, and as many of the next best as there is room for."""
        count = len(self.answer.solutions)
        lines = self._columns(count)
        while count > 1 and max(map(len, lines)) > self.width:
            count -= 1
            lines = self._columns(count)
        yield from lines

    def _columns(self, count: int) -> list[str]:
        solutions = self.answer.solutions[:count]
        heads = ["", "as drawn", "CHOSEN", *(f"next best {n}" for n in range(1, len(solutions)))]
        rows = [
            [
                f"{member.words}{'?' if member.unsure else ''}",
                self._drawn(member),
                *(size_text(member.quantity, f, si=self.si) for f in member.chosen[:count]),
            ]
            for member in self.answer.members
        ]
        before, after = self.answer.step_down
        if after is not None:
            rows.append(["floor down to deck", self._length(before), self._length(after)])
        wood = "m³" if self.si else "board feet"
        rows.append(
            [
                "lumber",
                "",
                *(f"{wood_text(s.taken.board_feet, si=self.si)} {wood}" for s in solutions),
            ]
        )
        if any(s.taken.concrete for s in solutions):
            rows.append(
                ["concrete", "", *(concrete_text(s.taken.concrete, si=self.si) for s in solutions)]
            )
        if any(s.price is not None for s in solutions):
            rows.append(
                ["cost", "", *("" if s.price is None else money(s.price) for s in solutions)]
            )
        return tabulate(rows, heads, tablefmt="simple", disable_numparse=True).splitlines()

    def _open(self) -> Iterator[str]:
        answer = self.answer
        if answer.still_fails:
            yield ""
            yield "STILL FAILS, WHATEVER IS CHOSEN"
            for told in answer.still_fails:
                yield from self._wrapped(f"{told.title}, under {self._failing(told)}", "  ")
        if answer.open_topics or answer.silent:
            yield ""
            yield "NOT DECIDED: what these leave open is chosen by other rule sets alone, or left as drawn"
            for topic in answer.open_topics:
                star = "*" if topic.from_memory else ""
                yield from self._wrapped(
                    f"{titles(topic.rule_sets)}: {topic.title} ({status_told(topic.status)}): {topic.says} "
                    f"({topic.cites}{star})",
                    "  ",
                )
            for told in answer.silent:
                yield from self._wrapped(
                    f"{titles(told.rule_sets)}: {told.title} (not regulated)", "  "
                )

    def _failing(self, told: Told) -> str:
        where = titles(told.rule_sets)
        if told.drawn is None:
            return where
        asked = limit_words(told.least, told.most, si=self.si)
        return f"{where}: {told.drawn.text(si=self.si)} as drawn, {asked} asked"

    def _asked(self) -> Iterator[str]:
        questions = self.answer.questions
        if questions:
            yield ""
            yield from self._wrapped(
                f"ASKED BEFORE IT IS SURE: {len(questions)} questions; `deckclause ask` puts them "
                "one by one and writes the answers into the file"
            )
            for question in questions:
                yield from self._wrapped(question.ask, "  ")

    def _barred(self) -> Iterator[str]:
        members = self.answer.members
        if any(member.barred for member in members):
            yield ""
            yield "WHAT KEEPS OTHER SIZES OUT"
        for member in members:
            for barred in member.barred:
                options = options_text(member.quantity, barred.options, si=self.si)
                yield from self._wrapped(f"{member.words} {options}: {_why(barred)}", "  ")
        if any(member.also for member in members):
            yield ""
            yield "NOT BARRED EITHER, ONE CHANGE AT A TIME FROM WHAT IS CHOSEN"
        for member in members:
            if member.also:
                runs = (options_text(member.quantity, run, si=self.si) for run in member.also)
                yield from self._wrapped(f"{member.words} {', '.join(runs)}", "  ")

    def _buying(self) -> Iterator[str]:
        best = self.answer.solutions[0]
        yield ""
        yield "CUT AND BUY"
        heads, rows = buying_heads(si=self.si), buying_rows(best, si=self.si)
        yield from tabulate(rows, heads, tablefmt="simple", disable_numparse=True).splitlines()
        for words in best.taken.unknown:
            yield from self._wrapped(f"Not counted: {words}", "  ")
        for item in self.answer.unpriced:
            yield from self._wrapped(f"No price in the list: {item}; the cost is without it", "  ")
        yield from self._wrapped(
            "Counts are of whole pieces without waste. Fasteners are counted by the spacing; `deckclause "
            "place layout` gives each one's place, clear of the joists."
        )

    def _drawn(self, member: ChosenMember) -> str:
        words = [
            "not stated" if figure is None else size_text(member.quantity, figure, si=self.si)
            for figure in member.drawn
        ]
        return ", ".join(words)

    def _length(self, value: Fraction | None) -> str:
        if value is None:
            return "not known"
        return quantity_text(Quantity(value, LENGTH), "in", si=self.si)

    def _wrapped(self, text: str, indent: str = "") -> list[str]:
        return wrap(
            text, self.width, initial_indent=indent, subsequent_indent=indent + "  ",
            break_long_words=False, break_on_hyphens=False,
        )  # fmt: skip


def _why(barred: Barred) -> str:
    reasons = "; ".join(_reason(reason) for reason in _pressing(barred.reasons))
    return reasons if barred.alone else f"{reasons}, beside the other sizes chosen"


def _pressing(reasons: Sequence[Reason]) -> Iterator[Reason]:
    """Yield what fails; what a rule set leaves undecided only where it does not fail the size too."""
    failing = {name for r in reasons if r.why == "fails" for name in r.rule_sets}
    for reason in sorted(reasons, key=lambda r: r.why != "fails"):
        left = tuple(n for n in reason.rule_sets if reason.why == "fails" or n not in failing)
        if left:
            yield replace(reason, rule_sets=left)


def _reason(reason: Reason) -> str:
    star = "*" if reason.from_memory else ""
    told = f"{WHY[reason.why]} {reason.title[:1].lower()}{reason.title[1:]} ({reason.cites}{star})"
    if reason.rule_sets == (HOLDS_TOGETHER,):
        return f"{told}, whatever the rule set"
    return f"{told} under {titles(reason.rule_sets)}"
