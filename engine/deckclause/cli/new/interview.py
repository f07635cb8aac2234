"""A short interview for a deck of one joist field, in the order of the work."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from deckclause.cli.ask import HAS_NONE, HELP, NOT_KNOWN, STOP, Asking, choices_listed
from deckclause.designs.read_design import design_of
from deckclause.designs.spellings import as_meant
from deckclause.designs.state import alike, list_parts, stated
from deckclause.evaluate.catalogue import Catalogue
from deckclause.quantities import LENGTH, QuantityError, parse_quantity
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.write_file import write_whole

TO_THE_BEAM = (
    "site.ground_snow_load", "site.frost_depth", "site.soil_bearing", "decking.board", "deck.attachment", "joists.field_width",
    "joists.span", "joists.cantilever", "wall.structure", "wall.sheathing_kind",
    "wall.sheathing_thickness", "wall.gap_to_sheathing", "wall.drainage_washer_stack", "band_joist.kind", "band_joist.size",
    "band_joist.species", "band_joist.directly_supported_by", "joists.species", "joists.size",
    "joists.spacing", "joists.at_ledger", "joists.below_ledger_top", "ledger.size",
    "fasteners.kind", "fasteners.diameter",
)  # fmt: skip
THE_BEAM = ("beams.size", "beams.species", "beams.length", "beams.position")
OUTER, INNER = "outer beam", "inner beam"
TWO_BEAMS = (
    f"A freestanding deck stands on two beams. They are written alike, as {OUTER} and {INNER}, on "
    "posts at the same places: change the file where they differ."
)
UNDER_EACH_POST = (
    "posts.height", "posts.size", "footings.shape", "footings.diameter", "footings.side",
    "footings.thickness", "footings.depth",
)  # fmt: skip
RAILED_AND_CLIMBED = ("guards.height", "stairs.total_rise")
BY_SHAPE = {"footings.diameter": "round", "footings.side": "square"}
HUNG = ("joists.at_ledger", "joists.below_ledger_top")
ON_A_LEDGER = ("band_joist", "ledger", "fasteners", "wall")
SIZES_LEFT_OPEN = "Pass a size with Enter, and `deckclause choose` finds one that complies."
WHERE_POSTS = (
    "How far from the beam's end does each post stand, one after another? (1 ft, 8 ft, 15 ft)"
)


class Interview:
    """Puts the questions of one deck; each answer is in the file before the next."""

    def __init__(
        self,
        catalogue: Catalogue,
        path: Path,
        read: Callable[[str], str | None],
        tell: Callable[[str], None],
    ) -> None:
        self.asking = Asking(catalogue, [], path, read, tell)
        self.catalogue, self.path, self.read, self.tell = catalogue, path, read, tell
        self.answers: dict[str, str] = {}

    def through(self) -> int:
        """Ask from the site to the stairs, or until the input ends; return how many were answered."""
        self.tell(f"A deck of one joist field, in the order of the work. {HELP}.")
        self.tell(SIZES_LEFT_OPEN)
        parts = (self._all(TO_THE_BEAM), self._all(THE_BEAM), self._second_beam, self._posts)
        for part in (*parts, self._all(RAILED_AND_CLIMBED)):
            if not part():
                break
        return self.asking.answered

    def _all(self, names: tuple[str, ...]) -> Callable[[], bool]:
        return lambda: all(self._one(name) for name in names if self._stands(name))

    def _stands(self, name: str) -> bool:
        """Tell whether a question is one for this deck: no ledger, no bolts; no beam, no post."""
        group = name.split(".", maxsplit=1)[0]
        if (group in ON_A_LEDGER or name in HUNG) and self.answers.get(
            "deck.attachment"
        ) == "freestanding":
            return False
        if name in BY_SHAPE and self.answers.get("footings.shape") != BY_SHAPE[name]:
            return False
        return group not in self._none()

    def _none(self) -> set[str]:
        return {name.split(".")[0] for name, word in self.answers.items() if word == HAS_NONE}

    def _one(self, name: str) -> bool:
        definition = self.catalogue.vocabulary.quantities[name]
        set_by_town = " Enter where the town sets it." if definition.fixed_by_place else ""
        self.tell(f"{definition.ask}{set_by_town}{choices_listed(definition)}")
        word = self.asking.put(definition)
        if word is not None:
            self.answers[name] = as_meant(word, definition)
        return word is not None

    @property
    def _beams(self) -> tuple[str, ...]:
        """The beams' names where there are two, one empty name where there is one."""
        free = self.answers.get("deck.attachment") == "freestanding"
        return (OUTER, INNER) if free else ("",)

    def _second_beam(self) -> bool:
        """Write the beam of a freestanding deck out as two, and ask how far the joists pass the inner."""
        if len(self._beams) == 1 or "beams" in self._none():
            return True
        self.tell(TWO_BEAMS)
        vocabulary = self.catalogue.vocabulary
        text = alike(self.path.read_text(encoding="utf-8"), "beams", self._beams)
        for quantity, beam in (("joists.beam", OUTER), ("joists.inner_beam", INNER)):
            text = stated(text, quantity, beam, vocabulary)
        write_whole(self.path, text)
        return self._one("joists.inner_cantilever")

    def _posts(self) -> bool:
        """Ask where the posts stand, then what is alike under each; none without a beam."""
        if "beams" in self._none():
            return True
        self.tell(WHERE_POSTS)
        while True:
            typed = self.read("  > ")
            if typed is None or typed.strip() == STOP:
                return False
            if typed.strip() == NOT_KNOWN:
                return True
            if self._place([place.strip() for place in typed.split(",") if place.strip()]):
                return self._all(UNDER_EACH_POST)()

    def _place(self, places: list[str]) -> bool:
        """Write a post, and a footing under it, at each place; False, and why, where one cannot be."""
        try:
            for place in places:
                parse_quantity(place, LENGTH)
            text = self.path.read_text(encoding="utf-8")
            under = [(beam, place) for beam in self._beams for place in places]
            posts = [
                {"name": f"post {n}", **({"beam": beam} if beam else {}), "from_beam_end": place}
                for n, (beam, place) in enumerate(under, 1)
            ]
            footings = [
                {"name": f"footing {n}", "post": post["name"]} for n, post in enumerate(posts, 1)
            ]
            changed = list_parts(list_parts(text, "posts", posts), "footings", footings)
            design_of(changed.encode(), str(self.path), self.catalogue.vocabulary)
        except QuantityError as fault:
            self.tell(f"  {fault}")
            return False
        except InputError as fault:
            self.asking.refuse(fault)
            return False
        write_whole(self.path, changed)
        self.asking.answered += 1
        return True
