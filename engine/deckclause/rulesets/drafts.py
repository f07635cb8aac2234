"""Amendments that no place has put in force: named alone, layered on what they would stand on."""

from __future__ import annotations

from pathlib import Path

from msgspec import Struct

from deckclause.rulesets.files import RuleFiles
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.register import Register
from deckclause.rulesets.ruleset import DRAFT

MARK = " (draft)"
"""Ends the name of a rule set that holds an amendment not in force."""


class Draft(Struct, frozen=True):
    """What an amendment's id resolves to: its edition, with what stands at its place, then it."""

    name: str
    edition: str
    beneath: tuple[str, ...] = ()
    """What the larger places, and the place itself, have in force on that edition."""

    @property
    def label(self) -> str:
        """The name of the rule set it resolves to."""
        return f"{self.name}{MARK}"

    @property
    def amendments(self) -> tuple[str, ...]:
        """The amendments layered on the edition."""
        return (*self.beneath, self.name)

    @property
    def told(self) -> tuple[str, ...]:
        """Nothing: a draft is in force on no day."""
        return ()

    @property
    def lets_fall(self) -> tuple[str, ...]:
        """Nothing: a draft follows no code."""
        return ()

    @property
    def ground(self) -> tuple[str, ...]:
        """Nothing: a draft is in force on no day; what stands beneath it is layered whole."""
        return ()


def amendment_named(files: RuleFiles, text: str) -> str:
    """Return the id of the amendment meant by an id, its label as a draft, or its file; else ""."""
    name = text.removesuffix(MARK)
    if name in files.amendments:
        return name
    if not name.endswith((".yaml", ".yml")):
        return ""
    path = Path(name).resolve()
    found = [n for n, p in files.amendments.items() if p.resolve() == path]
    if found:
        return found[0]
    raise InputError.single(
        text,
        f"is not an amendment of this rules folder; put it in {files.root / 'amendments'} "
        "and name it, or name its folder with --rules",
    )


def draft_of(files: RuleFiles, register: Register, name: str) -> Draft:
    """Return an amendment as a draft rule set.

    Raises InputError where it is in force somewhere: the place and day name the rule set then.
    """
    from deckclause.rulesets.layering import read_amendment_tree

    places = [
        f"{place.name}@{adoption.begins}"
        for place in register.places.values()
        for adoption in place.adoptions
        if name in adoption.amendments
    ]
    if places:
        raise InputError.single(
            name,
            "is an amendment, and in force: name the place and a day instead, "
            f"as {' or '.join(places)}",
        )
    data = read_amendment_tree(files, name).data
    return Draft(name, data["edition"], register.beneath_draft(data["place"], data["edition"]))


def refuse_draft_in_force(label: str, layers: list[tuple[str, str]]) -> None:
    """Raise InputError where an amendment that was never adopted stands in what is in force.

    `layers` are pairs of an amendment's id and its `adopted`.
    """
    for name, adopted in layers:
        if adopted == DRAFT:
            raise InputError.single(
                label,
                f"{name} is a draft and cannot be in force; give its ordinance and the day it was "
                f"adopted: deckclause amend register {name} --ordinance ... --adopted ... --from ...",
            )
