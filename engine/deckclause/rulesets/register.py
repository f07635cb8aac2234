"""The register: which place uses which edition with which amendments over which dates."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from deckclause.rulesets.check import check_shape
from deckclause.rulesets.files import RuleFiles
from deckclause.rulesets.problems import InputError, Problem, suggestion
from deckclause.rulesets.yaml_tree import Tree, parse_tree


@dataclass(frozen=True, slots=True)
class Adoption:
    """An edition and amendments in force from one day until, not including, another."""

    edition: str
    amendments: tuple[str, ...]
    ordinance: str
    begins: date
    ends: date | None

    def holds(self, day: date) -> bool:
        """Tell whether the adoption is in force on a day."""
        return self.begins <= day and (self.ends is None or day < self.ends)


@dataclass(frozen=True, slots=True)
class Place:
    """A jurisdiction, what it lies within, and its adoptions in order of date."""

    name: str
    within: str
    says: str
    invented: bool
    adoptions: tuple[Adoption, ...]


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Amendments of a larger place that one within it does not take on: they amend another edition."""

    place: str
    edition: str
    amendments: tuple[str, ...]
    ordinance: str


@dataclass(frozen=True, slots=True)
class InForce:
    """What `Place@date` resolves to: an edition and the amendments in order, outermost first."""

    place: str
    day: date
    edition: str
    amendments: tuple[str, ...]
    adoption: Adoption
    left_out: tuple[LeftOut, ...] = ()
    """What larger places have in force that day on another edition."""

    @property
    def label(self) -> str:
        """The name of the rule set it resolves to."""
        return f"{self.place}@{self.day.isoformat()}"

    @property
    def left_out_words(self) -> tuple[str, ...]:
        """What is left out, and why, a sentence for each larger place."""
        return tuple(
            f"the amendments of {outer.place} ({outer.ordinance or ', '.join(outer.amendments)}) are "
            f"not taken on: they amend {outer.edition}, and {self.place} stands on {self.edition} on "
            f"{self.day}"
            for outer in self.left_out
        )


@dataclass(frozen=True, slots=True)
class Register:
    """Every place by name."""

    places: dict[str, Place]

    def place(self, name: str) -> Place:
        """Find a place, whatever the case of its letters and with - or _ for a blank.

        Raises InputError where there is none.
        """
        if name in self.places:
            return self.places[name]
        wanted = alike(name)
        for place in self.places.values():
            if alike(place.name) == wanted:
                return place
        raise InputError.single(
            name, f"is not a place in the register.{suggestion(name, self.places)}"
        )

    def resolve(self, text: str) -> InForce:
        """Resolve `Place@2024-05-01`. Raises InputError naming the nearest adoptions."""
        name, _, day_text = text.partition("@")
        place = self.place(name)
        try:
            day = date.fromisoformat(day_text.strip())
        except ValueError:
            raise InputError.single(
                text, f"'{day_text}' is not a date; write it as {place.name}@2024-05-01"
            ) from None
        return self._in_force(place, day)

    def _in_force(self, place: Place, day: date) -> InForce:
        outer = self._outer(place)
        holder = next((p for p in (place, *outer) if p.adoptions), place)
        adoption = next((a for a in holder.adoptions if a.holds(day)), None)
        if adoption is None:
            raise InputError.single(f"{place.name}@{day}", _nothing_in_force(holder, day))
        amendments: list[str] = []
        left_out: list[LeftOut] = []
        for larger in reversed(outer):
            if larger is holder:
                continue
            held = next((a for a in larger.adoptions if a.holds(day)), None)
            if held is None or not held.amendments:
                continue
            if held.edition == adoption.edition:
                amendments += held.amendments
            else:
                left_out.append(LeftOut(larger.name, held.edition, held.amendments, held.ordinance))
        amendments += adoption.amendments
        return InForce(
            place.name, day, adoption.edition, tuple(amendments), adoption, tuple(left_out)
        )

    def _outer(self, place: Place) -> list[Place]:
        outer = []
        while place.within:
            place = self.places[place.within]
            outer.append(place)
        return outer


def alike(name: str) -> str:
    """Return what two spellings of one place's name share; no two places of a register share it.

    >>> alike("Ash-on-Water") == alike("ash on water")
    True
    """
    return " ".join(name.casefold().replace("-", " ").replace("_", " ").split())


def _nothing_in_force(place: Place, day: date) -> str:
    before = [a for a in place.adoptions if a.ends is not None and a.ends <= day]
    after = [a for a in place.adoptions if a.begins > day]
    words = f"nothing is in force in {place.name} on {day}"
    if before:
        last = max(before, key=lambda a: a.ends or a.begins)
        words += f"; before it, {last.edition} from {last.begins} until {last.ends}"
    if after:
        first = min(after, key=lambda a: a.begins)
        words += f"; after it, {first.edition} from {first.begins}"
    if not before and not after:
        words += "; the register lists no adoption for it"
    return words


def read_register(files: RuleFiles) -> Register:
    """Read register.yaml; an absent file is an empty register. Raises InputError with every fault."""
    from deckclause.rulesets.register_models import RegisterFile

    path = files.register_path
    if not path.is_file():
        return Register({})
    tree = parse_tree(files.content(path), files.name(path))
    check_shape(tree, RegisterFile)
    places: dict[str, Place] = {}
    problems: list[Problem] = []
    for name, data in tree.data["places"].items():
        try:
            places[name] = _place(name, data)
        except ValueError as fault:
            problems.append(Problem(tree.file, tree.line(("places", name)), f"{name}: {fault}"))
    problems += _register_problems(tree, places, files)
    if problems:
        raise InputError(problems)
    return Register(places)


def _place(name: str, data: dict[str, Any]) -> Place:
    adoptions = tuple(
        Adoption(
            entry["edition"],
            tuple(entry.get("amendments") or ()),
            entry.get("ordinance") or "",
            date.fromisoformat(entry["from"]),
            date.fromisoformat(entry["until"]) if entry.get("until") else None,
        )
        for entry in data.get("adoptions") or []
    )
    return Place(
        name,
        data.get("within") or "",
        data.get("says") or "",
        str(data.get("invented", "")) == "true",
        tuple(sorted(adoptions, key=lambda a: a.begins)),
    )


def _register_problems(tree: Tree, places: dict[str, Place], files: RuleFiles) -> list[Problem]:
    problems: list[Problem] = []
    spelt: dict[str, str] = {}
    for name, place in places.items():
        line = tree.line(("places", name))

        def fault(message: str, line: int = line, name: str = name) -> None:
            problems.append(Problem(tree.file, line, f"{name}: {message}"))

        twin = spelt.setdefault(alike(name), name)
        if twin != name:
            fault(
                f"is spelt like '{twin}' (line {tree.line(('places', twin))}) but for capitals, "
                "hyphens or blanks, so that one would answer for the other; name one otherwise"
            )
        if place.within and place.within not in places:
            fault(
                f"within: '{place.within}' is not in the register.{suggestion(place.within, places)}"
            )
        elif _circle(places, name):
            fault(f"within: goes round in a circle ({' within '.join(_circle(places, name))})")
        for adoption in place.adoptions:
            if adoption.ends is not None and adoption.ends <= adoption.begins:
                fault(f"the adoption of {adoption.begins} ends before it begins")
            if adoption.edition not in files.rulesets:
                near = suggestion(adoption.edition, files.rulesets)
                fault(f"there is no edition '{adoption.edition}'.{near}")
            for amendment in adoption.amendments:
                if amendment not in files.amendments:
                    near = suggestion(amendment, files.amendments)
                    fault(f"there is no amendment '{amendment}'.{near}")
        for one, two in zip(place.adoptions, place.adoptions[1:], strict=False):
            if one.ends is None or one.ends > two.begins:
                fault(
                    f"the adoptions of {one.begins} and {two.begins} overlap; end one with `until`"
                )
    return problems


def _circle(places: dict[str, Place], name: str) -> list[str]:
    seen = [name]
    here = places[name].within
    while here and here in places:
        seen.append(here)
        if here == name:
            return seen
        if len(seen) > len(places) + 1:
            return seen
        here = places[here].within
    return []
