"""Read the vocabulary files: quantities, datums, topics, sources."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from deckclause.rulesets.check import check_shape
from deckclause.rulesets.files import RuleFiles
from deckclause.rulesets.problems import InputError, Problem, suggestion
from deckclause.rulesets.vocabulary import (
    Datum,
    Group,
    QuantityDefinition,
    Source,
    Topic,
    Vocabulary,
)
from deckclause.rulesets.yaml_tree import Tree, parse_tree


def read_vocabulary(files: RuleFiles) -> Vocabulary:
    """Read quantities.yaml, topics.yaml and sources.yaml. Raises InputError with every fault."""
    from deckclause.rulesets.vocabulary_models import (
        QuantitiesFile,
        SourcesFile,
        TopicsFile,
    )

    quantities_path, topics_path, _ = files.vocabulary_paths()
    sources_paths = files.sources_paths()
    quantities = _tree(files, quantities_path, QuantitiesFile)
    topics = _tree(files, topics_path, TopicsFile)
    sources = [_tree(files, path, SourcesFile) for path in sources_paths]
    groups = {
        name: Group(name, g["title"], str(g.get("many", "")) == "true")
        for name, g in quantities.data["groups"].items()
    }
    begins = {n: _begins(n, g) for n, g in quantities.data["groups"].items()}
    definitions = {n: _quantity(n, q, begins) for n, q in quantities.data["quantities"].items()}
    problems = [
        *_quantity_problems(quantities, definitions, groups),
        *_topic_problems(topics),
        *_answer_problems(topics, definitions),
    ]
    if problems:
        raise InputError(problems)
    return Vocabulary(
        quantities=definitions,
        groups=groups,
        datums={n: Datum(n, d["axis"], d["says"]) for n, d in quantities.data["datums"].items()},
        parts=dict(topics.data["parts"]),
        topics={n: _topic(n, t) for n, t in topics.data["topics"].items()},
        sources={
            **{n: _source(n, s) for tree in sources for n, s in tree.data["sources"].items()},
            **_read_in_books(files),
        },
        digest=files.digest_of(quantities_path, topics_path, *sources_paths),
    )


def _read_in_books(files: RuleFiles) -> dict[str, Source]:
    """Return the readings people made of books of their own, as the sources their figures name."""
    from deckclause.rulesets.witness import read_records, witness_source

    records = (r for name in files.rulesets for r in read_records(files, name))
    return {record.source: witness_source(record) for record in records}


def _tree(files: RuleFiles, path: Path, model: Any) -> Tree:
    tree = parse_tree(files.content(path), files.name(path))
    check_shape(tree, model)
    return tree


def _begins(name: str, group: dict[str, Any]) -> str:
    """Return the word the names of a group's quantities begin with."""
    called = group.get("called")
    return name.replace("_", " ") if called is None else str(called)


def _called(name: str, begins: dict[str, str]) -> str:
    group, _, rest = name.partition(".")
    return f"{begins.get(group, group)} {rest.replace('_', ' ')}".strip()


def _quantity(name: str, data: dict[str, Any], begins: dict[str, str]) -> QuantityDefinition:
    return QuantityDefinition(
        name=name,
        kind=data["kind"],
        says=data["says"],
        ask=data["ask"],
        unit=data.get("unit") or "",
        choices=tuple(data.get("choices") or ()),
        of=data.get("of") or "",
        signed=str(data.get("signed", "")) == "true",
        provided=str(data.get("provided", "")) == "true",
        derived=data.get("derived") or "",
        fixed_by_place=str(data.get("fixed_by_place", "")) == "true",
        called=data.get("called") or _called(name, begins),
        said=tuple((data.get("said") or {}).items()),
    )


def _answer_problems(tree: Tree, definitions: dict[str, QuantityDefinition]) -> list[Problem]:
    return [
        Problem(
            tree.file,
            tree.line(("topics", name, "answered_by")),
            f"{name}: there is no quantity '{quantity}'.{suggestion(quantity, definitions)}",
        )
        for name, topic in tree.data["topics"].items()
        for quantity in topic.get("answered_by") or ()
        if quantity not in definitions
    ]


def _topic(name: str, data: dict[str, Any]) -> Topic:
    return Topic(
        name,
        data["title"],
        data["part"],
        data["question"],
        data.get("unit") or "",
        tuple(data.get("answered_by") or ()),
    )


def _source(name: str, data: dict[str, Any]) -> Source:
    text = {k: str(v) if v is not None else "" for k, v in data.items()}
    return Source(
        name,
        text["title"],
        text.get("publisher", ""),
        text.get("year", ""),
        text.get("address", ""),
        text.get("kind", "other"),
        text.get("seen", ""),
        text.get("reach", "secondary"),
    )


def _quantity_problems(
    tree: Tree, definitions: dict[str, QuantityDefinition], groups: dict[str, Group]
) -> list[Problem]:
    problems = []
    for name, definition in definitions.items():
        line = tree.line(("quantities", name))
        if name.split(".")[0] not in groups:
            problems.append(
                Problem(
                    tree.file, line, f"{name}: its group is not listed.{suggestion(name, groups)}"
                )
            )
        if definition.kind == "choice" and len(definition.choices) < 2:
            problems.append(Problem(tree.file, line, f"{name}: a choice needs two choices or more"))
        values = definition.choices if definition.kind == "choice" else ("yes", "no")
        problems += [
            Problem(
                tree.file,
                tree.line(("quantities", name, "said")),
                f"{name}: it never is '{value}'.{suggestion(value, values)}",
            )
            for value, _ in definition.said
            if value not in values or definition.kind not in ("choice", "yes_no")
        ]
        if definition.of and not (definition.of in groups and groups[definition.of].many):
            problems.append(
                Problem(tree.file, line, f"{name}: `of` must name a group marked `many`")
            )
    return problems


def _topic_problems(tree: Tree) -> list[Problem]:
    parts = tree.data["parts"]
    return [
        Problem(
            tree.file,
            tree.line(("topics", name, "part")),
            f"{name}: there is no part '{topic['part']}'.{suggestion(topic['part'], parts)}",
        )
        for name, topic in tree.data["topics"].items()
        if topic["part"] not in parts
    ]
