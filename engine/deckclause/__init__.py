"""Compare what each code edition and each town asks of one wood deck.

In Python, `deckclause.compare(design, under)` and `deckclause.place(design, under)` give what the
command line gives; `deckclause.Rules` opens a rules folder once for many of them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from deckclause.api import Compared as Compared
    from deckclause.api import InputError as InputError
    from deckclause.api import Placed as Placed
    from deckclause.api import Rules as Rules
    from deckclause.api import compare as compare
    from deckclause.api import place as place

__version__ = "0.1.0"

_PUBLIC = ("Compared", "InputError", "Placed", "Rules", "place")


def __getattr__(name: str) -> Any:
    """Bring a public name where it is first used: the command line needs none of them."""
    from importlib import import_module

    if name == "compare":  # a package of that name answers when it is called
        return import_module("deckclause.compare")
    if name in _PUBLIC:
        return getattr(import_module("deckclause.api"), name)
    raise AttributeError(f"module 'deckclause' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted([*globals(), *_PUBLIC, "compare"])
