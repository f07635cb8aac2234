"""Ask what is not known of a deck, the most deciding question first, and write the answers down."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from deckclause.answers.compare.answer import CompareAnswer
from deckclause.answers.compare.build import compare_answer
from deckclause.answers.compare.questions import Question
from deckclause.cli.shared import (
    add_rules_options,
    open_catalogue,
    rule_set_names,
    tell_real_places,
)
from deckclause.cli.under import each_named
from deckclause.compare.comparison import compare
from deckclause.designs.derive.rests_on import to_state
from deckclause.designs.design import Design
from deckclause.designs.read_design import design_of
from deckclause.designs.spellings import as_meant
from deckclause.designs.state import EMPTY, open_parts, stated, without
from deckclause.evaluate.catalogue import Catalogue
from deckclause.evaluate.words import choice_text
from deckclause.rulesets.problems import InputError
from deckclause.rulesets.vocabulary import QuantityDefinition, Vocabulary
from deckclause.rulesets.write_file import write_new, write_whole

HELP = "Enter: not known; -: the deck has none; ?: what may be answered; q: stop here"
NOT_KNOWN, HAS_NONE, EXPLAIN, STOP = "", "-", "?", "q"
NEVER_NONE = "this cannot be left out of a deck as a whole: Enter where it is not known"
MOST_CHOICES = 12
FEW = 9


arranged = each_named
"""Rule sets may follow one `--under`."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument(
        "design",
        type=Path,
        metavar="DESIGN",
        help="the design file; one that is not there is begun",
    )
    parser.add_argument(
        "--under",
        action="append",
        default=[],
        metavar="RULESET",
        help="ask what these need: an edition or guide by id, Place@date; repeat for more",
    )
    parser.add_argument("--most", type=int, default=0, metavar="N", help="stop after N questions")
    add_rules_options(parser)


def run(options: argparse.Namespace) -> int:
    """Run the command; 0 when everything asked is known, 3 while questions are open."""
    catalogue = open_catalogue(options)
    names = rule_set_names(catalogue, options.under or ["irc-2021"])
    tell_real_places(catalogue, names)
    if not options.design.exists():
        write_new(options.design, EMPTY)
        print(f"{options.design} is begun.")
    asking = Asking(catalogue, names, options.design, typed_line, print)
    print(HELP)
    left = asking.through(options.most)
    print(f"{asking.answered} answered and written into {options.design}; {left} questions open.")
    return 3 if left else 0


def typed_line(prompt: str) -> str | None:
    """Return a line typed, None at the end of input."""
    print(prompt, end="", flush=True)
    line = sys.stdin.readline()
    return line.rstrip("\n") if line else None


class Asking:
    """Asks through one design file; every answer is in the file before the next question."""

    def __init__(
        self,
        catalogue: Catalogue,
        names: Sequence[str],
        path: Path,
        read: Callable[[str], str | None],
        tell: Callable[[str], None],
    ) -> None:
        self.catalogue, self.names, self.path = catalogue, list(names), path
        self.read, self.tell = read, tell
        self.answered = 0
        self.passed: set[str] = set()

    def through(self, most: int = 0) -> int:
        """Ask until nothing is left, the input ends or `most` are asked; return how many are open."""
        asked = 0
        while True:
            open_ones = self.questions()
            waiting = [q for q in open_ones if q.quantity not in self.passed]
            if not waiting or (most and asked >= most):
                return len(open_ones)
            asked += 1
            if not self.ask(waiting[0], len(waiting)):
                return len(self.questions())

    def questions(self) -> list[Question]:
        """Return what the design leaves open, the most deciding first.

        First what most topics wait for; of those alike, what is asked of parts the design describes.
        """
        content = self.path.read_bytes()
        design = design_of(content, str(self.path), self.catalogue.vocabulary)
        known = {*design.facts, *(f for ps in design.parts.values() for p in ps for f in p.facts)}
        by_quantity: dict[str, Question] = {}
        for question in self._answer(design).questions:
            if question.quantity:
                self._add(by_quantity, question, to_state(question.quantity, known))
        return sorted(
            by_quantity.values(), key=lambda q: (-len(q.topics), q.in_unstated, q.quantity)
        )

    def _add(self, found: dict[str, Question], question: Question, quantity: str) -> None:
        """Join what waits for one thing to state: a size and the depth that follows from it."""
        definition = self.catalogue.vocabulary.quantities[quantity]
        if definition.provided or definition.derived:
            return  # for the rules to give, not for a person to state
        before = found.get(quantity)
        topics = question.topics if before is None else (*before.topics, *question.topics)
        unstated = question.in_unstated and (before is None or before.in_unstated)
        found[quantity] = Question(quantity, definition.ask, tuple(dict.fromkeys(topics)), unstated)

    def _answer(self, stated_design: Design) -> CompareAnswer:
        design = self.catalogue.prepare(stated_design)
        comparison = compare(self.catalogue, design, self.names, pairs=())
        return compare_answer(comparison, self.catalogue.vocabulary)

    def ask(self, question: Question, left: int) -> bool:
        """Ask one question until it is answered or passed; False where the asking stops."""
        definition = self.catalogue.vocabulary.quantities[question.quantity]
        self.tell("")
        listed = choices_listed(definition)
        self.tell(f"{left} open. {question.words}{self._of_parts(definition)}{listed}")
        self.tell(f"  decides: {_some(question.topics)}")
        word = self.put(definition)
        if word == NOT_KNOWN:
            self.passed.add(question.quantity)
        return word is not None

    def put(self, definition: QuantityDefinition) -> str | None:
        """Read answers until one can be taken; return it, empty if passed, None if it stops here."""
        while True:
            typed = self.read("  > ")
            if typed is None or typed.strip() == STOP:
                return None
            word = typed.strip()
            if word == NOT_KNOWN:
                return word
            if word == EXPLAIN:
                self.tell(f"  {may_be(definition)}. {HELP}")
            elif self.take(definition, word):
                self.answered += 1
                return word

    def take(self, definition: QuantityDefinition, word: str) -> bool:
        """Write an answer into the file; False, and why, where it cannot be one."""
        text = self.path.read_text(encoding="utf-8")
        group = self.catalogue.vocabulary.groups[definition.name.split(".")[0]]
        try:
            if word == HAS_NONE:
                if not group.many:
                    raise InputError.single("-", NEVER_NONE)
                changed = without(text, group.name)
            else:
                meant = as_meant(word, definition)
                changed = stated(text, definition.name, meant, self.catalogue.vocabulary)
                if meant != word:
                    self.tell(f"  read as {choice_text(meant)}")
            design_of(changed.encode(), str(self.path), self.catalogue.vocabulary)
        except InputError as fault:
            self.refuse(fault)
            return False
        write_whole(self.path, changed)
        return True

    def refuse(self, fault: InputError) -> None:
        """Tell why an answer cannot be one."""
        for problem in fault.problems:
            self.tell(f"  {in_words(problem.message, self.catalogue.vocabulary)}")

    def _of_parts(self, definition: QuantityDefinition) -> str:
        names = [n for n in open_parts(self.path.read_text(encoding="utf-8"), definition) if n]
        return f" (for each of: {', '.join(names)})" if names else ""


def in_words(message: str, vocabulary: Vocabulary) -> str:
    """Write a fault of a file in words for one who sees questions and no file.

    A quantity is called what a builder calls it, a choice is written without underscores.
    """

    def word(found: re.Match[str]) -> str:
        return vocabulary.called(found[0]) if "." in found[0] else choice_text(found[0])

    return re.sub(r"\b[a-z_]+\.[a-z_]+\b|\b[a-z0-9]+(?:_[a-z0-9]+)+\b", word, message)


def choices_listed(definition: QuantityDefinition) -> str:
    """List a few choices behind a question; nothing where there are many, or none."""
    return f" [{may_be(definition)[8:]}]" if 0 < len(definition.choices) <= FEW else ""


def may_be(definition: QuantityDefinition) -> str:
    """Say what may be answered.

    >>> may_be(QuantityDefinition("joists.spacing", "length", "", ""))
    'a length: 5-1/2 in, 10 ft 6 in'
    """
    if definition.choices:
        listed = ", ".join(map(choice_text, definition.choices[:MOST_CHOICES]))
        return f"one of: {listed}"
    return {
        "yes_no": "yes or no",
        "length": "a length: 5-1/2 in, 10 ft 6 in",
        "load": "a load: 40 psf",
        "force": "a force: 1500 lb",
        "angle": "an angle: 10 deg",
        "count": "a number: 3",
    }.get(definition.kind, "a value with its unit")


def _some(titles: Sequence[str], most: int = 4) -> str:
    more = f" and {len(titles) - most} more" if len(titles) > most else ""
    return f"{', '.join(titles[:most])}{more}"
