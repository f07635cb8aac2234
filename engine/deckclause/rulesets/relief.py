"""Relief as rule data: kinds and legal tests, forms, local settings, changes tried first."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from msgspec import Struct

from deckclause.rulesets.check import check_shape
from deckclause.rulesets.clauses import Scalar
from deckclause.rulesets.files import RuleFiles
from deckclause.rulesets.problems import InputError, Problem, suggestion
from deckclause.rulesets.register import alike
from deckclause.rulesets.translate_values import ValueTranslator
from deckclause.rulesets.vocabulary import Vocabulary
from deckclause.rulesets.yaml_tree import Tree, parse_tree

YES_WORDS = ("yes", "true")
WORK = ("measure", "size", "fasteners", "rebuild")
"""Kinds of work from what a builder minds least: set a measure, take another size, other fasteners."""


class LegalTest(Struct, frozen=True):
    """One legal test or ground: the question, and the request's field that answers it."""

    key: str
    asks: str
    field: str
    hardship: bool


class ReliefKind(Struct, frozen=True):
    """One kind of relief."""

    name: str
    title: str
    topic: str
    decided_by: str
    needs_every_test: bool
    cannot_waive: bool
    tests: tuple[LegalTest, ...]
    also_needs: tuple[str, ...]
    standing: str
    sources: tuple[str, ...]
    note: str


class FormPart(Struct, frozen=True):
    """One part of a form: fields the applicant writes, and what the engine puts there."""

    key: str
    title: str
    asks: str
    holds: tuple[str, ...]
    computed: tuple[str, ...]


class Form(Struct, frozen=True):
    """A published pattern of form."""

    name: str
    title: str
    published_as: str
    kinds: tuple[str, ...]
    parts: tuple[FormPart, ...]
    standing: str
    sources: tuple[str, ...]


class Clock(Struct, frozen=True):
    """One time limit of a place."""

    event: str
    days: int
    counted_in: str


class LocalSettings(Struct, frozen=True):
    """What one place asks of a request; `hardship_accepted` None where it is not stated."""

    place: str
    form: str
    kinds: tuple[str, ...]
    hardship_accepted: bool | None
    clocks: tuple[Clock, ...]
    fees: str
    says: str
    invented: bool
    standing: str
    sources: tuple[str, ...]


class OtherProcess(Struct, frozen=True):
    """A process of another law."""

    name: str
    title: str
    words: tuple[str, ...]
    says: str


class Move(Struct, frozen=True):
    """One quantity a builder can change: sizes to be had, or the step a measure is set to.

    `work` is what the builder does, one of WORK; `brings` the parts and work that come with it, in
    words; `asks` the quantities it makes a matter of.
    """

    quantity: str
    work: str
    effort: int
    step: Scalar | None
    sizes: tuple[Scalar, ...]
    says: str
    order: int
    brings: tuple[str, ...] = ()
    asks: tuple[str, ...] = ()


class ReliefRules(Struct, frozen=True):
    """Everything relief.yaml holds."""

    kinds: dict[str, ReliefKind]
    other_processes: dict[str, OtherProcess]
    forms: dict[str, Form]
    local: dict[str, LocalSettings]
    life_safety: dict[str, str]
    moves: tuple[Move, ...]
    digest: str

    def of_place(self, place: str) -> LocalSettings | None:
        """Return the settings of a place, however its name is spelt; None where there are none."""
        return next((s for p, s in self.local.items() if alike(p) == alike(place)), None)

    def other_process(self, named: str) -> OtherProcess | None:
        """Return the process of another law that the name of a kind of relief means, if any."""
        plain = named.replace("_", " ").lower()
        return next(
            (
                other
                for other in self.other_processes.values()
                if named == other.name or any(word in plain for word in other.words)
            ),
            None,
        )


def read_relief(files: RuleFiles, vocabulary: Vocabulary) -> ReliefRules:
    """Read relief.yaml. Raises InputError with every fault, or where there is no such file."""
    from deckclause.rulesets.relief_models import ReliefFile

    path = files.found("relief.yaml")
    tree = parse_tree(files.content(path), files.name(path))
    check_shape(tree, ReliefFile)
    data = tree.data
    problems = list(_problems(tree, vocabulary))
    moves, move_problems = _moves(tree, vocabulary)
    problems += move_problems
    if problems:
        raise InputError(problems)
    return ReliefRules(
        kinds={name: _kind(name, entry) for name, entry in data["kinds"].items()},
        other_processes={
            name: OtherProcess(name, p["title"], tuple(p["words"]), p["says"])
            for name, p in data["other_processes"].items()
        },
        forms={name: _form(name, entry) for name, entry in data["forms"].items()},
        local={name: _local(name, entry) for name, entry in data["local"].items()},
        life_safety=dict(data["life_safety"]),
        moves=moves,
        digest=files.digest_of(path),
    )


def _is_yes(entry: dict[str, Any], key: str) -> bool:
    return str(entry.get(key) or "no").lower() in YES_WORDS


def _kind(name: str, entry: dict[str, Any]) -> ReliefKind:
    tests = tuple(
        LegalTest(t["key"], t["asks"], t["field"], _is_yes(t, "hardship")) for t in entry["tests"]
    )
    return ReliefKind(
        name=name,
        title=entry["title"],
        topic=entry.get("topic") or "",
        decided_by=entry["decided_by"],
        needs_every_test=entry["needs"] == "every test",
        cannot_waive=_is_yes(entry, "cannot_waive"),
        tests=tests,
        also_needs=tuple(entry.get("also_needs") or ()),
        standing=entry["standing"],
        sources=tuple(entry["sources"]),
        note=entry.get("note") or "",
    )


def _form(name: str, entry: dict[str, Any]) -> Form:
    parts = tuple(
        FormPart(
            p["key"],
            p["title"],
            p["asks"],
            tuple(p.get("holds") or ()),
            tuple(p.get("computed") or ()),
        )
        for p in entry["parts"]
    )
    return Form(
        name,
        entry["title"],
        entry["published_as"],
        tuple(entry["kinds"]),
        parts,
        entry["standing"],
        tuple(entry["sources"]),
    )


def _local(name: str, entry: dict[str, Any]) -> LocalSettings:
    hardship = {"yes": True, "true": True, "no": False, "false": False}
    return LocalSettings(
        place=name,
        form=entry["form"],
        kinds=tuple(entry["kinds"]),
        hardship_accepted=hardship.get(str(entry["hardship_accepted"]).lower()),
        clocks=tuple(
            Clock(c["event"], int(c["days"]), c["counted_in"]) for c in entry.get("clocks") or ()
        ),
        fees=entry.get("fees") or "",
        says=entry.get("says") or "",
        invented=_is_yes(entry, "invented"),
        standing=entry["standing"],
        sources=tuple(entry["sources"]),
    )


def _problems(tree: Tree, vocabulary: Vocabulary) -> Iterator[Problem]:
    data = tree.data
    for group in ("kinds", "forms", "local"):
        for name, entry in data[group].items():
            for source in entry["sources"]:
                if source not in vocabulary.sources:
                    yield _fault(tree, (group, name), f"'{source}' is not a source", source,
                                 vocabulary.sources)  # fmt: skip
    for name, entry in data["local"].items():
        if entry["form"] not in data["forms"]:
            yield _fault(tree, ("local", name), f"there is no form '{entry['form']}'",
                         entry["form"], data["forms"])  # fmt: skip
    topics = [e.get("topic") for e in data["kinds"].values() if e.get("topic")]
    for topic in (*topics, *data["life_safety"]):
        if topic not in vocabulary.topics:
            yield _fault(tree, ("life_safety", topic), f"'{topic}' is not a topic", topic,
                         vocabulary.topics)  # fmt: skip


def _fault(tree: Tree, path: tuple[str, ...], words: str, name: str, known: Any) -> Problem:
    return Problem(tree.file, tree.line(path), f"{words}.{suggestion(name, known)}")


def _moves(tree: Tree, vocabulary: Vocabulary) -> tuple[tuple[Move, ...], list[Problem]]:
    translator = ValueTranslator(vocabulary, tree)
    problems: list[Problem] = []
    moves: list[Move] = []
    for index, entry in enumerate(tree.data["changes"]):
        path = ("changes", index)
        name = entry["quantity"]
        definition = vocabulary.quantities.get(name)
        if definition is None:
            near = suggestion(name, vocabulary.quantities)
            problems.append(
                Problem(tree.file, tree.line(path), f"'{name}' is not a quantity.{near}")
            )
            continue
        sizes = tuple(
            translator.scalar(s, definition, (*path, "sizes")) for s in entry.get("sizes") or ()
        )
        step = entry.get("step")
        exact = None if step is None else translator.scalar(step, definition, (*path, "step"))
        work, effort = entry["work"], int(entry["effort"])
        asks = tuple(entry.get("asks") or ())
        for asked in asks:
            if asked not in vocabulary.quantities:
                near = suggestion(asked, vocabulary.quantities)
                words = f"'{asked}' is not a quantity.{near}"
                problems.append(Problem(tree.file, tree.line((*path, "asks")), words))
        brings = tuple(entry.get("brings") or ())
        moves.append(Move(name, work, effort, exact, sizes, entry["says"], index, brings, asks))
    return tuple(moves), [*problems, *translator.problems]
