"""Relief as text for a terminal, printed from the answer."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from deckclause.answers.relief.answer import (
    ChoiceFound,
    LetOutBeside,
    OptionFound,
    Precedent,
    PrecedentsFound,
    ReliefAnswer,
)
from deckclause.reading.status import status_told
from deckclause.report.cautions import IN_WORDS
from deckclause.rulesets.names import rule_set_title, rule_set_titles

NOTHING = "Nothing fails, so there is nothing to relieve."
NO_RELIEF = (
    "No rule fails. That is no pass: whether the deck holds together comes first, and no relief "
    "makes up for it."
)


def relief_lines(answer: ReliefAnswer, width: int = 100) -> Iterator[str]:
    """Yield the report on relief, line by line."""
    yield from _Text(answer, max(width, 60)).lines()


class _Text:
    def __init__(self, answer: ReliefAnswer, width: int) -> None:
        self.answer = answer
        self.width = width

    def wrapped(self, text: str, indent: str = "") -> Iterator[str]:
        lines = wrap(text, self.width, initial_indent=indent, subsequent_indent=indent + "  ")
        yield from lines or [""]

    def lines(self) -> Iterator[str]:
        answer = self.answer
        name = rule_set_title(answer.rule_set.name)
        yield from self.wrapped(
            f"{answer.design.name} under {name}: {status_told(answer.rule_set.status)}"
        )
        yield from self.wrapped(answer.holds_together.says)
        for lacks in answer.holds_together.lacks:
            yield from self.wrapped(lacks, "  ")
        for step in answer.steps:
            yield from self.wrapped(f"step down at {step.door}: {step.told}")
        for value in answer.set_by_place:
            yield from self.wrapped(f"{value.says} ({value.act}; {value.standing})")
        if not answer.failing:
            yield ""
            yield from self.wrapped(NO_RELIEF if answer.holds_together.is_no_pass else NOTHING)
        else:
            yield from self.failing()
            yield from self.changes()
            yield from self.relaxations()
        yield from self.open_matters()
        yield ""
        for caution in IN_WORDS:
            yield from self.wrapped(caution)

    def failing(self) -> Iterator[str]:
        yield ""
        yield "WHAT FAILS"
        for item in self.answer.failing:
            yield from self.wrapped(f"{item.named}, {item.cites}: {item.steps[-1]}.", "  ")
            yield from self.wrapped(f"{item.says} ({item.standing})", "    ")
            model = item.precedents.under_the_model_edition
            if model:
                yield from self.wrapped(
                    f"under {rule_set_title(self.answer.rule_set.edition)} without local amendments: {model}",
                    "    ",
                )

    def changes(self) -> Iterator[str]:
        changes = self.answer.changes
        yield ""
        yield "CHANGES THAT AVOID RELIEF (each evaluated by the engine)"
        yield from self.wrapped(
            "(least work first: a measure, another size, other fasteners, building anew)", "  "
        )
        if not changes.options:
            yield from self.wrapped(
                "None of the changes a builder can buy clears what fails.", "  "
            )
        for number, option in enumerate(changes.options, 1):
            yield from self.option(number, option)
        bound = f"{changes.tried} designs evaluated, up to {changes.most_changes} changes each"
        more = changes.found - len(changes.options)
        tail = f"; {more} more not shown" if more else ""
        if not changes.complete:
            tail += "; the search stopped early, there may be more"
        yield from self.wrapped(f"({bound}{tail})", "  ")

    def option(self, number: int, option: OptionFound) -> Iterator[str]:
        for index, change in enumerate(option.changes):
            head = f"{number}. " if not index else "   "
            joined = "and: " if index else ""
            text = f"{head}{joined}{change.says} {change.before} -> {change.after}."
            yield from self.wrapped(text, "  ")
        for step in option.steps:
            same = " (as designed)" if option.keeps_step else ""
            yield from self.wrapped(f"step down at {step.door}: {step.told}{same}", "     ")
        if option.opens:
            asks = " ".join(q.question for q in option.opens)
            yield from self.wrapped(f"nothing fails as far as known; it opens: {asks}", "     ")
        if option.brings:
            yield from self.wrapped(f"it brings: {'; '.join(option.brings)}", "     ")
        for remark in option.remarks:
            yield from self.wrapped(f"note: {remark}", "     ")
        for later in option.later:
            yield from self.wrapped(
                f"{rule_set_title(later.rule_set)} would not accept it: {later.title}, {later.cites}: "
                f"{later.says}",
                "     ",
            )
        if option.unsettled_topics:
            topics = ", ".join(option.unsettled_topics)
            yield from self.wrapped(f"not yet known and touched by the change: {topics}", "     ")

    def relaxations(self) -> Iterator[str]:
        relief = self.answer.relaxations
        yield ""
        yield "RELIEF THAT WOULD DO"
        if any(choice.asks for choice in relief.choices):
            yield from self.wrapped(
                "(a whole published rule first, then figures a published rule permits, then home-made "
                "ones; none is taken by itself: request new --relief N asks for the one numbered N)",
                "  ",
            )
        if relief.rows_alone:
            yield from self.wrapped(
                "None on the section: moving the rows of fasteners is enough.", "  "
            )
        for choice in relief.choices:
            yield from self.choice(choice)
        for item in relief.not_offered:
            yield from self.wrapped(f"not offered: {' and '.join(item.asks)}. {item.reason}", "  ")
        if relief.sums:
            yield from self.wrapped("why, as a sum:", "  ")
            for total in relief.sums:
                yield from self.wrapped(total, "    ")
        for no in relief.refused:
            head = "NO RELIEF IS OFFERED" if no.life_safety else "no amount to relax"
            yield from self.wrapped(f"{head}: {no.title}, {no.cites}: {no.reason}", "  ")
        if not any(choice.asks for choice in relief.choices):
            yield from self.wrapped("No relaxation of measures repairs this design.", "  ")

    def choice(self, choice: ChoiceFound) -> Iterator[str]:
        head = f"{choice.number}. "
        rule = choice.published
        if rule:
            yield from self.wrapped(f"{head}{rule.told}", "  ")
            head = "what is asked for: "
        for index, item in enumerate(choice.items):
            first = bool(index) or bool(rule)
            yield from self.item("and " if index else head, item, "     " if first else "  ")
        if choice.moves:
            yield from self.wrapped(f"the design moves for it: {'; '.join(choice.moves)}", "     ")
        else:
            yield from self.wrapped("the design stays as drawn", "     ")
        yield from self.wrapped(f"precedent: {choice.precedent}", "     ")
        for line in choice.engineering:
            yield from self.wrapped(f"engineering, context only: {line}", "     ")
        for reason in choice.not_advisable:
            yield from self.wrapped(f"engineering gives no value: {reason}", "     ")
        if choice.tension:
            yield from self.wrapped(choice.tension, "     ")

    def item(self, head: str, item: LetOutBeside, indent: str) -> Iterator[str]:
        yield from self.wrapped(
            f"{head}{item.told}, by {item.amount.text()} ({item.standing})", indent
        )
        gain = item.gain
        if gain:
            end = gain.greatest_drop_without_it
            until = (
                f"until the drop is {end}, where another limit governs" if end else "without end"
            )
            yield from self.wrapped(
                f"each inch of it gains an inch of drop (now {gain.greatest_drop_now}), {until}",
                "     ",
            )
        found = item.precedents
        if found:
            yield from self.precedents(found)
        context = item.context
        yield from self.wrapped(
            f"engineering ({context.basis}): {_run_together(context.lines)}", "     "
        )

    def precedents(self, found: PrecedentsFound) -> Iterator[str]:
        if found.permit:
            names = "; ".join(_precedent(p) for p in found.permit)
            yield from self.wrapped(f"already permitted by: {names}", "     ")
        else:
            yield from self.wrapped(
                f"already permitted by: none of the {found.looked_at} other published rules shipped here",
                "     ",
            )
        if found.undecided:
            yield from self.wrapped(
                "not decided on what is known, which is no precedent: "
                f"{rule_set_titles(list(found.undecided))}",
                "     ",
            )
        if found.on_other_loads:
            named = "; ".join(
                f"{rule_set_title(o.rule_set)} ({o.says})" for o in found.on_other_loads
            )
            yield from self.wrapped(
                f"on other loads than those set here, which is no precedent: {named}", "     "
            )
        if found.silent:
            yield from self.wrapped(
                f"silent, which is no precedent: {rule_set_titles(list(found.silent))}", "     "
            )

    def open_matters(self) -> Iterator[str]:
        engineering = self.answer.engineering
        if engineering:
            yield ""
            yield "OUTSIDE WHAT THE RULE SET PRESCRIBES (engineering required)"
            for item in engineering:
                yield from self.wrapped(f"{item.named}, {item.cites}: {item.steps[-1]}", "  ")
        questions = self.answer.open_questions
        if questions:
            yield ""
            yield from self.wrapped(self.answer.to_find_out.told)


def _run_together(lines: tuple[str, ...]) -> str:
    """Write lines in a row: a semicolon after each that ends no sentence.

    >>> _run_together(("Asked for: 10 ft.", "bending allows 120 in", "shear allows 318 in"))
    'Asked for: 10 ft. bending allows 120 in; shear allows 318 in'
    """
    return " ".join(one if one.endswith(".") else f"{one};" for one in lines).removesuffix(";")


def _precedent(found: Precedent) -> str:
    later = ", later than the request" if found.later else ""
    return (
        f"{rule_set_title(found.rule_set)} {found.cites} ({found.limit or 'permitted'}, {found.standing}, "
        f"{found.published}{later})"
    )
