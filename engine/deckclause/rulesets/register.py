"""The register: which place uses which edition with which amendments over which dates."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from msgspec import Struct

from deckclause.rulesets.check import entry_problems
from deckclause.rulesets.files import RuleFiles
from deckclause.rulesets.names import rule_set_title
from deckclause.rulesets.problems import InputError, Problem, suggestion
from deckclause.rulesets.yaml_tree import Tree, parse_tree


class Adoption(Struct, frozen=True):
    """An edition and amendments in force from one day until, not including, another."""

    edition: str
    amendments: tuple[str, ...]
    ordinance: str
    begins: date
    """Its first day in force; where that is not known, a day it was seen in force."""
    ends: date | None
    first_day_known: bool = True
    sunset: bool = False
    """Whether it ends by its own terms."""
    emergency: bool = False
    announced: tuple[date, ...] = ()
    """Days it was announced for and put back from."""
    either: str = ""
    """While the code before may be used as well: on which condition."""
    path: str = ""
    """One of several ways to comply that may not be mixed."""
    decides: str = ""
    """Which day decides: application, complete drawings, permit, work."""
    transition: str = ""
    approved: str = ""
    """Who gave leave for what departs from the larger place's code, and when."""
    lets_fall: tuple[str, ...] = ()
    """Earlier rules knowingly given up: clause keys or quantities."""
    index: int = 0
    """Which of the place's entries it is, in the file's order."""

    def holds(self, day: date) -> bool:
        """Tell whether the adoption is in force on a day."""
        return self.begins <= day and (self.ends is None or day < self.ends)

    @property
    def way(self) -> str:
        """What tells it from another in force on the same day."""
        return self.path or self.edition


class Place(Struct, frozen=True):
    """A jurisdiction, what it lies within, and its adoptions in order of date."""

    name: str
    within: str
    says: str
    invented: bool
    adoptions: tuple[Adoption, ...]
    local: str = ""
    """How far places within it may depart from its code; "" where that is not known."""
    findings: str = ""
    """What findings a place within it must state to depart from its code."""
    as_read: bool = False
    """A real place whose law is held only as far as somebody read it."""

    @property
    def caution(self) -> str:
        """What stands in front of every answer on a real place's law; "" where nothing need."""
        if not self.as_read:
            return ""
        return f"{self.name} is a real place, its law held as far as it was read. {self.says}"


class LeftOut(Struct, frozen=True):
    """Amendments of a larger place that one within it does not take on: they amend another edition."""

    place: str
    edition: str
    amendments: tuple[str, ...]
    ordinance: str


class InForce(Struct, frozen=True):
    """What `Place@date` resolves to: an edition and the amendments in order, outermost first."""

    place: str
    day: date
    edition: str
    amendments: tuple[str, ...]
    adoption: Adoption
    left_out: tuple[LeftOut, ...] = ()
    """What larger places have in force that day on another edition."""
    ground: tuple[str, ...] = ()
    """Amendments of larger places and earlier codes whose values of the ground stay, nearest first."""
    ways: tuple[str, ...] = ()
    """Where several codes or paths are in force that day: what each is called."""
    asked: str = ""
    """The one of them that was asked for by name."""
    notes: tuple[str, ...] = ()

    @property
    def label(self) -> str:
        """The name of the rule set it resolves to."""
        return f"{self.place}@{self.day.isoformat()}" + (f"/{self.asked}" if self.asked else "")

    @property
    def left_out_words(self) -> tuple[str, ...]:
        """What is left out, and why, a sentence for each larger place."""
        return tuple(
            f"the amendments of {outer.place} ({outer.ordinance or ', '.join(outer.amendments)}) are "
            f"not taken on: they amend {rule_set_title(outer.edition)}, and {self.place} stands on "
            f"{rule_set_title(self.edition)} on "
            f"{self.day}; its values of the ground (frost, snow, soil) stay"
            for outer in self.left_out
        )

    @property
    def lets_fall(self) -> tuple[str, ...]:
        """Earlier rules knowingly given up: clause keys or quantities."""
        return self.adoption.lets_fall

    @property
    def told(self) -> tuple[str, ...]:
        """All a reader must be told of how it comes to be in force."""
        return (*self.notes, *self.left_out_words)


class Register(Struct, frozen=True):
    """Every place by name. `faults` are of places that could not be read; the others can be asked."""

    places: dict[str, Place]
    faults: tuple[tuple[str, Problem], ...] = ()

    def place(self, name: str) -> Place:
        """Find a place, whatever the case of its letters and with - or _ for a blank.

        Raises InputError where there is none, or its lines in the register are at fault.
        """
        wanted = alike(name)
        own = [problem for place, problem in self.faults if alike(place) == wanted]
        if own:
            raise InputError(own)
        if name in self.places:
            return self.places[name]
        for place in self.places.values():
            if alike(place.name) == wanted:
                return place
        raise InputError.single(
            name,
            f"is not a place in the register.{suggestion(name, self.places)} A rules folder of "
            "your own is named with --rules",
        )

    def caution(self, name: str) -> str:
        """Return what stands in front of every answer under `Place@date`; "" where nothing need."""
        if "@" not in name:
            return ""
        meaning = self.resolve(name)
        told = [p.caution for p in self.places.values() if meaning.adoption in p.adoptions]
        return " ".join(filter(None, dict.fromkeys((*told, self.place(meaning.place).caution))))

    def beneath_draft(self, place: str, edition: str) -> tuple[str, ...]:
        """Return what an amendment not in force yet would stand on, outermost first.

        The amendments of the larger places, then the place's own, whose last code is this edition
        and has no end.
        """
        here = next((p for p in self.places.values() if alike(p.name) == alike(place)), None)
        beneath: list[str] = []
        seen: set[str] = set()
        while here is not None and here.name not in seen:
            seen.add(here.name)
            last = here.adoptions[-1] if here.adoptions else None
            if last is not None and last.edition == edition and last.ends is None:
                beneath = [*last.amendments, *beneath]
            here = self.places.get(here.within)
        return tuple(beneath)

    def resolve(self, text: str) -> InForce:
        """Resolve `Place@2024-05-01`, or `Place@2024-05-01/WAY` where several codes are in force.

        Raises InputError naming the nearest adoptions. Without WAY the newest code, or the first
        path, is meant; the others are told.
        """
        name, _, rest = text.partition("@")
        day_text, _, way = rest.partition("/")
        place = self.place(name)
        try:
            day = date.fromisoformat(day_text.strip())
        except ValueError:
            raise InputError.single(
                text, f"'{day_text}' is not a date; write it as {place.name}@2024-05-01"
            ) from None
        return self._in_force(place, day, way.strip())

    def ways(self, text: str) -> tuple[str, ...]:
        """Return the names to ask for all that `Place@date` means: one, or one for each way.

        Raises InputError as `resolve` does.
        """
        found = self.resolve(text)
        if found.asked or len(found.ways) < 2:
            return (found.label,)
        return tuple(f"{found.label}/{way}" for way in found.ways)

    def _in_force(self, place: Place, day: date, way: str) -> InForce:
        outer = self.outer(place)
        holder = _holder(place, outer, day)
        holding = [a for a in holder.adoptions if a.holds(day)]
        if not holding:
            raise InputError.single(f"{place.name}@{day}", _nothing_in_force(holder, day))
        ways = tuple(a.way for a in holding)
        if way and way not in ways:
            raise InputError.single(
                f"{place.name}@{day}/{way}",
                f"'{way}' is not in force there that day.{suggestion(way, ways)}",
            )
        chosen = next((a for a in holding if a.way == way), None)
        adoption = chosen or (holding[0] if holding[0].path else holding[-1])
        amendments: list[str] = []
        left_out: list[LeftOut] = []
        for larger in reversed(outer):
            if larger is holder:
                continue
            held = next((a for a in reversed(larger.adoptions) if a.holds(day)), None)
            if held is None or not held.amendments:
                continue
            if held.edition == adoption.edition:
                amendments += held.amendments
            else:
                left_out.append(LeftOut(larger.name, held.edition, held.amendments, held.ordinance))
        amendments += adoption.amendments
        ground = [a for a in _ground((place, *outer), day) if a not in amendments]
        return InForce(
            place.name, day, adoption.edition, tuple(amendments), adoption, tuple(left_out),
            tuple(dict.fromkeys(ground)), ways if len(ways) > 1 else (), way if chosen else "",
            tuple(_notes(place, holder, adoption, holding, day)),
        )  # fmt: skip

    def outer(self, place: Place) -> list[Place]:
        """Return what a place lies within, the nearest first."""
        outer = []
        while place.within:
            place = self.place(place.within)
            outer.append(place)
        return outer


def _holder(place: Place, outer: list[Place], day: date) -> Place:
    """Return the place whose own adoption decides: before a first adoption, the larger place's."""
    for candidate in (place, *outer):
        begun = any(a.begins <= day for a in candidate.adoptions)
        unknown = any(not a.first_day_known for a in candidate.adoptions[:1])
        if begun or (candidate.adoptions and unknown):
            return candidate
    return next((p for p in (place, *outer) if p.adoptions), place)


def _ground(places: tuple[Place, ...], day: date) -> Iterator[str]:
    """Yield the amendments whose values of the ground may stay: nearest place, newest code first."""
    for place in places:
        for adoption in reversed(place.adoptions):
            if adoption.begins <= day and not adoption.path:
                yield from reversed(adoption.amendments)


def _notes(
    place: Place, holder: Place, adoption: Adoption, holding: list[Adoption], day: date
) -> Iterator[str]:
    """Say what must be known of how an adoption came to be in force and what stands beside it."""
    if holder is not place:
        told = "has adopted nothing by then" if place.adoptions else "has no code of its own"
        yield f"{place.name} {told}; the rules of {holder.name} stand there"
    if holder.caution:
        yield holder.caution.rstrip(".")
    if not adoption.first_day_known:
        yield (
            f"the day {adoption.edition} came into force in {holder.name} is not known; it was seen "
            f"in force on {adoption.begins}. Check with the office"
        )
    others = [a for a in holding if a is not adoption]
    if others and adoption.path:
        names = ", ".join(a.path for a in others)
        yield (
            f"'{adoption.path}' is one of {len(holding)} ways to comply in {holder.name}; the others: "
            f"{names}. One of them is kept wholly: they may not be mixed"
        )
    elif others:
        newest = max(holding, key=lambda a: a.begins)
        condition = f" ({newest.either})" if newest.either else ""
        for other in others:
            ends = min(a.ends for a in holding if a.ends)
            yield (
                f"{other.edition} is in force in {holder.name} beside {adoption.edition} until "
                f"{ends}, and either may be used{condition}; ask for it as "
                f"{place.name}@{day}/{other.way}"
            )
    for later in holder.adoptions:
        passed = [d for d in later.announced if d <= day]
        if passed and later.begins > day:
            yield (
                f"{later.edition} was announced for {passed[-1]} and put back; it is in force from "
                f"{later.begins}"
            )
    if adoption.emergency:
        yield f"{adoption.ordinance or adoption.edition} is an emergency ordinance"
    if adoption.sunset and adoption.ends:
        yield f"{adoption.ordinance or adoption.edition} ends by its own terms on {adoption.ends}"
    if adoption.decides:
        yield f"in {holder.name} the day of the {adoption.decides} decides which code holds"
    if adoption.transition:
        yield adoption.transition


def alike(name: str) -> str:
    """Return what two spellings of one place's name share; no two places of a register share it.

    >>> alike("Ash-on-Water") == alike("ash on water")
    True
    """
    return " ".join(name.casefold().replace("-", " ").replace("_", " ").split())


def _nothing_in_force(place: Place, day: date) -> str:
    before = [a for a in place.adoptions if a.ends is not None and a.ends <= day]
    after = [a for a in place.adoptions if a.begins > day]
    unknown = next((a for a in place.adoptions if not a.first_day_known and a.begins > day), None)
    if unknown is not None:
        return (
            f"what was in force in {place.name} on {day} is not known: {rule_set_title(unknown.edition)} was seen in "
            f"force on {unknown.begins}, and its first day was not seen"
        )
    words = f"nothing is in force in {place.name} on {day}"
    if before:
        last = max(before, key=lambda a: a.ends or a.begins)
        words += f"; before it, {rule_set_title(last.edition)} from {last.begins} until {last.ends}"
    if after:
        first = min(after, key=lambda a: a.begins)
        words += f"; after it, {rule_set_title(first.edition)} from {first.begins}"
    if not before and not after:
        words += "; the register lists no adoption for it"
    return words


def read_register(files: RuleFiles) -> Register:
    """Read register.yaml, over the one beneath where there is one; none at all is an empty register.

    A place whose lines are at fault is left out and its faults kept; the others can be asked.
    Raises InputError where the file itself cannot be read.
    """
    from deckclause.rulesets.register_models import PlaceField

    places: dict[str, Place] = {}
    faults: list[tuple[str, Problem]] = []
    trees: dict[str, Tree] = {}
    for path in files.register_paths():
        tree = parse_tree(files.content(path), files.name(path))
        for name, data in _entries(tree).items():
            trees[name] = tree
            places.pop(name, None)  # a place's own folder says it anew
            problems = entry_problems(tree, ("places", name), data, PlaceField)
            if not problems:
                try:
                    places[name] = _place(name, data or {})
                except _NoDay as fault:
                    line = tree.line(("places", name, "adoptions", fault.index))
                    words = (
                        f"{name}: '{fault.text}' is no day of the calendar; write one as 2024-05-01"
                    )
                    problems = [Problem(tree.file, line, words)]
            faults += [(name, problem) for problem in problems]
    faults += _register_problems(trees, places, files)
    at_fault = {name for name, _ in faults}
    kept = {name: place for name, place in places.items() if name not in at_fault}
    return Register(kept, tuple(dict.fromkeys(faults)))


def _entries(tree: Tree) -> dict[str, Any]:
    """Return the places as written. Raises InputError where there are none to be read."""
    if not isinstance(tree.data, dict):
        raise InputError.single(
            tree.file, "holds no mapping; `places:` is needed, a place each line"
        )
    for key in tree.data:
        if key != "places":
            near = suggestion(str(key), ["places"])
            raise InputError.single(
                tree.file, f"'{key}' is not a known key.{near}", tree.line((key,))
            )
    entries = tree.data.get("places")
    if not isinstance(entries, dict):
        raise InputError.single(
            tree.file, "places: places by name are needed", tree.line(("places",))
        )
    return entries


def _place(name: str, data: dict[str, Any]) -> Place:
    adoptions = tuple(_adoption(entry, i) for i, entry in enumerate(data.get("adoptions") or []))
    return Place(
        name,
        data.get("within") or "",
        data.get("says") or "",
        str(data.get("invented", "")) == "true",
        tuple(sorted(adoptions, key=lambda a: a.begins)),
        data.get("local") or "",
        data.get("findings") or "",
        str(data.get("as_read", "")) == "true",
    )


class _NoDay(ValueError):
    """A date that is none: its text, and the adoption it stands in."""

    def __init__(self, text: str, index: int) -> None:
        super().__init__(text)
        self.text = text
        self.index = index


def _adoption(entry: dict[str, Any], index: int) -> Adoption:
    def day(text: str) -> date:
        try:
            return date.fromisoformat(text)
        except ValueError:
            raise _NoDay(text, index) from None

    ends = entry.get("until") or entry.get("sunset")
    return Adoption(
        entry["edition"],
        tuple(entry.get("amendments") or ()),
        entry.get("ordinance") or "",
        day(entry.get("from") or entry["seen_in_force"]),
        day(ends) if ends else None,
        first_day_known=bool(entry.get("from")),
        sunset=bool(entry.get("sunset")),
        emergency=str(entry.get("emergency", "")) == "true",
        announced=tuple(map(day, entry.get("announced") or ())),
        either=entry.get("either") or "",
        path=entry.get("path") or "",
        decides=entry.get("decides") or "",
        transition=entry.get("transition") or "",
        approved=entry.get("approved") or "",
        lets_fall=tuple(entry.get("lets_fall") or ()),
        index=index,
    )


def _register_problems(
    trees: dict[str, Tree], places: dict[str, Place], files: RuleFiles
) -> list[tuple[str, Problem]]:
    problems: list[tuple[str, Problem]] = []
    spelt: dict[str, str] = {}
    for name, place in places.items():
        tree = trees[name]
        line = tree.line(("places", name))

        def fault(message: str, tree: Tree = tree, line: int = line, name: str = name) -> None:
            problems.append((name, Problem(tree.file, line, f"{name}: {message}")))

        twin = spelt.setdefault(alike(name), name)
        if twin != name:
            fault(
                f"is spelt like '{twin}' (line {trees[twin].line(('places', twin))}) but for capitals, "
                "hyphens or blanks, so that one would answer for the other; name one otherwise"
            )
        if place.within and place.within not in trees:
            fault(
                f"within: '{place.within}' is not in the register.{suggestion(place.within, trees)}"
            )
        elif _circle(places, name):
            fault(f"within: goes round in a circle ({' within '.join(_circle(places, name))})")
        for index, message in _adoption_faults(place, files):
            fault(message, line=tree.line(("places", name, "adoptions", index)))
    return problems


def _adoption_faults(place: Place, files: RuleFiles) -> Iterator[tuple[int, str]]:
    """Yield which entry is at fault, in the file's order, and what is wrong."""
    for adoption in place.adoptions:
        at = adoption.index
        if adoption.ends is not None and adoption.ends <= adoption.begins:
            yield at, f"the adoption of {adoption.begins} ends before it begins ({adoption.ends})"
        if adoption.edition not in files.rulesets:
            near = suggestion(adoption.edition, files.rulesets)
            yield at, f"there is no edition '{adoption.edition}'.{near}"
        for amendment in adoption.amendments:
            if amendment not in files.amendments:
                near = suggestion(amendment, files.amendments)
                yield at, f"there is no amendment '{amendment}'.{near}"
        if late := [day for day in adoption.announced if day >= adoption.begins]:
            yield (
                at,
                f"the adoption of {adoption.begins} says it was announced for {late[0]}; only days "
                "before its first day in force were put back from",
            )
    for one, two in zip(place.adoptions, place.adoptions[1:], strict=False):
        overlap = one.ends is None or one.ends > two.begins
        if not overlap:
            continue
        paths = one.path and two.path and one.path != two.path
        if not paths and not (two.either and one.ends is not None and one.way != two.way):
            yield (
                two.index,
                f"the adoptions of {one.begins} and {two.begins} overlap; end one with `until` (or "
                "say with `either` that both may be used until then, or give each its `path`)",
            )


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
