"""The public Python interface: `deckclause.compare` and `deckclause.place`, stable and typed.

It stands on the functions the command line uses, and says what that says. What is named here
keeps its name and meaning; everything else in the package may move.
"""

from deckclause.api.ask import Rules, compare, place
from deckclause.api.compared import Change, Compared, Outcome
from deckclause.api.placed import Measure, Placed
from deckclause.rulesets.problems import InputError, Problem

__all__ = [
    "Change",
    "Compared",
    "InputError",
    "Measure",
    "Outcome",
    "Placed",
    "Problem",
    "Rules",
    "compare",
    "place",
]
