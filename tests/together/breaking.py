"""Ways to break a deck in one place: each returns what must then be named, None where it has no such thing."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from random import Random
from typing import Any

from together.decks import Deck

TITLES = {"joists": "Both ends of the joists", "guards": "Open edges", "stairs": "", "doors": ""}
FT = Fraction(12)
LEDGER, DECKING = "Ledger on the house", "Decking on its joists"


def drop(group: str) -> Callable[[Deck, Random], str | None]:
    """Leave a part out, and name what then lacks it."""

    def does(deck: Deck, random: Random) -> str | None:
        members = deck["parts"][group]
        if not members:
            return None
        gone = members.pop(random.randrange(len(members)))
        if group == "footings":
            return str(gone["footings.post"])
        if group == "posts":
            return str(gone["name"])
        return str(gone["name"]) if group == "beams" else TITLES[group]

    return does


def change(
    group: str, quantity: str, value: Any, named: str = ""
) -> Callable[[Deck, Random], str | None]:
    def does(deck: Deck, random: Random) -> str | None:
        members = deck["parts"][group]
        if not members:
            return None
        one = members[random.randrange(len(members))]
        one[quantity] = value(one, deck) if callable(value) else value
        return named or str(one["name"])

    return does


def fact(
    quantity: str, value: Any, named: str, only: str = ""
) -> Callable[[Deck, Random], str | None]:
    def does(deck: Deck, random: Random) -> str | None:
        if only and deck["facts"]["deck.attachment"] != only:
            return None
        found = value(deck) if callable(value) else value
        if found is None:
            deck["facts"].pop(quantity, None)
        else:
            deck["facts"][quantity] = found
        return named

    return does


def unusual(quantity: str, value: Any, group: str = "") -> Callable[[Deck, Random], str | None]:
    """State a heavy or unusual part of a deck that says nothing else of any."""

    def does(deck: Deck, random: Random) -> str | None:
        del deck["facts"]["unusual.parts"]
        if group:
            return change(group, quantity, value)(deck, random)
        deck["facts"][quantity] = value
        return "Heavy or unusual parts"

    return does


def forget(group: str, quantity: str, named: str = "") -> Callable[[Deck, Random], str | None]:
    def does(deck: Deck, random: Random) -> str | None:
        members = [p for p in deck["parts"][group] if quantity in p]
        if not members:
            return None
        one = members[random.randrange(len(members))]
        del one[quantity]
        return named or str(one["name"])

    return does


def hang(quantity: str, value: Any) -> Callable[[Deck, Random], str | None]:
    """Change a field that hangs on the ledger."""

    def does(deck: Deck, random: Random) -> str | None:
        hung = [f for f in deck["parts"]["joists"] if "joists.at_ledger" in f]
        if not hung:
            return None
        hung[0][quantity] = value
        return str(hung[0]["name"])

    return does


def hang_on(quantity: str, value: Any) -> Callable[[Deck, Random], str | None]:
    """Hang a field on the ledger in hangers that one thing is wrong with, or not said of."""

    def does(deck: Deck, random: Random) -> str | None:
        hung = [f for f in deck["parts"]["joists"] if f.get("joists.at_ledger")]
        if not hung:
            return None
        hung[0] |= {"joists.at_ledger": "hanger_fully_seated", quantity: value}
        if value is None:
            del hung[0][quantity]
        return str(hung[0]["name"])

    return does


def flush(quantity: str, value: Any, group: str) -> Callable[[Deck, Random], str | None]:
    """Hang joists on the side of a beam, with one thing of it wrong."""

    def does(deck: Deck, random: Random) -> str | None:
        beam, field = deck["parts"]["beams"][-1], deck["parts"]["joists"][-1]
        beam |= {"beams.position": "flush", "beams.size": "2-2x12"}
        field |= {"joists.cantilever": Fraction(0), "joists.bearing_on": "hanger"}
        one = {"beams": beam, "joists": field}[group]
        one[quantity] = value
        return str(one["name"])

    return does


def on_a_beam(quantity: str, value: Any) -> Callable[[Deck, Random], str | None]:
    """Change a field whose joists lie on a beam: the last one does."""

    def does(deck: Deck, random: Random) -> str | None:
        deck["parts"]["joists"][-1][quantity] = value
        return str(deck["parts"]["joists"][-1]["name"])

    return does


def state(group: str, named: str = "", **facts: Any) -> Callable[[Deck, Random], str | None]:
    """State several facts of the first part of a group; None takes one away."""

    def does(deck: Deck, random: Random) -> str | None:
        if not deck["parts"][group]:
            return None
        one = deck["parts"][group][0]
        one |= {f"{group}.{name}": value for name, value in facts.items()}
        for name in [name for name, value in facts.items() if value is None]:
            del one[f"{group}.{name}"]
        return named or str(one["name"])

    return does


def none_of(group: str) -> Callable[[Deck, Random], str | None]:
    def does(deck: Deck, random: Random) -> str | None:
        above = {"posts": "beams", "footings": "posts"}.get(group)
        deck["parts"][group] = []
        return str(deck["parts"][above][0]["name"]) if above else "Decking on its joists"

    return does
