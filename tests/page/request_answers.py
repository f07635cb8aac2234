"""Answers to every field a request needs, typed in a browser."""

from __future__ import annotations

from typing import Any


def answer_all(view: Any) -> dict[str, str]:
    """Answer every field a request needs, with words of its own; return them by the field's id."""
    words = {}
    needed = "() => [...document.querySelectorAll('#request-form .wanted')].map((w) => w.id)"
    for wanted in view.evaluate(needed):
        name = wanted.removesuffix("-wanted")
        place = f'[id="{name}"]'
        if name == "request-attachments":
            view.click("#add-paper")
            view.fill("[id='paper-1-title']", "Section drawing")
        elif view.get_attribute(place, "type") == "checkbox":
            view.check(place)
        elif name.endswith(".evidence"):
            view.fill(place, "A1")
        else:
            words[name] = f"My words on {name}."
            view.fill(place, words[name])
    for field in view.locator("textarea[id^='request-why_not.']").all():
        name = field.get_attribute("id")
        words[name] = f"My reason for {name}."
        field.fill(words[name])
    return words
