"""Relief as text for a terminal, written from the plain data."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap
from typing import Any

from deckclause.report.relief_data import row_words


def relief_lines(data: dict[str, Any], width: int = 100) -> Iterator[str]:
    """Yield the report on relief, line by line."""
    yield from _Text(data, max(width, 60)).lines()


class _Text:
    def __init__(self, data: dict[str, Any], width: int) -> None:
        self.data = data
        self.width = width

    def wrapped(self, text: str, indent: str = "") -> Iterator[str]:
        lines = wrap(text, self.width, initial_indent=indent, subsequent_indent=indent + "  ")
        yield from lines or [""]

    def lines(self) -> Iterator[str]:
        data = self.data
        name = data["rule_set"]["name"]
        yield from self.wrapped(
            f"{data['design']['name']} under {name}: {data['rule_set']['status']}"
        )
        for step in data["steps"]:
            yield from self.wrapped(f"step down at {step['door']}: {step['step_down']}")
        if not data["failing"]:
            yield ""
            yield from self.wrapped("Nothing fails, so there is nothing to relieve.")
        else:
            yield from self.failing()
            yield from self.changes()
            yield from self.relaxations()
        yield from self.open_matters()
        yield ""
        for caution in data["cautions"]:
            yield from self.wrapped(caution)

    def failing(self) -> Iterator[str]:
        yield ""
        yield "WHAT FAILS"
        for item in self.data["failing"]:
            yield from self.wrapped(f"{_title(item)}, {item['cites']}: {item['steps'][-1]}.", "  ")
            yield from self.wrapped(f"{item['says']} ({item['standing']})", "    ")
            model = item["precedents"]["under_the_model_edition"]
            if model:
                yield from self.wrapped(
                    f"under {self.data['rule_set']['edition']} without local amendments: {model}",
                    "    ",
                )

    def changes(self) -> Iterator[str]:
        changes = self.data["changes"]
        yield ""
        yield "CHANGES THAT AVOID RELIEF, least first (each evaluated by the engine)"
        if not changes["options"]:
            yield from self.wrapped(
                "None of the changes a builder can buy clears what fails.", "  "
            )
        for number, option in enumerate(changes["options"], 1):
            yield from self.option(number, option)
        bound = (
            f"{changes['tried']} designs evaluated, up to {changes['most_changes']} changes each"
        )
        more = changes["found"] - len(changes["options"])
        tail = f"; {more} more not shown" if more else ""
        if not changes["complete"]:
            tail += "; the search stopped early, there may be more"
        yield from self.wrapped(f"({bound}{tail})", "  ")

    def option(self, number: int, option: dict[str, Any]) -> Iterator[str]:
        words = " ".join(f"{c['says']} {c['before']} -> {c['after']}." for c in option["changes"])
        yield from self.wrapped(f"{number}. {words}", "  ")
        for step in option["steps"]:
            same = " (as designed)" if option["keeps_step"] else ""
            yield from self.wrapped(
                f"step down at {step['door']}: {step['step_down']}{same}", "     "
            )
        if option["opens"]:
            asks = " ".join(q["question"] for q in option["opens"])
            yield from self.wrapped(f"nothing fails as far as known; it opens: {asks}", "     ")
        if option["unsettled_topics"]:
            topics = ", ".join(option["unsettled_topics"])
            yield from self.wrapped(f"not yet known and touched by the change: {topics}", "     ")

    def relaxations(self) -> Iterator[str]:
        relief = self.data["relaxations"]
        yield ""
        yield "THE LEAST RELIEF THAT WOULD DO, if the design stays"
        if relief["rows_alone"]:
            yield from self.wrapped(
                "None on the section: moving the rows of fasteners is enough.", "  "
            )
        for number, found in enumerate(relief["sets"], 1):
            yield from self.relaxed_set(number, found)
        for item in relief["others"]:
            yield from self.item("- ", item)
        if relief["sums"]:
            yield from self.wrapped("why, as a sum:", "  ")
            for total in relief["sums"]:
                yield from self.wrapped(total, "    ")
        for item in relief["refused"]:
            head = "NO RELIEF IS OFFERED" if item["life_safety"] else "no amount to relax"
            yield from self.wrapped(
                f"{head}: {item['title']}, {item['cites']}: {item['reason']}", "  "
            )
        offered = relief["sets"] or relief["others"] or relief["rows_alone"]
        if not offered:
            yield from self.wrapped("No relaxation of measures repairs this design.", "  ")

    def relaxed_set(self, number: int, found: dict[str, Any]) -> Iterator[str]:
        for index, item in enumerate(found["items"]):
            yield from self.item(f"{number}. " if not index else "   and ", item)
        rows = ", ".join(f"{row_words(q)} {text}" for q, text in found["rows"].items())
        yield from self.wrapped(f"rows then: {rows}", "     ")

    def item(self, head: str, item: dict[str, Any]) -> Iterator[str]:
        yield from self.wrapped(
            f"{head}{_title(item)}, {item['cites']}: from {item['required']} to {item['asked']}, by "
            f"{item['amount']['text']} ({item['standing']})",
            "  ",
        )
        gain = item.get("gain")
        if gain:
            end = gain["greatest_drop_without_it"]
            until = (
                f"until the drop is {end}, where another limit governs" if end else "without end"
            )
            yield from self.wrapped(
                f"each inch of it gains an inch of drop (now {gain['greatest_drop_now']}), {until}",
                "     ",
            )
        found = item.get("precedents")
        if found:
            yield from self.precedents(found)
        context = item.get("context")
        if context:
            yield from self.wrapped(
                f"engineering ({context['basis']}): {' '.join(context['lines'])}", "     "
            )

    def precedents(self, found: dict[str, Any]) -> Iterator[str]:
        if found["permit"]:
            names = "; ".join(f"{p['rule_set']} {p['cites']} ({p['limit'] or 'permitted'}, {p['standing']})" for p in found["permit"])  # fmt: skip
            yield from self.wrapped(f"already permitted by: {names}", "     ")
        else:
            yield from self.wrapped("already permitted by: no rule set here", "     ")
        if found["silent"]:
            yield from self.wrapped(
                f"silent, which is no precedent: {', '.join(found['silent'])}", "     "
            )

    def open_matters(self) -> Iterator[str]:
        engineering = self.data["engineering"]
        if engineering:
            yield ""
            yield "OUTSIDE WHAT THE RULE SET PRESCRIBES (engineering required)"
            for item in engineering:
                yield from self.wrapped(
                    f"{_title(item)}, {item['cites']}: {item['steps'][-1]}", "  "
                )
        questions = self.data["open_questions"]
        if questions:
            yield ""
            yield from self.wrapped(
                f"{len(questions)} questions are open on this design; deckclause compare lists them. "
                "Nothing unknown is counted as complying."
            )


def _title(item: dict[str, Any]) -> str:
    return f"{item['title']} [{item['part']}]" if item.get("part") else str(item["title"])
