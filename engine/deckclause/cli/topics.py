"""The topics a person names: by topic, by its title, by a clause's key, or by part of the deck."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from deckclause.evaluate.catalogue import Catalogue
from deckclause.rulesets.clauses import Clause
from deckclause.rulesets.problems import InputError, Problem, suggestion
from deckclause.rulesets.vocabulary import Vocabulary


def wanted_topics(catalogue: Catalogue, topics: Sequence[str], parts: Sequence[str]) -> list[str]:
    """Return the topics asked for. Raises InputError with every name that means none."""
    chosen: dict[str, None] = {}
    problems: list[Problem] = []
    for asked in topics:
        found = _topic(catalogue, asked)
        if found:
            chosen[found] = None
        else:
            problems.append(Problem("--topic", 0, _no_topic(catalogue.vocabulary, asked)))
    for asked in parts:
        part = _part(catalogue.vocabulary, asked)
        of_file = _of_file_part(catalogue, asked)
        if part:
            of_part = [t.name for t in catalogue.vocabulary.topics.values() if t.part == part]
            chosen.update(dict.fromkeys(of_part))
        elif of_file:
            chosen.update(dict.fromkeys(of_file))
        else:
            problems.append(Problem("--part", 0, _no_part(catalogue.vocabulary, asked)))
    if problems:
        raise InputError(problems)
    return list(chosen)


def _alike(text: str) -> str:
    return " ".join(text.lower().replace("_", " ").split())


def _topic(catalogue: Catalogue, asked: str) -> str:
    vocabulary = catalogue.vocabulary
    if asked in vocabulary.topics:
        return asked
    for topic in vocabulary.topics.values():
        if _alike(asked) in (_alike(topic.title), _alike(topic.name)):
            return topic.name
    for name in catalogue.files.rulesets:
        clause = catalogue.ruleset(name).clause(asked)
        if clause is not None:
            return clause.topic
    return ""


def _no_topic(vocabulary: Vocabulary, asked: str) -> str:
    """Name the topics that come near: those that have its words, else the nearest spelling."""
    words = _alike(asked).split()
    holding = [
        f"{topic.name} ({topic.title})"
        for topic in vocabulary.topics.values()
        if words and all(w in _alike(f"{topic.name} {topic.title} {topic.question}") for w in words)
    ]
    if holding:
        more = f" and {len(holding) - 6} more" if len(holding) > 6 else ""
        return f"'{asked}' is not a topic. Topics that speak of it: {', '.join(holding[:6])}{more}."
    spelt = {_alike(t.title): t.name for t in vocabulary.topics.values()}
    near = suggestion(_alike(asked), [*spelt, *map(_alike, vocabulary.topics)])
    return f"'{asked}' is not a topic.{near} deckclause rules concordance lists all of them."


def _part(vocabulary: Vocabulary, asked: str) -> str:
    if asked in vocabulary.parts:
        return asked
    titles = {_alike(title): name for name, title in vocabulary.parts.items()}
    return titles.get(_alike(asked), "")


def _of_file_part(catalogue: Catalogue, asked: str) -> list[str]:
    """Return the topics that read a part of a design by its name in the file (`ledger`, `wall`)."""
    group = _alike(asked).replace(" ", "_")
    if group not in catalogue.vocabulary.groups:
        return []
    reading = {
        clause.topic
        for name in catalogue.files.rulesets
        for clause, reads in _clauses(catalogue, name)
        if any(read.split(".")[0] == group for read in reads)
    }
    return [topic for topic in catalogue.vocabulary.topics if topic in reading]


def _clauses(catalogue: Catalogue, name: str) -> Iterator[tuple[Clause, tuple[str, ...]]]:
    evaluator = catalogue.evaluator(name)
    return zip(evaluator.ruleset.clauses, evaluator.plan.reads, strict=True)


def _no_part(vocabulary: Vocabulary, asked: str) -> str:
    named = ", ".join(f"{name} ({title})" for name, title in vocabulary.parts.items())
    near = suggestion(asked, vocabulary.parts)
    return f"'{asked}' is not a part of the deck.{near} The parts: {named}."
